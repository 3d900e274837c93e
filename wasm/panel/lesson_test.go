package panel_test

import (
	"strings"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/desk"
	"crownbench/wasm/lesson"
	"crownbench/wasm/panel"
	"crownbench/wasm/tray"
)

// now is when an answer is written.
var now = time.Date(2026, 1, 31, 10, 0, 0, 0, time.UTC)

const hostile = `<script>alert("x")</script>`

// teacher is a desk with a photographed tooth, its name hostile, and a lesson
// made of it.
func teacher(change func(*desk.Making)) *desk.Desk {
	d := newDesk()
	d.NewSpecimen()
	d.SetField(desk.NameField, hostile)
	d.AddPhotos(tray.Photo{View: morph.View{ID: "v", Role: morph.LateralLabial}, Hash: strings.Repeat("0", 64), File: hostile + ".png", MIME: "image/png", Bytes: 1, Width: 800, Height: 600})
	d.TypeValue("CBL", "20.25", desk.Done)
	d.OpenLesson(desk.LessonMake)
	d.ChangePlan(func(m *desk.Making) {
		m.Title, m.Instructions, m.Choices = hostile, hostile+"\n\nMeasure.", "Blade\n"+hostile
		m.Readings["DC"], m.Readings["MC"] = true, true
		if change != nil {
			change(m)
		}
	})
	d.MakeLesson()
	return d
}

// pupil is a desk on which that lesson is taken.
func pupil(of *desk.Desk) *desk.Desk {
	d := newDesk()
	d.TakeLessonFiles([]lesson.File{{Name: hostile, Data: of.Making().Made.Lesson}})
	d.TypeStudentName(hostile)
	d.BeginLesson()
	d.OpenDialog(desk.NoDialog)
	return d
}

func lessonStates() map[string]*desk.Desk {
	all := map[string]*desk.Desk{}
	for name, door := range map[string]desk.LessonDoor{"ways": desk.LessonWays, "take": desk.LessonTake, "make": desk.LessonMake, "review": desk.LessonReview, "repeat": desk.LessonRepeat} {
		d := newDesk()
		d.OpenLesson(door)
		all[name] = d
	}
	made := teacher(nil)
	all["made"] = made
	plan := teacher(nil)
	plan.AnotherLesson()
	plan.Unfold("plan-readings", true)
	all["plan"] = plan
	wrong := newDesk()
	wrong.OpenLesson(desk.LessonTake)
	wrong.TakeLessonFiles([]lesson.File{{Name: hostile, Data: []byte("PK")}})
	all["wrong file"] = wrong
	named := newDesk()
	named.TakeLessonFiles([]lesson.File{{Name: "x", Data: made.Making().Made.Lesson}})
	all["name"] = named
	all["sitting"] = pupil(made)
	for _, id := range []morph.ID{"CBL", "DC", "CH"} {
		all["sitting"].ToggleReading(id)
	}
	all["shown"] = pupil(teacher(func(m *desk.Making) { m.Hidden = lesson.Hidden{} }))
	all["instructions"] = pupil(made)
	all["instructions"].OpenDialog(desk.InstructionsDialog)
	end := pupil(made)
	end.TypeValue("CBL", "20", desk.Done)
	end.EndLesson()
	all["end"] = end
	handed := pupil(made)
	handed.TypeValue("CBL", "20", desk.Done)
	handed.EndLesson()
	handed.SaveAnswer()
	all["handed in"] = handed
	left := pupil(made)
	left.LeaveLesson()
	left.OpenLesson(desk.LessonWays)
	all["kept"] = left
	waiting := newDesk()
	waiting.OpenLesson(desk.LessonReview)
	waiting.TakeLessonFiles([]lesson.File{{Name: hostile, Data: []byte("x")}})
	all["review without a key"] = waiting
	review := teacher(nil)
	review.OpenLesson(desk.LessonReview)
	answer, err := all["handed in"].Taking().Work.Answer(now)
	if err != nil {
		panic(err)
	}
	m := review.Making().Made
	review.TakeLessonFiles([]lesson.File{{Name: "key", Data: m.Key}, {Name: hostile, Data: []byte("x")}, {Name: "answer", Data: answer}})
	all["review"] = review
	own := teacher(nil)
	own.RepeatThis(own.ForLesson()[0].ID, true)
	own.OpenLesson(desk.LessonRepeat)
	all["repeat chosen"] = own
	repeats := teacher(nil)
	repeats.RepeatThis(repeats.ForLesson()[0].ID, true)
	repeats.BeginRepeats()
	repeats.EndLesson()
	all["repeats without marks"] = repeats
	return all
}

// text is all that a page says.
func text(d *desk.Desk) string {
	var b strings.Builder
	for _, n := range panel.Page(d) {
		if n != nil {
			b.WriteString(n.String())
		}
	}
	return b.String()
}

// While a lesson hides readings, answer and identity, nothing on the page gives
// them: no reading that follows from another, no sorting, no name, no map, no
// way into the tray, the sheet or the tables.
func TestHiddenIsHidden(t *testing.T) {
	d := pupil(teacher(nil))
	// CALC: CBL 22.6 and CBW 10.17 give a CBR of 0.45.
	d.TypeValue("CBL", "22.6", desk.Done)
	d.TypeValue("CBW", "10.17", desk.Done)
	d.TypeValue("CH", "46.1", desk.Done)
	page := text(d)
	for _, secret := range []string{"0.45", "Blade-like", "Robust", "id=\"tray\"", "id=\"answer\"", "class=\"map\"", ">Sheet<", ">Out<", "Specimen name", "20.25", hostile + ".png", "data-reading", ">Remove<"} {
		if strings.Contains(page, secret) {
			t.Errorf("the page gives away %q", secret)
		}
	}
	if !strings.Contains(page, `data-task="CBR"`) {
		t.Error("the page does not say that CBR is asked")
	}
	open := pupil(teacher(func(m *desk.Making) { m.Hidden = lesson.Hidden{} }))
	open.TypeValue("CBL", "22.6", desk.Done)
	open.TypeValue("CBW", "10.17", desk.Done)
	if page := text(open); !strings.Contains(page, ">0.45<") || !strings.Contains(page, "Sorting") || strings.Contains(page, "20.25") {
		t.Error("a lesson that hides nothing does not show CBR and sorting, or shows the key")
	}
}

func TestGivenScaleCannotBeChanged(t *testing.T) {
	d := newDesk()
	p := tray.Photo{View: morph.View{ID: "v", Role: morph.LateralLabial}, Hash: strings.Repeat("0", 64), File: "a.png", MIME: "image/png", Bytes: 1, Width: 800, Height: 600}
	p.Bars = []morph.Bar{{From: morph.Vertex{X: 10, Y: 10}, To: morph.Vertex{X: 200, Y: 10}, Length: 10, Unit: morph.Millimetre}}
	d.AddPhotos(p)
	d.OpenLesson(desk.LessonMake)
	d.ChangePlan(func(m *desk.Making) { m.Help.Scale = true })
	d.MakeLesson()
	if d.LessonWrong() != "" {
		t.Fatal(d.LessonWrong())
	}
	if page := text(pupil(d)); strings.Contains(page, ">Scale") || !strings.Contains(page, ">Crown") {
		t.Error("the scale that was given can be set anew, or the crown cannot be traced")
	}
}

// Where a lesson does not allow it, nothing is proposed, lines follow no edge,
// and nothing on the page offers either; afterwards both are back.
func TestHelpAsAllowed(t *testing.T) {
	for _, allowed := range []bool{false, true} {
		of := teacher(func(m *desk.Making) { m.Help = lesson.Help{Edges: allowed, Proposals: allowed} })
		d := pupil(of)
		for tool, offers := range map[bench.Tool][]string{
			bench.Scale: {"Find the scale bar"}, bench.Crown: {"Outline the tooth for me", "Follow the edge"},
		} {
			d.SetTool(tool)
			page := text(d)
			for _, x := range offers {
				if strings.Contains(page, x) != allowed {
					t.Errorf("help allowed: %v; the page offers %q: %v", allowed, x, !allowed)
				}
			}
		}
		if d.Bench.Following() != allowed {
			t.Errorf("help allowed: %v; lines follow edges: %v", allowed, !allowed)
		}
		d.FollowEdge(true)
		d.LeaveLesson()
		if !d.Bench.Following() {
			t.Error("lines do not follow edges after the lesson")
		}
	}
}
