package scalebar

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// rowFit is the straight even row that lies nearest to measured places.
type rowFit struct {
	start   r2.Vec  // of place 0
	stride  r2.Vec  // from one place to the next
	spacing float64 // its length, px
	rms     float64 // of the places about the row, along it, px
	bend    float64 // the same across it
}

// at gives place i of the row.
func (f rowFit) at(i float64) r2.Vec { return r2.Add(f.start, r2.Scale(i, f.stride)) }

// uEnd is the standard uncertainty of an end of a row of n places along it, by
// least squares; never less than what the picture's own grid leaves.
func (f rowFit) uEnd(n int) float64 {
	m := float64(n)
	return math.Hypot(f.rms*math.Sqrt(2*(2*m-1)/(m*(m+1))), gridU)
}

// confidence tells how surely an even row of n places is no chance: by how many
// there are and how even they are.
func (f rowFit) confidence(n int) float64 {
	return float64(n-1) / float64(n+1) * (1 - min(1, f.rms/(0.1*f.spacing+0.3)))
}

// gridU is what no fit takes away: ink spread by blur and print, in px.
const gridU = 0.1

// fitRow fits places that follow each other by least squares.
func fitRow(places []r2.Vec) (rowFit, bool) {
	n := float64(len(places))
	if n < 2 {
		return rowFit{}, false
	}
	var mean, slope r2.Vec
	for _, p := range places {
		mean = r2.Add(mean, r2.Scale(1/n, p))
	}
	for i, p := range places {
		slope = r2.Add(slope, r2.Scale(12*(float64(i)-(n-1)/2)/(n*(n*n-1)), r2.Sub(p, mean)))
	}
	f := rowFit{stride: slope, spacing: r2.Norm(slope)}
	if !(f.spacing > 0) {
		return f, false
	}
	f.start = r2.Sub(mean, r2.Scale((n-1)/2, slope))
	dir := r2.Scale(1/f.spacing, slope)
	sum, across := 0.0, 0.0
	for i, p := range places {
		off := r2.Sub(p, f.at(float64(i)))
		d, c := r2.Dot(off, dir), r2.Cross(dir, off)
		sum += d * d
		across += c * c
	}
	f.rms, f.bend = math.Sqrt(sum/max(1, n-2)), math.Sqrt(across/max(1, n-2))
	return f, true
}
