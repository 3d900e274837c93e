package comparison

import (
	"fmt"
	"io"

	"crownbench/classify"
	"crownbench/classify/typed"
)

// Read reads identified teeth from a table as classify/typed takes it, with
// columns for taxon, clade and form beside the measurements. problems are
// sentences about rows and cells that could not be used; the rest is read. The
// error, a sentence too, says why there is no table at all.
func Read(file string, r io.Reader) (teeth []Tooth, problems []string, err error) {
	table, err := typed.Read(r)
	if err != nil {
		return nil, nil, err
	}
	for _, p := range table.Problems {
		problems = append(problems, p.Error())
	}
	for _, row := range table.Rows {
		name := row.ID
		if name == "" {
			name = fmt.Sprintf("line %d", row.Line)
		}
		t := Tooth{
			ID: fmt.Sprintf("own %s %s", file, name), Name: name, From: file,
			Identity: Identity{Taxon: row.Taxon, Clade: row.Clade, Form: row.Form}.tidy(),
			Row:      row.Query.Row, Values: map[classify.Measure]float64{},
			Mesial: row.Query.Mesial, Distal: row.Query.Distal, Age: row.Query.Epoch, Country: row.Query.Country,
		}
		if row.Individual != "" {
			t.Animal = fmt.Sprintf("own %s %s", file, row.Individual)
		}
		for m, v := range row.Query.Values {
			t.Values[m] = v
		}
		if err := t.Check(); err != nil {
			problems = append(problems, fmt.Sprintf("line %d (%s): %v", row.Line, name, err))
			continue
		}
		teeth = append(teeth, t)
	}
	return teeth, problems, nil
}
