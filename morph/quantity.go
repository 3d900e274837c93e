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
