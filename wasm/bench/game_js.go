package bench

import (
	"image"
	"image/color"
	"math"

	"github.com/hajimehoshi/ebiten/v2"
	"gonum.org/v1/gonum/spatial/r2"
)

// Lettering writes a short text as a picture: light letters in a dark halo on
// nothing, premultiplied, no larger than the text needs. px is the height of
// the em in px of the picture.
type Lettering interface {
	Label(text string, px float64) *image.RGBA
}

// Game draws a Bench. It takes no input: events come to the Bench through the
// page, which sees each of them when it happens.
type Game struct {
	bench     *Bench
	lettering Lettering
	theme     theme
	gallery   gallery
	pen       pen
	white     *ebiten.Image
	labels    map[lettered]*ebiten.Image
}

type lettered struct {
	text string
	px   int
}

// Most labels that are kept as textures; when more are needed all are made
// anew.
const maxLabels = 400

// NewGame gives the drawing of a Bench. Letters are left out where l is nil.
func NewGame(b *Bench, l Lettering) *Game {
	return &Game{
		bench: b, lettering: l,
		theme:  light,
		labels: map[lettered]*ebiten.Image{},
	}
}

// SetPicture gives the pixels of the photo that is shown; nil is none.
func (g *Game) SetPicture(p Picture) {
	g.gallery.show(p)
	g.bench.redraw()
}

// SetDark chooses between the light and the dark ground.
func (g *Game) SetDark(dark bool) {
	g.theme = light
	if dark {
		g.theme = dusk
	}
	g.bench.redraw()
}

// Update does nothing: a Bench changes by events.
func (g *Game) Update() error { return nil }

// Layout is not used; LayoutF is.
func (g *Game) Layout(w, h int) (int, int) { return w, h }

// LayoutF makes one px of the screen one device px.
func (g *Game) LayoutF(w, h float64) (float64, float64) {
	ratio := ebiten.Monitor().DeviceScaleFactor()
	return max(math.Ceil(w*ratio), 1), max(math.Ceil(h*ratio), 1)
}

// Draw paints the Bench's scene.
func (g *Game) Draw(screen *ebiten.Image) {
	screen.Fill(g.theme.ground)
	s := g.bench.Scene()
	g.gallery.shade = g.bench.Shade()
	shown := g.gallery.picture != nil && s.Width > 0 &&
		float64(g.gallery.pyramid.width) == s.Width && float64(g.gallery.pyramid.height) == s.Height
	if shown {
		if !g.gallery.load(&s) {
			ebiten.ScheduleFrame()
		}
		g.gallery.draw(screen, s.Photo, r2.Box{Max: s.Size})
	}
	g.paint(screen, g.pen.draw(&s, g.theme))
	for _, l := range s.Labels {
		g.label(screen, l)
	}
	if m := s.Magnifier; m != nil {
		frame := image.Rect(int(m.Frame.Min.X), int(m.Frame.Min.Y), int(math.Ceil(m.Frame.Max.X)), int(math.Ceil(m.Frame.Max.Y)))
		inset := screen.SubImage(frame).(*ebiten.Image)
		inset.Fill(g.theme.ground)
		if shown {
			g.gallery.draw(inset, m.Photo, m.Frame)
		}
		g.paint(inset, g.pen.drawLens(m, s.Ratio))
	}
}

func (g *Game) paint(screen *ebiten.Image, meshes []Mesh) {
	if g.white == nil {
		g.white = ebiten.NewImage(3, 3)
		g.white.Fill(color.White)
	}
	for i := range meshes {
		if len(meshes[i].Indices) > 0 {
			screen.DrawTriangles(meshes[i].Vertices, meshes[i].Indices, g.white, nil)
		}
	}
}

func (g *Game) label(screen *ebiten.Image, l Label) {
	if g.lettering == nil || l.Text == "" {
		return
	}
	key := lettered{l.Text, int(math.Round(l.Px))}
	img, ok := g.labels[key]
	if !ok {
		if len(g.labels) >= maxLabels {
			for _, old := range g.labels {
				if old != nil {
					old.Deallocate()
				}
			}
			clear(g.labels)
		}
		if rgba := g.lettering.Label(l.Text, float64(key.px)); rgba != nil && !rgba.Bounds().Empty() {
			img = ebiten.NewImageFromImage(rgba)
		}
		g.labels[key] = img
	}
	if img == nil {
		return
	}
	op := &ebiten.DrawImageOptions{}
	size := img.Bounds().Size()
	// On whole px letters stay sharp.
	op.GeoM.Translate(math.Round(l.At.X-float64(size.X)/2), math.Round(l.At.Y-float64(size.Y)/2))
	if l.Quiet {
		op.ColorScale.ScaleAlpha(quietAlpha)
	}
	screen.DrawImage(img, op)
}
