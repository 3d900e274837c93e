package toothphoto

import "math"

// colour is red, green and blue on the encoded scale 0 to 255.
type colour [3]float32

func (c colour) times(k float64) colour {
	f := float32(k)
	return colour{c[0] * f, c[1] * f, c[2] * f}
}

// toward mixes a share w of another colour in.
func (c colour) toward(d colour, w float64) colour {
	f := float32(w)
	return colour{c[0] + (d[0]-c[0])*f, c[1] + (d[1]-c[1])*f, c[2] + (d[2]-c[2])*f}
}

func (c colour) plus(k float64) colour {
	f := float32(k)
	return colour{c[0] + f, c[1] + f, c[2] + f}
}

// tone returns the mean colour of a background.
func (b Background) tone() colour {
	switch b {
	case Sand:
		return colour{176, 156, 124}
	case Card:
		return colour{62, 78, 92}
	case Velvet:
		return colour{30, 29, 34}
	case Paper:
		return colour{226, 223, 214}
	}
	return colour{138, 139, 140}
}

// dark tells whether writing on the background must be light to show.
func (b Background) dark() bool { return b == Card || b == Velvet }

// drift returns a slow variation from -1 to 1 over the picture. It is laid out
// once on a coarse grid, as it hardly changes between neighbouring pixels.
func (s Shot) drift(seed uint32) func(x, y float64) float64 {
	const cells = 96 // over the shorter side
	wide := 0.35 * s.short()
	cell := s.short() / cells
	w, h := int(float64(s.Width)/cell)+3, int(float64(s.Height)/cell)+3
	grid := make([]float32, w*h)
	for j := range h {
		for i := range w {
			grid[j*w+i] = float32(cloud(float64(i)*cell/wide, float64(j)*cell/wide, seed, 3))
		}
	}
	return func(x, y float64) float64 {
		x, y = math.Max(0, x/cell), math.Max(0, y/cell)
		i, j := min(int(x), w-2), min(int(y), h-2)
		fx, fy := float32(x-float64(i)), float32(y-float64(j))
		row := grid[j*w+i:]
		top := row[0] + (row[1]-row[0])*fx
		low := row[w] + (row[w+1]-row[w])*fx
		return float64(top + (low-top)*fy)
	}
}

// ground returns the colour of the background at a pixel position.
func (s Shot) ground(scale float64) func(x, y float64) colour {
	tone := s.Background.tone()
	if s.Flat {
		flat := colour{200, 200, 200}
		return func(x, y float64) colour { return flat }
	}
	seed := uint32(s.Seed)*2654435761 + 17
	light := s.light()
	// The texture lies askew to the pixel grid, with feature sizes in mm but
	// never finer than the pixels can show.
	fine := func(mm, px float64) float64 { return math.Max(mm*scale, px) }
	sin, cos := math.Sincos(0.41 + float64(s.Seed%97)/50)
	mottle := s.drift(seed + 2)
	switch s.Background {
	case Sand:
		g := fine(0.42, 3.2)
		tints := [...]colour{{196, 174, 138}, {181, 160, 126}, {205, 190, 160}, {162, 142, 114}, {150, 116, 88}, {188, 178, 160}, {128, 122, 116}, {214, 204, 184}}
		return func(x, y float64) colour {
			u, v := (cos*x-sin*y)/g, (sin*x+cos*y)/g
			u += 0.18 * grain(u*1.7, v*1.7, seed+5)
			near, next, dx, dy, id := cell(u, v, seed)
			c := tints[id>>29]
			c = c.times(0.86 + 0.24*unit(id*7919))
			// Offsets point from the pixel to the grain's middle.
			px, py := -(cos*dx + sin*dy), -(-sin*dx + cos*dy)
			shade := 0.92 + 0.42*(px*light[0]+py*light[1]) - 0.25*near*near
			if g > 10 { // grains large enough to show their own faces
				shade *= 1 + 0.10*cloud(u*4, v*4, seed+13, 3)
				shade -= 0.5 * math.Max(0, near-0.35)
			}
			gap := step(0.02, 0.2, next-near)
			shade *= 0.58 + 0.42*gap
			shade *= 1 + 0.06*mottle(x, y) + 0.05*grain(u/6, v/6, seed+11)
			glint := step(0.985, 1, unit(id*40503)) * step(0.25, 0.05, near) * 30
			return c.times(shade).plus(glint)
		}
	case Card:
		f := fine(0.12, 2.2)
		return func(x, y float64) colour {
			u, v := (cos*x-sin*y)/f, (sin*x+cos*y)/f
			k := 1 + 0.045*grain(u, v, seed) + 0.035*grain(u/4, v/4, seed+1) + 0.05*mottle(x, y)
			fleck := step(0.86, 0.95, grain(u/1.3, v/1.3, seed+3)) * 9
			return tone.times(k).plus(fleck)
		}
	case Velvet:
		f := fine(0.16, 2.4)
		return func(x, y float64) colour {
			u, v := (cos*x-sin*y)/f, (sin*x+cos*y)/f
			bend := 1.6 * grain(u/9, v/9, seed+4)
			pile := grain(u*1.2+bend, v*0.32, seed)
			nap := mottle(x, y)
			k := 1 + 0.22*pile + 0.32*nap
			lint := step(0.9, 0.97, grain(u/2.2+40, v/1.1, seed+6)) * 10
			return tone.times(k).plus(lint)
		}
	case Paper:
		f := fine(0.1, 2)
		return func(x, y float64) colour {
			u, v := (cos*x-sin*y)/f, (sin*x+cos*y)/f
			k := 1 + 0.012*grain(u, v, seed) + 0.014*grain(u/5, v/5, seed+1) + 0.02*mottle(x, y)
			fibre := step(0.72, 0.9, grain(u/7+2*grain(u/15, v/15, seed+8), v/1.5, seed+3)) * -5
			return tone.times(k).plus(fibre)
		}
	}
	f := fine(0.3, 3)
	return func(x, y float64) colour {
		u, v := (cos*x-sin*y)/f, (sin*x+cos*y)/f
		k := 1 + 0.012*grain(u, v, seed) + 0.02*cloud(u/8, v/8, seed+1, 2) + 0.05*mottle(x, y)
		return tone.times(k)
	}
}
