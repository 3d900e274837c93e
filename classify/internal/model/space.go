package model

import "sync"

// Space places crowns as points: gaps filled by Gauss, then the difference from
// the mean multiplied by Matrix. Euclidean distance between points is the
// learned distance between crowns. A Space is safe for concurrent use.
type Space struct {
	Gauss
	Matrix [][]float64 // rows: dimensions of the space; columns: coordinates

	mu    sync.RWMutex
	gains map[uint16][][]float64 // Matrix × gain, by mask of an exact observation
}

// Dimensions returns the length of the points of the space.
func (s *Space) Dimensions() int { return len(s.Matrix) }

// Place returns the point of an observed crown in dst, which must have length
// Dimensions.
func (s *Space) Place(dst []float64, o *Observation) {
	m := s.project(o)
	clear(dst)
	at := 0
	for c := range Channels {
		if !o.Has(c) {
			continue
		}
		d := o.Value[c] - s.expected(c)
		for r := range dst {
			dst[r] += m[r][at] * d
		}
		at++
	}
}

// project returns Matrix × gain for o, kept for exact observations, which share it
// whenever they share a mask.
func (s *Space) project(o *Observation) [][]float64 {
	exact := o.Var == [Channels]float64{}
	if exact {
		s.mu.RLock()
		m, ok := s.gains[o.Mask]
		s.mu.RUnlock()
		if ok {
			return m
		}
	}
	gain := s.Gain(o)
	m := make([][]float64, len(s.Matrix))
	for r, row := range s.Matrix {
		m[r] = make([]float64, len(gain[0]))
		for i, w := range row {
			for at, g := range gain[i] {
				m[r][at] += w * g
			}
		}
	}
	if exact {
		s.mu.Lock()
		if s.gains == nil {
			s.gains = make(map[uint16][][]float64)
		}
		s.gains[o.Mask] = m
		s.mu.Unlock()
	}
	return m
}
