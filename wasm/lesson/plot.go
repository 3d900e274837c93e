package lesson

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/wasm/chart"
	m "crownbench/wasm/markup"
)

// Size of a plot in the report, in px: two stand side by side on a page.
const (
	plotWidth  = 380
	plotHeight = 280
	plotLetter = 11
)

// Plots draws a reading of the class: how far each student lies from the key,
// tooth by tooth (from the median where the key has no value), and the
// differences against the size of the tooth with their limits (Bland & Altman
// 1986). Those that do not hold anything are left out.
func (c *Class) Plots(reading int) []chart.Plot {
	r := &c.Readings[reading]
	var out []chart.Plot
	if len(r.Values) > 0 {
		out = append(out, r.byTooth(len(c.Students)))
	}
	if r.LimitsWhy == "" {
		out = append(out, r.againstKey())
	}
	return out
}

// byTooth has a column of points for each tooth.
func (r *Reading) byTooth(students int) chart.Plot {
	p := r.plot(fmt.Sprintf("%s: differences by tooth", r.Quantity.ID), "Each point is one measurement. Those of a student stand in the same place of every tooth's column.")
	p.X = chart.Axis{Label: "tooth", Min: 0.5, Max: float64(len(r.Teeth)) + 0.5}
	usual, apart := chart.Points{Name: "measurement", Group: 0, Size: 2, Faint: true}, chart.Points{Name: "stands apart", Group: 1, Size: 3}
	reference := "from the key"
	for _, v := range r.Values {
		t := r.Teeth[v.Tooth]
		from := t.Key
		if !t.KeyKnown {
			from, reference = t.Median, "from key or median"
		}
		// Students are spread over half of the column's width.
		x := float64(v.Tooth) + 0.75 + 0.5*(float64(v.Student)+0.5)/float64(students)
		at := r2.Vec{X: x, Y: v.Value - from}
		if v.Outlier {
			apart.At = append(apart.At, at)
		} else {
			usual.At = append(usual.At, at)
		}
	}
	p.Y.Label = reference
	p.Marks = []chart.Mark{chart.Level{Group: chart.Ink}, usual}
	if len(apart.At) > 0 {
		p.Marks = append(p.Marks, apart)
	}
	return p
}

// againstKey has a point for each student and tooth.
func (r *Reading) againstKey() chart.Plot {
	l := r.Limits
	p := r.plot(fmt.Sprintf("%s: limits of agreement with the key", r.Quantity.ID),
		"Each point is one student's mean of one tooth. The broken lines are the limits within which 95 % of such differences lie, the bands their 95 % intervals.")
	p.X = chart.Axis{Label: "mean of student and key", Unit: r.Quantity.Unit}
	p.Y.Label = "student − key"
	points := chart.Points{Group: 0, Size: 2, Faint: true}
	for _, x := range r.Points {
		points.At = append(points.At, r2.Vec{X: x.Mean, Y: x.Difference})
	}
	low, high := l.InLower(), l.InUpper()
	p.Marks = []chart.Mark{
		chart.Band{Group: chart.Rest, Low: low.Low, High: low.High}, chart.Band{Group: chart.Rest, Low: high.Low, High: high.High},
		chart.Level{Group: chart.Ink}, points,
		chart.Level{Group: 1, At: l.Mean, Text: "mean"},
		chart.Level{Group: 1, At: l.Lower(), Dashed: true}, chart.Level{Group: 1, At: l.Upper(), Dashed: true},
	}
	return p
}

func (r *Reading) plot(title, says string) chart.Plot {
	return chart.Plot{Title: title, Desc: says, Y: chart.Axis{Unit: r.Quantity.Unit}, Width: plotWidth, Height: plotHeight, Letter: plotLetter}
}

// figures puts the plots of a reading side by side.
func (c *Class) figures(reading int) []*m.Node {
	var out []*m.Node
	for _, p := range c.Plots(reading) {
		n := p.Node()
		// The sheet is white in every setting, so its plots keep the colours
		// for white paper.
		n.Attrs["class"] = "on-paper"
		out = append(out, m.El("figure.plate", n, m.El("figcaption", m.Text(p.Title+". "+p.Desc))))
	}
	return out
}
