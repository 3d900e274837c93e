package intake

import (
	"fmt"
	"strconv"

	"crownbench/classify/typed"
	"crownbench/classify/typed/grid"
)

const (
	// FaultsShown is how many faults are shown one by one; the others are
	// counted, and stand in the report.
	FaultsShown = 100
	// MaxFaults is how many faults a report lists; a table with more of them is
	// read by the wrong columns.
	MaxFaults = 200_000
)

// Faults are the cells and lines of a table that could not be used.
type Faults struct {
	N     int             // all of them
	First []typed.Problem // FaultsShown of them

	listed []byte
}

func (f *Faults) add(ps ...typed.Problem) {
	for _, p := range ps {
		if f.N++; f.N <= FaultsShown {
			f.First = append(f.First, p)
		}
		if f.N > MaxFaults {
			continue
		}
		column := ""
		if p.Column > 0 {
			column = strconv.Itoa(p.Column)
		}
		f.listed = append(grid.AppendCells(f.listed, ',', strconv.Itoa(p.Line), column, p.Heading, p.Value, p.Want), "\r\n"...)
	}
}

// Report writes the faults as a table: line, column, heading, what stands there
// and what was expected.
func (f *Faults) Report() []byte {
	b := append(grid.AppendCells(nil, ',', "line", "column", "heading", "found", "expected"), "\r\n"...)
	b = append(b, f.listed...)
	if f.N > MaxFaults {
		b = append(grid.AppendCells(b, ',', "", "", "", "", fmt.Sprintf("%d more are not listed", f.N-MaxFaults)), "\r\n"...)
	}
	return b
}
