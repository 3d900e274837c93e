package classify

// Form is the shape class of a crown, or "" when none applies.
type Form string

const (
	Blade  Form = "blade"  // lateral crown of a ziphodont dentition
	Robust Form = "robust" // crown of a conidont, incrassate or pachydont dentition
	Front  Form = "front"  // mesial crown of a ziphodont dentition
)

// Forms lists the three forms in the order ties are settled and tables are
// printed.
func Forms() []Form { return []Form{Blade, Robust, Front} }

// Words returns the form as a colleague would say it, with a capital letter.
func (f Form) Words() string {
	switch f {
	case Blade:
		return "Blade-like"
	case Robust:
		return "Robust-conical"
	case Front:
		return "Front tooth of a blade-toothed animal"
	}
	return "No form"
}

// DenticleState says what is known of a carina's denticles. Absence is a
// character of the tooth; not knowing is not.
type DenticleState uint8

const (
	DenticlesUnknown DenticleState = iota
	DenticlesPresent
	DenticlesAbsent
)

func (s DenticleState) String() string {
	switch s {
	case DenticlesPresent:
		return "present"
	case DenticlesAbsent:
		return "absent"
	}
	return "unknown"
}

// ToothRow is the part of the jaw a tooth comes from.
type ToothRow uint8

const (
	RowUnknown   ToothRow = iota
	Mesial                // premaxilla and tip of the dentary
	Lateral               // maxilla and the rest of the dentary
	Mesiolateral          // between the two
)

func (r ToothRow) String() string {
	switch r {
	case Mesial:
		return "mesial"
	case Lateral:
		return "lateral"
	case Mesiolateral:
		return "mesiolateral"
	}
	return "unknown"
}

// Maturity is the age class of the animal as printed with the tooth.
type Maturity uint8

const (
	MaturityUnknown Maturity = iota
	Immature
	Subadult
	Adult
)

func (m Maturity) String() string {
	switch m {
	case Immature:
		return "immature"
	case Subadult:
		return "subadult"
	case Adult:
		return "adult"
	}
	return "unknown"
}

// Tooth is one crown of a comparison sample. Taxon and Clade are the labels of
// the table it was published in.
type Tooth struct {
	ID         string
	Taxon      string
	Clade      string
	Row        ToothRow
	Position   string // place in the jaw as printed
	Specimen   string // catalogue number
	Individual string // same for all teeth of one animal
	Maturity   Maturity
	Formation  string
	Country    string
	Epoch      string
	Source     string // key of a Source

	MesialDenticles DenticleState
	DistalDenticles DenticleState

	Estimated  string // columns printed as estimates, such as "MB~"
	Form       Form   // "" when left out of form training
	FormBasis  string // why Form is what it is
	StudyClass string // class in the table of Marques and others 2025, or ""

	values values
	own    bool // added with Reference.With
}

// Own tells whether the tooth was added to the published ones with
// [Reference.With].
func (t *Tooth) Own() bool { return t.own }

// Value returns the tooth's value of m in mm, denticles per 5 mm, or as a
// plain ratio, and whether it is known. CBR and CHR follow from the lengths.
func (t *Tooth) Value(m Measure) (v float64, ok bool) {
	i := m.index()
	if i < 0 || t.values[i] == 0 {
		return 0, false
	}
	return t.values[i], true
}

// Values returns all known values of the tooth.
func (t *Tooth) Values() map[Measure]float64 {
	all := make(map[Measure]float64)
	for i, v := range t.values {
		if v != 0 {
			all[measures[i].id] = v
		}
	}
	return all
}

// SetValue records v (mm, per 5 mm, or a ratio) as the tooth's value of m. It
// returns the error of [CheckValue] and then changes nothing.
func (t *Tooth) SetValue(m Measure, v float64) error {
	if err := CheckValue(m, v); err != nil {
		return err
	}
	t.values[m.index()] = v
	t.values.ratios()
	return nil
}

// Source is a paper that teeth were published in.
type Source struct {
	Key       string
	Reference string
	Note      string // how sure the reference is
}
