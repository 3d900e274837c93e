package sheet_test

import (
	"strconv"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// blunt is a side view of a crown with a broken apex, 10 px to the mm: A at
// (1000, 1400), B at (1200, 1400), G at (1100, 1090) and the lost apex estimated
// at (1100, 1000) ± 12 px.
func blunt() tray.Photo {
	p := triangle(0)
	p.Crown = &morph.Crown{
		Path: morph.Path{{X: 1000, Y: 1400}, {X: 1075, Y: 1100}, {X: 1100, Y: 1090}, {X: 1125, Y: 1100}, {X: 1200, Y: 1400}},
		Apex: 2, Done: true, ApexBroken: true, Tip: &morph.Tip{X: 1100, Y: 1000, U: 12},
	}
	p.Bars[0].From, p.Bars[0].To = morph.Vertex{X: 1000, Y: 1450}, morph.Vertex{X: 1100, Y: 1450}
	return p
}

// CALC: the estimate lies 90 px, 9.0 ± 1.2 mm, beyond G; one ± of it reaches from
// y = 1012 to y = 988. It is dashed, bears a ~, and lies within the figure; the
// measured walk stays solid.
func TestSheetShowsEstimatedTip(t *testing.T) {
	doc := parse(t, standalone(&tray.Specimen{Name: "a", Photos: []tray.Photo{blunt()}}))
	for _, path := range all(doc, "path.estimated") {
		if path.Attrs["stroke-dasharray"] == "" || path.Attrs["d"] != "M1075 1100L1100 1000L1125 1100" {
			t.Errorf("the estimate is drawn as %v", path.Attrs)
		}
	}
	if n := len(all(doc, "path.estimated")); n == 0 {
		t.Error("the estimate is not drawn")
	}
	if bar := all(doc, "path.estimated-u"); len(bar) == 0 || bar[0].Attrs["d"] != "M1100 1012L1100 988" {
		t.Errorf("its ± is not drawn: %v", bar)
	}
	for _, path := range all(doc, "path.crown") {
		if path.Attrs["stroke-dasharray"] != "" {
			t.Error("what was traced is dashed")
		}
	}
	if text := one(t, doc, "text.estimated").PlainText(); text != "~G" {
		t.Errorf("it is called %q", text)
	}
	box := strings.Fields(one(t, doc, "svg.marked").Attrs["viewBox"])
	if top, err := strconv.ParseFloat(box[1], 64); err != nil || top > 988 {
		t.Errorf("the figure begins at y = %s", box[1])
	}
	caption := one(t, doc, "figcaption").PlainText()
	if !strings.Contains(caption, "~9.0 ± 1.2 mm beyond what is left") || strings.Contains(caption, "minima") {
		t.Errorf("the caption says %q", caption)
	}
	found := false
	for _, r := range rows(one(t, doc, "table.readings")) {
		if len(r) == 5 && strings.HasPrefix(r[0], "CH ") {
			found = true
			if !strings.HasPrefix(r[1], "~") || r[3] != "estimated" {
				t.Errorf("CH reads %q", r)
			}
		}
	}
	if !found {
		t.Error("CH is not on the sheet")
	}
}

// An estimate that counts for nothing is not drawn, and its crown stays a minimum.
func TestSheetLeavesOutTipThatDoesNotCount(t *testing.T) {
	for name, change := range map[string]func(*morph.Crown){
		"none":           func(c *morph.Crown) { c.Tip = nil },
		"base lost too":  func(c *morph.Crown) { c.BaseBroken = true },
		"not broken now": func(c *morph.Crown) { c.ApexBroken = false },
	} {
		p := blunt()
		change(p.Crown)
		doc := parse(t, standalone(&tray.Specimen{Name: "a", Photos: []tray.Photo{p}}))
		if len(all(doc, "path.estimated"))+len(all(doc, "text.estimated")) > 0 {
			t.Errorf("%s: an estimate is drawn", name)
		}
		if caption := one(t, doc, "figcaption").PlainText(); strings.Contains(caption, "minima") != p.Crown.ApexBroken || strings.Contains(caption, "estimated from") {
			t.Errorf("%s: the caption says %q", name, caption)
		}
	}
	// Without a scale the estimate is told in px.
	p := blunt()
	p.Bars = nil
	if caption := one(t, parse(t, sheet.Standalone(sheet.Sheet(&tray.Specimen{Name: "a", Photos: []tray.Photo{p}}, tray.Find(&tray.Specimen{}), nil, versions))), "figcaption").PlainText(); !strings.Contains(caption, "~90 ± 12 px") {
		t.Errorf("the caption says %q", caption)
	}
}
