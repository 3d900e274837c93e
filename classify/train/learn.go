package main

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"crownbench/classify/internal/model"
)

// setting is what validation chooses.
type setting struct {
	rank   int     // dimensions of the learned space
	lambda float64 // weight of the matrix's squared size
}

// byIndividual is the power by which the teeth of one animal share its voice.
const byIndividual = 0.5

// fitted is a task learned from some crowns.
type fitted struct {
	space *model.Space
	crowd *model.Crowd
}

// learn fits the gaps' normal distribution and the metric on crowns.
func learn(crowns []crown, s setting) fitted {
	gauss := fitGauss(crowns)
	points := make([][]float64, len(crowns))
	for i := range crowns {
		x := gauss.Fill(&crowns[i].seen, gauss.Gain(&crowns[i].seen))
		points[i] = x[:]
	}
	sd := deviations(points)
	for _, p := range points {
		for j := range p {
			p[j] /= sd[j]
		}
	}
	matrix := neighbourhoodComponents(points, crowns, s)
	for _, row := range matrix {
		for j := range row {
			row[j] /= sd[j] // back to plain coordinates
		}
	}
	space := &model.Space{Gauss: gauss, Matrix: matrix}
	return fitted{space, gather(space, crowns)}
}

func gather(space *model.Space, crowns []crown) *model.Crowd {
	points := make([][]float64, len(crowns))
	class := make([]int, len(crowns))
	individual := make([]int, len(crowns))
	for i := range crowns {
		points[i] = make([]float64, space.Dimensions())
		space.Place(points[i], &crowns[i].seen)
		class[i], individual[i] = crowns[i].class, crowns[i].individual
	}
	return model.NewCrowd(points, class, individual, byIndividual, 0)
}

func deviations(points [][]float64) []float64 {
	sd := make([]float64, len(points[0]))
	column := make([]float64, len(points))
	for j := range sd {
		for i, p := range points {
			column[i] = p[j]
		}
		if sd[j] = stat.StdDev(column, nil); sd[j] < 1e-9 {
			sd[j] = 1
		}
	}
	return sd
}

// ridge is added to each variance, as a part of it, so that coordinates that
// nearly repeat each other do not extrapolate.
const ridge = 0.01

// fitGauss fits a normal distribution to crowns with gaps by expectation
// maximisation (Dempster, Laird & Rubin 1977), each coordinate's starting from
// its own mean and variance.
func fitGauss(crowns []crown) model.Gauss {
	const d = model.Coordinates
	mean, variance := make([]float64, d), make([]float64, d)
	for j := range d {
		var seen []float64
		for i := range crowns {
			if crowns[i].seen.Has(j) {
				seen = append(seen, crowns[i].seen.Value[j])
			}
		}
		mean[j], variance[j] = stat.PopMeanVariance(seen, nil)
		variance[j] = math.Max(variance[j], 1e-6)
	}
	g := model.Gauss{Mean: mean, Cov: square(d)}
	for j := range d {
		g.Cov[j][j] = variance[j]
	}
	for range 25 {
		next := model.Gauss{Mean: make([]float64, d), Cov: square(d)}
		rest := make(map[uint16][][]float64) // covariance left over, by mask
		gains := make(map[uint16][][]float64)
		filled := make([][d]float64, len(crowns))
		n := float64(len(crowns))
		for i := range crowns {
			o := &crowns[i].seen
			gain, ok := gains[o.Mask]
			if !ok {
				gain = g.Gain(o)
				gains[o.Mask] = gain
				rest[o.Mask] = leftOver(&g, o, gain)
			}
			filled[i] = g.Fill(o, gain)
			for a := range d {
				next.Mean[a] += filled[i][a] / n
				for b := range d {
					next.Cov[a][b] += rest[o.Mask][a][b] / n
				}
			}
		}
		for i := range filled {
			for a := range d {
				for b := range d {
					next.Cov[a][b] += (filled[i][a] - next.Mean[a]) * (filled[i][b] - next.Mean[b]) / n
				}
			}
		}
		for a := range d {
			next.Cov[a][a] += ridge * variance[a]
			next.Mean[a] += g.Mean[a] // Fill gives differences from the mean
		}
		g = next
	}
	return g
}

// leftOver returns the covariance of a crown's coordinates given what is seen.
func leftOver(g *model.Gauss, o *model.Observation, gain [][]float64) [][]float64 {
	const d = model.Coordinates
	left := square(d)
	for a := range d {
		for b := range d {
			if o.Has(a) || o.Has(b) {
				continue
			}
			left[a][b] = g.Cov[a][b]
			at := 0
			for c := range d {
				if o.Has(c) {
					left[a][b] -= gain[a][at] * g.Cov[c][b]
					at++
				}
			}
		}
	}
	return left
}

func square(n int) [][]float64 {
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
	}
	return m
}

// neighbourhoodComponents learns a linear map under which a tooth's neighbours
// from other animals are of its kind: the mean log of the share that its kind
// gets from all teeth weighted by exp(-squared distance) is maximised
// (Goldberger and others 2005, in its log form), less lambda times the map's
// squared size. Teeth of the same animal never count as neighbours, since none
// will stand beside a new find.
func neighbourhoodComponents(points [][]float64, crowns []crown, s setting) [][]float64 {
	n, d := len(points), len(points[0])
	teeth := make(map[int]float64)
	for i := range crowns {
		teeth[crowns[i].individual]++
	}
	rank := s.rank
	f := newField(crowns, rank)
	var all float64
	for i := range crowns {
		f.vote[i] = math.Pow(teeth[crowns[i].individual], -byIndividual)
		all += f.vote[i]
	}
	objective := func(m, gradient []float64) float64 {
		for i, x := range points {
			for r := range rank {
				var sum float64
				for j, v := range x {
					sum += m[r*d+j] * v
				}
				f.placed[i*rank+r] = sum
			}
		}
		clear(f.pull)
		var gain float64
		for i := range n {
			gain += f.vote[i] / all * f.tug(i, f.vote[i]/all)
		}
		var size float64
		clear(gradient)
		for i, x := range points {
			for r := range rank {
				p := f.pull[i*rank+r]
				if p == 0 {
					continue
				}
				for j, v := range x {
					gradient[r*d+j] -= p * v
				}
			}
		}
		for i, v := range m {
			size += v * v
			gradient[i] += 2 * s.lambda * v
		}
		return s.lambda*size - gain
	}
	m := discriminants(points, crowns, rank)
	descend(objective, m, 40)
	matrix := make([][]float64, rank)
	for r := range matrix {
		matrix[r] = m[r*d : (r+1)*d]
	}
	return matrix
}

// discriminants returns the first rank discriminant axes of the points, scaled
// to unit variance within classes: where the descent starts. Within-class
// variances are raised by 0.05 so that no axis rests on next to nothing.
func discriminants(points [][]float64, crowns []crown, rank int) []float64 {
	d := len(points[0])
	classes := 0
	for i := range crowns {
		classes = max(classes, crowns[i].kind+1)
	}
	heads := make([]float64, classes)
	mean := make([][]float64, classes)
	for c := range mean {
		mean[c] = make([]float64, d)
	}
	middle := make([]float64, d)
	for i, p := range points {
		c := crowns[i].kind
		heads[c]++
		for j, x := range p {
			mean[c][j] += x
			middle[j] += x / float64(len(points))
		}
	}
	for c := range mean {
		for j := range mean[c] {
			if heads[c] > 0 {
				mean[c][j] /= heads[c]
			}
		}
	}
	within, between := mat.NewSymDense(d, nil), mat.NewSymDense(d, nil)
	diff := mat.NewVecDense(d, nil)
	for i, p := range points {
		for j, x := range p {
			diff.SetVec(j, x-mean[crowns[i].kind][j])
		}
		within.SymRankOne(within, 1/float64(len(points)), diff)
	}
	for c := range mean {
		if heads[c] == 0 {
			continue
		}
		for j := range d {
			diff.SetVec(j, mean[c][j]-middle[j])
		}
		between.SymRankOne(between, math.Sqrt(heads[c]), diff)
	}
	for j := range d {
		within.SetSym(j, j, within.At(j, j)+0.05)
	}
	var chol mat.Cholesky
	chol.Factorize(within)
	var lower, inverse mat.TriDense
	chol.LTo(&lower)
	if err := inverse.InverseTri(&lower); err != nil {
		panic("train: " + err.Error())
	}
	var white mat.Dense
	white.Mul(&inverse, between)
	white.Mul(&white, inverse.T())
	sym := mat.NewSymDense(d, nil)
	for a := range d {
		for b := a; b < d; b++ {
			sym.SetSym(a, b, (white.At(a, b)+white.At(b, a))/2)
		}
	}
	var eigen mat.EigenSym
	eigen.Factorize(sym, true)
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	m := make([]float64, rank*d)
	for r := range rank {
		for j := range d {
			for a := range d {
				m[r*d+j] += vectors.At(a, d-1-r) * inverse.At(a, j)
			}
		}
	}
	return m
}
