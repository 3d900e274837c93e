package lesson_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/lesson"
	"crownbench/wasm/photo"
	"crownbench/wasm/tray"
)

// Everything here is invented.

// picture is a small JPEG whose file says more than it should, different for
// each number.
func picture(t testing.TB, n int, words string) []byte {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, 120, 90))
	for i := range m.Pix {
		m.Pix[i] = uint8(i*7 + n*31)
	}
	m.Set(n%120, 3, color.White)
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	out := append([]byte{}, b.Bytes()[:2]...)
	out = append(out, 0xff, 0xfe, 0, byte(2+len(words)))
	out = append(out, words...)
	return append(out, b.Bytes()[2:]...)
}

// truth is what the key holds of a tooth: lengths in mm.
type truth struct {
	name          string
	cbl, cbw, ch  float64
	denticles     float64 // distal, per 5 mm
	form          string
	hiddenRemarks string
}

var teeth = []truth{
	{"Quarry find 71", 21.37, 9.83, 43.91, 11.7, "blade", "first remark"},
	{"Quarry find 72", 14.59, 12.46, 37.28, 0, "cone", "second remark"},
	{"Quarry find 73", 8.13, 3.92, 15.64, 17.3, "blade", "third remark"},
	{"Quarry find 74", 31.71, 22.18, 66.53, 9.1, "cone", "fourth remark"},
	{"Quarry find 75", 17.26, 8.57, 35.87, 13.9, "blade", "fifth remark"},
	{"Quarry find 76", 26.94, 13.19, 51.46, 12.3, "blade", "sixth remark"},
}

// bench is a tray with its pictures by hash.
type bench struct {
	specimens []*tray.Specimen
	pictures  map[string][]byte
}

const pxPerMM = 1.0

// newBench makes the specimens: a crown traced in a lateral photograph at the
// true lengths, and the width typed.
func newBench(t testing.TB) *bench {
	t.Helper()
	b := &bench{pictures: map[string][]byte{}}
	for i, x := range teeth {
		bytes := picture(t, i, x.name+" "+x.hiddenRemarks)
		info, err := photo.Inspect("invented.jpg", bytes)
		if err != nil {
			t.Fatal(err)
		}
		b.pictures[info.Hash] = bytes
		s := &tray.Specimen{
			ID: fmt.Sprintf("TRAY-ID-%d", i), Name: x.name, Invented: true, Remarks: x.hiddenRemarks, Locality: "Kelpbarrow quarry",
			Typed: map[morph.ID]morph.Typed{morph.CBW: {Value: x.cbw}},
			Photos: []tray.Photo{{
				View: morph.View{ID: fmt.Sprintf("VIEW-ID-%d", i), Role: morph.LateralLabial,
					Bars:  []morph.Bar{{From: morph.Vertex{X: 10.125, Y: 85.375}, To: morph.Vertex{X: 60.125, Y: 85.375}, Length: 50 / pxPerMM, Unit: morph.Millimetre}},
					Crown: crown(x, 40.625, 80.875, nil)},
				Hash: info.Hash, File: x.name + ".jpg", MIME: info.MIME, Bytes: info.Bytes, Width: info.Width, Height: info.Height, Taken: "2031-05-04", Device: "Invented camera",
			}},
		}
		if x.denticles > 0 {
			s.Counts = map[morph.ID]morph.Count{morph.DC: {N: x.denticles, LengthMM: 5}}
		}
		b.specimens = append(b.specimens, s)
	}
	return b
}

// crown traces a triangle A, G, B with a right angle at B, so that CBL and CH
// are as given; shift moves each point.
func crown(x truth, left, base float64, shift func() float64) *morph.Crown {
	if shift == nil {
		shift = func() float64 { return 0 }
	}
	at := func(px, py float64) morph.Vertex { return morph.Vertex{X: px + shift(), Y: py + shift()} }
	return &morph.Crown{Done: true, Apex: 1, Path: morph.Path{
		at(left, base), at(left+x.cbl*pxPerMM, base-x.ch*pxPerMM), at(left+x.cbl*pxPerMM, base),
	}}
}

func (b *bench) picture(p *tray.Photo) ([]byte, error) { return b.pictures[p.Hash], nil }

func (b *bench) plan(repeats int) lesson.Plan {
	p := lesson.Plan{
		Title: "An invented class", Instructions: "Measure.", Cautions: "All invented.",
		Readings: []morph.ID{morph.CBL, morph.CBW, morph.CH}, Choices: []string{"blade", "cone", "cannot say"}, Repeats: repeats,
		Hidden: lesson.Hidden{Identity: true, Readings: true, Answer: true},
	}
	for i, s := range b.specimens {
		p.Teeth = append(p.Teeth, lesson.Planned{Specimen: s, Truth: teeth[i].form})
	}
	return p
}

// handedOut makes the lesson and its key.
func handedOut(t testing.TB, p lesson.Plan, picture func(*tray.Photo) ([]byte, error)) (*lesson.Made, *lesson.Opened, *lesson.Key) {
	t.Helper()
	made, err := lesson.Make(p, picture)
	if err != nil {
		t.Fatal(err)
	}
	o, err := lesson.Open(made.Lesson)
	if err != nil {
		t.Fatal(err)
	}
	k, err := lesson.ReadKey(made.Key)
	if err != nil {
		t.Fatal(err)
	}
	if err := k.Fits(o); err != nil {
		t.Fatal(err)
	}
	return made, o, k
}

// truthOf finds the tooth that stands at a place of a lesson, as only the key
// can.
func truthOf(k *lesson.Key, tooth string) truth {
	for _, t := range k.Teeth {
		if t.ID == tooth {
			for _, x := range teeth {
				if x.name == t.Specimen.Name {
					return x
				}
			}
		}
	}
	panic("no such tooth")
}

// hand is a student who errs in a known way, in mm.
type hand struct {
	bias, sd float64
	mistakes float64 // share of teeth called by another name
	r        *rand.Rand
}

// answer measures every tooth with typed values and gives the answer file.
func (h hand) answer(t testing.TB, o *lesson.Opened, k *lesson.Key, name string, at time.Time) []byte {
	t.Helper()
	w, err := lesson.Start(o, name)
	if err != nil {
		t.Fatal(err)
	}
	// Drawn in the order of teeth, which is not the lesson's: a seed gives the
	// same class whatever order the lesson came out in.
	type drawn struct {
		off    [3]float64
		choice string
	}
	noise := map[string]drawn{}
	for _, x := range teeth {
		for r := range o.Lesson.Repeats {
			d := drawn{choice: x.form}
			for j := range d.off {
				d.off[j] = h.bias + h.sd*h.r.NormFloat64()
			}
			if h.r.Float64() < h.mistakes {
				d.choice = "cannot say"
			}
			noise[fmt.Sprint(x.name, r+1)] = d
		}
	}
	for i, e := range w.Entries {
		x := truthOf(k, e.Tooth)
		d := noise[fmt.Sprint(x.name, e.Repeat)]
		s := w.Specimen(i)
		s.Typed = map[morph.ID]morph.Typed{morph.CBL: {Value: x.cbl + d.off[0]}, morph.CBW: {Value: x.cbw + d.off[1]}, morph.CH: {Value: x.ch + d.off[2]}}
		if err := w.Keep(i, s); err != nil {
			t.Fatal(err)
		}
		if err := w.Choose(i, d.choice); err != nil {
			t.Fatal(err)
		}
		w.Finish(i, true)
	}
	b, err := w.Answer(at)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

var monday = time.Date(2031, 5, 5, 9, 0, 0, 0, time.UTC)
