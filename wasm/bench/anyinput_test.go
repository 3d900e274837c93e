package bench_test

import (
	"math"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"pgregory.net/rapid"
)

// script turns bytes into events, calls and undos. What it does is checked
// after each: the tray refuses a view that is not valid, which panics in
// stand.Edit.
func (s *stand) script(data []byte) {
	next := func() byte {
		if len(data) == 0 {
			return 0
		}
		b := data[0]
		data = data[1:]
		return b
	}
	place := func() (x, y float64) {
		b, c := next(), next()
		if b == 255 {
			return math.NaN(), float64(c)
		}
		// Coarse enough that events meet marks that are there.
		return float64(b%64)*20 - 60, float64(c%64)*20 - 60
	}
	keys := []string{"ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Enter", " ", "Escape", "Delete", "Backspace",
		"n", "p", "+", "-", "0", "g", "b", "s", "c", "m", "d", "e", "r", "x", "w", "o", "é", ""}
	for len(data) > 0 {
		s.now += time.Duration(next()%8) * 100 * time.Millisecond
		switch op := next(); op % 16 {
		case 0, 1, 2, 3:
			x, y := place()
			s.bench.Pointer(bench.PointerEvent{Kind: bench.Down, ID: 1, X: x, Y: y, Time: s.now})
			s.bench.Pointer(bench.PointerEvent{Kind: bench.Up, ID: 1, X: x, Y: y, Time: s.now})
		case 4:
			x, y := place()
			s.bench.Pointer(bench.PointerEvent{Kind: bench.Down, ID: 1, X: x, Y: y, Time: s.now})
			x, y = place()
			s.bench.Pointer(bench.PointerEvent{Kind: bench.Move, ID: 1, X: x, Y: y, Time: s.now})
			s.bench.Pointer(bench.PointerEvent{Kind: bench.Up, ID: 1, X: x, Y: y, Time: s.now})
		case 5, 6:
			x, y := place()
			b := next()
			s.bench.Pointer(bench.PointerEvent{
				Kind: bench.PointerKind(b % 6), ID: int(b>>3) % 4, X: x, Y: y, Button: int(b>>5) % 3,
				Device: bench.Device(b >> 6 % 3), Time: s.now,
			})
		case 7, 8, 9:
			b := next()
			s.bench.Key(bench.KeyEvent{Key: keys[int(b)%len(keys)], Up: b > 250, Shift: b&64 != 0, Alt: b&128 != 0})
		case 10:
			x, y := place()
			s.bench.Wheel(bench.WheelEvent{X: x, Y: y, DY: float64(int8(next())) * 5, Ctrl: op&16 != 0})
		case 11:
			s.bench.SetTool(bench.Tool(next() % 6))
		case 12:
			if all := s.bench.Prompt().Actions; len(all) > 0 {
				all[int(next())%len(all)].Do()
			}
		case 13:
			if next()%2 != 0 {
				s.undo()
			} else {
				s.tray.Redo()
				s.show()
			}
		case 14:
			b := next()
			s.bench.SetRow([]morph.Carina{morph.MesialCarina, morph.DistalCarina}[b%2], []morph.Third{morph.Mid, morph.Basal}[b/2%2], b > 127)
			_ = s.bench.SetBarLength(float64(b)-3, 0, morph.Millimetre)
			_ = s.bench.SetCard(float64(b)-3, 20, 0, morph.Millimetre)
			if b%5 == 0 {
				s.bench.MeasureByCard(b%2 == 0)
			}
			if b%7 == 0 {
				_ = s.bench.MarkAgain()
			}
			if b%3 == 0 {
				s.bench.TakeBack()
			}
		case 15:
			switch b := next(); b % 4 {
			case 0:
				s.bench.Resize(float64(b)*10, float64(next())*8, 1+float64(b%3))
			case 1:
				s.bench.Cover(float64(b), 0, float64(next()), 3)
			case 2:
				s.bench.Release()
			case 3:
				s.bench.Show(nil, 0, 0)
				s.show()
			}
		}
	}
}

// sound tells what is wrong with the marks or the drawing after a script.
func (s *stand) sound() string {
	if err := s.tray.Get(s.id).Check(); err != nil {
		return err.Error()
	}
	v := s.view()
	if c := v.Crown; c != nil && c.Done && (len(c.Path) < 3 || c.Apex < 1 || c.Apex > len(c.Path)-2) {
		return "a finished crown without an apex between its ends"
	}
	if c := v.Section; c != nil && c.Done && (len(c.Outline) < 3 || c.Mesial >= 0 && c.Mesial == c.Distal) {
		return "a finished section of fewer than three points or with one point for both ends"
	}
	for _, st := range v.Stretches {
		if st.Done && len(st.Line) < 2 || st.Serrated && len(st.Ticks) > 0 || len(st.Line) == 0 {
			return "a stretch that is none"
		}
	}
	scene := s.bench.Scene()
	for _, l := range scene.Strokes {
		for _, p := range l.Points {
			if math.IsNaN(p.X+p.Y) || math.Abs(p.X) > scene.Size.X+200 || math.Abs(p.Y) > scene.Size.Y+200 {
				return "a line drawn far outside the window"
			}
		}
	}
	s.bench.Cursor()
	return ""
}

func TestAnyInput(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := newStand(t)
		s.bench.SetTool(bench.Tool(bench.EvenInt(rt, 1, 4, "tool")))
		script := make([]byte, bench.EvenInt(rt, 20, 900, "length"))
		for i := range script {
			script[i] = byte(bench.EvenInt(rt, 0, 255, "byte"))
		}
		s.script(script)
		if wrong := s.sound(); wrong != "" {
			rt.Fatal(wrong)
		}
	})
}

func FuzzAnyInput(f *testing.F) {
	f.Add(byte(2), []byte{3, 0, 10, 40, 3, 0, 20, 30, 3, 0, 30, 10, 0, 0, 30, 10, 3, 0, 34, 40, 0, 0, 34, 40, 1, 4, 20, 30, 22, 31, 1, 12, 3})
	f.Add(byte(3), []byte{3, 0, 10, 20, 3, 0, 25, 10, 3, 0, 40, 20, 3, 7, 4, 3, 0, 10, 20, 3, 0, 40, 20, 3, 7, 16})
	f.Add(byte(4), []byte{3, 0, 10, 20, 3, 0, 10, 40, 3, 7, 4, 3, 0, 10, 25, 3, 0, 10, 30, 3, 7, 4, 3, 0, 30, 30})
	f.Fuzz(func(t *testing.T, tool byte, script []byte) {
		if len(script) > 2000 {
			return
		}
		s := newStand(t)
		s.bench.SetTool(bench.Tool(tool % 5))
		s.script(script)
		if wrong := s.sound(); wrong != "" {
			t.Fatal(wrong)
		}
	})
}
