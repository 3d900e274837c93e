package toothphoto

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// denticles is a laid-out row. Phase runs from 0 at the basal end of the row
// and gains 1 per denticle, so denticle i spans phases i to i+1 with its tip at
// i + 0.5; the row is cut back to whole denticles.
type denticles struct {
	row    Row
	length float64   // of the carina, mm
	arc    []float64 // arc length at each knot of the density, mm
	phase  []float64 // phase at each knot
	per    []float64 // denticles per mm at each knot
	from   float64   // basal end of the row, mm along the carina
	to     float64   // apical end
	count  int
}

func newDenticles(row Row, length float64) (denticles, error) {
	d := denticles{row: row, length: length}
	if !row.present() {
		return d, nil
	}
	from, to := row.extent()
	d.from = from * length
	knots := []float64{d.from, to * length}
	for _, f := range []float64{1. / 6, 1. / 2, 5. / 6} {
		if s := f * length; s > d.from && s < to*length {
			knots = append(knots, s)
		}
	}
	sort.Float64s(knots)
	d.arc = knots
	d.per = make([]float64, len(knots))
	d.phase = make([]float64, len(knots))
	for i, s := range knots {
		d.per[i] = row.density(s/length) / 5
		if i > 0 {
			d.phase[i] = d.phase[i-1] + (d.per[i]+d.per[i-1])/2*(s-knots[i-1])
		}
	}
	d.count = int(math.Floor(d.phase[len(knots)-1] + 1e-9))
	if d.count == 0 {
		return d, fmt.Errorf("the row from %g to %g of the carina is too short for one denticle", from, to)
	}
	d.to = d.place(float64(d.count))
	return d, nil
}

// density returns the denticles per 5 mm at fraction f of the carina.
func (r Row) density(f float64) float64 {
	switch {
	case f <= 1./6:
		return r.Basal
	case f >= 5./6:
		return r.Apical
	case f < 0.5:
		w := (f - 1./6) * 3
		return r.Basal + w*(r.Mid-r.Basal)
	default:
		w := (f - 0.5) * 3
		return r.Mid + w*(r.Apical-r.Mid)
	}
}

// phaseAt returns the phase at arc length s, clamped to the row.
func (d *denticles) phaseAt(s float64) float64 {
	last := len(d.arc) - 1
	if s <= d.arc[0] {
		return 0
	}
	if s >= d.arc[last] {
		return d.phase[last]
	}
	i := 0
	for s > d.arc[i+1] {
		i++
	}
	x := s - d.arc[i]
	slope := (d.per[i+1] - d.per[i]) / (d.arc[i+1] - d.arc[i])
	return d.phase[i] + d.per[i]*x + slope*x*x/2
}

// place returns the arc length at which the row reaches a phase: the inverse
// of phaseAt, whose pieces are quadratics.
func (d *denticles) place(phase float64) float64 {
	i := 0
	for i < len(d.arc)-2 && phase > d.phase[i+1] {
		i++
	}
	p := phase - d.phase[i]
	slope := (d.per[i+1] - d.per[i]) / (d.arc[i+1] - d.arc[i])
	return d.arc[i] + 2*p/(d.per[i]+math.Sqrt(math.Max(0, d.per[i]*d.per[i]+2*slope*p)))
}

// pitch returns the length of one denticle at arc length s, in mm.
func (d *denticles) pitch(s float64) float64 { return 5 / d.row.density(s/d.length) }

// tip returns the arc length of the tip of denticle i, in mm.
func (d *denticles) tip(i int) float64 { return d.place(float64(i) + 0.5) }

// worn tells whether denticle i is worn away.
func (d *denticles) worn(i int) bool {
	f := d.tip(i) / d.length
	return d.row.WornTo > d.row.WornFrom && f >= d.row.WornFrom && f <= d.row.WornTo
}

// height returns how far denticle i rises over the carina, in mm. The first
// and last two are lower, as rows fade out at their ends.
func (d *denticles) height(i int) float64 {
	if i < 0 || i >= d.count || d.worn(i) {
		return 0
	}
	fade := 1.0
	switch min(i, d.count-1-i) {
	case 0:
		fade = 0.65
	case 1:
		fade = 0.85
	}
	return fade * d.row.relief() * d.pitch(d.tip(i))
}

// lobe is the profile of a denticle over its phase 0 to 1: a rounded lobe that
// meets its neighbours in notches, wide enough to show in a lateral view.
func lobe(f float64) float64 {
	x := math.Abs(2*f - 1)
	if x >= 1 {
		return 0
	}
	return 1 - x*x*math.Sqrt(x)
}

// edge returns the carina from its base to arc length limit, following every
// preserved denticle when asked to.
func (d *denticles) edge(c *carina, limit float64, with bool) []r2.Vec {
	const plainSteps = 400
	var pts []r2.Vec
	plain := func(from, to float64, ends bool) {
		n := max(2, int(plainSteps*(to-from)/c.length))
		for i := 0; i <= n; i++ {
			if i == n && !ends {
				break
			}
			p, _ := c.at(from + (to-from)*float64(i)/float64(n))
			pts = append(pts, p)
		}
	}
	end := func() {
		if limit == c.length {
			pts[len(pts)-1] = c.pts[len(c.pts)-1]
		}
	}
	if !with || d.count == 0 {
		plain(0, limit, true)
		end()
		return pts
	}
	const lobeSteps = 32
	if d.from > 0 {
		plain(0, math.Min(d.from, limit), false)
	}
	for i := 0; i < d.count; i++ {
		if d.place(float64(i+1)) > limit {
			break
		}
		h := d.height(i)
		for j := 0; j < lobeSteps; j++ {
			// Cosine steps crowd the points where the lobe is steep.
			f := (1 - math.Cos(math.Pi*float64(j)/lobeSteps)) / 2
			p, n := c.at(d.place(float64(i) + f))
			pts = append(pts, r2.Add(p, r2.Scale(h*lobe(f), n)))
		}
	}
	done := d.place(float64(d.preserved(limit)))
	plain(math.Min(done, limit), limit, true)
	end()
	return pts
}

// preserved returns how many denticles lie wholly on the carina up to arc
// length limit, worn ones included.
func (d *denticles) preserved(limit float64) int {
	if d.count == 0 {
		return 0
	}
	n := int(math.Floor(d.phaseAt(limit) + 1e-9))
	return min(n, d.count)
}

// window returns the mean number of denticles per 5 mm over an arc of the row.
func (d *denticles) window(from, to float64) float64 {
	return (d.phaseAt(to) - d.phaseAt(from)) / (to - from) * 5
}
