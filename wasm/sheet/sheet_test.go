package sheet_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/classify"
	"crownbench/morph"
	m "crownbench/wasm/markup"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
	"crownbench/wasm/tray/traytest"
)

// parse reads a standalone file with the standard library's XML reader, which
// refuses what is not well-formed, and gives its elements.
func parse(t interface{ Fatalf(string, ...any) }, doc []byte) *m.Node {
	d := xml.NewDecoder(bytes.NewReader(doc))
	top := &m.Node{Tag: "document"}
	stack := []*m.Node{top}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return top
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, doc)
		}
		parent := stack[len(stack)-1]
		switch token := token.(type) {
		case xml.StartElement:
			n := &m.Node{Tag: token.Name.Local, Attrs: map[string]string{}}
			for _, a := range token.Attr {
				n.Attrs[a.Name.Local] = a.Value
			}
			parent.Children = append(parent.Children, n)
			stack = append(stack, n)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			parent.Children = append(parent.Children, m.Text(string(token)))
		case xml.Comment, xml.ProcInst:
			t.Fatalf("the sheet holds %T", token)
		}
	}
}

func standalone(s *tray.Specimen, pictures ...sheet.Picture) []byte {
	return sheet.Standalone(sheet.Sheet(s, tray.Find(s), pictures, versions))
}

// all gives the elements of a tag, and of a class where one follows a point.
func all(n *m.Node, selector string) []*m.Node {
	tag, class, _ := strings.Cut(selector, ".")
	var found []*m.Node
	if (tag == "" || n.Tag == tag) && n.Tag != "" && strings.Contains(" "+n.Attrs["class"]+" ", " "+class+" ") || class == "" && tag != "" && n.Tag == tag {
		found = append(found, n)
	}
	for _, c := range n.Children {
		found = append(found, all(c, selector)...)
	}
	return found
}

// rows gives the texts of a table's cells.
func rows(n *m.Node) [][]string {
	var out [][]string
	for _, tr := range all(n, "tr") {
		var cells []string
		for _, c := range tr.Children {
			if c.Tag == "td" || c.Tag == "th" {
				cells = append(cells, strings.TrimSpace(c.PlainText()))
			}
		}
		out = append(out, cells)
	}
	return out
}

func one(t *testing.T, n *m.Node, selector string) *m.Node {
	t.Helper()
	found := all(n, selector)
	if len(found) != 1 {
		t.Fatalf("%d elements %s", len(found), selector)
	}
	return found[0]
}

func TestSheetOfAPublishedTooth(t *testing.T) {
	s := tyrannosaurus(t)
	s.Remarks = "first line\nsecond line"
	f := tray.Find(s)
	doc := parse(t, standalone(s))
	if got := one(t, doc, "h1").PlainText(); got != s.Name {
		t.Errorf("the heading is %q", got)
	}
	if got := one(t, doc, "title").PlainText(); got != s.Name {
		t.Errorf("the title is %q", got)
	}
	if len(all(doc, "p.invented")) != 0 {
		t.Error("a real tooth is called invented")
	}
	if got := one(t, doc, "p.said").PlainText(); got != f.Answer.Said {
		t.Errorf("said %q, the answer is %q", got, f.Answer.Said)
	}
	if got := one(t, doc, "p.remarks").PlainText(); !strings.Contains(got, s.Remarks) {
		t.Errorf("remarks: %q", got)
	}

	// Readings: printed values of the row, see tyrannosaurus.
	got := map[string][]string{}
	for _, r := range rows(one(t, doc, "table.readings")) {
		if len(r) == 5 {
			id, _, _ := strings.Cut(r[0], " ")
			got[id] = r[1:]
		}
	}
	for id, want := range map[string][]string{
		"CBL": {"45.46 ± 0.10", "mm", "measured", "typed"},
		"CBW": {"32.63", "mm", "measured", "typed"},
		"MC":  {"6.5", "per 5 mm", "measured", "typed"},
	} {
		if diff := cmp.Diff(want, got[id]); diff != "" {
			t.Errorf("%s (-want +got):\n%s", id, diff)
		}
	}
	if r := got["CBR"]; len(r) == 0 || !strings.HasPrefix(r[0], "0.7178 ± 0.0016") { // u = CBR·0.1/45.46, closed form
		t.Errorf("CBR reads %q", r)
	}
	if text := one(t, doc, "section.sheet-readings").PlainText(); !strings.Contains(text, "Not known: ") || !strings.Contains(text, "MCL") {
		t.Error("does not say that MCL is not known")
	}

	// The nearest teeth, first among them the tooth itself, side by side.
	near := rows(one(t, doc, "table.nearest"))
	if len(near) != 17 { // headings, this tooth, fifteen
		t.Fatalf("%d rows of nearest teeth", len(near))
	}
	for i, row := range near[1:3] {
		// CBL, CBW, CH, AL, CBR, CHR, MC, DC
		if diff := cmp.Diff([]string{"45.46", "32.63", "94.06", "108.36", "0.718", "2.069", "6.5", "7.5"}, row[3:11]); diff != "" {
			t.Errorf("row %d of the nearest teeth (-want +got):\n%s", i, diff)
		}
	}
	if near[1][0] != "This tooth" || !strings.HasPrefix(near[2][0], "FMNH PR2081") || near[2][11] != "0.00" {
		t.Errorf("nearest: %q, %q", near[1], near[2])
	}
	// Each number of a source stands in the list of sources.
	sources := all(one(t, doc, "section.sheet-sources"), "li")
	for i, n := range f.Answer.Neighbours {
		row := near[2+i]
		number, err := strconv.Atoi(strings.Trim(row[len(row)-1], "[]"))
		if err != nil || number < 1 || number > len(sources) {
			t.Errorf("row %d quotes %q of %d sources", i, row[len(row)-1], len(sources))
			continue
		}
		src, ok := classify.Published().Source(n.Tooth.Source)
		if !ok || sources[number-1].PlainText() != src.Reference {
			t.Errorf("[%d] is %q, want %q", number, sources[number-1].PlainText(), src.Reference)
		}
	}

	for section, says := range map[string][]string{
		"sheet-sorting":  {"Shape class", fmt.Sprintf("%.0f %%", 100*f.Answer.Shares[0].Share), fmt.Sprintf("with %d published teeth", f.Answer.Comparable)},
		"sheet-assumed":  {"lateral crowns only", "MC/DC", "CH/CBL", "ellipse", "one standard uncertainty"},
		"sheet-cautions": {"an aid, not a determination", "permits", "local law", "whether it is a theropod", "absent is not the same as not preserved"},
		"sheet-sources":  {"e2311791", "e19116", "Smith 2005"},
		"sheet-foot":     {"test 1", f.Answer.Version, "2026-05-04 03:02 UTC"},
	} {
		text := one(t, doc, "."+section).PlainText()
		for _, say := range says {
			if !strings.Contains(text, say) {
				t.Errorf("%s does not say %q:\n%s", section, say, text)
			}
		}
	}
}

// A reading's standing is told in words and by the trade's mark.
func TestSheetStates(t *testing.T) {
	s := typed(t, "s", "marks", "", map[morph.ID]string{"CBL": "~38", "CBW": "?", "CH": ">24.6", "MCL": "/", "DC": "absent"})
	s.Mesial = morph.DenticlesNotPreserved
	doc := parse(t, standalone(s))
	got := map[string][]string{}
	for _, r := range rows(one(t, doc, "table.readings")) {
		if len(r) == 5 {
			id, _, _ := strings.Cut(r[0], " ")
			got[id] = []string{r[1], r[3]}
		}
	}
	for id, want := range map[string][]string{
		"CBL": {"~38", "estimated"}, "CBW": {"?", "unknown"}, "CH": {">24.6", "minimum"}, "MCL": {"/", "not applicable"},
		"DC": {"absent", "absent"}, "MC": {"not preserved", "not preserved"},
	} {
		if diff := cmp.Diff(want, got[id]); diff != "" {
			t.Errorf("%s (-want +got):\n%s", id, diff)
		}
	}
	if text := one(t, doc, "section.sheet-sorting").PlainText(); !strings.Contains(text, "Cannot say") {
		t.Errorf("without a width: %s", text)
	}
	if text := one(t, doc, "section.sheet-assumed").PlainText(); !strings.Contains(text, "not known") {
		t.Errorf("the tooth row is not said to be unknown: %s", text)
	}
}

// Smith 2005 divides CH by the long axis for T. rex pm03 (CBL 24, CBW 36.06,
// CH 63.65; 1.765114 printed); beside the published teeth stands CH / CBL.
func TestSheetLongAxis(t *testing.T) {
	s := typed(t, "s", "pm03", tray.RowMesial, map[morph.ID]string{"CBL": "24", "CBW": "36.06", "CH": "63.65"})
	s.CHR = morph.CHRByLongAxis
	doc := parse(t, standalone(s))
	var chr []string
	for _, r := range rows(one(t, doc, "table.readings")) {
		if strings.HasPrefix(r[0], "CHR ") {
			chr = r
		}
	}
	if len(chr) == 0 || chr[1] != "1.765" {
		t.Errorf("CHR reads %q", chr)
	}
	own := rows(one(t, doc, "table.nearest"))[1]
	if own[8] != "2.652" {
		t.Errorf("beside the published teeth CHR is %q, want 2.652", own[8])
	}
	if text := one(t, doc, "section.sheet-assumed").PlainText(); !strings.Contains(text, "CH/long axis") || !strings.Contains(text, "mesial crowns only") {
		t.Errorf("assumed: %s", text)
	}
}

func attr(t *testing.T, n *m.Node, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(n.Attrs[name], 64)
	if err != nil {
		t.Fatalf("%s of %s: %v", name, n.Tag, err)
	}
	return v
}

// The figure's geometry, against the points that were marked.
func TestFigure(t *testing.T) {
	const url = "data:image/png;base64,iVBORw0KGgo="
	s := photographed()
	doc := parse(t, standalone(s, sheet.Picture{Hash: "other", URL: "data:,"}, sheet.Picture{Hash: hash, URL: url}))
	svg := one(t, doc, "svg")

	image := one(t, svg, "image")
	for name, want := range map[string]string{"href": url, "x": "0", "y": "0", "width": "3000", "height": "2000"} {
		if image.Attrs[name] != want {
			t.Errorf("the photograph's %s is %q, want %q", name, image.Attrs[name], want)
		}
	}
	var x, y, w, h float64
	if _, err := fmt.Sscan(svg.Attrs["viewBox"], &x, &y, &w, &h); err != nil {
		t.Fatal(err)
	}
	inside := func(px, py float64) bool { return px >= x && px <= x+w && py >= y && py <= y+h }
	if x < 0 || y < 0 || x+w > 3000 || y+h > 2000 {
		t.Errorf("the figure reaches beyond the photograph: %s", svg.Attrs["viewBox"])
	}
	for _, v := range []morph.Vertex{{X: 990, Y: 1200}, {X: 1000, Y: 1000}, {X: 2200, Y: 1000}, {X: 2100, Y: 900}, {X: 1800, Y: 1800}} {
		if !inside(v.X, v.Y) {
			t.Errorf("a mark at %v, %v is cut off by %s", v.X, v.Y, svg.Attrs["viewBox"])
		}
	}

	// 800 px for 10 mm are 80 px per mm; the bar that is drawn is as long as its
	// label says, and lies in the figure.
	bar := one(t, svg, "rect.scale-bar")
	label := one(t, svg, "text.scale-length").PlainText()
	mm, err := strconv.ParseFloat(strings.TrimSuffix(label, " mm"), 64)
	if err != nil || math.Abs(attr(t, bar, "width")-80*mm) > 1e-3 {
		t.Errorf("a scale bar of %v px is labelled %q; 80 px are 1 mm", attr(t, bar, "width"), label)
	}
	if mm != 5 { // 0.3 of some 1,500 px are 5.6 mm
		t.Errorf("the scale bar is of %v mm", mm)
	}
	if bx, by := attr(t, bar, "x"), attr(t, bar, "y"); !inside(bx, by) || !inside(bx+attr(t, bar, "width"), by+attr(t, bar, "height")) {
		t.Error("the scale bar is cut off")
	}

	for selector, want := range map[string]string{
		"path.crown":   "M1000 1400L990 1200L1000 1000L1300 1400",
		"path.section": "M2000 1000L2100 900L2200 1000L2100 1100Z",
		"path.carina":  "M1100 1100L1200 1300",
		"path.bar":     "M1000 1800L1800 1800",
	} {
		lines := all(svg, selector)
		if len(lines) != 2 { // halo and core
			t.Errorf("%d lines %s", len(lines), selector)
			continue
		}
		for _, l := range lines {
			if l.Attrs["d"] != want {
				t.Errorf("%s runs %s, want %s", selector, l.Attrs["d"], want)
			}
		}
		if lines[0].Attrs["stroke"] == lines[1].Attrs["stroke"] {
			t.Errorf("halo and core of %s are of one colour", selector)
		}
	}

	// Letters stand near their landmarks, each nearest to its own.
	letter := w / 26
	if h > w {
		letter = h / 26
	}
	at := map[string]morph.Vertex{
		"A": {X: 1000, Y: 1400}, "G": {X: 1000, Y: 1000}, "B": {X: 1300, Y: 1400}, "mesial": {X: 2000, Y: 1000}, "distal": {X: 2200, Y: 1000},
	}
	texts := append(all(svg, "text.landmark"), all(svg, "text.section-end")...)
	if len(texts) != len(at) {
		t.Fatalf("%d letters", len(texts))
	}
	for _, n := range texts {
		v := at[n.PlainText()]
		if d := math.Hypot(attr(t, n, "x")-v.X, attr(t, n, "y")-v.Y); d > 1.2*letter || d < 0.5*letter {
			t.Errorf("%s stands %v px from its landmark; letters are %v high", n.PlainText(), d, letter)
		}
	}
	if n := len(all(svg, "circle.landmark")); n != 6 { // three, in halo and core
		t.Errorf("%d rings on landmarks", n)
	}

	// Denticle ticks: as many as were marked, through them, square to the carina.
	var ticks [][4]float64
	for _, p := range all(svg, "path.denticle") {
		var a [4]float64
		if _, err := fmt.Sscanf(p.Attrs["d"], "M%g %gL%g %g", &a[0], &a[1], &a[2], &a[3]); err != nil {
			t.Fatal(err)
		}
		ticks = append(ticks, a)
	}
	marked := s.Photos[0].Stretches[0].Ticks
	if len(ticks) != 2*len(marked) {
		t.Fatalf("%d ticks for %d denticles", len(ticks), len(marked))
	}
	for i, a := range ticks {
		v := marked[i/2]
		if math.Hypot((a[0]+a[2])/2-v.X, (a[1]+a[3])/2-v.Y) > 1e-2 {
			t.Errorf("tick %d is not on its denticle", i)
		}
		if dot := (a[2]-a[0])*100 + (a[3]-a[1])*200; math.Abs(dot) > 1 {
			t.Errorf("tick %d is not square to the carina", i)
		}
	}
	if n := len(all(svg, "path.bar-end")); n != 4 {
		t.Errorf("%d lines at the ends of the bar", n)
	}
	if got := one(t, svg, "text.bar-length").PlainText(); got != "10 mm" {
		t.Errorf("the photographed bar is labelled %q", got)
	}
	for _, say := range []string{"lateral labial", "crown traced", "5 denticles on the distal mid carina", "1 reading of the scale bar"} {
		if !strings.Contains(svg.Attrs["aria-label"], say) {
			t.Errorf("the figure's description %q does not say %q", svg.Attrs["aria-label"], say)
		}
	}
	caption := one(t, doc, "figcaption").PlainText()
	for _, say := range []string{"Lateral labial", "tooth.jpg", "scale 80.0 px per mm ± 0.177 %", "1 reading", "± 1 px, as assumed"} { // √2·1/800, closed form
		if !strings.Contains(caption, say) {
			t.Errorf("the caption %q does not say %q", caption, say)
		}
	}
	if text := one(t, doc, "p.invented").PlainText(); !strings.Contains(text, "INVENTED") {
		t.Errorf("an invented tooth is marked %q", text)
	}
	// 10 mm of 500: 2.0408 %, 10° of tilt: 1.5192 % (closed forms).
	if text := one(t, doc, "section.sheet-assumed").PlainText(); !strings.Contains(text, "2.0 % too long") || !strings.Contains(text, "1.5 % too short") {
		t.Errorf("what the plane does is not said: %s", text)
	}
}

func TestFigureWithoutPicture(t *testing.T) {
	s := photographed()
	for name, pictures := range map[string][]sheet.Picture{
		"no picture": nil, "another picture": {{Hash: "x", URL: "data:,"}}, "a picture without address": {{Hash: hash}},
	} {
		doc := parse(t, standalone(s, pictures...))
		if n := len(all(doc, "image")); n != 0 {
			t.Errorf("%s: %d images", name, n)
		}
		one(t, doc, "rect.no-photo")
		if len(all(doc, "path.crown")) != 2 {
			t.Errorf("%s: the crown is not drawn", name)
		}
		if text := one(t, doc, "figcaption").PlainText(); !strings.Contains(text, "not at hand") {
			t.Errorf("%s: %s", name, text)
		}
	}
	// A photograph without scale or marks is shown whole, without a bar.
	s.Photos[0].View = morph.View{ID: "v", Role: morph.BasalView}
	doc := parse(t, standalone(s, sheet.Picture{Hash: hash, URL: "data:,"}))
	svg := one(t, doc, "svg")
	if svg.Attrs["viewBox"] != "0 0 3000 2000" || len(all(svg, "rect.scale-bar")) != 0 {
		t.Errorf("viewBox %s, %d bars", svg.Attrs["viewBox"], len(all(svg, "rect.scale-bar")))
	}
	if text := one(t, doc, "figcaption").PlainText(); !strings.Contains(text, "no scale") {
		t.Error(text)
	}
}

// What sets the scale and what was done about the tooth's depth is said.
func TestFigureOnACard(t *testing.T) {
	for _, c := range []struct {
		depth morph.Depth
		say   []string
	}{
		{morph.Depth{Offset: 8, Distance: 400}, []string{"8.00 mm nearer", "400 mm from it", "corrected"}},
		{morph.Depth{Offset: -3}, []string{"3.00 mm farther", "not known", "not corrected", "300 mm at least"}},
	} {
		s := photographed()
		v := &s.Photos[0].View
		v.Flat = &morph.Flat{Width: 10, Height: 10, Unit: morph.Millimetre,
			Corners: [4]morph.Vertex{{X: 0, Y: 0}, {X: 800, Y: 0}, {X: 800, Y: 800}, {X: 0, Y: 800}}}
		v.Depth = &c.depth
		v.Repeats = []morph.Path{{{X: 9, Y: 20}, {X: 10, Y: 21}, {X: 11, Y: 19}}}
		caption := one(t, parse(t, standalone(s)), "figcaption").PlainText()
		for _, say := range append(c.say, "corners of a card of 10 × 10 mm", "undo its tilt of 0.0 ± ", "from 3 marks of 1 point") {
			if !strings.Contains(caption, say) {
				t.Errorf("the caption %q does not say %q", caption, say)
			}
		}
	}
}

func TestSheetOfNothing(t *testing.T) {
	doc := parse(t, standalone(&tray.Specimen{}))
	if got := one(t, doc, "h1").PlainText(); got != "Unnamed tooth" {
		t.Errorf("the heading is %q", got)
	}
	for _, section := range []string{"sheet-sorting", "sheet-readings", "sheet-assumed", "sheet-cautions", "sheet-sources"} {
		if text := one(t, doc, "section."+section).PlainText(); len(text) < 30 {
			t.Errorf("%s says only %q", section, text)
		}
	}
	if len(all(doc, "svg"))+len(all(doc, "table.nearest"))+len(all(doc, "table.readings")) != 0 {
		t.Error("there are figures or tables of nothing")
	}
	if text := doc.PlainText(); !strings.Contains(text, "Nothing has been measured yet") || !strings.Contains(text, "Cannot say") {
		t.Errorf("an empty specimen: %s", text)
	}
}

// Whatever a specimen holds, its sheet is well-formed, loads and runs nothing,
// and shows its texts as texts.
func TestSheetOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := traytest.Specimen().Draw(t, "specimen")
		var pictures []sheet.Picture
		for _, p := range s.Photos {
			pictures = append(pictures, sheet.Picture{Hash: p.Hash, URL: "data:image/png;base64,AAAA"})
		}
		checkSheet(t, s, standalone(s, pictures...))
	})
}

func TestSheetOfHostileTexts(t *testing.T) {
	for _, text := range traytest.Hostile {
		s := tyrannosaurus(t)
		p := photographed()
		s.Name, s.Age, s.Country, s.Locality, s.Remarks, s.Photos = text, text, text, text, text, p.Photos
		s.Photos[0].File, s.Photos[0].Device, s.Photos[0].Taken = text, text, text
		v := sheet.Versions{Program: text, Sorting: text}
		checkSheet(t, s, sheet.Standalone(sheet.Sheet(s, tray.Find(s), []sheet.Picture{{Hash: hash, URL: "data:,"}}, v)))
	}
}

func checkSheet(t interface{ Fatalf(string, ...any) }, s *tray.Specimen, file []byte) {
	doc := parse(t, file)
	allowed := map[string]bool{}
	for _, tag := range strings.Fields("document html head meta title style body article header section footer h1 h2 p dl div dt dd table thead tbody tr th td ul ol li b i strong span bdi abbr figure figcaption svg image rect path circle text") {
		allowed[tag] = true
	}
	var walk func(n *m.Node)
	walk = func(n *m.Node) {
		if n.Tag != "" && !allowed[n.Tag] {
			t.Fatalf("the sheet has an element %s", n.Tag)
		}
		for name, value := range n.Attrs {
			if strings.HasPrefix(name, "on") || name == "style" || name == "src" || name == "href" && !strings.HasPrefix(value, "data:") {
				t.Fatalf("the sheet has an attribute %s=%q", name, value)
			}
			if strings.Contains(value, "NaN") || strings.Contains(value, "Inf") {
				t.Fatalf("the sheet has an attribute %s=%q", name, value)
			}
		}
		for _, c := range n.Children {
			walk(c)
		}
	}
	walk(doc)
	// Texts from outside stand in bdi, whole.
	shown := map[string]bool{}
	for _, n := range all(doc, "bdi") {
		shown[n.PlainText()] = true
	}
	for _, text := range []string{s.Age, s.Country, s.Locality, s.Remarks} {
		want := strings.Map(func(r rune) rune {
			if r < 0x20 && r != '\t' && r != '\n' && r != '\r' || r == 0xfffe || r == 0xffff {
				return utf8.RuneError
			}
			return r
		}, text)
		if want != "" && !shown[want] {
			t.Fatalf("the sheet does not show %q as it is", want)
		}
	}
	if n := len(all(doc, "figure")); n != len(s.Photos) {
		t.Fatalf("%d figures of %d photographs", n, len(s.Photos))
	}
}

// What was typed and what was traced stand side by side.
func TestSheetShowsOtherWays(t *testing.T) {
	s := photographed()
	s.Typed = map[morph.ID]morph.Typed{"CBL": {Value: 3.9}}
	doc := parse(t, standalone(s))
	for _, r := range rows(one(t, doc, "table.readings")) {
		if strings.HasPrefix(r[0], "CBL ") {
			// The crown's base is 300 px, 3.75 mm.
			if r[1] != "3.9" || !strings.Contains(r[4], "typed") || !strings.Contains(r[4], "also 3.75") || !strings.Contains(r[4], "traced") {
				t.Errorf("CBL: %q", r)
			}
			return
		}
	}
	t.Error("no CBL")
}

func BenchmarkSheet(b *testing.B) {
	s := tyrannosaurus(b)
	s.Photos = photographed().Photos
	f := tray.Find(s)
	for b.Loop() {
		sheet.Standalone(sheet.Sheet(s, f, nil, versions))
	}
}
