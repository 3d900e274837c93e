package sheet_test

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
	"crownbench/wasm/tray/traytest"
)

// curved is a side view of a curved crown, its base 200 px long, photographed
// from either face, turned by so many degrees, so many times as large.
func curved(degrees, size float64, otherFace bool) tray.Photo {
	p := triangle(0)
	turn := r2.NewRotation(degrees*math.Pi/180, r2.Vec{})
	p.Crown.Path = nil
	for i := range 101 {
		x := float64(i) / 100
		y := 1.8 * math.Sin(math.Pi*x)
		at := r2.Vec{X: 200 * (x + 0.15*y*y), Y: -200 * y}
		if otherFace {
			at.X = -at.X
		}
		p.Crown.Path = append(p.Crown.Path, morph.At(r2.Add(r2.Vec{X: 5000, Y: 5000}, turn.Rotate(r2.Scale(size, at)))))
	}
	p.Crown.Apex = 50
	return p
}

func tooth(name string, p tray.Photo) *tray.Specimen {
	return &tray.Specimen{ID: name, Name: name, Photos: []tray.Photo{p}}
}

// By definition of the form it is the same however the crown was photographed,
// and the half-axis in mm follows the size alone.
func TestShapesForgetHowTheyWerePhotographed(t *testing.T) {
	all := sheet.ShapesOf([]*tray.Specimen{
		tooth("a", curved(0, 1, false)), tooth("b", curved(123, 3, false)), tooth("c", curved(290, 1, true)),
		{Name: "nothing traced"}, tooth("d", triangle(0)),
	})
	if len(all.Crowns) != 4 || len(all.Without) != 1 {
		t.Fatalf("%d crowns, without %q", len(all.Crowns), all.Without)
	}
	a, b, c, d := all.Crowns[0], all.Crowns[1], all.Crowns[2], all.Crowns[3]
	if x, y := a.Form.Distance(b.Form), a.Form.Distance(c.Form); x > 1e-9 || y > 1e-9 {
		t.Errorf("the same crown is %g and %g away", x, y)
	}
	if x := a.Form.Distance(d.Form); x < 0.05 {
		t.Errorf("a triangle is %g from a curved crown", x)
	}
	if math.Abs(b.Size/a.Size-3) > 1e-9 || math.Abs(c.Size/a.Size-1) > 1e-9 {
		t.Errorf("half-axes %g, %g, %g", a.Size, b.Size, c.Size)
	}
}

// CALC: the triangle of base 20 mm and height 40 mm over the middle of it is
// drawn with A left, apex up, and as long and high as it is.
func TestShapesStandAtTrueSize(t *testing.T) {
	for _, mirrored := range []bool{false, true} {
		p := triangle(77)
		if mirrored {
			for i := range p.Crown.Path {
				p.Crown.Path[i].X = 1800 - p.Crown.Path[i].X
			}
		}
		all := sheet.ShapesOf([]*tray.Specimen{tooth("a", p)})
		c := all.Crowns[0]
		line := c.AtTrueSize()
		lo, hi := line[0], line[0]
		for _, q := range line {
			lo = r2.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}
			hi = r2.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
		}
		if math.Abs(hi.X-lo.X-20) > 1e-9 || math.Abs(hi.Y-lo.Y-40) > 1e-9 {
			t.Errorf("it is %.2f × %.2f mm", hi.X-lo.X, hi.Y-lo.Y)
		}
		if line[0].X > lo.X+1e-9 || line[0].Y > lo.Y+1e-9 {
			t.Errorf("A is at %.2f of a box from %.2f", line[0], lo)
		}
		if line[len(line)-1] != line[0] {
			t.Error("the line is not closed")
		}
		if c.Share < sheet.ShapePower && all.Harmonics < 40 {
			t.Errorf("%d harmonics keep only %g", all.Harmonics, c.Share)
		}
	}
}

// A form needs no scale, a size does; and what is broken is said.
func TestShapesWithoutScaleAndBroken(t *testing.T) {
	bare, broken := curved(0, 1, false), curved(0, 1, false)
	bare.Bars = nil
	broken.Crown.ApexBroken = true
	all := sheet.ShapesOf([]*tray.Specimen{tooth("a", curved(0, 1, false)), tooth("bare", bare), tooth("broken", broken)})
	if len(all.Crowns) != 3 || all.Crowns[1].Size != 0 || all.Crowns[0].Form.Distance(all.Crowns[1].Form) > 1e-9 {
		t.Errorf("%+v", all)
	}
	if all.Crowns[0].Broken() != "" || all.Crowns[2].Broken() != "apex" {
		t.Error("what is broken is not told")
	}
	damaged := curved(0, 1, false)
	damaged.Crown.Path[3].X = math.NaN()
	flat := curved(0, 1, false)
	for i := range flat.Crown.Path {
		flat.Crown.Path[i] = flat.Crown.Path[0]
	}
	if all := sheet.ShapesOf([]*tray.Specimen{tooth("damaged", damaged), tooth("flat", flat)}); len(all.Crowns) > 0 || len(all.Without) != 2 {
		t.Errorf("damaged marks have a form: %+v", all)
	}
}

// What the table holds gives the distance back by the rule that its description
// states.
func TestShapesTable(t *testing.T) {
	other := triangle(12)
	other.Bars = nil
	all := sheet.ShapesOf([]*tray.Specimen{tooth("=1+1", curved(0, 1, false)), tooth("b", other)})
	var b bytes.Buffer
	if err := sheet.ShapesCSV(&b, all, sheet.Versions{Program: "p"}); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 3 || len(rows[0]) != 10+4*all.Harmonics {
		t.Fatalf("%d rows of %d columns", len(rows), len(rows[0]))
	}
	at := map[string]int{}
	for i, c := range rows[0] {
		at[c] = i
	}
	sum := 0.0
	for i := at["a1"]; i <= at["d"+strconv.Itoa(all.Harmonics)]; i++ {
		x, errX := strconv.ParseFloat(rows[1][i], 64)
		y, errY := strconv.ParseFloat(rows[2][i], 64)
		if errX != nil || errY != nil {
			t.Fatalf("%s holds %q and %q", rows[0][i], rows[1][i], rows[2][i])
		}
		sum += (x - y) * (x - y)
	}
	if got, want := math.Sqrt(sum/2), all.Crowns[0].Form.Distance(all.Crowns[1].Form); math.Abs(got-want) > 1e-12 {
		t.Errorf("the table's distance is %g, the page's %g", got, want)
	}
	if rows[1][at["name"]] != "'=1+1" || rows[2][at["size_mm"]] != "" || rows[1][at["harmonics"]] != strconv.Itoa(all.Harmonics) {
		t.Errorf("the rows begin %q and %q", rows[1][:8], rows[2][:8])
	}
}

// Whatever a record holds, nothing panics, and what is given is a number.
func TestShapesOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := sheet.ShapesOf(rapid.SliceOfN(traytest.Specimen(), 0, 4).Draw(t, "specimens"))
		for _, c := range all.Crowns {
			if len(c.Form) != all.Harmonics || math.IsNaN(c.Share) || !(c.Size >= 0) {
				t.Fatalf("%d harmonics of %d, share %g, size %g", len(c.Form), all.Harmonics, c.Share, c.Size)
			}
			if d := c.Form.Distance(c.Form); d != 0 {
				t.Fatalf("a crown is %g from itself", d)
			}
		}
		if err := sheet.ShapesCSV(io.Discard, all, sheet.Versions{}); err != nil {
			t.Fatal(err)
		}
	})
}
