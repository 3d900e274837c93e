package desk

import (
	"fmt"
	"slices"
	"strings"

	"crownbench/morph"
	"crownbench/wasm/lesson"
	"crownbench/wasm/tray"
)

// Making is the plan of a lesson as the instructor fills it in, and the files
// that came of it.
type Making struct {
	Title, Instructions string
	Choices             string // one on a line
	Readings            map[morph.ID]bool
	Repeats             int
	Hidden              lesson.Hidden
	Help                lesson.Help
	Out                 map[string]bool   // specimens and photographs that are left out, by ID
	Truth               map[string]string // right choice by specimen

	Made        *lesson.Made
	Remarks     []string // of what was made
	LessonSaved bool
	KeySaved    bool
}

// fill proposes what most lessons ask, the first time.
func (m *Making) fill(teeth []*tray.Specimen) {
	if m.Readings == nil {
		m.Title = "Measuring teeth"
		m.Instructions = "Set the scale on every photograph, then trace the crown and outline the base. Do each tooth on its own, and do not look back at your first numbers when it comes again."
		m.Readings = map[morph.ID]bool{morph.CBL: true, morph.CBW: true, morph.CH: true, morph.CBR: true}
		m.Repeats = 2
		m.Hidden = lesson.Hidden{Identity: true, Readings: true, Answer: true}
		m.Help = lesson.Help{Edges: true}
		m.Out, m.Truth = map[string]bool{}, map[string]string{}
	}
	chosen := 0
	for _, s := range teeth {
		if len(s.Photos) == 0 || m.Out[s.ID] {
			continue
		}
		if chosen++; chosen > lesson.MaxTeeth {
			m.Out[s.ID] = true
		}
	}
}

// Making is the lesson that is being made.
func (d *Desk) Making() *Making { return &d.lesson.making }

// ChangePlan changes the plan of the lesson that is being made.
func (d *Desk) ChangePlan(change func(*Making)) {
	change(&d.lesson.making)
	d.lesson.wrong = ""
	d.outside.Refresh()
}

// ForLesson lists the specimens that a lesson can be made of.
func (d *Desk) ForLesson() []*tray.Specimen {
	return slices.DeleteFunc(d.own().Specimens(), func(s *tray.Specimen) bool { return len(s.Photos) == 0 })
}

// Names are the choices that a student has, one from each line.
func (m *Making) Names() []string {
	var out []string
	for line := range strings.Lines(m.Choices) {
		if name := strings.Join(strings.Fields(line), " "); name != "" {
			out = append(out, name)
		}
	}
	return out
}

func (m *Making) plan(teeth []*tray.Specimen) lesson.Plan {
	p := lesson.Plan{
		Title: strings.TrimSpace(m.Title), Instructions: strings.TrimSpace(m.Instructions), Choices: m.Names(),
		Repeats: m.Repeats, Hidden: m.Hidden, Help: m.Help,
	}
	for _, q := range morph.Quantities {
		if m.Readings[q.ID] {
			p.Readings = append(p.Readings, q.ID)
		}
	}
	for _, s := range teeth {
		if m.Out[s.ID] {
			continue
		}
		t := lesson.Planned{Specimen: s, Photos: []string{}}
		if slices.Contains(p.Choices, m.Truth[s.ID]) {
			t.Truth = m.Truth[s.ID]
		}
		for _, x := range s.Photos {
			if !m.Out[x.ID] {
				t.Photos = append(t.Photos, x.ID)
			}
		}
		p.Teeth = append(p.Teeth, t)
	}
	return p
}

// MakeLesson makes the lesson and its key as the plan has them.
func (d *Desk) MakeLesson() {
	d.make(d.lesson.making.plan(d.ForLesson()), "")
}

// MakeReady makes one of the lessons that come with the program.
func (d *Desk) MakeReady(r lesson.ReadyMade) {
	d.outside.FetchDemo(func(teeth []*tray.Specimen, err error) {
		var p lesson.Plan
		if err == nil {
			for _, s := range teeth {
				s.Invented = true
			}
			p, err = r.Plan(teeth)
		}
		if err != nil {
			d.lesson.wrong = Sentence(err)
			d.outside.Refresh()
			return
		}
		d.make(p, "The teeth of this lesson are those of the invented tray, which shows the key's values to whoever opens it. Ask the class not to open it before the review.")
	})
}

// make makes a lesson of a plan; remark is put to those that Make gives.
func (d *Desk) make(p lesson.Plan, remark string) {
	m := &d.lesson.making
	d.SetBusy("Making the lesson…")
	d.outside.Beside(func(func() bool) {
		made, err := lesson.Make(p, d.outside.PhotoFile)
		d.SetBusy("")
		if err != nil {
			d.lesson.wrong = Sentence(err)
			d.outside.Refresh()
			return
		}
		m.Made, m.Remarks = made, made.Remarks
		if remark != "" {
			m.Remarks = append([]string{remark}, m.Remarks...)
		}
		m.LessonSaved, m.KeySaved = false, false
		d.lesson.wrong = ""
		d.focus = "lesson-save"
		d.outside.Refresh()
	})
}

// SaveLesson hands out the file for the class.
func (d *Desk) SaveLesson() {
	if m := &d.lesson.making; m.Made != nil {
		m.LessonSaved = true
		d.outside.Download(m.Made.LessonFile, "application/zip", m.Made.Lesson)
		d.outside.Refresh()
	}
}

// SaveKey hands out the file for the instructor.
func (d *Desk) SaveKey() {
	if m := &d.lesson.making; m.Made != nil {
		m.KeySaved = true
		d.outside.Download(m.Made.KeyFile, "application/json", m.Made.Key)
		d.outside.Refresh()
	}
}

// TryLesson opens the lesson that was made as a student would.
func (d *Desk) TryLesson() {
	if m := d.lesson.making.Made; m != nil {
		d.openToTake(lesson.File{Name: m.LessonFile, Data: m.Lesson})
	}
}

// AnotherLesson goes back from what was made to making.
func (d *Desk) AnotherLesson() {
	d.lesson.making.Made = nil
	d.OpenLesson(LessonMake)
}

// RepeatsOf tells which of one's own specimens are to be marked twice, by ID.
func (d *Desk) RepeatsOf() map[string]bool { return d.lesson.repeats }

// RepeatThis puts a specimen among those that are to be marked twice, or takes
// it out.
func (d *Desk) RepeatThis(id string, yes bool) {
	if d.lesson.repeats == nil {
		d.lesson.repeats = map[string]bool{}
	}
	d.lesson.repeats[id] = yes
	d.outside.Refresh()
}

// BeginRepeats lets a person mark own specimens twice, to learn how well they
// point.
func (d *Desk) BeginRepeats() {
	p := lesson.Plan{
		Title: "Marking your own specimens twice", Repeats: 2, Hidden: lesson.Hidden{Readings: true, Answer: true}, Help: lesson.Help{Edges: true},
		Instructions: "Mark each photograph as you always do: its scale, then the crown, the section or the denticles. Every specimen comes twice, and the second time nothing of the first is shown.\n\nAt the end the program compares the points that you placed twice. Outlines count by their landmarks: base, apex, ends of the scale bar, ends of a stretch.",
		Readings:     []morph.ID{morph.CBL, morph.CBW, morph.CH, morph.DC, morph.MC},
	}
	for _, s := range d.ForLesson() {
		if d.lesson.repeats[s.ID] {
			p.Teeth = append(p.Teeth, lesson.Planned{Specimen: s})
		}
	}
	d.SetBusy("Laying out the specimens…")
	d.outside.Beside(func(func() bool) {
		made, err := lesson.Make(p, d.outside.PhotoFile)
		var o *openedLesson
		var w *lesson.Work
		if err == nil {
			o, err = openLesson(made.Lesson)
		}
		if err == nil {
			w, err = lesson.Start(o.Opened, "your own repeats")
		}
		d.SetBusy("")
		if err != nil {
			d.lesson.wrong = Sentence(err)
			d.outside.Refresh()
			return
		}
		d.begin(o, w, true)
	})
}

// OwnPointing is how well the person places points, as their repeats told.
type OwnPointing struct {
	SD     float64 `json:"sd"` // px along x and along y; 0 when not known
	Points int     `json:"points,omitempty"`
	Day    string  `json:"day,omitempty"` // ISO 8601
}

// OwnPointing is the pointing error of the person's own, as repeats told it.
func (d *Desk) OwnPointing() OwnPointing { return d.settings.Pointing }

// UsePointing makes what the repeats tell the pointing error of every
// photograph of the person's own tray for which none was stated or found from
// marks made again, and of those that come.
func (d *Desk) UsePointing(day string) {
	t := d.lesson.taking
	if t == nil || !t.Repeats || t.PointingWhy != "" {
		return
	}
	all := t.Pointing.All
	d.LeaveLesson()
	d.ForgetWork(t.key)
	s := d.settings
	was := s.Pointing.SD
	s.Pointing = OwnPointing{SD: min(all.SD, maxPointing), Points: all.Points, Day: day}
	n := 0
	err := d.Tray.EditAll("use your own pointing error", func(x *tray.Specimen) {
		for i := range x.Photos {
			// Marks made again on a photograph itself say more of it.
			if p := &x.Photos[i]; p.Pointing == 0 && len(p.Repeats) == 0 || p.Pointing == was && was > 0 {
				p.Pointing = s.Pointing.SD
				n++
			}
		}
	})
	if err != nil {
		d.Warn(Sentence(err))
		return
	}
	d.changeSettings(s)
	d.lay()
	d.Remark(fmt.Sprintf("Your own pointing error, ± %.2g px, now stands behind the readings of %s and of every photograph that you add. Undo takes it off the photographs again.",
		s.Pointing.SD, countOf(n, "photograph", "photographs")))
}

// ForgetPointing goes back to the usual pointing error for photographs to come.
func (d *Desk) ForgetPointing() {
	s := d.settings
	s.Pointing = OwnPointing{}
	d.changeSettings(s)
}
