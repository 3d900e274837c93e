package desk

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"crownbench/classify"
	"crownbench/wasm/comparison"
	"crownbench/wasm/tray"
)

// Settings are what a person chose for all teeth in this browser.
type Settings struct {
	Coverage float64         `json:"coverage,omitempty"` // of the sets; 0 is the usual one
	Own      comparison.List `json:"ownTeeth"`
	Straight bool            `json:"straight,omitempty"` // lines do not follow edges
	Pointing OwnPointing     `json:"pointing"`
}

// Coverages are those that a person can choose.
func Coverages() []float64 { return []float64{0.80, 0.90, 0.95} }

// TakeSettings takes over what was kept in this browser.
func (d *Desk) TakeSettings(s Settings) {
	if !slices.Contains(Coverages(), s.Coverage) {
		s.Coverage = 0
	}
	sound, lost := s.Own.Sound()
	s.Own = sound
	if lost > 0 {
		d.Warn(fmt.Sprintf("%s could not be read back and will not be compared with.", countOf(lost, "comparison tooth of your own", "comparison teeth of your own")))
	}
	d.settings = s
	d.Bench.FollowEdge(!s.Straight)
	d.sortAnew()
}

// changeSettings keeps the settings and sorts everything by them.
func (d *Desk) changeSettings(s Settings) {
	d.settings = s
	d.outside.KeepSettings(s)
	d.sortAnew()
}

// sortAnew sorts by the settings; without own teeth where those cannot be
// compared with.
func (d *Desk) sortAnew() {
	sample, err := d.settings.Own.Sample()
	if err != nil {
		d.Warn(Sentence(err))
		sample = classify.Published()
	}
	d.sample = sample
	d.finder.Sort(tray.Sorting{Coverage: d.settings.Coverage, Teeth: sample})
	d.glanceAll()
	d.outside.Refresh()
}

// Coverage is the part of teeth whose true name the sets are to hold.
func (d *Desk) Coverage() float64 {
	if d.settings.Coverage == 0 {
		return 0.90
	}
	return d.settings.Coverage
}

// SetCoverage chooses it, for all teeth.
func (d *Desk) SetCoverage(c float64) {
	s := d.settings
	s.Coverage = c
	d.changeSettings(s)
}

// OwnTeeth are the person's own comparison teeth.
func (d *Desk) OwnTeeth() comparison.List { return d.settings.Own }

// UseOwnTeeth compares with the person's own teeth, or leaves them aside.
func (d *Desk) UseOwnTeeth(yes bool) {
	s := d.settings
	s.Own.Off = !yes
	d.changeSettings(s)
}

// ownTooth is the cell beside which a refusal to add a tooth is shown.
const ownTooth = "own-tooth"

// AddOwnTooth adds the specimen on the desk, as it is now and as what Known
// says, to the comparison teeth. One that was added before is replaced.
func (d *Desk) AddOwnTooth() {
	s, known := d.Specimen(), d.Known()
	if s == nil {
		return
	}
	var list comparison.List
	t, err := comparison.FromSpecimen(s, d.Find(s), known.Identity)
	if err == nil && !known.Certain {
		err = fmt.Errorf("a tooth to compare with must be known for certain, by other evidence than this sorting; tick that it is")
	}
	if err == nil {
		list, err = d.settings.Own.Add(t)
	}
	if err != nil {
		d.refuse(ownTooth, "", err)
		return
	}
	d.accept(ownTooth)
	d.known.of = ""
	d.replaceOwn(list)
	d.spoken = fmt.Sprintf("%s was added to the comparison teeth.", s.Name)
	d.outside.Refresh()
}

// OwnOf is the comparison tooth that a specimen was added as.
func (d *Desk) OwnOf(specimen string) (comparison.Tooth, bool) {
	for _, t := range d.settings.Own.Teeth {
		if t.Specimen == specimen {
			return t, true
		}
	}
	return comparison.Tooth{}, false
}

// RemoveOwnTooth takes a tooth off the comparison teeth.
func (d *Desk) RemoveOwnTooth(id string) {
	d.replaceOwn(d.settings.Own.Remove(id))
}

// RemoveOwnTeeth takes all of them off.
func (d *Desk) RemoveOwnTeeth() {
	d.replaceOwn(comparison.List{Off: d.settings.Own.Off})
}

// replaceOwn puts another list in place of the present one, which PutOwnBack
// brings back.
func (d *Desk) replaceOwn(list comparison.List) {
	d.StopTest()
	d.ownBefore = append(d.ownBefore, d.settings.Own)
	s := d.settings
	s.Own = list
	d.changeSettings(s)
}

// OwnChanged tells whether the list of comparison teeth was changed since the
// page was opened, so that a change can be taken back.
func (d *Desk) OwnChanged() bool { return len(d.ownBefore) > 0 }

// PutOwnBack takes the last change of the list back.
func (d *Desk) PutOwnBack() {
	n := len(d.ownBefore)
	if n == 0 {
		return
	}
	d.StopTest()
	s := d.settings
	s.Own.Teeth = d.ownBefore[n-1].Teeth
	d.ownBefore = d.ownBefore[:n-1]
	d.changeSettings(s)
}

// PickOwnTable lets the person choose a table of identified teeth.
func (d *Desk) PickOwnTable() { d.outside.PickOwnTable() }

// problemsTold is how many sentences about a table are shown; more would bury
// the page.
const problemsTold = 3

// ReadOwnTable adds the teeth of a table to the comparison teeth.
func (d *Desk) ReadOwnTable(file string, b []byte) {
	teeth, problems, err := comparison.Read(file, bytes.NewReader(b))
	var list comparison.List
	if err == nil {
		list, err = d.settings.Own.Add(teeth...)
	}
	if err != nil {
		d.Warn(fmt.Sprintf("%s was not read: %s", file, Sentence(err)))
		return
	}
	if len(teeth) > 0 {
		d.replaceOwn(list)
	}
	if len(problems) > 0 {
		told := problems[:min(len(problems), problemsTold)]
		more := ""
		if n := len(problems) - len(told); n > 0 {
			more = fmt.Sprintf(" And %d more.", n)
		}
		d.Warn(fmt.Sprintf("%s: %s added, %s not used. %s.%s", file, countOf(len(teeth), "tooth was", "teeth were"),
			countOf(len(problems), "row or cell was", "rows or cells were"), strings.Join(told, ". "), more))
		return
	}
	d.Remark(fmt.Sprintf("%s: %s added to the comparison teeth.", file, countOf(len(teeth), "tooth was", "teeth were")))
}

// Known is what a person is saying of the specimen on the desk before it is
// added to the comparison teeth.
type Known struct {
	comparison.Identity
	Certain bool // known by other evidence than the sorting
}

// Known gives what was said so far: of a tooth that was added before, what it
// was added as.
func (d *Desk) Known() Known {
	if d.known.of == d.specimen {
		return d.known.Known
	}
	if t, ok := d.OwnOf(d.specimen); ok {
		return Known{Identity: t.Identity}
	}
	return Known{}
}

// SayKnown takes what a person says of the specimen on the desk.
func (d *Desk) SayKnown(k Known) {
	d.known.of, d.known.Known = d.specimen, k
	d.accept(ownTooth)
	d.outside.Refresh()
}
