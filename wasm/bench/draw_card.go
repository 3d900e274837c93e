package bench

import (
	"unicode/utf8"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// drawCard draws the card with its letters and what two of its sides come to.
func (d *drafter) drawCard() {
	var corners []r2.Vec
	if flat := d.view.Flat; flat != nil {
		for _, c := range flat.Corners {
			corners = append(corners, c.Vec())
		}
		d.stroke(append(corners, corners[0]), Stroke{Quiet: d.quiet, Thin: true})
		d.side(corners, 0, flat.Width, flat.Unit)
		d.side(corners, 1, flat.Height, flat.Unit)
	} else if d.tool == Scale {
		corners = d.corners
		d.stroke(corners, Stroke{Thin: true})
	}
	for i, at := range corners {
		d.mark(at, Dot, 0)
		d.label(at, r2.Sub(at, middleOf(corners)), cardLetter(i))
	}
}

// side writes the length of the side that begins at corner i beside it.
func (d *drafter) side(corners []r2.Vec, i int, length float64, unit morph.Unit) {
	if !(length > 0) {
		return
	}
	at, text := r2.Scale(0.5, r2.Add(corners[i], corners[i+1])), sideText(length, unit)
	away := r2.Sub(at, middleOf(corners))
	if n := r2.Norm(away); n > 0 {
		// Beside an upright side a wide text would lie across it.
		half := 0.3 * labelPx * d.win.ratio * float64(utf8.RuneCountInString(text))
		at.X += away.X / n * half / d.to.Scale
	}
	d.label(at, away, text)
}

func middleOf(points []r2.Vec) (c r2.Vec) {
	for _, p := range points {
		c = r2.Add(c, r2.Scale(1/float64(len(points)), p))
	}
	return c
}
