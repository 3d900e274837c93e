//go:build js

package picture

import (
	"fmt"
	"image"
)

// stripPixels is how many px are copied in one go: few enough that the page
// answers between two strips, many enough that the browser's share of each call
// does not tell.
const stripPixels = 1 << 19

// Read copies all of a level, 4·width·height bytes of RGBA row by row, strip by
// strip into dst. After each strip it calls turn with the share that is done, so
// that the page gets its turn; turn's error ends the reading. It panics where dst
// is of another length.
func (p *Picture) Read(level int, dst []byte, turn func(done float64) error) error {
	size := p.LevelSize(level)
	if len(dst) != 4*size.X*size.Y {
		panic(fmt.Sprintf("picture: level %d is %v, which %d bytes do not fit", level, size, len(dst)))
	}
	rows := max(1, stripPixels/size.X)
	for y := 0; y < size.Y; y += rows {
		r := image.Rect(0, y, size.X, min(y+rows, size.Y))
		if err := p.Tile(level, r, dst[4*size.X*r.Min.Y:4*size.X*r.Max.Y]); err != nil {
			return err
		}
		if err := turn(float64(r.Max.Y) / float64(size.Y)); err != nil {
			return err
		}
	}
	return nil
}
