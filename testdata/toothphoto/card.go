package toothphoto

import (
	"fmt"
	"math"
	"strconv"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/gonum/spatial/r2"
)

// The two type faces, parsed once.
var (
	printed     = sync.OnceValues(func() (*sfnt.Font, error) { return sfnt.Parse(goregular.TTF) })
	handwritten = sync.OnceValues(func() (*sfnt.Font, error) { return sfnt.Parse(goitalic.TTF) })
)

// lettering returns the outlines of a text whose capitals are about height
// high, starting at the origin with y down, and its width.
func lettering(load func() (*sfnt.Font, error), text string, height float64) (contours [][]r2.Vec, width float64, err error) {
	f, err := load()
	if err != nil {
		return nil, 0, err
	}
	var buf sfnt.Buffer
	const em = 1000
	scale := height / (0.72 * em)
	pen := 0.0
	for _, r := range text {
		g, err := f.GlyphIndex(&buf, r)
		if err != nil {
			return nil, 0, err
		}
		segments, err := f.LoadGlyph(&buf, g, fixed.I(em), nil)
		if err != nil {
			return nil, 0, fmt.Errorf("toothphoto: letter %q: %w", r, err)
		}
		at := func(p fixed.Point26_6) r2.Vec {
			return r2.Vec{X: pen + scale*float64(p.X)/64, Y: scale * float64(p.Y) / 64}
		}
		var line []r2.Vec
		for _, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if line != nil {
					contours = append(contours, line)
				}
				line = []r2.Vec{at(s.Args[0])}
			case sfnt.SegmentOpLineTo:
				line = append(line, at(s.Args[0]))
			case sfnt.SegmentOpQuadTo:
				a, b, c := line[len(line)-1], at(s.Args[0]), at(s.Args[1])
				for i := 1; i <= 8; i++ {
					t := float64(i) / 8
					p := r2.Add(r2.Scale((1-t)*(1-t), a), r2.Scale(2*t*(1-t), b))
					line = append(line, r2.Add(p, r2.Scale(t*t, c)))
				}
			case sfnt.SegmentOpCubeTo:
				a, b, c, d := line[len(line)-1], at(s.Args[0]), at(s.Args[1]), at(s.Args[2])
				for i := 1; i <= 8; i++ {
					t := float64(i) / 8
					p := r2.Add(r2.Scale((1-t)*(1-t)*(1-t), a), r2.Scale(3*t*(1-t)*(1-t), b))
					p = r2.Add(p, r2.Scale(3*t*t*(1-t), c))
					line = append(line, r2.Add(p, r2.Scale(t*t*t, d)))
				}
			}
		}
		if line != nil {
			contours = append(contours, line)
		}
		adv, err := f.GlyphAdvance(&buf, g, fixed.I(em), font.HintingNone)
		if err != nil {
			return nil, 0, err
		}
		pen += scale * float64(adv) / 64
	}
	return contours, pen, nil
}

// flat is a plane thing in the picture: a card with ink, or ink alone.
type flat struct {
	card []r2.Vec   // px; nil for ink laid straight on the picture
	ink  [][]r2.Vec // px
	pen  colour
	base colour
}

// frame carries points of a card (x right, y down, px) into the picture.
type frame struct {
	x, y     float64
	sin, cos float64
}

func newFrame(x, y, degrees float64) frame {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return frame{x, y, sin, cos}
}

func (f frame) at(u, v float64) r2.Vec {
	return r2.Vec{X: f.x + f.cos*u - f.sin*v, Y: f.y + f.sin*u + f.cos*v}
}

func (f frame) rect(u0, v0, u1, v1 float64) []r2.Vec {
	return []r2.Vec{f.at(u0, v0), f.at(u1, v0), f.at(u1, v1), f.at(u0, v1)}
}

// write adds text centred on (u, v), v being the base line.
func (f frame) write(load func() (*sfnt.Font, error), text string, height, u, v float64) ([][]r2.Vec, float64, error) {
	contours, width, err := lettering(load, text, height)
	for _, c := range contours {
		for i, p := range c {
			c[i] = f.at(u-width/2+p.X, v+p.Y)
		}
	}
	return contours, width, err
}

// divisions returns how many blocks a bar of so many mm has by default.
func divisions(mm float64) int {
	switch {
	case mm <= 1:
		return 5
	case mm <= 2:
		return 4
	case mm <= 10:
		return max(1, int(math.Round(mm)))
	case mm <= 30:
		return max(2, int(math.Round(mm/5)))
	}
	return int(math.Round(mm / 10))
}

// number writes a length without needless zeros.
func number(mm float64) string { return strconv.FormatFloat(mm, 'f', -1, 64) }

// scaleBar lays out the scale bar and says where its ends are.
func (s Shot) scaleBar(scale float64) (flat, BarTruth, error) {
	b := s.Bar
	style := b.Style
	if style == "" {
		style = Blocks
	}
	truth := BarTruth{Style: style, Length: b.Length}
	low := 0.9
	if style == Ruler {
		low = 0.87 // its writing lies below the ticks
	}
	x, y := s.place(b.X, b.Y, 0.5, low)
	f := newFrame(x, y, b.Rotation)
	long := b.Length * scale
	thick := b.Size * s.short()
	if b.Size == 0 {
		thick = 0.03 * s.short()
	}
	n := b.Blocks
	if n <= 0 {
		n = divisions(b.Length)
	}
	left := -long / 2
	text := number(b.Length) + " mm"
	out := flat{pen: colour{26, 26, 28}, base: colour{236, 234, 227}}
	switch style {
	case Blocks:
		out.card = f.rect(left-1.5*thick, -1.6*thick, -left+1.5*thick, 2.6*thick)
		rim := math.Max(1, thick*0.05)
		for i := 0; i < n; i++ {
			u0, u1 := left+long*float64(i)/float64(n), left+long*float64(i+1)/float64(n)
			if i%2 == 0 {
				out.ink = append(out.ink, f.rect(u0, -thick/2, u1, thick/2))
			} else {
				out.ink = append(out.ink, f.rect(u0, -thick/2, u1, -thick/2+rim), f.rect(u0, thick/2-rim, u1, thick/2))
				if i == n-1 {
					out.ink = append(out.ink, f.rect(u1-rim, -thick/2+rim, u1, thick/2-rim))
				}
			}
		}
		letters, _, err := f.write(printed, text, thick*0.9, 0, thick*1.9)
		if err != nil {
			return out, truth, err
		}
		out.ink = append(out.ink, letters...)
		truth.Ends = [2]r2.Vec{f.at(left, 0), f.at(-left, 0)}
	case Ruler:
		out.card = f.rect(left-1.8*thick, -0.25*thick, -left+1.8*thick, 3.1*thick)
		line := math.Max(1.4, thick*0.07)
		fine := n
		if perMM := int(math.Round(b.Length)); float64(perMM) == b.Length && perMM > n && long/b.Length > 6*line/1.4 {
			fine = perMM
		}
		for i := 0; i <= fine; i++ {
			u := left + long*float64(i)/float64(fine)
			tall := 0.75 * thick
			if i*n%fine == 0 {
				tall = 1.3 * thick
				value := b.Length * float64(i) / float64(fine)
				letters, _, err := f.write(printed, number(math.Round(value*100)/100), thick*0.62, u, thick*2.15)
				if err != nil {
					return out, truth, err
				}
				out.ink = append(out.ink, letters...)
			}
			out.ink = append(out.ink, f.rect(u-line/2, 0, u+line/2, tall))
		}
		letters, _, err := f.write(printed, "mm", thick*0.55, 0, thick*2.9)
		if err != nil {
			return out, truth, err
		}
		out.ink = append(out.ink, letters...)
		truth.Ends = [2]r2.Vec{f.at(left, 0), f.at(-left, 0)}
	case Line:
		if s.Background.dark() {
			out.pen = colour{248, 248, 248}
		} else {
			out.pen = colour{12, 12, 12}
		}
		line := math.Max(2, thick*0.22)
		out.ink = append(out.ink,
			f.rect(left+line, -line/2, -left-line, line/2),
			f.rect(left, -0.6*thick, left+line, 0.6*thick),
			f.rect(-left-line, -0.6*thick, -left, 0.6*thick))
		letters, _, err := f.write(printed, text, thick*0.95, 0, -thick*0.75)
		if err != nil {
			return out, truth, err
		}
		out.ink = append(out.ink, letters...)
		truth.Ends = [2]r2.Vec{f.at(left, 0), f.at(-left, 0)}
	}
	all := append([]r2.Vec{truth.Ends[0], truth.Ends[1]}, out.card...)
	if !s.inside(all) {
		return out, truth, fmt.Errorf("toothphoto: the scale bar of %g mm at %.1f px per mm does not fit into the picture", b.Length, scale)
	}
	return out, truth, nil
}

// label lays out the card with the specimen's name.
func (s Shot) label() (flat, error) {
	l := s.Label
	x, y := s.place(l.X, l.Y, 0.85, 0.1)
	f := newFrame(x, y, l.Rotation)
	height := l.Size * s.short()
	if l.Size == 0 {
		height = 0.03 * s.short()
	}
	out := flat{pen: colour{44, 48, 92}, base: colour{226, 219, 198}}
	letters, width, err := f.write(handwritten, l.Text, height, 0, height*0.5)
	if err != nil {
		return out, err
	}
	out.ink = letters
	out.card = f.rect(-width/2-height, -1.2*height, width/2+height, 1.25*height)
	return out, nil
}
