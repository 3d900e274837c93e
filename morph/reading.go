package morph

// ID is the abbreviation of a quantity, as the trade writes it.
type ID string

// State is the standing of a value, after the marks of published tables.
type State string

const (
	MeasuredState State = ""               // measured, no mark
	Estimated     State = "estimated"      // ~
	Minimum       State = "minimum"        // > : the part is broken, the whole was larger
	NotApplicable State = "not applicable" // /
	Unknown       State = "unknown"        // ?
	Absent        State = "absent"         // denticles: a recorded character
	NotPreserved  State = "not preserved"  // denticles: lost to wear or breakage
)

// Candidate is one way in which a quantity's value was got for this tooth.
type Candidate struct {
	// Key names the candidate within its quantity, stable between runs:
	// "typed", "counted", "derived" (from other readings), "ellipse" (the
	// stand-in for a base section), or "view:" and the view's ID (+ "#" and
	// the stretch's index where a view can give several).
	Key   string
	Value float64
	U     float64 // standard uncertainty, 0 when nothing gives one
	State State
	How   string // in words: "traced by hand, lateral labial photo", "typed", "9 denticles over 4.5 mm"
	// Interval is the length of carina in mm over which denticles were
	// counted; 0 where none were.
	Interval float64
}

// Reading is one quantity of one tooth. Known tells whether Value holds.
type Reading struct {
	Quantity
	Known      bool
	Value      float64
	U          float64
	State      State
	How        string
	Key        string      // of the candidate that counts, "" where there is but a formula
	Interval   float64     // mm of carina over which denticles were counted, else 0
	Candidates []Candidate // of measured quantities, the default first
	Problem    string      // a sentence when the set of values cannot be true
	// Needs says in a few words what is missing when the reading is not known.
	Needs string
}
