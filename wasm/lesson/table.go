package lesson

import (
	"encoding/csv"
	"io"
	"strconv"

	"crownbench/morph/agreement"
	"crownbench/wasm/sheet/cell"
)

// Table is one table of a review. The first row has the headings; cells are
// safe in a spreadsheet (package cell), numbers have a decimal point, and what
// is not known is empty.
type Table struct {
	Name string // of a file, without its ending
	Rows [][]string
}

// CSV writes the table: UTF-8, comma between cells, CR LF after a row, quotes as
// RFC 4180 has them. The error is the writer's.
func (t Table) CSV(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	return out.WriteAll(t.Rows)
}

// Tables gives the review as tables: every measurement, each tooth, what follows
// for each reading, each student, and the names given.
func (c *Class) Tables() []Table {
	tables := []Table{c.measurements(), c.teeth(), c.agreement(), c.students()}
	if c.Naming != nil {
		tables = append(tables, c.names())
	}
	return tables
}

func (c *Class) measurements() Table {
	t := Table{Name: "measurements", Rows: [][]string{{"student", "tooth", "specimen", "reading", "unit", "repeat", "value", "key", "difference", "score", "stands_apart"}}}
	for _, r := range c.Readings {
		for _, v := range r.Values {
			tooth := r.Teeth[v.Tooth]
			key, difference := "", ""
			if tooth.KeyKnown {
				key, difference = cell.Number(tooth.Key), cell.Uncertainty(v.Value-tooth.Key)
			}
			apart := "no"
			if v.Outlier {
				apart = "yes"
			}
			t.Rows = append(t.Rows, []string{
				cell.Text(c.Students[v.Student].Name), cell.Text(c.Key.Lesson.Teeth[v.Tooth].Name), cell.Text(c.Key.Teeth[v.Tooth].Specimen.Name),
				string(r.Quantity.ID), r.Quantity.Unit, strconv.Itoa(v.Repeat + 1), cell.Number(v.Value), key, difference, cell.Uncertainty(v.Score), apart,
			})
		}
	}
	return t
}

func (c *Class) teeth() Table {
	t := Table{Name: "teeth", Rows: [][]string{{
		"tooth", "specimen", "reading", "unit", "students", "missing", "mean", "sd", "median", "least", "greatest",
		"key", "bias", "bias_low", "bias_high", "stand_apart",
	}}}
	for _, r := range c.Readings {
		for i, x := range r.Teeth {
			row := []string{cell.Text(c.Key.Lesson.Teeth[i].Name), cell.Text(c.Key.Teeth[i].Specimen.Name), string(r.Quantity.ID), r.Quantity.Unit, strconv.Itoa(x.Students), strconv.Itoa(x.Missing)}
			row = append(row, numbers(x.Students > 0, x.Mean)...)
			row = append(row, numbers(x.Students > 1, x.SD)...)
			row = append(row, numbers(x.Students > 0, x.Median, x.Low, x.High)...)
			row = append(row, numbers(x.KeyKnown, x.Key)...)
			row = append(row, numbers(x.BiasWhy == "", x.Bias.Mean, x.Bias.In.Low, x.Bias.In.High)...)
			t.Rows = append(t.Rows, append(row, strconv.Itoa(x.Outliers)))
		}
	}
	return t
}

// agreement has a row for each number that rests on all teeth together.
func (c *Class) agreement() Table {
	t := Table{Name: "agreement", Rows: [][]string{{"reading", "measure", "value", "low", "high", "unit", "percent_of_mean", "remark"}}}
	for _, r := range c.Readings {
		q := r.Quantity
		add := func(measure string, known bool, v float64, i agreement.Interval, unit, percent, why string) {
			if known {
				why = ""
			}
			row := append([]string{string(q.ID), measure}, numbers(known, v, i.Low, i.High)...)
			t.Rows = append(t.Rows, append(row, unit, percent, cell.Text(why)))
		}
		for _, e := range []struct {
			name string
			agreement.Error
		}{{"TEM within students", r.Errors.Within}, {"TEM between students", r.Errors.Between}, {"TEM of one measurement", r.Errors.Total}} {
			percent := ""
			if e.Known {
				percent = cell.Uncertainty(e.Percent)
			}
			add(e.name, e.Known, e.TEM, e.In, q.Unit, percent, r.ErrorsWhy+e.Needs)
			row := append([]string{string(q.ID), "reliability by " + e.name}, numbers(e.Known, e.Reliability)...)
			t.Rows = append(t.Rows, append(row, "", "", "", "", cell.Text(r.ErrorsWhy+e.Needs)))
		}
		x := r.Correlation
		for _, f := range []struct {
			name string
			v    float64
			i    agreement.Interval
		}{
			{"ICC(1,1)", x.OneSingle, x.InOneSingle}, {"ICC(2,1)", x.TwoSingle, x.InTwoSingle}, {"ICC(3,1)", x.ThreeSingle, x.InThreeSingle},
			{"ICC(1,k)", x.OneMean, x.InOneMean}, {"ICC(2,k)", x.TwoMean, x.InTwoMean}, {"ICC(3,k)", x.ThreeMean, x.InThreeMean},
		} {
			add(f.name, r.CorrelationWhy == "", f.v, f.i, "", "", r.CorrelationWhy)
		}
		add("bias to the key", r.BiasWhy == "", r.Bias.Mean, r.Bias.In, q.Unit, "", r.BiasWhy)
		add("lower limit of agreement with the key", r.LimitsWhy == "", r.Limits.Lower(), r.Limits.InLower(), q.Unit, "", r.LimitsWhy)
		add("upper limit of agreement with the key", r.LimitsWhy == "", r.Limits.Upper(), r.Limits.InUpper(), q.Unit, "", r.LimitsWhy)
	}
	if n := c.Naming; n != nil {
		for _, k := range []struct {
			name, why string
			agreement.Kappa
		}{{"kappa with the key", n.WithKeyWhy, n.WithKey}, {"kappa among students", n.AmongWhy, n.Among}} {
			row := append([]string{"names", k.name}, numbers(k.why == "", k.Kappa.Kappa, k.In.Low, k.In.High)...)
			t.Rows = append(t.Rows, append(row, "", "", cell.Text(k.why)))
		}
	}
	return t
}

// students has each student's mean difference from the key and own error.
func (c *Class) students() Table {
	t := Table{Name: "students", Rows: [][]string{{"student", "file", "reading", "unit", "teeth", "mean_difference_from_key", "own_tem"}}}
	for s, student := range c.Students {
		for i := range c.Readings {
			x := c.Readings[i].by(s)
			row := []string{cell.Text(student.Name), cell.Text(student.File), string(c.Readings[i].Quantity.ID), c.Readings[i].Quantity.Unit, strconv.Itoa(x.Teeth)}
			row = append(row, numbers(x.Keyed > 0, x.Difference)...)
			t.Rows = append(t.Rows, append(row, numbers(x.Repeated, x.TEM)...))
		}
	}
	return t
}

func (c *Class) names() Table {
	t := Table{Name: "names", Rows: [][]string{{"tooth", "specimen", "key", "name_given", "students"}}}
	for i, counts := range c.Naming.Counts {
		for j, n := range counts {
			t.Rows = append(t.Rows, []string{
				cell.Text(c.Key.Lesson.Teeth[i].Name), cell.Text(c.Key.Teeth[i].Specimen.Name), cell.Text(c.Key.Teeth[i].Truth),
				cell.Text(c.Naming.Choices[j]), strconv.Itoa(n),
			})
		}
	}
	return t
}

// numbers writes values, or empty cells where they are not known.
func numbers(known bool, vs ...float64) []string {
	out := make([]string, len(vs))
	for i, v := range vs {
		if known {
			out[i] = cell.Number(v)
		}
	}
	return out
}
