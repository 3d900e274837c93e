package photo

// Orientation says where the first row and first column of the stored pixels
// belong when the picture is upright, by the values of the EXIF tag 0x0112:
//
//	1        2       3      4         5            6           7          8
//	top,     top,    bottom,bottom,   left,        right,      right,     left,
//	left     right   right  left      top          top         bottom     bottom
//
// 1 is stored upright; 6 is to be turned 90° clockwise, 3 by 180°, 8 by 90°
// counter-clockwise; the others are mirror images.
type Orientation int

// Turned tells whether width and height change places.
func (o Orientation) Turned() bool { return o >= 5 && o <= 8 }

// Upright gives the upright size of a picture from its stored size.
func (o Orientation) Upright(width, height int) (w, h int) {
	if o.Turned() {
		return height, width
	}
	return width, height
}

// Matrix gives the transform (a, b, c, d, e, f), in the order that a canvas
// takes it, that carries a stored picture of the given size in px upright:
//
//	x' = a·x + c·y + e
//	y' = b·x + d·y + f
func (o Orientation) Matrix(width, height int) [6]float64 {
	w, h := float64(width), float64(height)
	switch o {
	case 2:
		return [6]float64{-1, 0, 0, 1, w, 0}
	case 3:
		return [6]float64{-1, 0, 0, -1, w, h}
	case 4:
		return [6]float64{1, 0, 0, -1, 0, h}
	case 5:
		return [6]float64{0, 1, 1, 0, 0, 0}
	case 6:
		return [6]float64{0, 1, -1, 0, h, 0}
	case 7:
		return [6]float64{0, -1, -1, 0, h, w}
	case 8:
		return [6]float64{0, -1, 1, 0, 0, w}
	}
	return [6]float64{1, 0, 0, 1, 0, 0}
}
