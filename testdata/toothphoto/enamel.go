package toothphoto

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// side shades one face of a crown and its root. The face is ruled by level
// lines that join the two carinae at equal fractions of their lengths; the
// thickness along a level line follows the section.
type side struct {
	crown  *crown
	cam    *camera
	light  [3]float64
	pal    palette
	seed   uint32
	share  float64 // the part of the crown's width on this face
	ground colour  // light thrown back by the ground
	levels []level
	shot   Shot
	taper  float64 // exponent of the fall in width along the crown
	flat   bool
	// octaves is how many halvings of the enamel's texture the pixels show.
	octaves int
}

// level is one ruling line from the mesial to the distal edge; t is 0 at the
// crown base, 1 at the apex and negative along the root.
type level struct {
	mesial, distal r2.Vec
	t              float64
}

func newSide(c *crown, cam *camera, s Shot) *side {
	const steps, rootSteps = 640, 80
	f := &side{
		crown: c, cam: cam, light: s.light(), pal: c.tooth.palette(),
		seed: uint32(c.tooth.Palette)*2246822519 + 3, shot: s, flat: s.Flat,
		ground: s.Background.tone(),
	}
	f.octaves = 2
	for size := 0.03 * c.tooth.CBL * cam.scale / 2; size > 3 && f.octaves < 6; size /= 2 {
		f.octaves++
	}
	labial, lingual := c.tooth.Section.depths(1)
	f.share = labial
	if s.View == LateralLingual {
		f.share = lingual
		f.seed += 101
	}
	// The width falls as a power of what is left of the way to the apex,
	// through MCW half way up.
	f.taper = math.Log(c.tooth.CBW/math.Max(c.tooth.midWidth(), 0.05*c.tooth.CBW)) / math.Ln2
	f.taper = math.Max(0.15, f.taper)
	deep := math.Max(c.tooth.Root*1.15, math.Abs(c.tooth.Cervix)*c.tooth.CBL*1.4+0.02*c.tooth.CBL)
	for i := rootSteps; i > 0; i-- {
		d := deep * float64(i) / rootSteps
		m, b := c.rootEdge(d)
		f.levels = append(f.levels, level{m, b, -d / c.tooth.CH})
	}
	for i := 0; i <= steps; i++ {
		t := float64(i) / steps
		m, _ := c.mesial.at(t * c.mesial.length)
		d, _ := c.distal.at(t * c.distal.length)
		f.levels = append(f.levels, level{m, d, t})
	}
	return f
}

// rootEdge returns the two edges of the root at depth d below the base.
func (c *crown) rootEdge(d float64) (mesial, distal r2.Vec) {
	down := r2.Vec{X: (c.tooth.CBL/2 - c.apex.X) * 0.35, Y: -c.apex.Y}
	down = r2.Unit(down)
	side := func(ca *carina) r2.Vec {
		t := r2.Scale(-1, ca.tangent(0))
		k := step(0, 0.5*c.tooth.CBL, d)
		dir := r2.Unit(r2.Add(r2.Scale(1-0.6*k, t), r2.Scale(0.6*k+0.4, down)))
		return r2.Add(ca.pts[0], r2.Scale(d, dir))
	}
	mesial, distal = side(&c.mesial), side(&c.distal)
	// The root narrows slowly.
	pinch := 0.10 * d / c.tooth.CBL
	mid := r2.Scale(0.5, r2.Add(mesial, distal))
	mesial = r2.Add(mesial, r2.Scale(pinch, r2.Sub(mid, mesial)))
	distal = r2.Add(distal, r2.Scale(pinch, r2.Sub(mid, distal)))
	return mesial, distal
}

// rootOutline returns the root stub from A down, along its jagged end and up
// to B.
func (c *crown) rootOutline() []r2.Vec {
	t := c.tooth
	rng := newStream(t.Palette, 0x9007)
	var pts []r2.Vec
	const steps = 40
	end := t.Root * rng.between(0.86, 1)
	for i := 0; i <= steps; i++ {
		m, _ := c.rootEdge(end * float64(i) / steps)
		pts = append(pts, m)
	}
	other := t.Root * rng.between(0.82, 1)
	m, _ := c.rootEdge(end)
	_, d := c.rootEdge(other)
	const teeth = 36
	p1, p2, p3 := rng.between(0, 6), rng.between(0, 6), rng.between(0, 6)
	for i := 1; i < teeth; i++ {
		f := float64(i) / teeth
		p := r2.Add(r2.Scale(1-f, m), r2.Scale(f, d))
		wave := 0.5*math.Sin(2.2*math.Pi*f+p1) + 0.3*math.Sin(5.3*math.Pi*f+p2) + 0.16*math.Sin(13*math.Pi*f+p3) + 0.3*(rng.float()-0.5)
		fade := math.Min(1, 6*math.Min(f, 1-f))
		p.Y += 0.13 * t.Root * wave * fade
		pts = append(pts, p)
	}
	for i := steps; i >= 0; i-- {
		_, d := c.rootEdge(other * float64(i) / steps)
		pts = append(pts, d)
	}
	return pts
}

// locate finds the level line through a point of the tooth plane: its t, the
// position u across it (-1 mesial to 1 distal) and the line itself.
func (f *side) locate(p r2.Vec) (t, u float64, m, e r2.Vec, long, rate float64) {
	lo, hi := 0, len(f.levels)-1
	above := func(l *level) float64 {
		return r2.Cross(r2.Sub(l.distal, l.mesial), r2.Sub(p, l.mesial))
	}
	for hi-lo > 1 {
		k := (lo + hi) / 2
		if above(&f.levels[k]) >= 0 {
			lo = k
		} else {
			hi = k
		}
	}
	a, b := &f.levels[lo], &f.levels[hi]
	wa, wb := above(a), above(b)
	w := 0.5
	if wa != wb {
		w = math.Max(0, math.Min(1, wa/(wa-wb)))
	}
	m = r2.Add(r2.Scale(1-w, a.mesial), r2.Scale(w, b.mesial))
	d := r2.Add(r2.Scale(1-w, a.distal), r2.Scale(w, b.distal))
	t = a.t + w*(b.t-a.t)
	across := r2.Sub(d, m)
	long = math.Max(r2.Norm(across), 1e-3*f.crown.tooth.CBL)
	e = r2.Vec{X: 1}
	if n := r2.Norm(across); n > 1e-9 {
		e = r2.Scale(1/n, across)
	}
	v := r2.Dot(r2.Sub(p, m), e) / long
	u = 2*v - 1
	// How fast t changes square to the level line, per mm.
	mv := r2.Add(r2.Scale(1-v, r2.Sub(b.mesial, a.mesial)), r2.Scale(v, r2.Sub(b.distal, a.distal)))
	gap := math.Abs(r2.Cross(e, mv))
	rate = (b.t - a.t) / math.Max(gap, 1e-6)
	return t, u, m, e, long, rate
}

// width returns the labiolingual width at t in mm and its change by t.
func (f *side) width(t float64) (w, by float64) {
	cbw := f.crown.tooth.CBW
	if t <= 0 {
		return cbw * (1 + 0.12*t), 0.12 * cbw
	}
	rest := math.Max(1-t, 0.004)
	w = cbw * math.Pow(rest, f.taper)
	return w, -f.taper * w / math.Max(rest, 0.03)
}

// lit is the light that a surface with slopes (sx, sy) in the picture sends to
// the camera: a diffuse share, a sharp and a broad highlight, and how squarely
// the surface faces the camera.
func (f *side) lit(sx, sy float64) (diffuse, sharp, broad, facing float64) {
	inv := 1 / math.Sqrt(1+sx*sx+sy*sy)
	nx, ny, nz := -sx*inv, -sy*inv, inv
	l := f.light
	diffuse = math.Max(0, nx*l[0]+ny*l[1]+nz*l[2])
	hx, hy, hz := l[0], l[1], l[2]+1
	hn := 1 / math.Sqrt(hx*hx+hy*hy+hz*hz)
	h := math.Max(0, (nx*hx+ny*hy+nz*hz)*hn)
	h2 := h * h
	h4 := h2 * h2
	h8 := h4 * h4
	h16 := h8 * h8
	return diffuse, h16 * h16 * h16, h8, nz
}

// enamel paints the crown at a pixel.
func (f *side) enamel(x, y float64) colour {
	if f.flat {
		return colour{70, 70, 70}
	}
	p := f.cam.mm(x, y)
	tooth := &f.crown.tooth
	t, u, _, e, long, rate := f.locate(p)
	w, dw := f.width(t)
	h, slope := tooth.Section.profile(u, math.Max(long, w), w)
	half := f.share * w
	up := r2.Vec{X: -e.Y, Y: e.X}
	se := half * slope * 2 / long
	su := f.share * dw * h * rate

	// The cutting edge is thin and sharp: the face flattens toward it.
	edge := 1 - math.Abs(u)
	if edge < 0.12 {
		k := 0.55 + 0.45*step(0, 0.12, edge)
		se *= k
		su *= k
	}
	if tooth.Flutes > 0 {
		arg := float64(tooth.Flutes) * math.Pi * (u + 0.05*grain(t*5, 3, f.seed))
		fade := step(-0.02, 0.1, t) * step(0.95, 0.6, t) * step(1, 0.8, math.Abs(u))
		se += 0.22 * fade * math.Cos(arg)
	}

	// Fine unevenness: undulations across the crown and wear scratches.
	cbl := tooth.CBL
	big := 0.3 * cbl
	n1 := cloud(p.X/big, p.Y/big, f.seed, 3)
	n2 := cloud(p.X/big*2.6+9, p.Y/big*2.6, f.seed+21, 4)
	ridge := math.Sin(46*t + 2.4*n1 + 0.8*u*u)
	if tooth.Flutes > 0 {
		ridge *= 0.2
	}
	su += 0.018 * ridge * step(1, 0.7, math.Abs(u))
	// Texture goes down to what the pixels can show, drawn out along the crown.
	ax, ay := u*long/(0.03*cbl), t*f.crown.tooth.CH/(0.05*cbl)
	g1 := cloud(ax, ay, f.seed+31, f.octaves)
	g2 := cloud(ax+57, ay-13, f.seed+32, f.octaves)
	se += 0.065*g1 + 0.06*n2
	su += 0.07*g2 + 0.05*cloud(p.X/big*2.6-31, p.Y/big*2.6, f.seed+22, 2)

	slopes := r2.Add(r2.Scale(se, e), r2.Scale(su, up))

	groove, lobed := 0.0, 0.0
	ml, dl := f.crown.limits()
	for i := 0; i < 2; i++ {
		ca, row, limit := &f.crown.mesial, &f.crown.mesialRow, ml
		v := (1 + u) / 2
		if i == 1 {
			ca, row, limit, v = &f.crown.distal, &f.crown.distalRow, dl, (1-u)/2
		}
		if row.count == 0 || t < -0.02 {
			continue
		}
		s := t * ca.length
		if v*long > 3*row.pitch(s) {
			continue
		}
		add, ao, on := f.denticle(ca, row, limit, s, p)
		if on > 0 {
			slopes = r2.Add(r2.Scale(1-0.6*on, slopes), add)
			groove = math.Max(groove, ao)
			lobed = math.Max(lobed, on)
		}
	}

	px, py := f.cam.turn(slopes.X, slopes.Y)
	diffuse, sharp, broad, facing := f.lit(px, py)

	// Colour: mottled, streaked along the crown, stained in patches.
	streak := cloud(u*5+2*n1, t*1.6, f.seed+41, 3)
	tone := 0.5 + 0.5*n1 + 0.28*streak + 0.16*n2
	c := f.pal.dark.toward(f.pal.light, math.Max(0, math.Min(1, tone)))
	stain := step(0.15, 0.6, cloud(p.X/big*1.3+40, p.Y/big*1.3-17, f.seed+51, 4))
	c = c.toward(f.pal.stain, 0.5*stain)
	c = c.times(1 + 0.09*g1 + 0.05*g2)
	// Fine dark specks of mineral, and pale scratches.
	speck := step(0.55, 0.9, cloud(p.X/(0.024*cbl), p.Y/(0.024*cbl), f.seed+61, 4)+0.35*n2-0.1)
	c = c.times(1 - 0.22*speck)
	// The finest grain, a few pixels wide whatever the magnification.
	dust := cloud(x/7, y/7, f.seed+62, 2)
	c = c.times(1 + 0.035*dust)
	// Thin enamel at the edges and the tip lets light through.
	c = c.toward(f.pal.light, 0.18*step(0.25, 0, edge)+0.15*step(0.85, 1, t))
	// A darker band where enamel thins out over the root.
	c = c.times(1 - 0.16*step(0.05, 0, t)*(0.7+0.3*n2))
	c = c.toward(f.pal.light.plus(14), 0.28*lobed)

	c = c.times(0.50 + 0.66*diffuse)
	c = c.times(1 - 0.52*groove)
	rim := 1 - facing
	rim = rim * rim * rim
	c = c.toward(f.ground.times(0.75), 0.28*rim)
	shine := 24*broad*broad*(0.75+0.4*n2) + 64*sharp*(0.5+0.8*math.Max(0, 0.5+n1))
	shine *= 1 - 0.6*stain
	c = c.plus(shine * (1 - 0.5*groove))
	return f.faded(c)
}

// denticle returns the slopes of a denticle row near a point, the darkness of
// its grooves and how far the row shapes the surface there.
func (f *side) denticle(ca *carina, row *denticles, limit, s float64, p r2.Vec) (slopes r2.Vec, groove, on float64) {
	var foot, n, along r2.Vec
	sign := 1.0
	if ca == &f.crown.distal {
		sign = -1
	}
	for i := 0; i < 3; i++ {
		foot, n = ca.at(s)
		along = r2.Vec{X: sign * n.Y, Y: -sign * n.X}
		s += r2.Dot(r2.Sub(p, foot), along)
	}
	pitch := row.pitch(s)
	in := -r2.Dot(r2.Sub(p, foot), n)
	if in > 2.2*pitch || s < row.from || s > row.to || s > limit {
		return slopes, 0, 0
	}
	phase := row.phaseAt(s)
	i := int(phase)
	h := row.height(i)
	if h == 0 || i >= row.preserved(limit) {
		return slopes, 0, 0
	}
	fade := step(2.5, 5, pitch*f.cam.scale) // too small to show
	x := 2*(phase-float64(i)) - 1
	reach := 1 - step(0.55, 1.9, in/pitch)
	depth := in + h*lobe((x+1)/2) // below the rim of the lobe
	ax := math.Abs(x)
	// Across the row each lobe is a low arch; toward its rim it rounds off.
	arch := -2.6 * x * ax * ax * reach * 0.5
	round := 0.0
	if d := depth / (0.5 * pitch); d < 1 {
		round = 1.15 * (1 - d) * (1 - d)
	}
	slopes = r2.Add(r2.Scale(arch, along), r2.Scale(-round, n))
	g := (1 - ax) / 0.2
	groove = math.Exp(-g*g) * reach
	return r2.Scale(fade, slopes), groove * fade, reach * fade
}

// root paints the root at a pixel: matte, grained along its length, pitted.
func (f *side) root(x, y float64) colour {
	if f.flat {
		return colour{70, 70, 70}
	}
	p := f.cam.mm(x, y)
	tooth := &f.crown.tooth
	t, u, _, e, long, _ := f.locate(p)
	w, _ := f.width(t)
	_, slope := tooth.Section.profile(u, math.Max(long, w), w)
	se := 0.8 * f.share * w * slope * 2 / long
	up := r2.Vec{X: -e.Y, Y: e.X}
	coarse := 0.09 * tooth.CBL
	along := cloud(u*9+0.3*grain(t*20, u*3, f.seed+70), t*tooth.CH/coarse*0.22, f.seed+71, 5)
	lump := cloud(p.X/coarse, p.Y/coarse, f.seed+72, 3)
	fine := math.Max(0.02*tooth.CBL, 3/f.cam.scale)
	g1 := grain(p.X/fine, p.Y/fine, f.seed+73)
	// Pits of all sizes, most of them small, drawn out along the root.
	near, _, dx, dy, id := cell(p.X/(coarse*0.5)+0.4*lump, p.Y/(coarse*0.9), f.seed+74)
	size := 0.5 * math.Pow(unit(id*2654435761), 3)
	pit := step(size, size*0.3, near) * step(0.04, 0.1, size)
	se += 0.24*along + 0.10*g1 + 0.8*pit*dx
	su := 0.16*lump + 0.05*g1 + 0.8*pit*dy
	slopes := r2.Add(r2.Scale(se, e), r2.Scale(su, up))
	px, py := f.cam.turn(slopes.X, slopes.Y)
	diffuse, _, _, facing := f.lit(px, py)
	dust := cloud(x/6, y/6, f.seed+76, 2)
	c := f.pal.root.times(0.95 + 0.18*along + 0.15*lump + 0.05*g1 + 0.05*dust)
	c = c.toward(f.pal.stain, 0.35*step(0.1, 0.7, cloud(p.X/coarse*0.4+5, p.Y/coarse*0.4, f.seed+75, 3)))
	c = c.times(1 - 0.22*pit)
	c = c.times(0.46 + 0.68*diffuse)
	rim := 1 - facing
	c = c.toward(f.ground.times(0.7), 0.22*rim*rim*rim)
	return f.faded(c)
}

// faded applies the shot's loss of contrast.
func (f *side) faded(c colour) colour {
	if f.shot.LowContrast > 0 {
		c = c.toward(f.ground, 0.8*f.shot.LowContrast)
	}
	return c
}

// broken paints the fracture surface of a broken apex.
func (f *side) broken(x, y float64) colour {
	if f.flat {
		return colour{70, 70, 70}
	}
	p := f.cam.mm(x, y)
	k := 0.05 * f.crown.tooth.CBL
	n := cloud(p.X/k, p.Y/k, f.seed+81, 4)
	m := cloud(p.X/k+30, p.Y/k, f.seed+82, 3)
	diffuse, _, _, _ := f.lit(0.5*n, 0.4*m-0.3)
	c := f.pal.dentine.times(0.95 + 0.1*m)
	return f.faded(c.times(0.46 + 0.62*diffuse))
}

// cracks returns thin bands, in px, along which the crown is cracked.
func (f *side) cracks(count int) [][]r2.Vec {
	rng := newStream(f.crown.tooth.Palette*31+uint64(f.seed), 0xc4ac)
	var bands [][]r2.Vec
	for i := 0; i < count; i++ {
		u, t := rng.between(-0.75, 0.75), rng.between(0, 0.5)
		long := rng.between(0.15, 0.55)
		const steps = 260
		var line []r2.Vec
		way := f.seed + uint32(i)*97
		lean := rng.between(-0.25, 0.25)
		for j := 0; j <= steps; j++ {
			tt := t + long*float64(j)/steps
			if tt > 0.95 {
				break
			}
			x := tt * f.crown.tooth.CH / f.crown.tooth.CBL
			uu := u + lean*(tt-t) + 0.10*grain(x*4, 0.5, way) + 0.05*grain(x*11, 0.5, way+1) +
				0.022*grain(x*31, 0.5, way+2) + 0.012*grain(x*90, 0.5, way+3)
			uu = math.Max(-0.9, math.Min(0.9, uu))
			m, _ := f.crown.mesial.at(tt * f.crown.mesial.length)
			d, _ := f.crown.distal.at(tt * f.crown.distal.length)
			v := (1 + uu) / 2
			line = append(line, f.cam.px(r2.Add(r2.Scale(1-v, m), r2.Scale(v, d))))
		}
		if len(line) < 4 {
			continue
		}
		thick := math.Max(0.9, f.cam.scale*f.crown.tooth.CBL*rng.between(0.0010, 0.0024))
		bands = append(bands, stroke(line, func(j int) float64 {
			x := float64(j) / float64(len(line)-1)
			return thick * math.Sqrt(math.Max(0, math.Sin(math.Pi*x))) * (0.7 + 0.5*unit(mix(int32(j), int32(i), f.seed)))
		}))
	}
	return bands
}
