package toothphoto

import (
	"fmt"
	"image"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r2"
)

// layer is one shape of the picture: where it is and how it is painted. share
// thins it out, 1 being opaque.
type layer struct {
	mask  *mask
	share float32
	paint func(x, y float64) colour
}

// scene is everything in a picture, the ground first.
type scene struct {
	shot   Shot
	ground func(x, y float64) colour
	shadow *shadows
	layers []layer
	glare  func(x, y float64) float64
}

// Render draws the photograph of a tooth and returns it with the truth behind
// it. Pixel, millimetre and measurement conventions are those of the package
// comment.
//
// It returns an error, and no picture, when the tooth cannot be laid out
// (lengths that form no triangle, bows without an apex angle, bad rows), when
// the shot is malformed, or when the crown, the section or the scale bar does
// not fit into the picture; close-ups may cut the crown.
func Render(t Tooth, s Shot) (*image.RGBA, Truth, error) {
	sc, truth, err := compose(t, s)
	if err != nil {
		return nil, Truth{}, err
	}
	return sc.develop(), truth, nil
}

// Measure returns the true values of a tooth without a picture, with the
// errors of Render that concern the tooth.
func Measure(t Tooth) (Measurements, error) {
	c, err := newCrown(t)
	if err != nil {
		return Measurements{}, err
	}
	return c.measure()
}

// compose lays out the scene and its truth.
func compose(t Tooth, s Shot) (*scene, Truth, error) {
	if err := s.check(); err != nil {
		return nil, Truth{}, err
	}
	c, err := newCrown(t)
	if err != nil {
		return nil, Truth{}, err
	}
	m, err := c.measure()
	if err != nil {
		return nil, Truth{}, err
	}
	truth := Truth{
		Name: t.Name, View: s.View, Width: s.Width, Height: s.Height,
		Rotation: s.Rotation, Mirrored: s.Mirrored != (s.View == LateralLingual), Tilt: s.Tilt,
		Measurements: m,
	}
	sc := &scene{shot: s}
	var cam *camera
	if s.View.Section() {
		cam, err = sc.section(c, m, &truth)
	} else {
		cam, err = sc.lateral(c, &truth)
	}
	if err != nil {
		return nil, Truth{}, err
	}
	truth.PxPerMM = cam.scale
	sc.ground = s.ground(cam.scale)
	if err := sc.cards(cam, &truth); err != nil {
		return nil, Truth{}, err
	}
	return sc, truth, nil
}

// lateral lays the crown on its side, whole or in a close-up.
func (sc *scene) lateral(c *crown, truth *Truth) (*camera, error) {
	s := sc.shot
	walk, apex := c.path(true)
	plain, plainApex := c.path(false)
	cervix := c.cervix(64)
	var root []r2.Vec
	if c.tooth.Root > 0 {
		root = c.rootOutline()
	}
	whole := append(append([]r2.Vec{}, walk...), cervix...)
	whole = append(whole, root...)
	var cam *camera
	var err error
	if s.View.CloseUp() {
		cam, err = closeUp(c, s)
	} else {
		cam, err = look(s, whole, 0.68)
	}
	if err != nil {
		return nil, err
	}
	if !s.View.CloseUp() && !s.inside(cam.all(whole)) {
		return nil, fmt.Errorf("toothphoto: the crown does not fit into the picture at %.1f px per mm", cam.scale)
	}

	truth.Outline, truth.Apex = cam.all(walk), apex
	truth.PlainOutline, truth.PlainApex = cam.all(plain), plainApex
	truth.Cervix = cam.all(cervix)
	show := func(p r2.Vec) *r2.Vec {
		q := cam.px(p)
		if !s.inside([]r2.Vec{q}) {
			return nil
		}
		return &q
	}
	truth.A, truth.B = show(r2.Vec{}), show(r2.Vec{X: c.tooth.CBL})
	truth.G, truth.IntactG = show(c.preservedApex()), show(c.apex)
	ml, dl := c.limits()
	if s.View != DistalCarina {
		truth.Mesial = c.mesialRow.seen(&c.mesial, ml, cam, s)
	}
	if s.View != MesialCarina {
		truth.Distal = c.distalRow.seen(&c.distal, dl, cam, s)
	}

	face := newSide(c, cam, s)
	enamel := append(append([]r2.Vec{}, truth.Outline...), truth.Cervix[1:len(truth.Cervix)-1]...)
	silhouette := enamel
	if root != nil {
		// The root runs on under the enamel so that no gap opens between them.
		edge := cam.all(root)
		under := cam.px(r2.Vec{X: c.tooth.CBL / 2, Y: 0.12 * c.tooth.CH})
		sc.add(fill(s.Width, s.Height, append(append([]r2.Vec{}, edge...), under)), 1, face.root)
		silhouette = append(append([]r2.Vec{}, truth.Outline...), reversed(edge[1:len(edge)-1])...)
	}
	crownMask := fill(s.Width, s.Height, enamel)
	sc.add(crownMask, 1, face.enamel)
	if c.breakLine != nil {
		sc.add(within(fill(s.Width, s.Height, cam.all(c.fracture())), crownMask), 1, face.broken)
	}
	if !s.Flat {
		for _, band := range face.cracks(s.Cracks) {
			// The far lip of a crack catches the light.
			l := s.light()
			lip := make([]r2.Vec, len(band))
			for i, p := range band {
				lip[i] = r2.Sub(p, r2.Vec{X: 1.1 * l[0], Y: 1.1 * l[1]})
			}
			sc.add(within(fill(s.Width, s.Height, lip), crownMask), 0.22, func(x, y float64) colour { return face.pal.light.plus(30) })
			m := within(fill(s.Width, s.Height, band), crownMask)
			sc.add(m, 0.75, func(x, y float64) colour { return face.pal.dark.times(0.3) })
		}
	}
	sc.castFrom(silhouette, cam.scale*c.tooth.CBW)
	if s.Glare > 0 && !s.Flat {
		sc.glare = hotSpot(crownMask, cam, c, s)
	}
	return cam, nil
}

// closeUp builds the camera that magnifies a carina.
func closeUp(c *crown, s Shot) (*camera, error) {
	ca, row, out := &c.mesial, &c.mesialRow, 0.12
	limit, other := c.limits()
	if s.View == DistalCarina {
		ca, row, limit = &c.distal, &c.distalRow, other
	}
	at := s.CarinaAt
	if at == 0 {
		at = 0.5
	}
	if s.PxPerMM == 0 {
		s.PxPerMM = s.short() / (0.28 * c.tooth.CBL)
		if row.count > 0 {
			// Denticles some 28 px long are plain to see and many still show.
			s.PxPerMM = 28 / row.pitch(at*ca.length)
		}
	}
	p, n := ca.at(math.Min(at*ca.length, limit))
	// The carina lies off the middle, so that more of the crown shows.
	p = r2.Sub(p, r2.Scale(out*s.short()/s.PxPerMM, n))
	return look(s, []r2.Vec{p}, 1)
}

// fracture returns the broken surface at the apex, in mm.
func (c *crown) fracture() []r2.Vec {
	rng := newStream(c.tooth.Palette, 0xf4ac)
	pts := append([]r2.Vec{}, c.breakLine...)
	span := r2.Norm(r2.Sub(pts[len(pts)-1], pts[0]))
	for i := len(c.breakLine) - 1; i > 0; i -= 2 {
		f := float64(i) / float64(len(c.breakLine)-1)
		p := c.breakLine[i]
		p.Y -= span * (0.22*math.Sin(math.Pi*f) + 0.06*rng.float()*math.Sin(math.Pi*f))
		pts = append(pts, p)
	}
	return pts
}

// section lays out a section seen along the crown.
func (sc *scene) section(c *crown, m Measurements, truth *Truth) (*camera, error) {
	s := sc.shot
	length, width, from := m.CBL, m.CBW, 0.0
	if s.View == MidSection {
		length, width, from = m.MCL, m.MCW, c.apex.Y/2
	}
	const points = 1440
	outline, err := c.tooth.Section.Outline(length, width, points)
	if err != nil {
		return nil, err
	}
	beyond := c.shade(from)
	cam, err := look(s, append(append([]r2.Vec{}, outline...), beyond...), 0.5)
	if err != nil {
		return nil, err
	}
	truth.Section = cam.all(outline)
	if !s.inside(truth.Section) {
		return nil, fmt.Errorf("toothphoto: the section does not fit into the picture at %.1f px per mm", cam.scale)
	}
	ends := [4]r2.Vec{truth.Section[0], truth.Section[points/2], truth.Section[points/4], truth.Section[3*points/4]}
	truth.MesialEnd, truth.DistalEnd, truth.LabialMost, truth.LingualMost = &ends[0], &ends[1], &ends[2], &ends[3]

	k := newCut(c, cam, s, length, width, outline)
	shade := cam.all(beyond)
	if !s.Flat {
		sc.add(fill(s.Width, s.Height, shade), 1, k.behind)
	}
	face := fill(s.Width, s.Height, truth.Section)
	sc.add(face, 1, k.paint)
	if !s.Flat {
		for _, band := range k.cracks(s.Cracks) {
			sc.add(within(fill(s.Width, s.Height, band), face), 0.6, func(x, y float64) colour { return k.pal.dark.times(0.4) })
		}
	}
	sc.castFrom(truth.Section, cam.scale*width*1.3)
	return cam, nil
}

// cards adds the scale bar and the label.
func (sc *scene) cards(cam *camera, truth *Truth) error {
	s := sc.shot
	lay := func(f flat) {
		if f.card != nil {
			seed := uint32(s.Seed) + 77
			sc.add(fill(s.Width, s.Height, f.card), 1, func(x, y float64) colour {
				if s.Flat {
					return f.base
				}
				return f.base.times(0.965 + 0.02*grain(x/3, y/3, seed) + 0.03*cloud(x/90, y/90, seed, 2))
			})
			if sc.shadow != nil {
				soft := math.Max(1.2, 0.004*s.short())
				l := s.light()
				sc.shadow.cast(f.card, -l[0]*soft*1.6, -l[1]*soft*1.6, math.Max(soft, sc.shadow.cell*0.9), 0.5)
			}
		}
		if f.ink != nil {
			sc.add(fill(s.Width, s.Height, f.ink...), 1, func(x, y float64) colour { return f.pen })
		}
	}
	if s.Bar.Length > 0 {
		f, bar, err := s.scaleBar(cam.scale)
		if err != nil {
			return err
		}
		truth.Bar = bar
		lay(f)
	}
	if s.Label.Text != "" {
		f, err := s.label()
		if err != nil {
			return err
		}
		lay(f)
	}
	return nil
}

// castFrom adds the soft shadow and the contact shadow of the tooth, whose
// thickness is given in px.
func (sc *scene) castFrom(shape []r2.Vec, thick float64) {
	s := sc.shot
	strength := s.Shadow
	if strength == 0 {
		strength = 1
	}
	if strength < 0 || s.Flat {
		return
	}
	contact := math.Max(1.5, 0.05*thick)
	sc.shadow = newShadows(s.Width, s.Height, contact)
	l := s.light()
	reach := math.Min(0.2*thick, 0.08*s.short())
	soft := math.Max(contact, math.Min(0.16*thick, 0.06*s.short()))
	sc.shadow.cast(shape, -l[0]*reach, -l[1]*reach, soft, math.Min(0.85, 0.46*strength))
	sc.shadow.cast(shape, -l[0]*contact, -l[1]*contact, contact, math.Min(0.9, 0.28*strength))
}

func (sc *scene) add(m *mask, share float32, paint func(x, y float64) colour) {
	if !m.Rect.Empty() {
		sc.layers = append(sc.layers, layer{mask: m, share: share, paint: paint})
	}
}

// hotSpot returns the glare over a crown: a bright streak along its middle.
func hotSpot(m *mask, cam *camera, c *crown, s Shot) func(x, y float64) float64 {
	l := s.light()
	t := 0.42
	a, _ := c.mesial.at(t * c.mesial.length)
	b, _ := c.distal.at(t * c.distal.length)
	mid := cam.px(r2.Scale(0.5, r2.Add(a, b)))
	wide := r2.Norm(r2.Sub(b, a)) * cam.scale
	mid = r2.Add(mid, r2.Scale(0.3*wide, r2.Vec{X: l[0], Y: l[1]}))
	ax, ay := cam.turn(r2.Unit(c.apex).X, r2.Unit(c.apex).Y)
	seed := uint32(s.Seed) + 91
	return func(x, y float64) float64 {
		dx, dy := x-mid.X, y-mid.Y
		along, across := (dx*ax+dy*ay)/wide, (dy*ax-dx*ay)/wide
		across += 0.03 * grain(along*6, 0, seed)
		d := along*along/0.42 + across*across/0.022
		if d > 12 {
			return 0
		}
		cover := float64(m.at(int(x), int(y)))
		return cover * s.Glare * 240 * math.Exp(-d) * (1 + 0.25*grain(x/(0.05*wide), y/(0.05*wide), seed+1))
	}
}

// within keeps the part of a mask that another one covers.
func within(m, by *mask) *mask {
	for y := m.Rect.Min.Y; y < m.Rect.Max.Y; y++ {
		for x := m.Rect.Min.X; x < m.Rect.Max.X; x++ {
			i := m.PixOffset(x, y)
			m.Pix[i] = uint8(float32(m.Pix[i])*by.at(x, y) + 0.5)
		}
	}
	return m
}

func reversed(pts []r2.Vec) []r2.Vec {
	out := make([]r2.Vec, len(pts))
	for i, p := range pts {
		out[len(pts)-1-i] = p
	}
	return out
}

// bandRows is how many rows one worker develops at a time: enough that the
// rows repeated for the blur cost little, few enough to share the work evenly.
const bandRows = 64

// develop evaluates the scene: every pixel, then blur, then noise. Bands of
// rows are shared by as many workers as the program may use; each pixel
// depends on its place alone, so the picture does not depend on their number.
func (sc *scene) develop() *image.RGBA {
	s := sc.shot
	img := image.NewRGBA(image.Rect(0, 0, s.Width, s.Height))
	bands := (s.Height + bandRows - 1) / bandRows
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), bands) {
		wg.Go(func() {
			var d darkroom
			for {
				b := int(next.Add(1)) - 1
				if b >= bands {
					return
				}
				d.band(sc, img, b*bandRows, min((b+1)*bandRows, s.Height))
			}
		})
	}
	wg.Wait()
	return img
}

// darkroom is one worker's buffers.
type darkroom struct {
	raw, level []float32
	rows       []layer
}

// band develops rows y0 up to y1.
func (d *darkroom) band(sc *scene, img *image.RGBA, y0, y1 int) {
	s := sc.shot
	kernel := gaussian(s.Blur)
	halo := len(kernel) - 1
	top, end := max(0, y0-halo), min(s.Height, y1+halo)
	stride := 3 * s.Width
	need := (end - top) * stride
	if cap(d.raw) < need {
		d.raw, d.level = make([]float32, need), make([]float32, need)
	}
	d.raw, d.level = d.raw[:need], d.level[:need]
	for y := top; y < end; y++ {
		d.expose(sc, y, d.raw[(y-top)*stride:(y-top+1)*stride])
	}
	// Blur along rows, then along columns.
	if halo > 0 {
		for r := 0; r < end-top; r++ {
			in, out := d.raw[r*stride:(r+1)*stride], d.level[r*stride:(r+1)*stride]
			for x := 0; x < s.Width; x++ {
				for c := 0; c < 3; c++ {
					sum := kernel[0] * in[3*x+c]
					if x >= halo && x < s.Width-halo {
						for k := 1; k <= halo; k++ {
							sum += kernel[k] * (in[3*(x-k)+c] + in[3*(x+k)+c])
						}
					} else {
						for k := 1; k <= halo; k++ {
							sum += kernel[k] * (in[3*max(x-k, 0)+c] + in[3*min(x+k, s.Width-1)+c])
						}
					}
					out[3*x+c] = sum
				}
			}
		}
	} else {
		d.level, d.raw = d.raw, d.level
	}
	line := make([]float32, stride)
	noise := float32(s.Noise)
	seed := s.Seed*0x2545f4914f6cdd1d + 29
	for y := y0; y < y1; y++ {
		src := d.level[(y-top)*stride : (y-top+1)*stride]
		for i, v := range src {
			line[i] = kernel[0] * v
		}
		for k := 1; k <= halo; k++ {
			a := d.level[(max(y-k, top)-top)*stride:]
			b := d.level[(min(y+k, end-1)-top)*stride:]
			w := kernel[k]
			for i := range line {
				line[i] += w * (a[i] + b[i])
			}
		}
		pix := img.Pix[y*img.Stride:]
		for x := 0; x < s.Width; x++ {
			var r, g, b float32
			if noise > 0 {
				r, g, b = sensor(x, y, seed)
			}
			pix[4*x] = level8(line[3*x] + noise*r)
			pix[4*x+1] = level8(line[3*x+1] + noise*g)
			pix[4*x+2] = level8(line[3*x+2] + noise*b)
			pix[4*x+3] = 255
		}
	}
}

// level8 rounds a value to a level from 0 to 255.
func level8(v float32) uint8 { return uint8(max(0, min(255, v+0.5))) }

// expose evaluates one row of the scene before blur and noise.
func (d *darkroom) expose(sc *scene, y int, out []float32) {
	s := sc.shot
	d.rows = d.rows[:0]
	for _, l := range sc.layers {
		if y >= l.mask.Rect.Min.Y && y < l.mask.Rect.Max.Y {
			d.rows = append(d.rows, l)
		}
	}
	w, h := float64(s.Width), float64(s.Height)
	light := s.light()
	for x := 0; x < s.Width; x++ {
		fx, fy := float64(x)+0.5, float64(y)+0.5
		// Whatever lies under an opaque layer is not painted.
		first := len(d.rows) - 1
		for ; first >= 0; first-- {
			if d.rows[first].share == 1 && d.rows[first].mask.at(x, y) == 1 {
				break
			}
		}
		var c colour
		if first < 0 {
			c = sc.ground(fx, fy)
			if sc.shadow != nil {
				c = c.times(1 - sc.shadow.at(fx, fy))
			}
			first = 0
		}
		for _, l := range d.rows[first:] {
			if a := l.mask.at(x, y) * l.share; a > 0 {
				c = c.toward(l.paint(fx, fy), float64(a))
			}
		}
		if !s.Flat {
			if sc.glare != nil {
				if g := sc.glare(fx, fy); g > 0 {
					c = c.plus(g)
				}
			}
			// The light falls off across the table and toward the corners.
			dx, dy := (fx-w/2)/w, (fy-h/2)/h
			k := 1.02 + 0.10*(dx*light[0]+dy*light[1]) - 0.16*(dx*dx+dy*dy)
			c = c.times(k)
		}
		out[3*x], out[3*x+1], out[3*x+2] = c[0], c[1], c[2]
	}
}
