package morph

// Quantity declares one measurement of a tooth.
type Quantity struct {
	ID         ID
	Name       string // in words, lower case
	Unit       string // "mm", "°", "per 5 mm", "mm²", "mm³", "mm⁴", "" for a ratio
	Group      string // heading under which a page lists it
	Typable    bool   // a person may type it instead of measuring it here
	Definition string // one sentence
	Source     string // of the definition: author, year
}

// Quantities are the measurements in the order in which they are shown.
var Quantities []Quantity

// index gives the place of a quantity in Quantities and in table. It and
// Quantities are filled by init: the table's functions look quantities up, so
// initialising them from the table directly would be a cycle.
var index map[ID]int

func init() {
	index = make(map[ID]int, len(table))
	for i, e := range table {
		Quantities = append(Quantities, e.Quantity)
		index[e.ID] = i
	}
}

// QuantityOf gives the declaration of a quantity, and false when there is none
// of that ID.
func QuantityOf(id ID) (Quantity, bool) {
	i, ok := index[id]
	if !ok {
		return Quantity{}, false
	}
	return Quantities[i], true
}
