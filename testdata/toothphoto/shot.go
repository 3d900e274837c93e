package toothphoto

import (
	"fmt"
	"math"
)

// View says which side of the tooth a photograph shows. Its text is the role
// that such a photograph plays for a specimen.
type View string

const (
	LateralLabial  View = "lateral labial"
	LateralLingual View = "lateral lingual"
	Basal          View = "basal"
	MidSection     View = "mid-crown section"
	MesialCarina   View = "mesial carina" // close-up, seen from the labial side
	DistalCarina   View = "distal carina" // close-up, seen from the labial side
)

// Lateral tells whether the view shows the whole crown from the side.
func (v View) Lateral() bool { return v == LateralLabial || v == LateralLingual }

// CloseUp tells whether the view magnifies a carina.
func (v View) CloseUp() bool { return v == MesialCarina || v == DistalCarina }

// Section tells whether the view shows a section of the crown.
func (v View) Section() bool { return v == Basal || v == MidSection }

// Background is what the tooth lies on.
type Background string

const (
	Grey   Background = "grey" // the default: a plain grey sheet
	Sand   Background = "sand"
	Card   Background = "card" // dark coloured card
	Velvet Background = "velvet"
	Paper  Background = "paper" // near-white paper
)

// BarStyle is how a scale bar is drawn.
type BarStyle string

const (
	// Blocks is a bar of alternating black and white blocks on a card; its
	// ends are the outer edges of the first and last block.
	Blocks BarStyle = "blocks"
	// Ruler is a card with ticks; its ends are the middles of the first and
	// last tick, at the foot of the ticks.
	Ruler BarStyle = "ruler"
	// Line is a single line with short end strokes drawn over the picture, as
	// microscope programs do; its ends are the outer edges of the line.
	Line BarStyle = "line"
)

// ScaleBar is the scale in the picture. The zero Length draws none.
type ScaleBar struct {
	Style  BarStyle // "" means Blocks
	Length float64  // mm
	Blocks int      // blocks or ruler divisions; 0 means one per mm, 5 mm or 10 mm to suit
	// X and Y place the middle of the bar as fractions of width and height; 0
	// and 0 mean the middle near the lower edge.
	X, Y     float64
	Rotation float64 // degrees clockwise
	// Size is the thickness of the bar as a fraction of the shorter side of
	// the picture; 0 means 0.03.
	Size float64
}

// Label is a card with writing. An empty Text draws none.
type Label struct {
	Text     string
	X, Y     float64 // middle, fractions of width and height
	Rotation float64 // degrees clockwise
	Size     float64 // letter height as a fraction of the shorter side; 0 means 0.03
}

// Shot is how a tooth is photographed. The zero value of an optional field is
// a usable default.
type Shot struct {
	View          View
	Width, Height int // pixels
	// PxPerMM is the magnification; 0 fits the subject into the picture.
	PxPerMM float64
	// X and Y place the middle of the subject as fractions of width and
	// height; 0 and 0 mean the middle of the picture.
	X, Y float64
	// Rotation turns the subject clockwise in degrees; at 0 the apex points up
	// (lateral views) or the mesiodistal axis lies level (sections).
	Rotation float64
	// Mirrored swaps left and right, as for a tooth of the other side of the
	// jaw. Unmirrored labial views have the mesial side on the left; lingual
	// views are mirrored against labial ones.
	Mirrored bool
	// Tilt leans the plane of the carinae out of the picture by so many
	// degrees about the line A–B, so heights show shortened by its cosine. The
	// scale bar is not tilted.
	Tilt float64
	// CarinaAt is the fraction of the carina (0 base, 1 apex) in the middle of
	// a close-up; 0 means 0.5.
	CarinaAt float64

	Background Background
	Bar        ScaleBar
	Label      Label

	// LightFrom is where the light comes from, in degrees clockwise from the
	// top of the picture.
	LightFrom float64
	// Blur is the deviation of the Gaussian blur of the lens, in pixels.
	Blur float64
	// Noise is the deviation of the sensor noise, in grey levels of 255.
	Noise float64
	// Shadow scales the shadows under tooth and cards: 0 means 1, negative
	// none. Values above 1 darken the ground that touches the crown.
	Shadow float64
	// Cracks is the number of cracks across the crown.
	Cracks int
	// Glare is the strength of a hot spot of light on the enamel, 0 to 1.
	Glare float64
	// LowContrast draws the colour of the tooth toward that of the ground, 0
	// to 1.
	LowContrast float64
	// Flat paints the tooth and the ground in two even tones, without
	// texture, shading or shadow: for measuring where edges lie.
	Flat bool

	Seed uint64
}

// maxPixels bounds a picture to what a test machine can hold.
const maxPixels = 120e6

func (s Shot) check() error {
	if s.Width < 64 || s.Height < 64 || float64(s.Width)*float64(s.Height) > maxPixels {
		return fmt.Errorf("toothphoto: a picture of %d by %d pixels: sides must be at least 64 and the whole at most %g pixels", s.Width, s.Height, float64(maxPixels))
	}
	switch s.View {
	case LateralLabial, LateralLingual, Basal, MidSection, MesialCarina, DistalCarina:
	default:
		return fmt.Errorf("toothphoto: unknown view %q", s.View)
	}
	switch s.Background {
	case "", Grey, Sand, Card, Velvet, Paper:
	default:
		return fmt.Errorf("toothphoto: unknown background %q", s.Background)
	}
	switch s.Bar.Style {
	case "", Blocks, Ruler, Line:
	default:
		return fmt.Errorf("toothphoto: unknown scale bar style %q", s.Bar.Style)
	}
	if !(s.Tilt > -60 && s.Tilt < 60) {
		return fmt.Errorf("toothphoto: a tilt of %g° is outside -60 to 60", s.Tilt)
	}
	if !(s.Blur >= 0 && s.Blur <= 20) || !(s.Noise >= 0 && s.Noise <= 60) {
		return fmt.Errorf("toothphoto: blur %g px must be 0 to 20 and noise %g levels 0 to 60", s.Blur, s.Noise)
	}
	if !(s.PxPerMM >= 0) || math.IsInf(s.PxPerMM, 0) || !(s.Bar.Length >= 0) {
		return fmt.Errorf("toothphoto: %g px per mm and a bar of %g mm must not be negative", s.PxPerMM, s.Bar.Length)
	}
	return nil
}

// short returns the shorter side of the picture in pixels.
func (s Shot) short() float64 { return float64(min(s.Width, s.Height)) }

// place turns fractions of the picture into pixels, with a default when both
// are zero.
func (s Shot) place(x, y, defaultX, defaultY float64) (px, py float64) {
	if x == 0 && y == 0 {
		x, y = defaultX, defaultY
	}
	return x * float64(s.Width), y * float64(s.Height)
}

// light returns the unit vector toward the light: x right, y down, z toward
// the camera.
func (s Shot) light() [3]float64 {
	sin, cos := math.Sincos(s.LightFrom * math.Pi / 180)
	const height = 0.62 // sine of the elevation
	flat := math.Sqrt(1 - height*height)
	return [3]float64{flat * sin, -flat * cos, height}
}
