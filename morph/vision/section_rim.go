package vision

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
)

// A rim's profile is seen from rimIn px inside its outer line to rimOut px
// outside: no farther, for there a crown behind it may end.
const rimIn, rimOut = half, 4

// rimSums are normal distributions summed up, placed px apart, for each blur
// that edges are told apart by.
var rimSums = sync.OnceValue(func() (out [][]float64) {
	for _, b := range blurredSteps() {
		v := make([]float64, 2*rimSum+1)
		for i := range v {
			v[i] = 0.5 * (1 + math.Erf(float64(i-rimSum)*placed/(b.blur*math.Sqrt2)))
		}
		out = append(out, v)
	}
	return out
})

// rimSum is how far a sum goes to either side, in places.
const rimSum = 64

// flat is how many values say that the colour outside a rim does not slope: less
// than a shadow's, more than those of noise on a few px.
const flat = 1

// misfitRim is what is left unexplained, as a sum of squares over the three
// colours, of a profile from the inside of a rim to its outside: three colours,
// the last of which may slope, parted by two steps that are blurred alike. outer
// and inner are where the steps are, in places from the line.
//
//	within ───╮        ╭─── rim ───╮
//	          ╰────────╯           ╰─── outside
func misfitRim(profile []colour, sum []float64, outer, inner int) float64 {
	var basis [rimIn + rimOut + 1][4]float64
	for i := range basis {
		x := (i - rimIn) * perPx
		a, b := sum[max(0, min(2*rimSum, x-inner+rimSum))], sum[max(0, min(2*rimSum, x-outer+rimSum))]
		basis[i] = [4]float64{1 - a, a - b, b, b * placed * float64(x-outer)}
	}
	var n [4][4]float64
	var r [4]colour
	n[3][3] = flat
	total := 0.0
	for i := range basis {
		for j := range 4 {
			for k := range 4 {
				n[j][k] += basis[i][j] * basis[i][k]
			}
			for c := range 3 {
				r[j][c] += basis[i][j] * profile[i][c]
			}
		}
		total += apart(profile[i], colour{})
	}
	// The normal equations are solved step by step (Gauss), each taking its share
	// of what is unexplained; a colour beyond the window has none.
	for j := range 4 {
		if n[j][j] < 0.05 {
			continue
		}
		for c := range 3 {
			total -= r[j][c] * r[j][c] / n[j][j]
		}
		for k := j + 1; k < 4; k++ {
			f := n[j][k] / n[j][j]
			for m := j; m < 4; m++ {
				n[k][m] -= f * n[j][m]
			}
			for c := range 3 {
				r[k][c] -= f * r[j][c]
			}
		}
	}
	return total
}

// rim is a section's edge, place by place, and how thick the enamel along it is
// in the middle, px.
type rim struct {
	placedEdge
	thick float64
}

// sharpenRim brings a ring found on level n to the edges on all larger copies in
// turn.
func sharpenRim(p *Picture, n int, r ring) rim {
	line, thick := soften(r.outer, true, 3), quantile(r.thick, 0.5)
	for ; ; n-- {
		out := p.Level(n).settleRim(line, thick)
		if n == 0 {
			return out
		}
		line, thick = soften(out.points, true, 4), 2*out.thick
		for i := range line {
			line[i] = r2.Scale(2, line[i])
		}
	}
}

// settleRim places the outer edge of a rim about as thick as given, px, near
// a closed line, to a fraction of a px: its inner edge is placed along with it,
// or the one would be taken for a part of the other's blur.
func (l *Level) settleRim(line []r2.Vec, thick float64) rim {
	ribbon := l.lay(line, true, half-margin)
	every := max(1, len(ribbon.points)/500)
	ribbon.average(every)
	f := rimFit{ribbon: ribbon}
	inSight := thick < rimIn+3
	if inSight {
		for d := -6; d <= 6; d += 2 {
			if t := int(perPx*thick) + d; t > perPx {
				f.thick = append(f.thick, t)
			}
		}
	} else {
		f.thick = []int{perPx * 2 * rimIn}
	}
	blur, least := 0, math.Inf(1)
	for k, sum := range rimSums() {
		l.Rest()
		f.sum = sum
		all := 0.0
		for i := 0; i < len(ribbon.points); i += 2 * telling * every {
			m, _ := f.misfits(i)
			all += math.Sqrt(math.Max(0, m[lowest(m[:])]))
		}
		if all < least {
			blur, least = k, all
		}
	}
	f.sum = rimSums()[blur]
	out := rim{thick: thick, placedEdge: placedEdge{blur: blurredSteps()[blur].blur}}
	var wide []float64
	for i := 0; i < len(ribbon.points); i += every {
		l.Rest()
		m, t := f.misfits(i)
		k := lowest(m[:])
		if k == 0 || k == len(m)-1 {
			continue
		}
		bend := m[k-1] - 2*m[k] + m[k+1]
		if bend <= 0 {
			continue
		}
		// A third of the 3 × 11 values are independent of each other.
		variance := math.Max(m[k], 6)/9 + 0.3
		u := placed * math.Sqrt(2*variance/bend)
		if u > 1 {
			continue
		}
		off := placed * (float64(k-len(m)/2) + (m[k-1]-m[k+1])/(2*bend))
		out.points = append(out.points, ribbon.at(i, -off))
		out.u = append(out.u, u)
		wide = append(wide, placed*float64(t[k]))
	}
	if inSight && len(wide) > 0 {
		out.thick = quantile(wide, 0.5)
	}
	return out
}

// perPx is how many places there are to a px, rimReach how many are tried to
// either side of the line.
const perPx, rimReach = 4, 10

// rimFit tries rims across a ribbon: of each thickness, in places, with a blur.
type rimFit struct {
	ribbon *ribbon
	thick  []int
	sum    []float64
}

// misfits are those of a row's best rims with their outer edges at each place,
// and how thick those are.
func (f *rimFit) misfits(i int) (m [2*rimReach + 1]float64, thick [2*rimReach + 1]int) {
	var profile [rimIn + rimOut + 1]colour
	row := f.ribbon.profile(i) // from outside to inside
	for k := range profile {
		profile[k] = row[half+rimIn-k]
	}
	for k := range m {
		m[k] = math.Inf(1)
		for _, t := range f.thick {
			if v := misfitRim(profile[:], f.sum, k-rimReach, k-rimReach-t); v < m[k] {
				m[k], thick[k] = v, t
			}
		}
	}
	return m, thick
}
