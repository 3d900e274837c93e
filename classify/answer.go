package classify

// Answer is what the comparison says of one tooth, with its evidence.
type Answer struct {
	// Form is the tooth's form, or "" when none can be said; CannotSay then
	// gives the reason as a clause without a full stop.
	Form      Form
	CannotSay string
	// Said is the answer in one sentence, as a colleague would put it. It is
	// empty only when Options.Brief.
	Said string

	// Coverage is the part of teeth, measured in validation, whose true form
	// (or clade) the sets hold: 0.80, 0.90 or 0.95.
	Coverage float64
	FormSet  []Form   // forms that cannot be ruled out, likeliest first
	CladeSet []string // clades that cannot be ruled out, likeliest first

	Shares []FormShare  // forms possible in the tooth row, largest share first; empty without a width
	Clades []CladeShare // largest share first

	Used    []Measure // given measures that the teeth were compared in
	Dropped []Dropped // given measures that were not
	Missing []Missing // measures not given that would help, most helpful first

	Comparable int // reference teeth that the form was compared with
	Own        int // teeth of the sample that were added to the published ones

	// Neighbours are the nearest teeth that carry a form, CladeNeighbours the
	// nearest that carry one of the compared clades; nearest first, equally
	// near ones by id.
	Neighbours      []Neighbour
	CladeNeighbours []Neighbour

	Reach      Reach
	Epochs     []Tally // of CladeNeighbours, most frequent first
	Continents []Tally

	// Cautions are sentences that matter for this tooth.
	Cautions []string

	Version string // of the reference and the model
}

// FormShare is how much speaks for a form.
type FormShare struct {
	Form  Form
	Share float64 // 0 to 1, calibrated: of teeth given 0.8, about 8 in 10 are so; the shares of an answer sum to 1
	Count int     // of Neighbours
}

// CladeShare is how much speaks for a clade.
type CladeShare struct {
	Clade string
	Share float64 // 0 to 1, calibrated; the shares of an answer sum to 1
	Count int     // of CladeNeighbours
}

// Neighbour is a reference tooth near the query.
type Neighbour struct {
	Tooth *Tooth
	// Distance is in the learned space of the question: of two teeth, one at
	// distance 1 weighs e times as much as one at distance √2.
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
	Decides bool   // no form can be said without it
	// By how many names the 90 % sets shrank on average in validation when it
	// became known; not above zero where it did not help.
	FormGain, CladeGain float64
}

// Tally counts neighbours that share a name.
type Tally struct {
	Name  string
	Count int
}
