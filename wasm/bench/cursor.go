package bench

// Cursor gives the shape of a mouse pointer over the photo view, as CSS names
// it.
func (b *Bench) Cursor() string {
	p := &b.pointing
	switch {
	case b.view == nil:
		return "default"
	case p.gesture == dragging:
		return "move"
	case p.gesture == panning:
		return "grabbing"
	case b.keys.space:
		return "grab"
	case p.hover != nil:
		w := b.walk()
		grab, pick, _ := Mouse.reach()
		if w.awaiting() {
			if _, ok := b.hit(*p.hover, pick); ok {
				return "move"
			}
			return "crosshair"
		}
		if _, ok := b.hit(*p.hover, grab); ok {
			return "move"
		}
		if _, _, ok := b.onLine(*p.hover, grab*lineReach); ok {
			return "copy"
		}
	}
	return "grab"
}
