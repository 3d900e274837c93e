package toothtrial

import (
	"image"
	"math"
	"math/rand/v2"

	"crownbench/testdata/toothphoto"
)

// Trial is one photograph to be drawn.
type Trial struct {
	Seed  uint64
	Tooth toothphoto.Tooth
	Shot  toothphoto.Shot
}

// Backgrounds are the grounds that trials lie on, in turn of the seed.
var Backgrounds = []toothphoto.Background{toothphoto.Grey, toothphoto.Sand, toothphoto.Card, toothphoto.Velvet, toothphoto.Paper}

// Lateral makes up a lateral photograph whose longer side is wide px.
func Lateral(seed uint64, wide int) Trial {
	r := rand.New(rand.NewPCG(seed, 0x700741))
	t := Trial{Seed: seed, Tooth: tooth(r)}
	t.Shot = shot(r, seed, wide)
	t.Shot.View = toothphoto.LateralLabial
	if r.IntN(2) == 1 {
		t.Shot.View = toothphoto.LateralLingual
	}
	return t
}

// Basal makes up a photograph of a crown base section.
func Basal(seed uint64, wide int) Trial {
	r := rand.New(rand.NewPCG(seed, 0xba5a1))
	t := Trial{Seed: seed, Tooth: tooth(r)}
	t.Shot = shot(r, seed, wide)
	t.Shot.View = toothphoto.Basal
	return t
}

// Draw renders the photograph. A tooth that does not fit at its place in the
// picture is moved to the middle, without label, and made smaller.
func (t Trial) Draw() (*image.RGBA, toothphoto.Truth, error) {
	img, truth, err := toothphoto.Render(t.Tooth, t.Shot)
	if err == nil {
		return img, truth, nil
	}
	t.Shot.X, t.Shot.Y = 0, 0
	if img, truth, err = toothphoto.Render(t.Tooth, t.Shot); err == nil {
		return img, truth, nil
	}
	t.Shot.Label.Text, t.Shot.Bar.Length = "", 0
	return toothphoto.Render(t.Tooth, t.Shot)
}

func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

// tooth makes up a crown within the ranges of published ones (group means and
// extremes of the crown table of Hendrickx et al. 2024).
func tooth(r *rand.Rand) toothphoto.Tooth {
	t := toothphoto.Tooth{Name: "trial", CBL: between(r, 5, 42)}
	t.CBW = t.CBL * between(r, 0.38, 0.85)
	t.CH = t.CBL * between(r, 1.4, 2.6)
	distal := between(r, 68, 100) * math.Pi / 180 // angle at B
	t.AL = math.Sqrt(t.CBL*t.CBL + t.CH*t.CH - 2*t.CBL*t.CH*math.Cos(distal))
	t.MesialBow = between(r, 0.06, 0.13)
	t.DistalBow = between(r, -0.05, 0.01)
	t.MesialSkew = between(r, -0.1, 0.25)
	t.TipRadius = t.CH * between(r, 0.006, 0.03)
	t.Cervix = between(r, 0, 0.07)
	t.Section.Shape = toothphoto.SectionShape(r.IntN(3))
	t.Palette = r.Uint64N(64)
	row := func() toothphoto.Row {
		d := between(r, 200, 330) / t.CBL // per 5 mm; coarser on larger teeth
		d = math.Max(6, math.Min(d, 30))
		return toothphoto.Row{Apical: d, Mid: d * between(r, 0.95, 1.05), Basal: d * between(r, 1, 1.2), From: between(r, 0.02, 0.4), To: 0.97}
	}
	if r.IntN(4) > 0 {
		t.Distal = row()
		if r.IntN(3) > 0 {
			t.Mesial = row()
		}
	} else if r.IntN(2) == 0 {
		t.Flutes = 6 + r.IntN(5)
	}
	if r.IntN(2) == 0 {
		t.Root = t.CBL * between(r, 0.2, 0.9)
	}
	if r.IntN(7) == 0 {
		t.BrokenApex = between(r, 0.06, 0.25)
	}
	return t
}

// shot makes up how a tooth is photographed.
func shot(r *rand.Rand, seed uint64, wide int) toothphoto.Shot {
	s := toothphoto.Shot{
		Width: wide, Height: wide * 3 / 4, Seed: seed,
		X: between(r, 0.42, 0.58), Y: between(r, 0.42, 0.5),
		Rotation: between(r, 0, 360), Mirrored: r.IntN(2) == 0,
		Background: Backgrounds[seed/2%uint64(len(Backgrounds))],
		LightFrom:  between(r, 0, 360),
		Blur:       between(r, 0.4, 1.6), Noise: between(r, 0, 5),
		Shadow: between(r, 0.3, 1.5), Cracks: r.IntN(7),
	}
	if r.IntN(3) == 0 {
		s.Tilt = between(r, -20, 20)
	}
	if r.IntN(4) == 0 {
		s.Glare = between(r, 0.3, 0.9)
	}
	if r.IntN(4) == 0 {
		s.LowContrast = between(r, 0.1, 0.5)
	}
	if r.IntN(4) > 0 {
		s.Bar = toothphoto.ScaleBar{Length: 10, X: 0.5, Y: 0.92}
	}
	if r.IntN(2) == 0 {
		s.Label = toothphoto.Label{Text: "TRIAL", X: 0.9, Y: 0.07}
	}
	return s
}
