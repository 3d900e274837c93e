package desk_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"math"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/desk"
	"crownbench/wasm/lesson"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"

	"github.com/google/go-cmp/cmp"
)

// keyed are the lengths, in mm, that the key of the class's lesson holds. They
// are invented.
var keyed = []struct{ cbl, ch float64 }{{20.25, 41.5}, {14.75, 33.25}, {31.5, 60.75}}

// instructor is a desk with photographed teeth whose lengths were typed.
func instructor(t *testing.T) (*desk.Desk, *surroundings) {
	t.Helper()
	d, out := newDesk()
	for i, k := range keyed {
		picture := image.NewGray(image.Rect(0, 0, 400, 300))
		picture.Pix[0] = byte(i + 1)
		var b bytes.Buffer
		if err := png.Encode(&b, picture); err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(b.Bytes())
		p := photo(fmt.Sprint("p", i), fmt.Sprintf("secret %d lateral.png", i))
		p.Hash, p.MIME, p.Bytes = hex.EncodeToString(sum[:]), "image/png", b.Len()
		out.photos[p.Hash] = b.Bytes()
		d.NewSpecimen()
		d.SetField(desk.NameField, fmt.Sprintf("Secret %d", i))
		d.AddPhotos(p)
		d.TypeValue("CBL", fmt.Sprint(k.cbl), desk.Done)
		d.TypeValue("CH", fmt.Sprint(k.ch), desk.Done)
	}
	return d, out
}

// madeLesson gives the two files that an instructor's desk makes.
func madeLesson(t *testing.T, d *desk.Desk, out *surroundings, change func(*desk.Making)) (class, key lesson.File) {
	t.Helper()
	d.OpenLesson(desk.LessonMake)
	d.ChangePlan(func(m *desk.Making) {
		m.Title, m.Choices = "Three crowns", "Blade\n\n  Spike \n"
		clear(m.Readings)
		m.Readings["CBL"], m.Readings["CH"] = true, true
		for _, s := range d.ForLesson() {
			m.Truth[s.ID] = "Blade"
		}
	})
	if change != nil {
		d.ChangePlan(change)
	}
	d.MakeLesson()
	if why := d.LessonWrong(); why != "" {
		t.Fatal(why)
	}
	d.SaveLesson()
	d.SaveKey()
	m := d.Making()
	if !m.LessonSaved || !m.KeySaved || len(m.Remarks) == 0 {
		t.Errorf("made: saved %v and %v, %d remarks", m.LessonSaved, m.KeySaved, len(m.Remarks))
	}
	file := func(name string) lesson.File { return lesson.File{Name: name, Data: out.downloaded[name]} }
	return file(m.Made.LessonFile), file(m.Made.KeyFile)
}

// student is a desk that takes a lesson.
func student(t *testing.T, class lesson.File, name string) (*desk.Desk, *surroundings) {
	t.Helper()
	d, out := newDesk()
	d.TakeLessonFiles([]lesson.File{class})
	d.TypeStudentName(name)
	d.BeginLesson()
	if d.Taking() == nil {
		t.Fatalf("%s cannot begin: %s", name, d.LessonWrong())
	}
	return d, out
}

// truthOf gives the key's lengths of the sitting on the desk by its picture.
func truthOf(t *testing.T, d *desk.Desk, k *lesson.Key) (cbl, ch float64) {
	t.Helper()
	e := d.Taking().Work.Entries[d.Taking().At]
	s := k.Teeth[k.Lesson.Tooth(e.Tooth)].Specimen
	return s.Typed["CBL"].Value, s.Typed["CH"].Value
}

// answerOf has a student measure every tooth with the given error, in mm, at
// each time, and gives the file that is handed in.
func answerOf(t *testing.T, class, key lesson.File, name string, off ...float64) lesson.File {
	t.Helper()
	k, err := lesson.ReadKey(key.Data)
	if err != nil {
		t.Fatal(err)
	}
	d, out := student(t, class, name)
	for range d.Taking().Work.Entries {
		cbl, ch := truthOf(t, d, k)
		by := off[d.Taking().Work.Entries[d.Taking().At].Repeat-1]
		d.TypeValue("CBL", fmt.Sprint(cbl+by), desk.Done)
		d.TypeValue("CH", fmt.Sprint(ch), desk.Done)
		d.ChooseName("Blade")
		d.NextTooth()
	}
	if d.Dialog() != desk.LessonEndDialog {
		t.Fatalf("after the last tooth stands %q", d.Dialog())
	}
	d.SaveAnswer()
	return lesson.File{Name: d.Taking().Saved, Data: out.downloaded[d.Taking().Saved]}
}

func TestLessonFromMakingToReview(t *testing.T) {
	teacher, out := instructor(t)
	class, key := madeLesson(t, teacher, out, nil)
	for _, s := range teacher.ForLesson() {
		for _, secret := range []string{s.Name, s.Photos[0].File, s.ID} {
			if bytes.Contains(class.Data, []byte(secret)) {
				t.Errorf("the lesson file holds %q", secret)
			}
		}
	}
	// Each student errs by a fixed amount: +0.1 and +0.3, −0.2 and 0, +0.4 and
	// +0.2 mm on CBL.
	answers := []lesson.File{
		answerOf(t, class, key, "Ann", 0.1, 0.3), answerOf(t, class, key, "Ben", -0.2, 0), answerOf(t, class, key, "Cy", 0.4, 0.2),
	}
	teacher.OpenLesson(desk.LessonReview)
	teacher.TakeLessonFiles(answers) // before the key
	if r := teacher.Review(); r.Class != nil || r.Waiting() != 3 {
		t.Errorf("without the key: a class %v, %d files waiting", r.Class != nil, r.Waiting())
	}
	teacher.TakeLessonFiles([]lesson.File{key, class})
	r := teacher.Review()
	if r.Class == nil || len(r.Class.Students) != 3 || len(r.Class.Problems) != 0 || !r.HasPictures() {
		t.Fatalf("review: %+v", r)
	}
	cbl := r.Class.Readings[0]
	// CALC: the means of the students' two errors are 0.2, −0.1 and 0.3, whose
	// mean is 0.4/3. The two measurements of each differ by 0.2, so the error
	// within is sqrt(Σd²/2n) = 0.2/√2 (Dahlberg's formula).
	if got, want := cbl.Bias.Mean, 0.4/3; math.Abs(got-want) > 1e-9 {
		t.Errorf("bias %v, want %v", got, want)
	}
	if got, want := cbl.Errors.Within.TEM, 0.2/math.Sqrt2; math.Abs(got-want) > 1e-9 {
		t.Errorf("error within %v, want %v", got, want)
	}
	teacher.LeaveOut("Cy", true)
	// CALC: without Cy the mean of 0.2 and −0.1.
	if got := teacher.Review().Class.Readings[0].Bias.Mean; math.Abs(got-0.05) > 1e-9 {
		t.Errorf("bias without Cy %v, want 0.05", got)
	}
	if n := len(teacher.Review().Students()); n != 3 {
		t.Errorf("%d students are listed", n)
	}
	teacher.ShowReport(0)
	if page := teacher.ReportPage(); page == nil || !strings.Contains(page.PlainText(), "Ann") {
		t.Error("the first student's page is not Ann's")
	}
	teacher.SaveOwnResult()
	teacher.ShowReport(-1)
	teacher.SaveReport()
	for _, table := range teacher.Review().Class.Tables() {
		teacher.SaveReviewTable(table)
	}
	for _, name := range []string{"Three crowns report.html", "Three crowns result of Ann.html", "Three crowns measurements.csv", "Three crowns students.csv"} {
		if len(out.downloaded[name]) == 0 {
			t.Errorf("%s was not saved", name)
		}
	}
}

func TestOwnTrayWaitsWhileALessonIsTaken(t *testing.T) {
	teacher, teachersOut := instructor(t)
	class, _ := madeLesson(t, teacher, teachersOut, nil)
	d, out := instructor(t) // somebody with teeth of their own
	d.SelectPhoto("p1")
	before, at, undo := d.Tray.Specimens(), out.place, d.Tray.CanUndo()
	d.TakeLessonFiles([]lesson.File{class})
	d.TypeStudentName("7")
	d.BeginLesson()
	d.TypeValue("CBL", "12.5", desk.Done)
	d.AddPhotos(photo("x", "x.jpg"))
	d.NewSpecimen()
	d.ReadRecord("r.json", nil)
	d.TakeTable("t.csv", []byte("CBL\n1\n"))
	d.OpenDialog(desk.OutDialog)
	d.OpenDialog(desk.SheetDialog)
	d.OpenLesson(desk.LessonReview)
	if d.Dialog() == desk.OutDialog || d.Dialog() == desk.SheetDialog || d.Dialog() == desk.LessonDialog {
		t.Errorf("%s was opened in a lesson", d.Dialog())
	}
	if s := d.Specimen(); len(s.Photos) != 1 || d.Tray.Len() != 1 || strings.Contains(s.Name, "Secret") {
		t.Errorf("on the desk: %d teeth, the first %q with %d photographs", d.Tray.Len(), s.Name, len(s.Photos))
	}
	// Another tab changes the person's own tooth meanwhile.
	other := before[0].Clone()
	other.Name, other.Revision = "Changed elsewhere", other.Revision+1
	d.ChangedElsewhere(other.ID, other)
	d.LeaveLesson()
	before[0] = other
	if diff := cmp.Diff(before, d.Tray.Specimens()); diff != "" {
		t.Errorf("the person's own tray is another one after the lesson:\n%s", diff)
	}
	if diff := cmp.Diff(at, out.place); diff != "" {
		t.Errorf("the desk is not as it was left:\n%s", diff)
	}
	if d.Tray.CanUndo() != undo {
		t.Errorf("undo is %q, was %q", d.Tray.CanUndo(), undo)
	}
}

func TestLessonGoesOnAfterAReload(t *testing.T) {
	teacher, teachersOut := instructor(t)
	class, _ := madeLesson(t, teacher, teachersOut, nil)
	d, out := student(t, class, "Ann")
	d.NextTooth()
	d.TypeValue("CBL", "12.5", desk.Done)
	d.ChooseName("Spike")
	again := desk.New(&tray.Tray{}, out, sheet.Versions{})
	again.TakeKeptWork(out.kept)
	again.Start(out.place)
	w := again.Taking()
	if w == nil || w.At != 1 || w.Work.Student != "Ann" {
		t.Fatalf("after a reload: %+v", w)
	}
	if got := again.Specimen().Typed["CBL"].Value; got != 12.5 || w.Work.Entries[1].Choice != "Spike" {
		t.Errorf("CBL %v, called %q", got, w.Work.Entries[1].Choice)
	}
	again.LeaveLesson()
	// The same name begins nothing anew; another does.
	again.TakeLessonFiles([]lesson.File{class})
	again.TypeStudentName(" ann ")
	again.BeginLesson()
	if got := again.Taking().Work.Entries[1].Typed["CBL"].Value; got != 12.5 {
		t.Error("work of the same name was begun anew")
	}
	again.LeaveLesson()
	again.TakeLessonFiles([]lesson.File{class})
	again.TypeStudentName("Ben")
	again.BeginLesson()
	if n := len(again.Taking().Work.Entries[1].Typed); n != 0 {
		t.Error("another student finds Ann's values")
	}
	again.LeaveLesson()
	// Without the lesson file in this browser it is asked for.
	clear(out.photos)
	again.GoOn(again.KeptWork()[0])
	if n := again.Notices(); len(n) == 0 || !strings.Contains(n[len(n)-1].Text, "open it again") {
		t.Errorf("without the lesson file: %+v", n)
	}
	for _, k := range again.KeptWork() {
		again.ForgetWork(k.Key)
	}
	if len(out.kept) != 0 {
		t.Errorf("%d works are kept after all were removed", len(out.kept))
	}
}

func TestLessonFilesRefused(t *testing.T) {
	teacher, out := instructor(t)
	class, key := madeLesson(t, teacher, out, nil)
	teacher.AnotherLesson()
	otherClass, otherKey := madeLesson(t, teacher, out, func(m *desk.Making) { m.Title = "Another" })
	ann := answerOf(t, class, key, "Ann", 0.1, 0.2)
	again := answerOf(t, class, key, "ANN", 0.3, 0.2)
	ben := answerOf(t, class, key, "Ben", 0, 0)
	other := answerOf(t, otherClass, otherKey, "Dan", 0, 0)
	edited := lesson.File{Name: "edited.json", Data: bytes.Replace(ben.Data, []byte("Ben"), []byte("Bob"), 1)}
	cut := lesson.File{Name: "cut.json", Data: ben.Data[:len(ben.Data)/2]}
	teacher.OpenLesson(desk.LessonReview)
	teacher.TakeLessonFiles([]lesson.File{ann, again, ben, other, edited, cut,
		{Name: "letter.txt", Data: []byte("Dear all")}, {Name: "letter.json", Data: []byte(`{"dear": "all"}`)}, {Name: "empty", Data: nil}, otherClass, key, otherKey})
	r := teacher.Review()
	if r.Class == nil || len(r.Class.Students) != 2 {
		t.Fatalf("%d students counted", len(r.Class.Students))
	}
	all := strings.Join(r.Wrong, "\n")
	for _, p := range r.Class.Problems {
		all += "\n" + p.Text
	}
	for _, want := range []string{"handed in more than once", "another lesson", "was changed after it was written", "letter.txt", `"letter.json" is not counted: the file is not an answer`, `"cut.json"`, `"empty"`, "Another lesson.zip", "Another key.json"} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing is said of: %s\nin\n%s", want, all)
		}
	}
	if n := strings.Count(all, "\n") + 1; n != 9 {
		t.Errorf("%d sentences for 9 files:\n%s", n, all)
	}
	for _, b := range [][]byte{nil, []byte("PK"), class.Data[:len(class.Data)-40], []byte("a letter")} {
		d, _ := newDesk()
		d.OpenLesson(desk.LessonTake)
		d.TakeLessonFiles([]lesson.File{{Name: "x.zip", Data: b}})
		if d.OpenedLesson() != nil || !strings.HasPrefix(d.LessonWrong(), "x.zip was not opened: ") {
			t.Errorf("%.20q: %q", b, d.LessonWrong())
		}
	}
	d, _ := newDesk()
	d.TakeLessonFiles([]lesson.File{class})
	d.TypeStudentName("   ")
	d.BeginLesson()
	if d.Taking() != nil || d.LessonWrong() == "" {
		t.Error("a student without a name began")
	}
}

func TestIsForLesson(t *testing.T) {
	teacher, out := instructor(t)
	class, key := madeLesson(t, teacher, out, nil)
	answer := answerOf(t, class, key, "Ann", 0, 0)
	for _, f := range []lesson.File{class, key, answer} {
		if !desk.IsForLesson(f.Data[:256]) {
			t.Errorf("%s is not known", f.Name)
		}
	}
	teacher.CloseReport()
	teacher.TakeOut("json")
	for name, b := range map[string][]byte{"record": out.downloaded["tray.json"], "zip": []byte("PK\x03\x04 another archive with more than forty bytes"), "none": nil, "list": []byte(`["format","crownbench-lesson-key"]`), "format": []byte(`{"format":1}`)} {
		if desk.IsForLesson(b) {
			t.Errorf("%s is taken for a file of a lesson", name)
		}
	}
}

func TestReadyLessonIsMadeOfTheDemo(t *testing.T) {
	d, out := newDesk()
	d.OpenLesson(desk.LessonMake)
	d.MakeReady(lesson.Ready()[0])
	if !strings.Contains(d.LessonWrong(), "needs the invented tooth") || d.Making().Made != nil {
		t.Errorf("without the demo's teeth: %q", d.LessonWrong())
	}
	source, sources := instructor(t)
	out.photos = sources.photos
	for i, name := range lesson.Ready()[0].Specimens() {
		s := source.ForLesson()[i%len(keyed)].Clone()
		s.Name = name
		s.Photos[0].Role = morph.LateralLabial
		out.demo = append(out.demo, s)
	}
	d.MakeReady(lesson.Ready()[0])
	if d.LessonWrong() != "" || d.Making().Made == nil {
		t.Fatal(d.LessonWrong())
	}
	if d.Tray.Len() != 0 {
		t.Error("the demo's teeth are on the desk")
	}
	if r := d.Making().Remarks[0]; !strings.Contains(r, "invented tray") {
		t.Errorf("the first remark is %q", r)
	}
	d.TryLesson()
	if l := d.OpenedLesson(); l == nil || !l.Invented {
		t.Error("the lesson cannot be tried")
	}
}

// trace marks the crown of the photograph on the desk, every landmark moved by
// (dx, dy) px.
func trace(t *testing.T, d *desk.Desk, dx, dy float64) {
	t.Helper()
	at := func(x, y float64) morph.Vertex { return morph.Vertex{X: x + dx, Y: y + dy} }
	s := d.Specimen()
	err := d.Tray.Edit(s.ID, "trace", "", func(s *tray.Specimen) {
		s.Photos[0].Crown = &morph.Crown{Path: morph.Path{at(100, 250), at(120, 100), at(180, 250)}, Apex: 1, Done: true}
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestOwnPointingFromRepeats(t *testing.T) {
	d, out := instructor(t)
	before := len(d.ForLesson()[0].Photos[0].Bars)
	for _, s := range d.ForLesson()[:2] {
		d.RepeatThis(s.ID, true)
	}
	// On the third photograph itself landmarks were marked again.
	err := d.Tray.Edit(d.ForLesson()[2].ID, "mark again", "", func(s *tray.Specimen) {
		s.Photos[0].Repeats = []morph.Path{{{X: 10, Y: 10}, {X: 13, Y: 10}, {X: 10, Y: 13}}}
	})
	if err != nil {
		t.Fatal(err)
	}
	d.BeginRepeats()
	w := d.Taking()
	if w == nil || !w.Repeats || len(w.Work.Entries) != 4 {
		t.Fatalf("repeats: %+v, %s", w, d.LessonWrong())
	}
	for i := range w.Work.Entries {
		// The second time everything lies 2 px to the right and 1 px higher.
		if w.Work.Entries[i].Repeat == 1 {
			trace(t, d, 0, 0)
		} else {
			trace(t, d, 2, -1)
		}
		d.NextTooth()
	}
	// CALC: pairs that differ by 2 in x and 1 in y: the pooled variance of a
	// coordinate is (2²/2 + 1²/2)/2 = 1.25.
	if got, want := w.Pointing.All.SD, math.Sqrt(1.25); math.Abs(got-want) > 1e-9 || w.PointingWhy != "" {
		t.Fatalf("pointing ± %v px, want %v (%s)", got, want, w.PointingWhy)
	}
	d.UsePointing("2026-01-31")
	for _, s := range d.Tray.Specimens() {
		p := s.Photos[0]
		if len(p.Repeats) > 0 {
			if p.Pointing != 0 || p.PointingError().Source != morph.PointingRepeated {
				t.Errorf("%s: marks made again on the photograph itself no longer count: %v", s.Name, p.PointingError())
			}
			continue
		}
		if math.Abs(p.PointingError().U-math.Sqrt(1.25)) > 1e-9 || p.PointingError().Source != morph.PointingStated {
			t.Errorf("%s: %v", s.Name, p.PointingError())
		}
		if len(p.Bars) != before || p.Crown != nil {
			t.Errorf("%s carries marks of the repeats", s.Name)
		}
	}
	d.AddPhotos(photo("new", "new.jpg"))
	if got := d.Photo().Pointing; math.Abs(got-math.Sqrt(1.25)) > 1e-9 {
		t.Errorf("a new photograph has ± %v px", got)
	}
	d.Undo()
	d.Undo()
	if got := d.Tray.Specimens()[0].Photos[0].Pointing; got != 0 {
		t.Errorf("undone, ± %v px stand on a photograph", got)
	}
	text, err := json.Marshal(out.settings)
	if err != nil || out.settings.Pointing.Points != 6 || !bytes.Contains(text, []byte("2026-01-31")) {
		t.Errorf("settings %s, %v", text, err)
	}
	if len(out.kept) != 0 {
		t.Error("the repeats are kept after they were used")
	}
	d.ForgetPointing()
	if d.OwnPointing().SD != 0 {
		t.Error("the pointing error is still used")
	}
}

func TestRepeatsWithoutMarks(t *testing.T) {
	d, _ := instructor(t)
	d.RepeatThis(d.ForLesson()[0].ID, true)
	d.BeginRepeats()
	w := d.Taking()
	d.EndLesson()
	if w.PointingWhy == "" {
		t.Error("a pointing error came of nothing")
	}
	d.UsePointing("2026-01-31")
	if d.OwnPointing().SD != 0 || d.Taking() == nil {
		t.Error("what is not known was used")
	}
	d.LeaveLesson()
}

// What a lesson hides from its students, the proposals from the picture keep as
// well; back at one's own tray they tell again.
func TestProposalsKeepWhatALessonHides(t *testing.T) {
	d, out := instructor(t)
	for _, hidden := range []bool{true, false} {
		class, _ := madeLesson(t, d, out, func(m *desk.Making) { m.Hidden.Readings = hidden })
		s, _ := student(t, class, "Someone")
		if s.Bench.TellsReadings() == hidden {
			t.Errorf("with readings hidden %v, proposals tell them: %v", hidden, s.Bench.TellsReadings())
		}
		s.LeaveLesson()
		if s.Taking() != nil || !s.Bench.TellsReadings() {
			t.Error("back at the own tray, proposals do not tell what they would give")
		}
	}
}
