package bench_test

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/morph/vision"
	"crownbench/testdata/toothphoto"
	"crownbench/wasm/bench"

	"gonum.org/v1/gonum/spatial/r2"
)

// The teeth here are invented and drawn; what is true of their photographs is
// what the drawing was made from.
var drawn = toothphoto.Tooth{
	Name: "HX-2", CBL: 24, CBW: 11, CH: 46, AL: 52, MCW: 8,
	MesialBow: 0.09, DistalBow: -0.02, MesialSkew: 0.1, Cervix: 0.03, Root: 12, Palette: 1,
	Mesial: toothphoto.Row{Apical: 12, Mid: 12.5, Basal: 14, From: 0.3, To: 0.97},
	Distal: toothphoto.Row{Apical: 11.5, Mid: 12, Basal: 13},
}

// photographed is a drawn photograph; they are kept, since drawing one takes
// longer than all else.
type photographed struct {
	sight bench.Sight
	truth toothphoto.Truth
}

var shots = map[string]photographed{}

// standBefore shows a drawn photograph of a view, with its pixels to look into.
func standBefore(t testing.TB, view toothphoto.View) (*stand, toothphoto.Truth) {
	return standWith(t, view, drawn, false)
}

// standWith shows one of another tooth, flat for two even tones: then the one
// edge there is is the tooth's.
func standWith(t testing.TB, view toothphoto.View, tooth toothphoto.Tooth, flat bool) (*stand, toothphoto.Truth) {
	t.Helper()
	key := fmt.Sprint(view, tooth.Name, flat)
	shot, ok := shots[key]
	if !ok {
		s := toothphoto.Shot{
			View: view, Width: 1000, Height: 800, Rotation: 12, X: 0.5, Y: 0.42, PxPerMM: 11, LightFrom: 315, Blur: 0.7, Noise: 1.5,
			Bar: toothphoto.ScaleBar{Length: 20, X: 0.5, Y: 0.9}, Seed: 5, Flat: flat,
		}
		if view.CloseUp() {
			s.Rotation, s.PxPerMM, s.Bar = 0, 70, toothphoto.ScaleBar{}
		}
		img, truth, err := toothphoto.Render(tooth, s)
		if err != nil {
			t.Fatal(err)
		}
		p, err := vision.PictureOf(img)
		if err != nil {
			t.Fatal(err)
		}
		shot.sight, shot.truth = bench.Sight{Picture: p, Factor: 1}, truth
		shots[key] = shot
	}
	st := standOf(t, morph.View{ID: "p1", Role: morph.Role(view)}, 1000, 800)
	st.sight = &shot.sight
	return st, shot.truth
}

func (s *stand) offer(t *testing.T, label string) {
	t.Helper()
	if !s.act(label) {
		t.Fatalf("%q is not offered: %q", label, s.bench.Prompt().Text)
	}
}

func middleOf(line []r2.Vec) (c r2.Vec) {
	for _, p := range line {
		c = r2.Add(c, r2.Scale(1/float64(len(line)), p))
	}
	return c
}

func apart(v morph.Vertex, p *r2.Vec) float64 { return r2.Norm(r2.Sub(v.Vec(), *p)) }

func TestCrownFromOneClick(t *testing.T) {
	s, truth := standBefore(t, toothphoto.LateralLabial)
	s.bench.SetTool(bench.Crown)
	s.offer(t, "Outline the tooth for me")
	at := middleOf(truth.PlainOutline)
	s.click(at.X, at.Y)
	if s.view().Crown != nil || s.edits != 0 || !s.bench.Offering() {
		t.Fatalf("a proposal went into the record by itself, or none came: %q", s.bench.Prompt().Text)
	}
	chained := 0
	for _, line := range s.bench.Scene().Strokes {
		if line.Dash == bench.Chained {
			chained++
		}
	}
	if chained == 0 {
		t.Error("the proposal is not drawn as one")
	}

	s.offer(t, "Take it")
	c := s.view().Crown
	if c == nil || !c.Done || c.Origin != morph.Proposed || s.edits != 1 {
		t.Fatalf("taken: %+v after %d edits", c, s.edits)
	}
	last := len(c.Path) - 1
	a, g, b := truth.A, truth.G, truth.B
	if apart(c.Path[0], a) > apart(c.Path[0], b) {
		a, b = b, a // which side is mesial is the person's to say
	}
	// 1 % of the crown's height.
	for name, off := range map[string]float64{"A": apart(c.Path[0], a), "G": apart(c.Path[c.Apex], g), "B": apart(c.Path[last], b)} {
		if off > 0.01*truth.PxPerMM*drawn.CH {
			t.Errorf("%s is %.1f px off", name, off)
		}
	}
	if len(c.Path) < 9 {
		t.Errorf("a crown of %d points cannot be corrected in parts", len(c.Path))
	}

	s.undo()
	if s.view().Crown != nil {
		t.Error("one undo does not take the proposal back")
	}
	s.offer(t, "Outline the tooth for me")
	s.click(at.X, at.Y)
	first := s.bench.Scene().Marks
	s.offer(t, "Other way round")
	turned := s.bench.Scene().Marks
	if first[0].Shape != bench.Square || turned[0].Shape != bench.Square || first[0].At == turned[0].At {
		t.Error("the other way round has its mesial end (A) in the same place")
	}
	s.offer(t, "Discard")
	if s.view().Crown != nil || s.bench.Offering() {
		t.Error("a discarded proposal stays")
	}
}

// A trace that is there is not replaced before the person says so; a proposal
// that was taken is edited like any trace, and then says that it was.
func TestProposalBesideATrace(t *testing.T) {
	s, truth := standBefore(t, toothphoto.LateralLabial)
	s.bench.SetTool(bench.Crown)
	for _, p := range []*r2.Vec{truth.A, truth.G} {
		s.click(p.X, p.Y)
	}
	s.key("g")
	s.click(truth.B.X, truth.B.Y)
	s.key("b")
	mine := *s.view().Crown
	at := middleOf(truth.PlainOutline)
	ask := func() {
		s.offer(t, "Outline the tooth for me")
		s.click(at.X, at.Y)
		s.offer(t, "Take it")
	}
	ask()
	if p := s.bench.Prompt(); !strings.Contains(p.Text, "already") || len(s.view().Crown.Path) != len(mine.Path) {
		t.Fatalf("a crown traced by hand was replaced, or nothing was asked: %q", p.Text)
	}
	s.offer(t, "Keep what is there")
	if len(s.view().Crown.Path) != len(mine.Path) || s.view().Crown.Origin != morph.ByHand {
		t.Fatal("what was kept is not what was there")
	}
	ask()
	s.offer(t, "Replace it")
	c := s.view().Crown
	if c.Origin != morph.Proposed {
		t.Fatal("the proposal was not put in place")
	}
	p := c.Path[2].Vec()
	before := s.edits
	s.drag([2]float64{p.X, p.Y}, [2]float64{p.X + 9, p.Y + 3})
	if c = s.view().Crown; c.Origin != morph.Edited || s.edits == before {
		t.Errorf("after a correction the crown's origin is %q", c.Origin)
	}
	s.undo()
	s.undo()
	if len(s.view().Crown.Path) != len(mine.Path) {
		t.Error("undo does not bring back what was traced by hand")
	}
}

func TestSectionFromOneClick(t *testing.T) {
	s, truth := standBefore(t, toothphoto.Basal)
	s.bench.SetTool(bench.Section)
	s.offer(t, "Outline the section for me")
	at := middleOf(truth.Section)
	s.click(at.X, at.Y)
	s.offer(t, "Take it")
	c := s.view().Section
	if c == nil || !c.Done || c.Mesial == morph.Unset || c.Distal == morph.Unset || c.Origin != morph.Proposed {
		t.Fatalf("taken: %+v", c)
	}
	if s.bench.Progress(bench.Section) != bench.Complete {
		t.Error("the section is not complete")
	}
	want := math.Abs(morph.Area(truth.Section))
	if got := math.Abs(morph.Area(c.Outline.Polygon())); math.Abs(got-want) > 0.02*want {
		t.Errorf("the section's area is %.0f px², drawn were %.0f", got, want)
	}
	length := r2.Norm(r2.Sub(c.Outline[c.Mesial].Vec(), c.Outline[c.Distal].Vec()))
	if want := truth.PxPerMM * drawn.CBL; math.Abs(length-want) > 0.01*want {
		t.Errorf("its ends lie %.1f px apart, drawn %.1f", length, want)
	}
}

// Before a section is taken the prompt says how long and wide it would be: what
// was drawn (the generator's truth), within three of the uncertainties stated, in
// px and, once the photograph has a scale, in mm.
func TestSectionSaysWhatItWouldGive(t *testing.T) {
	for _, unit := range []string{"px", "mm"} {
		s, truth := standBefore(t, toothphoto.Basal)
		factor := truth.PxPerMM
		if unit == "mm" {
			factor = 1
			ends := truth.Bar.Ends
			s.bench.SetTool(bench.Scale)
			s.click(ends[0].X, ends[0].Y)
			s.click(ends[1].X, ends[1].Y)
			if err := s.bench.SetBarLength(truth.Bar.Length, 0, morph.Millimetre); err != nil {
				t.Fatal(err)
			}
		}
		s.bench.SetTool(bench.Section)
		s.offer(t, "Outline the section for me")
		at := middleOf(truth.Section)
		s.click(at.X, at.Y)
		_, said, ok := strings.Cut(s.bench.Prompt().Text, "It would give ")
		var cbl, uCBL, cbw, uCBW float64
		pattern := "CBL %f ± %f\u00a0" + unit + " and CBW %f ± %f\u00a0" + unit + "."
		if n, err := fmt.Sscanf(said, pattern, &cbl, &uCBL, &cbw, &uCBW); !ok || n != 4 {
			t.Fatalf("it says %q: %v", s.bench.Prompt().Text, err)
		}
		for _, x := range []struct{ got, u, want float64 }{{cbl, uCBL, factor * drawn.CBL}, {cbw, uCBW, factor * drawn.CBW}} {
			if math.Abs(x.got-x.want) > 3*x.u || x.u > 0.05*x.want {
				t.Errorf("%g ± %g %s, drawn %g", x.got, x.u, unit, x.want)
			}
		}
	}
}

// Where readings are hidden, as from a student, a proposal keeps them too.
func TestSectionKeepsHiddenReadings(t *testing.T) {
	s, truth := standBefore(t, toothphoto.Basal)
	s.bench.TellReadings(false)
	s.bench.SetTool(bench.Section)
	s.offer(t, "Outline the section for me")
	at := middleOf(truth.Section)
	s.click(at.X, at.Y)
	if said := s.bench.Prompt().Text; !s.bench.Offering() || strings.ContainsAny(said, "0123456789±") {
		t.Errorf("it says %q", said)
	}
}

func TestScaleBarFound(t *testing.T) {
	s, truth := standBefore(t, toothphoto.LateralLabial)
	s.bench.SetTool(bench.Scale)
	s.offer(t, "Find the scale bar")
	if len(s.view().Bars) != 0 || !s.bench.Offering() {
		t.Fatalf("no bar is proposed: %q", s.bench.Prompt().Text)
	}
	if err := s.bench.SetBarLength(-1, 0, morph.Millimetre); err == nil || len(s.view().Bars) != 0 {
		t.Error("a bar was taken with a length that is none")
	}
	if err := s.bench.SetBarLength(truth.Bar.Length, 0, morph.Millimetre); err != nil {
		t.Fatal(err)
	}
	bars := s.view().Bars
	if len(bars) != 1 || bars[0].Origin != morph.Proposed || s.edits != 1 {
		t.Fatalf("taken with its length: %+v after %d edits", bars, s.edits)
	}
	sc, err := morph.ScaleOf(bars, 1)
	if err != nil || math.Abs(sc.PxPerMM/truth.PxPerMM-1) > 0.005 {
		t.Errorf("the scale is %.3f px/mm (%v), drawn %.3f", sc.PxPerMM, err, truth.PxPerMM)
	}
	s.undo()
	if len(s.view().Bars) != 0 {
		t.Error("one undo does not take the bar back")
	}
}

func TestDenticlesAlongAStretch(t *testing.T) {
	s, truth := standBefore(t, toothphoto.DistalCarina)
	s.bench.SetTool(bench.Denticles)
	row := toothphoto.Trace(truth).Stretches[0]
	for _, x := range toothphoto.Trace(truth).Stretches {
		if len(x.Ticks) > len(row.Ticks) {
			row = x
		}
	}
	for i, q := range row.Line {
		if i%4 == 0 || i == len(row.Line)-1 {
			s.click(q[0], q[1])
		}
	}
	s.key("e")
	s.offer(t, "Propose denticles")
	s.offer(t, "Take it")
	st := s.view().Stretches[0]
	if st.Origin != morph.Proposed || len(st.Ticks) < 4 {
		t.Fatalf("%d denticles proposed: %q", len(st.Ticks), s.bench.Prompt().Text)
	}
	// Each tick on a denticle, none of them twice.
	pitch := r2.Norm(r2.Sub(truth.Distal[1].Tip, truth.Distal[0].Tip))
	taken := map[int]bool{}
	for _, v := range st.Ticks {
		best, far := -1, math.Inf(1)
		for i, d := range truth.Distal {
			if x := apart(v, &d.Tip); x < far {
				best, far = i, x
			}
		}
		if far > 0.45*pitch || taken[best] {
			t.Errorf("a tick at %v is %.1f px from a denticle, or the second on it", v.Vec(), far)
		}
		taken[best] = true
	}
	s.offer(t, "Propose denticles")
	s.offer(t, "Take it")
	if !strings.Contains(s.bench.Prompt().Text, "already") {
		t.Error("ticks are replaced without a question")
	}
}

// The lost tip of a straight cone is where its sides meet. The estimate goes once
// the edges that it came of are changed.
func TestTipFromBothEdges(t *testing.T) {
	c := &morph.Crown{Apex: 2, Done: true, ApexBroken: true, Path: morph.Path{
		{X: 400, Y: 700}, {X: 475, Y: 250}, {X: 500, Y: 250}, {X: 525, Y: 250}, {X: 600, Y: 700},
	}}
	s := standOf(t, morph.View{ID: "p1", Role: morph.LateralLabial, Crown: c}, 1000, 800)
	s.bench.SetTool(bench.Crown)
	s.offer(t, "Estimate the tip from both edges")
	if s.view().Crown.Tip != nil || !s.bench.Offering() {
		t.Fatalf("no tip is proposed: %q", s.bench.Prompt().Text)
	}
	s.offer(t, "Take it")
	// CALC: x = 400 + (700-y)/6 meets x = 600 - (700-y)/6 at y = 100, 600 px over
	// the base. Of that goes what a tip rounded by 0.016 ± 0.008 of the height (an
	// assumption of vision.Tip) lacks of a sharp one: 0.016 · 600 · (√37 − 1) px,
	// √37 being 1 over the sine of half the angle. Straight sides leave no other
	// doubt than that ±.
	rounded := 600 * (math.Sqrt(37) - 1)
	tip := s.view().Crown.Tip
	if tip == nil || math.Abs(tip.X-500) > 0.5 || math.Abs(tip.Y-100-0.016*rounded) > 0.5 || math.Abs(tip.U-0.008*rounded) > 0.5 {
		t.Fatalf("the tip is estimated at %+v", tip)
	}
	s.drag([2]float64{475, 250}, [2]float64{465, 260})
	if s.view().Crown.Tip != nil {
		t.Error("an estimate outlives the edges that it came of")
	}
	s.undo()
	s.undo()
	if s.view().Crown.Tip != nil || s.edits != 2 {
		t.Errorf("taken and undone, with %d edits", s.edits)
	}
}

// What cannot be found is said in a sentence, and tracing goes on by hand.
func TestNothingFound(t *testing.T) {
	s, truth := standBefore(t, toothphoto.LateralLabial)
	s.bench.SetTool(bench.Crown)
	refused := func(name, want string) {
		t.Helper()
		p := s.bench.Prompt()
		if s.bench.Offering() || !strings.Contains(p.Text, want) || len(s.said) == 0 || s.said[len(s.said)-1] != p.Text || !strings.HasSuffix(p.Text, ".") {
			t.Errorf("%s: %q, said %q", name, p.Text, s.said)
		}
		s.offer(t, "Go on by hand")
		if s.bench.Asked() || s.edits != 0 {
			t.Errorf("%s: a refusal stays, or left something", name)
		}
	}
	s.offer(t, "Outline the tooth for me")
	s.click(40, 40)
	refused("ground", "by hand")
	s.click(truth.A.X, truth.A.Y)
	if s.view().Crown == nil {
		t.Error("tracing does not go on")
	}

	s = standOf(t, morph.View{ID: "p1", Role: morph.LateralLabial}, 1000, 800)
	s.sight = &bench.Sight{Picture: touching(t), Factor: 1}
	s.bench.SetTool(bench.Crown)
	s.offer(t, "Outline the tooth for me")
	s.click(400, 500)
	refused("two teeth that touch", "not one tooth")
	s.bench.SetTool(bench.Scale)
	s.offer(t, "Find the scale bar")
	refused("no bar", "No scale bar")
	s.sight = nil
	s.bench.SetTool(bench.Look)
	s.bench.Show(nil, 0, 0)
	s.show()
	s.bench.SetTool(bench.Scale)
	s.offer(t, "Find the scale bar")
	refused("no pixels", "cannot be read")
}

// touching draws two cones beside each other that touch along their bases.
func touching(t *testing.T) *vision.Picture {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 1000, 800))
	for y := range 800 {
		for x := range 1000 {
			tone := uint8(60)
			for _, middle := range []int{400, 560} {
				if y > 100 && y < 650 && 7*max(x-middle, middle-x) < y-100 {
					tone = 200
				}
			}
			img.SetRGBA(x, y, color.RGBA{tone, tone, tone, 255})
		}
	}
	p, err := vision.PictureOf(img)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A bar without divisions is proposed by its ends, with the question how long it
// is; nothing says so but the person.
func TestPlainBar(t *testing.T) {
	img, truth, err := toothphoto.Render(drawn, toothphoto.Shot{
		View: toothphoto.LateralLabial, Width: 1000, Height: 800, X: 0.4, Y: 0.45, PxPerMM: 11, LightFrom: 315, Blur: 0.6, Noise: 1,
		Bar: toothphoto.ScaleBar{Style: toothphoto.Line, Length: 20, X: 0.8, Y: 0.9}, Seed: 3,
	})
	if err != nil {
		t.Fatal(err)
	}
	p, err := vision.PictureOf(img)
	if err != nil {
		t.Fatal(err)
	}
	s := standOf(t, morph.View{ID: "p1", Role: morph.LateralLabial}, 1000, 800)
	s.sight = &bench.Sight{Picture: p, Factor: 1}
	s.bench.SetTool(bench.Scale)
	s.offer(t, "Find the scale bar")
	if text := s.bench.Prompt().Text; !strings.Contains(text, "plain line") || !strings.Contains(text, "How long") {
		t.Fatalf("%q", text)
	}
	if bar, entered, ok := s.bench.BarLength(); entered || !ok || bar.Length != 0 {
		t.Errorf("a length is made up for a bar without divisions: %+v", bar)
	}
	s.offer(t, "Take it")
	ends := truth.Bar.Ends
	want := r2.Norm(r2.Sub(ends[0], ends[1]))
	bar := s.view().Bars[0]
	if got := r2.Norm(r2.Sub(bar.From.Vec(), bar.To.Vec())); math.Abs(got-want) > 0.01*want || bar.Length != 0 {
		t.Errorf("taken: %.1f px, drawn %.1f, length %v", got, want, bar.Length)
	}
}

// Pixels read at half the size give the same places on the photo as all of them.
func TestHalfSight(t *testing.T) {
	taken := func(halved bool) *morph.View {
		s, truth := standBefore(t, toothphoto.LateralLabial)
		if halved {
			l := s.sight.Picture.Level(1)
			p, err := vision.NewPicture(l.Pix, l.Width, l.Height)
			if err != nil {
				t.Fatal(err)
			}
			s.sight = &bench.Sight{Picture: p, Factor: 2}
		}
		s.bench.SetTool(bench.Scale)
		s.offer(t, "Find the scale bar")
		s.offer(t, "Take it")
		s.bench.SetTool(bench.Crown)
		at := middleOf(truth.PlainOutline)
		s.offer(t, "Outline the tooth for me")
		s.click(at.X, at.Y)
		s.offer(t, "Take it")
		return s.view()
	}
	whole, half := taken(false), taken(true)
	if a, b := barLength(whole.Bars[0]), barLength(half.Bars[0]); math.Abs(a-b) > 0.005*a {
		t.Errorf("the bar is %.1f px long, and %.1f by half the pixels", a, b)
	}
	// A few px of the photo are one or two of the picture.
	c, h := whole.Crown, half.Crown
	for name, off := range map[string]float64{
		"A": r2.Norm(r2.Sub(c.Path[0].Vec(), h.Path[0].Vec())),
		"G": r2.Norm(r2.Sub(c.Path[c.Apex].Vec(), h.Path[h.Apex].Vec())),
		"B": r2.Norm(r2.Sub(c.Path[len(c.Path)-1].Vec(), h.Path[len(h.Path)-1].Vec())),
	} {
		if off > 5 {
			t.Errorf("%s moves by %.1f px", name, off)
		}
	}
	if a, b := math.Abs(morph.Area(c.Path.Polyline())), math.Abs(morph.Area(h.Path.Polyline())); math.Abs(a-b) > 0.02*a {
		t.Errorf("the crown has %.0f px², and %.0f by half the pixels", a, b)
	}
}

func barLength(b morph.Bar) float64 { return r2.Norm(r2.Sub(b.From.Vec(), b.To.Vec())) }

// The whole of it by keys: the action's own, arrows and Enter for the click,
// Enter to take it, Escape to let go.
func TestProposalByKeyboard(t *testing.T) {
	s, truth := standBefore(t, toothphoto.LateralLabial)
	s.bench.SetTool(bench.Crown)
	at := middleOf(truth.PlainOutline)
	walk := func() {
		s.key("o", "ArrowRight")
		for range 40 {
			c := s.bench.Scene()
			if c.Cross == nil {
				t.Fatal("no crosshair")
			}
			here := c.Photo.Photo(*c.Cross)
			switch {
			case here.X < at.X-10:
				s.key("ArrowRight")
			case here.X > at.X+10:
				s.key("ArrowLeft")
			case here.Y < at.Y-10:
				s.key("ArrowDown")
			case here.Y > at.Y+10:
				s.key("ArrowUp")
			}
		}
		s.key("Enter")
	}
	walk()
	if !s.bench.Offering() {
		t.Fatalf("no proposal: %q", s.bench.Prompt().Text)
	}
	s.key("Escape")
	if s.bench.Offering() || s.view().Crown != nil {
		t.Error("Escape does not let go of a proposal")
	}
	walk()
	s.key("s", "Enter")
	if c := s.view().Crown; c == nil || !c.Done {
		t.Error("Enter does not take the proposal")
	}
}

// An answer that comes after the person went on is not shown.
func TestLateProposal(t *testing.T) {
	s, truth := standBefore(t, toothphoto.LateralLabial)
	s.slow = true
	s.bench.SetTool(bench.Crown)
	at := middleOf(truth.PlainOutline)
	s.offer(t, "Outline the tooth for me")
	s.click(at.X, at.Y)
	s.offer(t, "Stop")
	s.answer()
	if s.bench.Offering() {
		t.Error("a stopped search brings a proposal")
	}
	s.offer(t, "Outline the tooth for me")
	s.click(at.X, at.Y)
	s.bench.SetTool(bench.Scale)
	s.answer()
	if s.bench.Offering() {
		t.Error("a search for the crown brings a proposal to the scale")
	}
}

// While the picture is searched the person may stop that, or go on to something
// else: nothing is proposed then, and nothing of it stays.
func TestSearchIsStopped(t *testing.T) {
	s, truth := standBefore(t, toothphoto.LateralLabial)
	at := middleOf(truth.PlainOutline)
	ask := func() {
		s.bench.SetTool(bench.Crown)
		s.offer(t, "Outline the tooth for me")
		s.click(at.X, at.Y)
	}
	for name, leave := range map[string]func(){
		"stopped":       func() { s.offer(t, "Stop") },
		"by key":        func() { s.key("Escape") },
		"another tool":  func() { s.bench.SetTool(bench.Scale) },
		"another photo": func() { s.bench.Show(&morph.View{ID: "p2", Role: morph.LateralLabial}, 1000, 800) },
	} {
		s.show()
		left := false
		s.meanwhile = func() {
			if p := s.bench.Prompt(); !p.Busy {
				t.Errorf("%s: while it searches the page says %q", name, p.Text)
			}
			leave()
			left = true
		}
		ask()
		if !left {
			t.Fatalf("%s: the search never rested", name)
		}
		if s.bench.Asked() || s.view().Crown != nil {
			t.Errorf("%s: the search went on to %q", name, s.bench.Prompt().Text)
		}
	}
	// Looking elsewhere in the photo stops nothing.
	s.show()
	s.meanwhile = func() { s.bench.Wheel(bench.WheelEvent{X: 300, Y: 300, DY: -100}) }
	ask()
	if !s.bench.Offering() {
		t.Errorf("zooming ended the search: %q", s.bench.Prompt().Text)
	}
}
