package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// resample sets points at even distances of about step along a line. An open
// line keeps its ends.
func resample(line []r2.Vec, closed bool, step float64) []r2.Vec {
	if len(line) < 2 {
		return append([]r2.Vec(nil), line...)
	}
	if closed {
		line = append(append([]r2.Vec(nil), line...), line[0])
	}
	total := 0.0
	for i := 1; i < len(line); i++ {
		total += r2.Norm(r2.Sub(line[i], line[i-1]))
	}
	n := max(1, int(math.Round(total/step)))
	out := make([]r2.Vec, 0, n+1)
	out = append(out, line[0])
	done, k := 0.0, 1
	for i := 1; i < len(line); i++ {
		d := r2.Norm(r2.Sub(line[i], line[i-1]))
		for ; k < n && done+d >= total*float64(k)/float64(n); k++ {
			w := (total*float64(k)/float64(n) - done) / d
			out = append(out, r2.Add(r2.Scale(1-w, line[i-1]), r2.Scale(w, line[i])))
		}
		done += d
	}
	if !closed {
		out = append(out, line[len(line)-1])
	}
	return out
}

// soften takes the jitter out of a line: every point moves to the mean of
// itself and its neighbours, 1:2:1, times over.
func soften(line []r2.Vec, closed bool, times int) []r2.Vec {
	out := append([]r2.Vec(nil), line...)
	n := len(out)
	if n < 3 {
		return out
	}
	for range times {
		before, first := out[n-1], out[0]
		for i := range out {
			here, after := out[i], first
			if i < n-1 {
				after = out[i+1]
			}
			if closed || i > 0 && i < n-1 {
				out[i] = r2.Scale(0.25, r2.Add(r2.Add(before, after), r2.Scale(2, here)))
			}
			before = here
		}
	}
	return out
}

// simplify leaves out the points of a line that lie within tolerance of the
// line through the others (Douglas & Peucker 1973). The ends stay.
func simplify(line []r2.Vec, tolerance float64) []r2.Vec {
	if len(line) < 3 {
		return append([]r2.Vec(nil), line...)
	}
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	spans := [][2]int{{0, len(line) - 1}}
	for len(spans) > 0 {
		s := spans[len(spans)-1]
		spans = spans[:len(spans)-1]
		far, at := tolerance, -1
		for i := s[0] + 1; i < s[1]; i++ {
			if d := offSegment(line[i], line[s[0]], line[s[1]]); d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			spans = append(spans, [2]int{s[0], at}, [2]int{at, s[1]})
		}
	}
	var out []r2.Vec
	for i, k := range keep {
		if k {
			out = append(out, line[i])
		}
	}
	return out
}

// offSegment is the distance of a point from the segment from a to b.
func offSegment(p, a, b r2.Vec) float64 {
	d := r2.Sub(b, a)
	w := 0.0
	if l := r2.Norm2(d); l > 0 {
		w = math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), d)/l))
	}
	return r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(w, d))))
}
