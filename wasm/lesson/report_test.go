package lesson_test

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"crownbench/wasm/chart"
	"crownbench/wasm/lesson"
	"crownbench/wasm/sheet/cell"
	"crownbench/wasm/tray/traytest"
)

// hostileClass has names that a careless writer would run.
func hostileClass(t testing.TB) *lesson.Class {
	t.Helper()
	b := newBench(t)
	p := b.plan(2)
	p.Title, p.Instructions, p.Cautions = "<b>Title</b> & =1+1", "<script>", "One.\n\n<img src=x>\r\n\r\nThree."
	_, o, k := handedOut(t, p, b.picture)
	var files []lesson.File
	for i, name := range traytest.Hostile {
		h := hand{bias: 0.1, sd: 0.2, mistakes: 0.3, r: rand.New(rand.NewPCG(uint64(i), 9))}
		if w, err := lesson.Start(o, name); err != nil || w.Student == "" {
			continue
		}
		files = append(files, lesson.File{Name: name + ".json", Data: h.answer(t, o, k, name, monday)})
	}
	gross := hand{bias: 30, r: rand.New(rand.NewPCG(1, 2))}
	files = append(files, lesson.File{Name: "gross.json", Data: gross.answer(t, o, k, "Gross Mistake", monday)}, lesson.File{Name: "<i>.json", Data: []byte("{")})
	return lesson.Review(k, files)
}

func wellFormed(t testing.TB, text string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		if _, err := d.Token(); err == io.EOF {
			return
		} else if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
	}
}

func TestReport(t *testing.T) {
	c := hostileClass(t)
	checkNumbers(t, c)
	html := string(c.HTML())
	wellFormed(t, html)
	for _, bad := range []string{"<script", "<img src=x", "<b>Title"} {
		if strings.Contains(html, bad) {
			t.Errorf("the report holds %s", bad)
		}
	}
	text := c.Report().PlainText()
	left := 0
	for _, p := range c.Problems {
		if !p.Counted {
			left++
		}
	}
	for _, want := range []string{
		"The teeth are invented", fmt.Sprintf("%d students on 6 teeth, each measured twice. %d files not counted.", len(c.Students), left),
		"One student measuring again errs by", "Between students, each with", "A single measurement by any of them", "No bias can be told", "ICC(2,1)",
		"Gross Mistake", "names are those of the key", "κ =", "not deceit", "Three.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
	if n := strings.Count(html, "<svg"); n != 6 {
		t.Errorf("%d plots for three readings", n)
	}
	for i, r := range c.Readings {
		plots := c.Plots(i)
		if len(plots) != 2 {
			t.Fatalf("%d plots", len(plots))
		}
		n := 0
		for _, mark := range plots[0].Marks {
			if p, ok := mark.(chart.Points); ok {
				n += len(p.At)
			}
		}
		if n != len(r.Values) {
			t.Errorf("%d of %d measurements are drawn", n, len(r.Values))
		}
	}
	for i := range c.Students {
		page := c.Own(i).Page("An invented class", map[string]string{})
		wellFormed(t, page.String())
		if text := page.PlainText(); !strings.Contains(text, "Class median") || !strings.Contains(text, "The key says") {
			t.Errorf("page of %q: %s", c.Students[i].Name, text)
		}
	}
}

// Tables are read back as they were meant by any reader of CSV, and no cell is
// a formula.
func TestTables(t *testing.T) {
	c := hostileClass(t)
	seen := map[string]int{}
	for _, table := range c.Tables() {
		var b bytes.Buffer
		if err := table.CSV(&b); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&b).ReadAll() // refuses rows of unequal length
		if err != nil {
			t.Fatalf("%s: %v", table.Name, err)
		}
		seen[table.Name] = len(rows) - 1
		for _, row := range rows {
			for _, x := range row {
				if cell.Text(cell.Read(x)) != x {
					t.Errorf("%s: the cell %q is not guarded", table.Name, x)
				}
			}
		}
		if table.Name == "measurements" {
			for _, row := range rows[1:] {
				value, err1 := strconv.ParseFloat(row[6], 64)
				key, err2 := strconv.ParseFloat(row[7], 64)
				difference, err3 := strconv.ParseFloat(row[8], 64)
				if err1 != nil || err2 != nil || err3 != nil {
					t.Fatalf("%q", row)
				}
				if d := value - key - difference; d > 1e-4 || d < -1e-4 {
					t.Errorf("%g − %g is not %g", value, key, difference)
				}
			}
		}
	}
	n := len(c.Students)
	for name, want := range map[string]int{"measurements": n * 6 * 2 * 3, "teeth": 6 * 3, "agreement": 3*15 + 2, "students": n * 3, "names": 6 * 3} {
		if seen[name] != want {
			t.Errorf("%s has %d rows, want %d", name, seen[name], want)
		}
	}
}
