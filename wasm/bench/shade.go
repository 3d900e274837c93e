package bench

import "math"

// Channel is one of the colours that a photo is made of.
type Channel string

const (
	AllChannels Channel = ""
	Red         Channel = "red"
	Green       Channel = "green"
	Blue        Channel = "blue"
)

// Channels lists them in the order in which a page offers them.
var Channels = []Channel{AllChannels, Red, Green, Blue}

// Shade is how the photo is shown, so that dark enamel can be looked into. It
// changes nothing that is measured or found in the picture. The zero Shade shows
// the photo as it is.
type Shade struct {
	Brightness float64 // −1 to 1, in steps of half the range from black to white
	Contrast   float64 // −1 to 1; 1 is four times as much about middle grey, −1 a quarter
	Local      float64 // 0 to 1: how far local contrast is evened out, before the rest
	Channel    Channel // shown as grey instead of the colours
}

// Matrix gives each shown colour, 0 to 1, as a weighted sum of red, green and blue
// and a constant. Local has no part in it.
func (s Shade) Matrix() [3][4]float64 {
	gain := math.Pow(4, s.Contrast)
	rest := (1-gain)/2 + s.Brightness/2
	var m [3][4]float64
	for i, c := range Channels[1:] {
		m[i][i], m[i][3] = gain, rest
		if s.Channel == AllChannels {
			continue
		}
		for j := range m {
			m[j][i] = 0
			if c == s.Channel {
				m[j][i] = gain
			}
		}
	}
	return m
}

// Shade tells how the photo is shown.
func (b *Bench) Shade() Shade { return b.shade }

// SetShade says how the photo is shown. Numbers beyond the range are brought back
// to it.
func (b *Bench) SetShade(s Shade) {
	if !finite(s.Brightness, s.Contrast, s.Local) {
		return
	}
	s.Local = min(max(s.Local, 0), 1)
	s.Brightness, s.Contrast = min(max(s.Brightness, -1), 1), min(max(s.Contrast, -1), 1)
	if s != b.shade {
		b.shade = s
		b.redraw()
	}
}
