package bench

import "gonum.org/v1/gonum/spatial/r2"

// Place tells where the shown photo lies in the window: a point p in photo px
// is drawn at scale·p + shift in CSS px. ok is false while there is no photo.
func (b *Bench) Place() (scale float64, shift r2.Vec, ok bool) {
	return b.cam.scale, b.cam.shift, b.view != nil
}
