//go:build browser

package browsertest

import (
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
)

// openShapes lays every crown of the tray over each other.
func openShapes(p *Page) {
	p.Click("#picking")
	p.Click("#pick-all")
	p.Click("#picked-shapes")
	p.Until(`document.querySelector("#shapes-plot")`)
}

// Crowns lie over each other, the nearest in shape comes first, pointer and keys
// name them, and both drawing and descriptors leave as files.
func TestShapesOverEachOther(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	openShapes(p)
	p.Shot("shapes")
	column := func(el string) []string {
		return Eval[[]string](p, fmt.Sprintf(`[...document.querySelectorAll(".shape-distances tbody %s")].map(e => e.textContent)`, el))
	}
	rows, distances := column("th"), column("td")
	if len(rows) < 4 || len(rows) != len(distances) {
		t.Fatalf("the table lists %q at %q", rows, distances)
	}
	for i := 1; i < len(distances); i++ {
		if distances[i] < distances[i-1] {
			t.Errorf("%s comes after %s", distances[i], distances[i-1])
		}
	}

	// By keyboard: from the nearest on, and back.
	p.Click("#shapes-plot")
	p.Press("Home")
	p.UntilText("#shapes-tooth h3", strings.TrimSuffix(rows[0], " (broken)"))
	p.Press("ArrowDown")
	p.UntilText("#shapes-tooth h3", strings.TrimSuffix(rows[1], " (broken)"))
	p.Until(`document.querySelectorAll(".shape-distances .pointed").length === 1`)
	p.Press("ArrowUp")
	p.UntilText("#shapes-tooth h3", strings.TrimSuffix(rows[0], " (broken)"))
	// By the table.
	p.Click(".shape-distances tbody tr:nth-child(3) button")
	p.UntilText("#shapes-tooth h3", strings.TrimSuffix(rows[2], " (broken)"))

	drawing := p.Download(func() { p.Click("#shapes-save") })
	texts, paths := readSVG(t, drawing.Bytes)
	if !strings.Contains(texts, "half lengths") || paths < len(rows)+1 {
		t.Errorf("the drawing has %d paths and says %q", paths, texts)
	}
	p.Click("#shapes-true")
	p.Until(`document.querySelector("#shapes-plot").textContent.includes("(mm)")`)
	if texts, _ := readSVG(t, p.Download(func() { p.Click("#shapes-save") }).Bytes); !strings.Contains(texts, "(mm)") {
		t.Errorf("at true size the drawing says %q", texts)
	}
	table := p.Download(func() { p.Click("#shapes-table") })
	cells, err := csv.NewReader(strings.NewReader(string(table.Bytes))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(cells) != len(rows)+2 {
		t.Errorf("%s has %d rows", table.Name, len(cells))
	}
	// The number of harmonics in the file is the one that the page states.
	p.UntilText(".map-side", fmt.Sprintf("of %s harmonics", cells[1][5]))
	p.Press("Escape")
	p.Until(`!document.querySelector("#shapes-plot")`)
}

// With no crown traced, or a single one, the page says what is missing.
func TestShapesOfTooFewTeeth(t *testing.T) {
	p := Open(t, Laptop)
	typeTooth(p)
	p.ClickRole("button", "Quick check")
	p.Click("#picking")
	p.Click("#pick-all")
	p.Click("#picked-shapes")
	p.UntilText("[role=dialog]", "None of these teeth has a whole crown traced")
	p.Shot("shapes-none")
	p.Press("Escape")

	p = Open(t, Laptop)
	openDemo(p)
	p.Click("#picking")
	p.Click("#tray li:nth-child(1) input")
	p.Click("#picked-shapes")
	p.UntilText("[role=dialog]", "Pick another tooth that has one")
	p.Shot("shapes-alone")
}
