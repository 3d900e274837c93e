package sheet

import (
	"crownbench/morph"
	"crownbench/wasm/tray"
)

// Versions names what made the numbers.
type Versions struct {
	Program string
	Sorting string // of the published teeth and of the method
}

// sorting is the version of what sorted a tooth: the answer's own where it
// tells one.
func (v Versions) sorting(f tray.Finding) string {
	if f.Answer.Version != "" {
		return f.Answer.Version
	}
	return v.Sorting
}

// stateWord is a reading's state in a word, "" when nothing is said of it.
func stateWord(r morph.Reading) string {
	if r.State == morph.MeasuredState && r.Known {
		return "measured"
	}
	return string(r.State)
}
