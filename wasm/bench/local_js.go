package bench

import (
	_ "embed"
	"image"

	"github.com/hajimehoshi/ebiten/v2"
)

//go:embed local.kage
var localSource []byte

// local draws tiles with local contrast.
type local struct {
	shader   *ebiten.Shader
	around   surroundings
	level    int // of the photo's copy that around was made from
	image    *ebiten.Image
	strength float64 // of image
}

// prepare makes sure that the surroundings of the picture's places are at hand at
// the strength of the shade; false where the picture does not tell.
func (l *local) prepare(p Picture, pyr pyramid, strength float64) bool {
	if l.shader == nil {
		s, err := ebiten.NewShader(localSource)
		if err != nil {
			panic(err) // it came with the program
		}
		l.shader = s
	}
	if l.image == nil {
		l.level = pyr.coarsest()
		w, h := pyr.size(l.level)
		pix := make([]byte, 4*w*h)
		if p.Tile(l.level, image.Rect(0, 0, w, h), pix) != nil {
			return false
		}
		l.around = surroundingsOf(pix, image.Pt(w, h))
		l.image = ebiten.NewImageWithOptions(image.Rect(0, 0, w, h), &ebiten.NewImageOptions{Unmanaged: true})
		l.strength = -1
	}
	if l.strength != strength {
		pix := make([]byte, 4*l.around.width*l.around.height)
		l.around.texture(strength, pix)
		l.image.WritePixels(pix)
		l.strength = strength
	}
	return true
}

// forget lets go of what was known of a picture.
func (l *local) forget() {
	if l.image != nil {
		l.image.Deallocate()
	}
	l.image, l.around = nil, surroundings{}
}

// paintLocal draws the tile whose corners are in g.vertices with local contrast
// and the rest of the shade.
func (g *gallery) paintLocal(screen *ebiten.Image, t tile, at Placement) {
	// From px of the texture to px of the copy that its surroundings are known of.
	finer := float32(int(1) << t.level)
	coarser := float32(int(1) << g.local.level)
	c := g.pyramid.content(t).Min
	squares := float32(0)
	if at.squares(t) {
		squares = 1
	}
	rows := g.shade.Matrix()
	row := func(i int) []float32 {
		r := rows[i]
		return []float32{float32(r[0]), float32(r[1]), float32(r[2]), float32(r[3])}
	}
	screen.DrawTrianglesShader(g.vertices[:], []uint16{0, 1, 2, 1, 3, 2}, g.local.shader, &ebiten.DrawTrianglesShaderOptions{
		Images: [4]*ebiten.Image{g.textures[t].image, g.local.image},
		Uniforms: map[string]any{
			"Scale": finer / coarser,
			"Shift": []float32{float32(c.X-tileBorder) * finer / coarser, float32(c.Y-tileBorder) * finer / coarser},
			"Lift":  float32(g.shade.lift()), "Range": float32(localRange), "Squares": squares,
			"Red": row(0), "Green": row(1), "Blue": row(2),
		},
	})
}
