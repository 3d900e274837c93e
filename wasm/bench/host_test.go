package bench_test

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/tray"
)

// stand is a host that keeps one photo of one specimen in a real tray, so that
// undo, merging and refusals are the program's own.
type stand struct {
	tray          tray.Tray
	id            string
	width, height int
	bench         *bench.Bench
	said          []string
	edits         int
	now           time.Duration

	sight *bench.Sight // what See gives, nil for a picture that cannot be read
	later []func()     // what See was asked for, when it is to answer later
	slow  bool         // it is

	meanwhile func() // what happens once while a picture is searched
}

// newStand shows a photo of 1000 × 800 px, pixel for pixel from the window's
// top left: the margins of the fitted photo are 20 CSS px.
func newStand(t testing.TB) *stand {
	return standOf(t, morph.View{ID: "p1", Role: morph.LateralLabial}, 1000, 800)
}

func standOf(t testing.TB, v morph.View, width, height int) *stand {
	t.Helper()
	s := &stand{width: width, height: height}
	ids, err := s.tray.Add("add", &tray.Specimen{Name: "invented tooth", Photos: []tray.Photo{{View: v, Width: width, Height: height}}})
	if err != nil {
		t.Fatal(err)
	}
	s.id = ids[0]
	s.bench = bench.New(s)
	s.bench.Resize(float64(width)+40, float64(height)+40, 1)
	s.show()
	return s
}

func (s *stand) view() *morph.View { return &s.tray.Get(s.id).Photos[0].View }

func (s *stand) show() { s.bench.Show(s.view(), s.width, s.height) }

func (s *stand) Edit(label, merge string, edit func(*morph.View)) {
	s.edits++
	if err := s.tray.Edit(s.id, label, merge, func(sp *tray.Specimen) { edit(&sp.Photos[0].View) }); err != nil {
		panic(fmt.Sprintf("%s: %v", label, err))
	}
	s.show()
}

// Redraw looks at everything at once, as a page may.
func (s *stand) Redraw() {
	if s.bench != nil {
		s.bench.Prompt()
		s.bench.Scene()
		s.bench.BarLength()
		s.bench.Cursor()
	}
}

func (s *stand) See(then func(bench.Sight, error)) {
	answer := func() {
		if s.sight == nil {
			then(bench.Sight{}, errors.New("the picture cannot be read"))
			return
		}
		then(*s.sight, nil)
	}
	if s.slow {
		s.later = append(s.later, answer)
		return
	}
	answer()
}

// answer lets See answer what it was asked for.
func (s *stand) answer() {
	all := s.later
	s.later = nil
	for _, f := range all {
		f()
	}
}

// Beside runs work until rest is first called, then meanwhile, then the rest of it.
func (s *stand) Beside(work func(rest func())) {
	work(func() {
		if f := s.meanwhile; f != nil {
			s.meanwhile = nil
			f()
		}
	})
}

func (s *stand) Say(sentence string) { s.said = append(s.said, sentence) }

// undo takes the last step back, but not the adding of the photo.
func (s *stand) undo() {
	if s.tray.CanUndo() != "add" {
		s.tray.Undo()
		s.show()
	}
}

// The events of a script; x and y are px of the 1000 × 800 photo.
const margin = 20

func (s *stand) event(kind bench.PointerKind, x, y float64) {
	s.bench.Pointer(bench.PointerEvent{Kind: kind, ID: 1, X: x + margin, Y: y + margin, Time: s.now})
}

// click is a click of the mouse a second after what came before.
func (s *stand) click(x, y float64) {
	s.now += time.Second
	s.event(bench.Down, x, y)
	s.event(bench.Up, x, y)
}

func (s *stand) double(x, y float64) {
	s.click(x, y)
	s.now += 120 * time.Millisecond
	s.event(bench.Down, x+1, y)
	s.event(bench.Up, x+1, y)
}

func (s *stand) drag(points ...[2]float64) {
	s.now += time.Second
	s.event(bench.Down, points[0][0], points[0][1])
	for _, p := range points[1:] {
		s.event(bench.Move, p[0], p[1])
	}
	last := points[len(points)-1]
	s.event(bench.Up, last[0], last[1])
}

func (s *stand) key(keys ...string) {
	for _, k := range keys {
		s.bench.Key(bench.KeyEvent{Key: k})
		s.bench.Key(bench.KeyEvent{Key: k, Up: true})
	}
}

// act does the action of that label and tells whether it was offered.
func (s *stand) act(label string) bool {
	for _, a := range s.bench.Prompt().Actions {
		if a.Label == label {
			a.Do()
			return true
		}
	}
	return false
}
