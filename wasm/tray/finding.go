package tray

import (
	"crownbench/classify"
	"crownbench/morph"
)

// Finding is what follows from a specimen's inputs: its readings, the question
// that they put to the published teeth, and the answer.
type Finding struct {
	Readings morph.Readings
	Answer   classify.Answer
	Query    classify.Query
	// Doubted are the readings that take part in the sorting although something
	// speaks against them; their Problem says what.
	Doubted morph.Readings
	// Slips are mistakes that would explain why the tooth lies outside of
	// everything known, where it does.
	Slips []Slip

	teeth *classify.Reference // that it was compared with
}

// Why says what each measurement does to the share of the likeliest form. It is
// worked out when asked for.
func (f *Finding) Why() []classify.Pull { return f.teeth.Why(f.Query, &f.Answer) }

// Sorting says how specimens are sorted. The zero value compares with the
// published teeth, at the usual coverage.
type Sorting struct {
	Coverage float64             // of the sets, see classify.Options
	Teeth    *classify.Reference // to compare with; nil for the published ones
}

// Find derives the readings of a specimen and sorts it, by those that are fit
// to be compared, as Sorting{} does.
func Find(s *Specimen) Finding { return Sorting{}.Find(s) }

// Find derives the readings of a specimen and sorts it by those that are fit
// to be compared.
func (how Sorting) Find(s *Specimen) Finding {
	f := Finding{Readings: morph.Read(s.Tooth())}
	f.Query = QueryOf(s, f.Readings)
	teeth := how.Teeth
	if teeth == nil {
		teeth = classify.Published()
	}
	f.teeth = teeth
	f.Answer = teeth.Sort(f.Query, classify.Options{Coverage: how.Coverage})
	if f.Answer.Reach.Outside {
		f.Slips = slips(teeth, f.Query)
	}
	for _, m := range f.Answer.Used {
		if r := f.Readings.Get(morph.ID(m)); r.Known && r.Problem != "" {
			f.Doubted = append(f.Doubted, r)
		}
	}
	return f
}

// Animal names the animal of a specimen among comparison teeth, so that a
// specimen which was added to them is not compared with itself.
func Animal(specimenID string) string { return "tray " + specimenID }

// QueryOf gives the question that a specimen's readings put to the published
// teeth. A reading takes part when its value is known and was measured or
// estimated; a minimum says nothing of the whole crown. A value that morph
// doubts (Reading.Problem) but still holds known takes part: the doubt is
// shown beside it, and the person decides.
//
// A ratio is stated only where it says more than the lengths, and CHR only as
// CH / CBL, which is what the published teeth are compared in.
func QueryOf(s *Specimen, readings morph.Readings) classify.Query {
	q := classify.Query{
		Values: map[classify.Measure]float64{}, U: map[classify.Measure]float64{},
		Mesial:  denticles(s.Mesial, readings, morph.MA, morph.MC, morph.MB),
		Distal:  denticles(s.Distal, readings, morph.DA, morph.DC, morph.DB),
		Row:     toothRow(s.Row),
		Epoch:   s.Age,
		Country: s.Country,

		Individual: Animal(s.ID),
	}
	for _, m := range classify.Measures() {
		r := readings.Get(morph.ID(m))
		if !usable(r) || restates(s, readings, r) {
			continue
		}
		q.Values[m] = r.Value
		if r.U > 0 {
			q.U[m] = r.U
		}
	}
	return q
}

func usable(r morph.Reading) bool {
	return r.Known && (r.State == morph.MeasuredState || r.State == morph.Estimated)
}

// restates tells whether a reading is a ratio that the comparison computes
// from lengths it is given anyway, or that is not the ratio it compares.
func restates(s *Specimen, readings morph.Readings, r morph.Reading) bool {
	var over morph.ID
	switch r.ID {
	case morph.CBR:
		over = morph.CBW
	case morph.CHR:
		if s.CHR == morph.CHRByLongAxis {
			return true
		}
		over = morph.CH
	default:
		return false
	}
	fromLengths := r.Key == "" || r.Key == morph.DerivedKey
	return fromLengths && usable(readings.Get(over)) && usable(readings.Get(morph.CBL))
}

// denticles gives what is known of a carina's denticles: what the person says
// of the whole carina, else that they are absent where that was typed as its
// mid-crown value and nothing was counted elsewhere on it. That denticles are
// not preserved leaves open whether there were any.
func denticles(said morph.CarinaState, readings morph.Readings, apical, mid, basal morph.ID) classify.DenticleState {
	switch said {
	case morph.DenticlesPresent:
		return classify.DenticlesPresent
	case morph.DenticlesAbsent:
		return classify.DenticlesAbsent
	case morph.DenticlesNotPreserved:
		return classify.DenticlesUnknown
	}
	for _, id := range []morph.ID{apical, mid, basal} {
		if readings.Get(id).Known {
			return classify.DenticlesPresent
		}
	}
	if readings.Get(mid).State == morph.Absent {
		return classify.DenticlesAbsent
	}
	return classify.DenticlesUnknown
}

func toothRow(r Row) classify.ToothRow {
	switch r {
	case RowMesial:
		return classify.Mesial
	case RowLateral:
		return classify.Lateral
	}
	return classify.RowUnknown
}

// Finder finds, and remembers what it found for the specimens asked about of
// late. Since a specimen never changes once a Tray has handed it out, its
// address stands for its inputs. The zero value is ready; it is not for
// concurrent use.
type Finder struct {
	how Sorting
	// Two generations: when the young one is full it becomes the old one, so
	// that what is asked for again stays and memory is bounded.
	young, old map[*Specimen]*Finding
}

// remembered is how many findings a generation holds: more than a screen of
// the tray shows, and some megabytes at most.
const remembered = 500

// Sort sets how specimens are sorted from now on, and forgets what was found.
func (f *Finder) Sort(how Sorting) { *f = Finder{how: how} }

// How tells how specimens are sorted.
func (f *Finder) How() Sorting { return f.how }

// Find gives what follows from a specimen's inputs. What it returns is shared
// between calls and must not be changed.
func (f *Finder) Find(s *Specimen) Finding {
	if found, ok := f.young[s]; ok {
		return *found
	}
	found, ok := f.old[s]
	if !ok {
		fresh := f.how.Find(s)
		found = &fresh
	}
	if f.young == nil || len(f.young) >= remembered {
		f.old, f.young = f.young, make(map[*Specimen]*Finding)
	}
	f.young[s] = found
	return *found
}
