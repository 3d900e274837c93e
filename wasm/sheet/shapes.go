package sheet

import (
	"encoding/csv"
	"fmt"
	"io"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph"
	"crownbench/morph/shape"
	"crownbench/wasm/sheet/cell"
	"crownbench/wasm/tray"
)

const (
	// ShapePower is the share of every outline's power that the harmonics keep.
	// The line that they draw is then √(1 − 0.9999) = 1 % of the outline's mean
	// distance from its centre away from the outline, as a root mean square.
	ShapePower = 0.9999
	// mostHarmonics bounds them for an outline that is all ripple.
	mostHarmonics = 40
)

// ShapeNorm says in words how the descriptors of crowns are normalised.
const ShapeNorm = "place: centre at 0; size: long half-axis of harmonic 1 is 1; turn: A-B level, apex up; start at A, over G to B and back along the base; mesial side left"

// Shapes are crowns by the elliptic Fourier descriptors of their outlines in
// side view (Kuhl & Giardina 1982), all with the same number of harmonics.
type Shapes struct {
	Crowns    []Shaped
	Harmonics int
	// Without names the teeth of which no whole walk round a crown is there.
	Without []string
}

// Shaped is a crown by its form. The outline is the walk from A over G to B,
// closed along the base; it stands on A–B with the apex up (y grows upwards) and
// has its mesial side left, mirrored where it was photographed from the other
// face.
//
//	   G
//	  / \
//	 /   \_
//	A ----- B
type Shaped struct {
	Specimen *tray.Specimen
	View     morph.View
	Form     shape.Anchored
	// Traced is the outline as it was traced, laid as the form is: y up, its
	// centre at the origin, in half lengths of the first ellipse's long axis. Its
	// first point, A, stands at its end again.
	Traced []r2.Vec
	// Size is the half-axis in mm that the form was divided by, 0 without a scale.
	Size float64
	// Share is the part of the outline's power that the harmonics carry.
	Share float64
}

// Broken says what is lost of the crown, so that its outline is that of what is
// left: "", "apex", "base" or "apex and base".
func (s Shaped) Broken() string {
	switch c := s.View.Crown; {
	case c.ApexBroken && c.BaseBroken:
		return "apex and base"
	case c.ApexBroken:
		return "apex"
	case c.BaseBroken:
		return "base"
	}
	return ""
}

// AtTrueSize gives Traced in mm.
func (s Shaped) AtTrueSize() []r2.Vec {
	line := make([]r2.Vec, len(s.Traced))
	for i, p := range s.Traced {
		line[i] = r2.Scale(s.Size, p)
	}
	return line
}

// finest is the part of an outline's length below which points of it are left
// out: 1 px of an outline that fills a screen.
const finest = 1.0 / 1500

// laid gives a traced line about its centre in parts of its size, closed.
func laid(line []r2.Vec, o shape.Outline, size float64) []r2.Vec {
	var out []r2.Vec
	for _, p := range append(line, line[0]) {
		p = r2.Scale(1/size, r2.Sub(p, o.Centre))
		if n := len(out); n == 0 || r2.Norm(r2.Sub(p, out[n-1])) >= finest*o.Perimeter/size {
			out = append(out, p)
		}
	}
	return append(out, out[0])
}

// ShapesOf takes the first traced side view of each tooth.
func ShapesOf(specimens []*tray.Specimen) Shapes {
	var all Shapes
	var outlines []shape.Outline
	for _, s := range specimens {
		crown, outline, ok := shaped(s)
		if !ok {
			all.Without = append(all.Without, s.Name)
			continue
		}
		all.Crowns, outlines = append(all.Crowns, crown), append(outlines, outline)
	}
	all.Harmonics = shape.Enough(ShapePower, outlines...)
	for i, o := range outlines {
		c := &all.Crowns[i]
		c.Form, c.Share = c.Form[:all.Harmonics], o.Share(all.Harmonics)
	}
	return all
}

// shaped gives a tooth's crown with all the harmonics that there may be.
func shaped(s *tray.Specimen) (Shaped, shape.Outline, bool) {
	for i := range s.Photos {
		v := s.Photos[i].View
		if !v.Role.Lateral() || v.Crown == nil || !v.Crown.Done {
			continue
		}
		line, scaled := standing(v), true
		if line == nil {
			line, scaled = upright(v.Crown, inPixels), false // a form needs no scale
		}
		if line == nil {
			continue
		}
		// Side by side crowns are as photographed; over each other mesial is left.
		mirror := 1.0
		if line[0].X > line[len(line)-1].X {
			mirror = -1
		}
		for k, p := range line {
			line[k] = r2.Vec{X: mirror * p.X, Y: -p.Y}
		}
		o, err := shape.Of(line, mostHarmonics)
		if err != nil {
			continue
		}
		form, size, err := o.Anchored()
		if err != nil {
			continue
		}
		crown := Shaped{Specimen: s, View: v, Form: form, Traced: laid(line, o, size)}
		if scaled {
			crown.Size = size
		}
		return crown, o, true
	}
	return Shaped{}, shape.Outline{}, false
}

func inPixels(points []r2.Vec) ([]r2.Vec, error) { return points, nil }

// ShapeColumns gives the headings of the table of descriptors with n harmonics,
// in order:
//
//   - name, invented: of the specimen, as in Columns
//   - role: what the photograph shows
//   - broken: what is lost of the crown ("apex", "base", "apex and base"); the
//     outline is then that of what is left
//   - normalised: how, ShapeNorm
//   - harmonics: their number n, the same in every row
//   - power_share: the part of this outline's power that they carry, 0 to 1; n is
//     the least with which no outline of the table keeps less than ShapePower
//     (or 40, the most there are)
//   - size_mm: the long half-axis of harmonic 1 in mm, which the coefficients were
//     divided by; empty without a scale
//   - a1, b1, c1, d1, a2, … dn: the coefficients, x = Σ aₖ cos + bₖ sin to the
//     distal side, y = Σ cₖ cos + dₖ sin towards the apex, of k times the angle
//     2π · length from A / perimeter (Kuhl & Giardina 1982)
//   - program_version, id: as in Columns
//
// The distance of two rows is the root of half the sum of squared differences of
// their coefficients.
func ShapeColumns(n int) []string {
	columns := []string{"name", "invented", "role", "broken", "normalised", "harmonics", "power_share", "size_mm"}
	for k := 1; k <= n; k++ {
		for _, c := range "abcd" {
			columns = append(columns, fmt.Sprintf("%c%d", c, k))
		}
	}
	return append(columns, "program_version", "id")
}

// ShapesCSV writes the descriptors of the crowns as a table with one row a tooth
// under a row of headings (ShapeColumns), in the way of CSV. The error is the
// writer's.
func ShapesCSV(w io.Writer, all Shapes, v Versions) error {
	table := csv.NewWriter(w)
	table.UseCRLF = true
	if err := table.Write(ShapeColumns(all.Harmonics)); err != nil {
		return err
	}
	for _, c := range all.Crowns {
		size := ""
		if c.Size > 0 {
			size = cell.Number(c.Size)
		}
		s := c.Specimen.Public()
		row := []string{
			cell.Text(s.Name), yes(s.Invented), string(c.View.Role), c.Broken(), ShapeNorm,
			fmt.Sprint(all.Harmonics), cell.Number(c.Share), size,
		}
		for _, h := range c.Form {
			row = append(row, cell.Number(h.A), cell.Number(h.B), cell.Number(h.C), cell.Number(h.D))
		}
		if err := table.Write(append(row, cell.Text(v.Program), cell.Text(s.ID))); err != nil {
			return err
		}
	}
	table.Flush()
	return table.Error()
}
