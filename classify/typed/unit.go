package typed

import "crownbench/classify"

// Unit is what the numbers of a column are given in.
type Unit string

const (
	Plain      Unit = "" // ratios
	Millimetre Unit = "mm"
	Centimetre Unit = "cm"
	Inch       Unit = "in"
	Per5mm     Unit = "per 5 mm"
	Per2mm     Unit = "per 2 mm" // how very small teeth are counted (Smith 2005)
	Per1mm     Unit = "per mm"
)

// factors turn a number into the measure's own unit: mm, or denticles per 5 mm.
var factors = map[Unit]float64{
	Plain: 1, Millimetre: 1, Centimetre: 10, Inch: 25.4, Per5mm: 1, Per2mm: 2.5, Per1mm: 5,
}

// Units lists what a measure may be given in, its own unit first.
func Units(m classify.Measure) []Unit {
	switch m.Unit() {
	case "mm":
		return []Unit{Millimetre, Centimetre, Inch}
	case "per 5 mm":
		return []Unit{Per5mm, Per2mm, Per1mm}
	}
	return []Unit{Plain}
}
