package morph

import (
	"fmt"
	"math"
	"slices"
)

// What is worth a word: candidates that differ by more than apartShare of
// their mean and by more than twice the uncertainty of the difference.
const apartShare = 0.05

// apart says that the candidate that counts and another one do not agree.
func (e *entry) apart(ways []way, values, us []float64, counts int) string {
	if !e.agree || counts < 0 || ways[counts].model {
		return ""
	}
	worst, with := apartShare, -1
	for j := range ways {
		if j == counts || ways[j].model {
			continue
		}
		d := math.Abs(values[j] - values[counts])
		share := d / (math.Abs(values[j])/2 + math.Abs(values[counts])/2)
		if share > worst && d > 2*math.Hypot(us[j], us[counts]) {
			worst, with = share, j
		}
	}
	if with < 0 {
		return ""
	}
	return fmt.Sprintf("%s %s (%s) and %s (%s) differ by %.0f %%.", e.ID,
		figure(values[counts]), ways[counts].how, figure(values[with]), ways[with].how, 100*worst)
}

// Shapes that no published crown has (the compiled table's extremes are CBR
// 2.18, CHR 0.85, MCL/CBL 1.23 and MSL/AL 1.20): a slip is more likely.
const (
	oddCBR    = 3.0
	oddCHR    = 0.2
	oddMCLCBL = 1.5
	oddMSLAL  = 1.5
)

// crossCheck adds sentences where readings do not go together. It makes no
// reading unknown: which of two is wrong cannot be told here.
func (s *survey) crossCheck() {
	cbl, ch, al := s.reading(CBL), s.reading(CH), s.reading(AL)
	if cbr := s.reading(CBR); cbr.Known && cbr.Value > oddCBR {
		say := fmt.Sprintf("CBW is %s times CBL: are the mesial and distal ends swapped with the labial and lingual ones?", figure(cbr.Value))
		s.doubt(CBR, say)
		s.doubt(CBW, say)
	}
	if ch.Known && cbl.Known && ch.State != Minimum && ch.Value < oddCHR*cbl.Value {
		s.doubt(CH, fmt.Sprintf("CH %s mm is less than a fifth of CBL %s mm: check both, and their units.", figure(ch.Value), figure(cbl.Value)))
	}
	if mcl := s.reading(MCL); mcl.Known && cbl.Known && mcl.Value > oddMCLCBL*cbl.Value {
		s.doubt(MCL, fmt.Sprintf("MCL %s mm is far more than CBL %s mm: a crown is not that much longer at its middle.", figure(mcl.Value), figure(cbl.Value)))
	}
	if msl := s.reading(MSL); msl.Known && al.Known && al.State != Minimum && msl.Value > oddMSLAL*al.Value {
		s.doubt(MSL, fmt.Sprintf("MSL %s mm is far more than AL %s mm: the serrated part cannot be longer than its carina.", figure(msl.Value), figure(al.Value)))
	}
	if cbl.Known && al.Known && ch.Known && (s.reading(CMA).Key == DerivedKey || s.reading(CMA).Key == "") {
		t := Triangle{CBL: cbl.Value, AL: al.Value, CH: ch.Value}
		if err := t.Check(); err != nil {
			for _, id := range []ID{CBL, AL, CH} {
				s.doubt(id, err.Error())
			}
		}
	}
	if s.broken {
		for _, r := range []Reading{ch, al} {
			if r.Known && r.Key == TypedKey && r.State == MeasuredState {
				s.doubt(r.ID, fmt.Sprintf("The crown is marked broken, yet the typed %s bears no mark: mark it as a minimum if the lost part is not in it.", r.ID))
			}
		}
	}
}

// doubt adds a sentence to a reading's problems.
func (s *survey) doubt(id ID, sentence string) {
	r := &s.readings[index[id]]
	r.Problem = join(r.Problem, sentence)
}

func join(problem, sentence string) string {
	switch {
	case problem == "" || sentence == "":
		return problem + sentence
	case problem == sentence:
		return problem
	}
	return problem + " " + sentence
}

// Gaps between neighbouring ticks, relative to the median gap, at which two
// ticks may stand on one denticle or a denticle may have been passed over.
const (
	tightGap = 0.3
	wideGap  = 1.8
)

// unevenTicks says that ticks stand so unevenly that one may be wrong.
func unevenTicks(p *piece) string {
	_, gaps := TickSpan(p.line.points, p.ticks.points)
	if len(gaps) < 3 {
		return ""
	}
	sorted := slices.Clone(gaps)
	slices.Sort(sorted)
	median := sorted[len(sorted)/2]
	switch {
	case sorted[0] < tightGap*median:
		return "Two ticks stand so close together that they may mark one denticle."
	case sorted[len(sorted)-1] > wideGap*median:
		return "Two neighbouring ticks stand so far apart that a denticle may have been passed over."
	}
	return ""
}
