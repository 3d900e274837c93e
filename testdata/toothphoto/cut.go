package toothphoto

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// cut shades a section of the crown seen along the crown's axis: a ring of
// enamel around dentine around the pulp cavity.
type cut struct {
	crown   *crown
	cam     *camera
	shot    Shot
	light   [3]float64
	pal     palette
	seed    uint32
	ground  colour
	length  float64 // mm
	width   float64
	pulp    float64 // size of the pulp cavity, as a share of the section
	outline []r2.Vec
	flat    bool
}

func newCut(c *crown, cam *camera, s Shot, length, width float64, outline []r2.Vec) *cut {
	k := &cut{
		crown: c, cam: cam, shot: s, light: s.light(), pal: c.tooth.palette(),
		seed: uint32(c.tooth.Palette)*2246822519 + 7, ground: s.Background.tone(),
		length: length, width: width, pulp: 0.42, outline: outline, flat: s.Flat,
	}
	if s.View == MidSection {
		k.seed += 57
		k.pulp = 0.24
	}
	return k
}

// radius returns where a point lies between the middle (0) and the edge (1) of
// the section, and about how far it is from the edge in mm.
func (k *cut) radius(p r2.Vec) (rho, depth float64) {
	s := k.crown.tooth.Section
	labial, lingual := s.depths(k.width)
	x := p.X - k.length/2
	y := p.Y
	if s.Shape == Lens {
		r, _ := lensArc(k.length, k.width)
		off := r - k.width/2
		d1 := r - math.Hypot(x, y+off)
		d2 := r - math.Hypot(x, y-off)
		depth = math.Min(d1, d2)
		return 1 - depth/(k.width/2), depth
	}
	n := s.exponent()
	a, b := k.length/2, labial
	if y < 0 {
		b = lingual
	}
	gx, gy := math.Pow(math.Abs(x)/a, n), math.Pow(math.Abs(y)/b, n)
	sum := gx + gy
	if sum == 0 {
		return 0, math.Min(a, b)
	}
	rho = math.Pow(sum, 1/n)
	// First-order distance: the level function over its gradient.
	dx := gx / math.Max(math.Abs(x), 1e-9)
	dy := gy / math.Max(math.Abs(y), 1e-9)
	grad := math.Hypot(dx, dy) * math.Pow(sum, 1/n-1)
	return rho, (1 - rho) / math.Max(grad, 1e-9)
}

func (k *cut) paint(x, y float64) colour {
	if k.flat {
		return colour{70, 70, 70}
	}
	p := k.cam.mm(x, y)
	unit := 0.1 * k.length
	rho, depth := k.radius(p)
	n := cloud(p.X/unit, p.Y/unit, k.seed, 5)
	m := cloud(p.X/unit+20, p.Y/unit-9, k.seed+1, 4)
	fine := math.Max(0.015*k.length, 2.6/k.cam.scale)
	g := grain(p.X/fine, p.Y/fine, k.seed+2)
	g2 := grain(p.X/fine+31, p.Y/fine, k.seed+3)
	sx, sy := 0.26*n+0.12*g, 0.26*m+0.12*g2

	ring := 0.016*k.length + 0.08
	ring *= 1 + 0.25*cloud(p.X/(3*unit), p.Y/(3*unit), k.seed+8, 2)
	blurred := math.Max(0.06*ring, 0.8/k.cam.scale)
	enamel := 1 - step(ring-blurred, ring+blurred, depth+0.08*ring*m)
	// Growth lines run round the section.
	lines := math.Sin(depth/k.length*210 + 1.2*n)
	dust := cloud(x/6, y/6, k.seed+9, 2)
	c := k.pal.dentine.times(0.97 + 0.13*n + 0.05*g + 0.03*lines + 0.05*dust)
	// Dentine darkens under the enamel.
	c = c.toward(k.pal.stain, 0.25*step(4*ring, ring, depth))
	c = c.toward(k.pal.stain, 0.30*step(0.2, 0.8, cloud(p.X/unit*0.6, p.Y/unit*0.6, k.seed+4, 3)))

	edge := k.pulp * (1 + 0.22*n + 0.12*m)
	inside := step(edge+0.03, edge-0.03, rho)
	rough := cloud(p.X/unit*2.4, p.Y/unit*2.4, k.seed+5, 4)
	c = c.toward(k.pal.matrix.times(0.86+0.3*rough+0.08*dust), inside)
	hole := inside * step(0.35, 0.75, cloud(p.X/unit*1.1+7, p.Y/unit*1.1, k.seed+6, 3))
	c = c.times(1 - 0.55*hole)
	// The cavity's wall: shaded on the side away from the light.
	wall := math.Exp(-math.Pow((rho-edge)/0.05, 2))
	cx, cy := k.cam.turn(p.X-k.length/2, (p.Y)*k.length/k.width)
	if r := math.Hypot(cx, cy); r > 0 {
		sx += 0.9 * wall * -cx / r
		sy += 0.9 * wall * -cy / r
		// Enamel breaks off in a low bevel.
		sx += 0.5 * enamel * cx / r
		sy += 0.5 * enamel * cy / r
	}
	c = c.toward(k.pal.dark.toward(k.pal.light, 0.35+0.3*n), enamel)
	f := side{light: k.light}
	diffuse, _, broad, _ := f.lit(sx, sy)
	c = c.times(0.52 + 0.64*diffuse).plus(10 * broad * enamel)
	if k.shot.LowContrast > 0 {
		c = c.toward(k.ground, 0.8*k.shot.LowContrast)
	}
	return c
}

// behind paints the crown that stands beyond the section, in its shade.
func (k *cut) behind(x, y float64) colour {
	if k.flat {
		return colour{70, 70, 70}
	}
	p := k.cam.mm(x, y)
	unit := 0.2 * k.length
	n := cloud(p.X/unit, p.Y/unit, k.seed+11, 3)
	c := k.pal.dark.toward(k.pal.light, 0.35+0.3*n)
	return c.times(0.52)
}

// shade returns the outline, in mm of the section plane, of the part of the
// crown above height from that shows beyond the section: what the crown covers
// when seen along its height.
func (c *crown) shade(from float64) []r2.Vec {
	t := c.tooth
	const levels, bins = 300, 160
	ms, first := c.mesial.crossing(from)
	ds, _ := c.distal.crossing(from)
	ml, dl := c.limits()
	type span struct{ mid, half, labial, lingual float64 }
	var spans []span
	exp := math.Max(0.15, math.Log(t.CBW/t.midWidth())/math.Ln2)
	for i := 0; i <= levels; i++ {
		f := float64(i) / levels
		m, _ := c.mesial.at(ms + f*(ml-ms))
		d, _ := c.distal.at(ds + f*(dl-ds))
		along := math.Max(0, 1-(m.Y+d.Y)/2/c.apex.Y)
		w := t.CBW * math.Pow(along, exp)
		la, li := t.Section.depths(w)
		spans = append(spans, span{(m.X + d.X) / 2, math.Abs(d.X-m.X) / 2, la, li})
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range spans {
		lo, hi = math.Min(lo, s.mid-s.half), math.Max(hi, s.mid+s.half)
	}
	var upper, lower []r2.Vec
	for i := 0; i <= bins; i++ {
		x := lo + (hi-lo)*float64(i)/bins
		var la, li float64
		for _, s := range spans {
			if s.half <= 0 || s.labial+s.lingual <= 0 {
				continue // the very tip
			}
			h, _ := t.Section.profile((x-s.mid)/s.half, 2*s.half, math.Min(s.labial+s.lingual, 2*s.half))
			la, li = math.Max(la, h*s.labial), math.Max(li, h*s.lingual)
		}
		upper = append(upper, r2.Vec{X: x - first.X, Y: la})
		lower = append(lower, r2.Vec{X: x - first.X, Y: -li})
	}
	sort.SliceStable(lower, func(i, j int) bool { return lower[i].X > lower[j].X })
	return append(upper, lower...)
}

// cracks returns thin bands, in px, that run in from the edge.
func (k *cut) cracks(count int) [][]r2.Vec {
	rng := newStream(k.crown.tooth.Palette*37+uint64(k.seed), 0xc4ad)
	mid := r2.Vec{X: k.length / 2}
	var bands [][]r2.Vec
	for i := 0; i < count; i++ {
		from := k.outline[int(rng.float()*float64(len(k.outline)))]
		reach := rng.between(0.3, 0.6)
		const steps = 40
		var line []r2.Vec
		drift := r2.Vec{}
		for j := 0; j <= steps; j++ {
			f := reach * float64(j) / steps
			drift = r2.Add(drift, r2.Vec{X: rng.between(-1, 1) * 0.012 * k.length, Y: rng.between(-1, 1) * 0.008 * k.length})
			p := r2.Add(r2.Scale(1-f, from), r2.Scale(f, mid))
			line = append(line, k.cam.px(r2.Add(p, r2.Scale(math.Min(1, 10*f), drift))))
		}
		thick := math.Max(0.9, k.cam.scale*k.length*0.004)
		bands = append(bands, stroke(line, func(j int) float64 {
			return thick * math.Sqrt(1-float64(j)/float64(steps+1))
		}))
	}
	return bands
}
