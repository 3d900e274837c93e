package classify

// Answer is what the comparison says of one tooth, with its evidence.
type Answer struct {
	// Form is the tooth's form, or "" when none can be said; CannotSay then
	// gives the reason as a sentence.
	Form      Form
	CannotSay string
	// Said is the answer in one sentence, as a colleague would put it. It is
	// never empty.
	Said string

	Shares []FormShare  // all three forms, largest share first; empty without a width
	Clades []CladeShare // largest share first

	Used    []Measure // what the form was compared in
	Dropped []Dropped // what was given but not used
	Missing []Missing // what is not given and would help, most helpful first

	Comparable int // reference teeth that the form was compared with

	// Neighbours are the nearest teeth that carry a form, CladeNeighbours the
	// nearest of all teeth; nearest first, equally near ones by id.
	Neighbours      []Neighbour
	CladeNeighbours []Neighbour

	// Cautions are sentences that matter for this tooth.
	Cautions []string

	Version string // of the reference and the method
}

// FormShare is the part of the nearest teeth that have a form.
type FormShare struct {
	Form  Form
	Share float64 // 0 to 1; the shares of an answer sum to 1
	Count int     // neighbours
}

// CladeShare is the part of the nearest teeth that belong to a clade.
type CladeShare struct {
	Clade string
	Share float64 // 0 to 1; the shares of an answer sum to 1
	Count int     // neighbours
}

// Neighbour is a reference tooth near the query.
type Neighbour struct {
	Tooth *Tooth
	// Distance is Euclidean, in standard deviations of the comparison sample.
	Distance float64
}

// Dropped is a measure that was given but not compared.
type Dropped struct {
	Measure Measure
	Why     string
}

// Missing is a measure that was not given.
type Missing struct {
	Measure Measure
	Why     string // what it would help with
}
