//go:build browser

package browsertest

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/png"
	"math"
	"math/rand/v2"
	"net/http"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/lesson"
	"crownbench/wasm/tray"
	"crownbench/web/site"

	"gonum.org/v1/gonum/spatial/r2"
)

// makeReady makes one of the ready-made lessons and saves its two files.
func makeReady(p *Page, n int) (class, key File) {
	p.t.Helper()
	p.ClickRole("button", "Lesson")
	p.Click("#way-make")
	p.Click(fmt.Sprintf("#ready-%d", n))
	p.Until(`document.querySelector("#lesson-save")`)
	class = p.Download(func() { p.Click("#lesson-save") })
	key = p.Download(func() { p.Click("#key-save") })
	return class, key
}

// beginLesson drops the lesson on the page, whatever is open there, and begins it
// under a name.
func beginLesson(p *Page, class File, name string) {
	p.t.Helper()
	p.Drop(400, 400, class)
	p.Until(`document.activeElement?.id === "lesson-name"`)
	p.Type(name)
	p.Press("Enter")
	p.Click("#instructions-go")
	p.Until(`!document.querySelector("#stage .card") && document.querySelector("canvas").dataset.place`)
}

// errors are what three invented students add to the key's mid-crown density of
// the distal carina, per 5 mm, the first time and the second.
var studentErrors = map[string][2]float64{"Student 1": {0.5, 0.9}, "Student 2": {-0.25, -0.25}, "Student 3": {1, 0.4}}

// A lesson from the instructor's first click to the report: made in one page,
// taken by three students one after the other on another machine that has teeth
// of its own, and reviewed.
func TestClassFromLessonToReview(t *testing.T) {
	teacher := Open(t, Laptop)
	class, key := makeReady(teacher, 1)
	teacher.UntilText("#lesson-remarks", "invented tray")
	k, err := lesson.ReadKey(key.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	noKeyIn(t, class, k)
	teacher.Close()

	p := Open(t, Laptop)
	p.Click("#quick")
	p.Until(`document.activeElement?.id === "cell-CH"`)
	p.Type("46.1")
	var answers []File
	for _, name := range []string{"Student 1", "Student 2", "Student 3"} {
		beginLesson(p, class, name)
		for range 2 * len(k.Teeth) {
			tooth, repeat := sittingOn(p, k)
			want := morph.Values(tooth.Specimen.Tooth()).Get(morph.DC).Value + studentErrors[name][repeat]
			p.Click("#type-DC")
			p.Fill("#task-cell-DC", strconv.FormatFloat(want, 'g', 10, 64))
			p.UntilText("#lesson-count", "all done")
			before := p.Text("#lesson-count")
			p.Click("#lesson-next")
			p.Until(fmt.Sprintf(`document.querySelector("#lesson-end-head") || document.querySelector("#lesson-count").innerText !== %q`, before))
		}
		p.UntilText(".over", "All 10 of 10 done")
		answers = append(answers, p.Download(func() { p.Click("#lesson-answer") }))
		p.UntilText(".handed", "Hand that file to your instructor")
		if name == "Student 1" {
			p.Shot("lesson-handed-in")
		}
		p.Click("#lesson-leave")
		p.UntilText("#tray .count", "1")
	}
	if got := p.Value("#cell-CH"); got != "46.1" {
		t.Errorf("the machine's own tooth has CH %q after the lesson", got)
	}

	p.Close()

	teacher = Open(t, Laptop)
	teacher.Click("#lesson-door")
	teacher.Click("#way-review")
	bad := []File{
		{Name: "elsewhere.json", Bytes: answerElsewhere(t)},
		{Name: "edited.json", Bytes: bytes.Replace(answers[1].Bytes, []byte("Student 2"), []byte("Student 9"), 1)},
		{Name: "again.json", Bytes: answers[0].Bytes},
		{Name: "letter.json", Bytes: []byte(`{"dear": "all"}`)},
	}
	teacher.Drop(640, 400, append(append([]File{key, class}, answers...), bad...)...)
	teacher.UntilText("#review-head", "3 students")
	problems := teacher.Text("#review-problems")
	for _, want := range []string{"elsewhere.json", "another lesson", "edited.json", "changed after it was written", "handed in more than once", "letter.json\" is not counted: the file is not an answer"} {
		if !strings.Contains(problems, want) {
			t.Errorf("nothing is said of %q:\n%s", want, problems)
		}
	}
	teacher.Shot("lesson-review")
	rows := readCSV(t, teacher.Download(func() { teacher.Click("#table-agreement") }).Bytes)
	// CALC: the students' mean errors are 0.7, −0.25 and 0.7, whose mean is
	// 1.15/3. Their two counts of a tooth differ by 0.4, 0 and 0.6 on every
	// tooth, so the error within is sqrt((0.4² + 0.6²)/(2·3)) (Dahlberg's
	// formula).
	for measure, want := range map[string]float64{"bias to the key": 1.15 / 3, "TEM within students": math.Sqrt(0.52 / 6)} {
		if got := valueOf(t, rows, "DC", measure); math.Abs(got-want) > 1e-4 {
			t.Errorf("%s is %v, want %.5f", measure, got, want)
		}
	}
	teacher.Click("#review-report")
	report := teacher.Text(".sheet")
	for _, want := range []string{"0.38", "0.29", "above the key"} { // the same two, rounded
		if !strings.Contains(report, want) {
			t.Errorf("the report does not say %q:\n%.1500s", want, report)
		}
	}
	teacher.Shot("lesson-report")
	teacher.Pick("#report-of", "Student 1")
	teacher.Until(`document.querySelectorAll(".own-result table").length === 5`)
	teacher.Shot("lesson-own")
	page := teacher.Download(func() { teacher.Click("#report-save") })
	if !bytes.Contains(page.Bytes, []byte("Student 1")) {
		t.Errorf("%s does not name its student", page.Name)
	}
	teacher.Click("#report-close")
	teacher.Until(`document.querySelector("#review-head")`)
}

// noKeyIn fails when the file for the class holds anything of the key.
func noKeyIn(t *testing.T, class File, k *lesson.Key) {
	t.Helper()
	for _, x := range k.Teeth {
		secrets := []string{x.Specimen.Name, x.Specimen.ID}
		for _, p := range x.Specimen.Photos {
			secrets = append(secrets, p.File, p.Hash)
			for _, s := range p.Stretches {
				secrets = append(secrets, fmt.Sprint(s.Line[0].X), fmt.Sprint(s.Line[0].Y))
			}
		}
		for _, s := range secrets {
			if s != "" && bytes.Contains(class.Bytes, []byte(s)) {
				t.Errorf("the file for the class holds %q", s)
			}
		}
	}
}

// sittingOn tells by its title which tooth of the key is on the desk, and the
// how many-th time, from 0.
func sittingOn(p *Page, k *lesson.Key) (lesson.KeyTooth, int) {
	p.t.Helper()
	title := p.Text("#lesson-at")
	name, time, _ := strings.Cut(title, ", ")
	for i, x := range k.Lesson.Teeth {
		if x.Name == name {
			return k.Teeth[i], map[string]int{"first time": 0, "second time": 1}[time]
		}
	}
	p.t.Fatalf("the key has no tooth %q", title)
	return lesson.KeyTooth{}, 0
}

func valueOf(t *testing.T, rows [][]string, reading, measure string) float64 {
	t.Helper()
	for _, r := range rows {
		if r[0] == reading && r[1] == measure {
			v, err := strconv.ParseFloat(r[2], 64)
			if err != nil {
				t.Fatalf("%s of %s is %q", measure, reading, r[2])
			}
			return v
		}
	}
	t.Fatalf("the table has no %s of %s", measure, reading)
	return 0
}

// answerElsewhere is an answer to some other lesson.
func answerElsewhere(t *testing.T) []byte {
	t.Helper()
	var picture bytes.Buffer
	if err := png.Encode(&picture, image.NewGray(image.Rect(0, 0, 60, 40))); err != nil {
		t.Fatal(err)
	}
	s := &tray.Specimen{Name: "X", Photos: []tray.Photo{{View: morph.View{ID: "v", Role: morph.LateralLabial}, File: "x.png", Width: 60, Height: 40}}}
	made, err := lesson.Make(lesson.Plan{Title: "Elsewhere", Choices: []string{"a", "b"}, Repeats: 1, Teeth: []lesson.Planned{{Specimen: s}}},
		func(*tray.Photo) ([]byte, error) { return picture.Bytes(), nil })
	if err != nil {
		t.Fatal(err)
	}
	o, err := lesson.Open(made.Lesson)
	if err != nil {
		t.Fatal(err)
	}
	w, err := lesson.Start(o, "Student 4")
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Choose(0, "a"); err != nil {
		t.Fatal(err)
	}
	b, err := w.Answer(time.Now())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A lesson from an address beside the page, a scale set by clicks, the page
// loaded again in mid-lesson: the mark and the place are there; then a name, and
// back to an empty tray.
func TestLessonByAddressAndReload(t *testing.T) {
	teacher := Open(t, Laptop)
	class, key := makeReady(teacher, 0)
	k, err := lesson.ReadKey(key.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	teacher.Close()
	page := site.Handler(os.DirFS(distFolder))
	address := serveAt(t, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/class.zip" {
			_, _ = w.Write(class.Bytes)
			return
		}
		page.ServeHTTP(w, r)
	}))
	p := OpenAt(t, address+"/#lesson=class.zip", Laptop)
	p.UntilText(".over", "4 teeth, each measured twice")
	p.Until(`document.activeElement?.id === "lesson-name" && location.hash === ""`)
	p.Type("42")
	p.Click("#lesson-begin")
	p.UntilText(".over", "Thin blades slice")
	p.Shot("lesson-instructions")
	p.Click("#instructions-go")
	p.Until(`!document.querySelector("#stage .card") && document.querySelector("canvas").dataset.place`)
	p.Click("#lesson-next") // on without having done anything
	p.UntilText("#lesson-count", "2 of 8")
	tooth, _ := sittingOn(p, k)
	bar := scaleOn(p, tooth)
	point(p, r2.Vec{X: bar.From.X, Y: bar.From.Y})
	point(p, r2.Vec{X: bar.To.X, Y: bar.To.Y})
	p.Fill("#cell-bar", strconv.FormatFloat(bar.Length, 'g', -1, 64))
	p.Press("Enter")
	p.Until(`/px\/mm/.test(document.querySelector("#scale-value")?.textContent)`)
	scale := p.Text("#scale-value")
	p.Click("#name-0")
	p.Until(`document.querySelector("#name-0").checked`)
	p.Shot("lesson-sitting")
	p.Until(`document.querySelector("#saving").innerText === "Saved"`)

	p.Reload()
	p.UntilText("#lesson-count", "2 of 8")
	tool(p, "Scale")
	p.UntilText("#scale-value", scale)
	if !Eval[bool](p, `document.querySelector("#name-0").checked`) {
		t.Error("the name given is gone")
	}
	if got, _ := sittingOn(p, k); got.ID != tooth.ID {
		t.Error("another tooth is on the desk")
	}
	p.ClickRole("button", "Leave")
	p.Until(`document.querySelector("#lesson-door")`)
	p.Exec(`location.hash = "#lesson=https://example.org/class.zip"`)
	p.UntilText(".notices", "lies beside this page")
	p.Exec(`location.hash = "#lesson=%2e%2e/class.zip"`)
	p.Until(`location.hash === ""`)
}

// scaleOn gives the key's scale bar of the first photograph of the sitting.
func scaleOn(p *Page, tooth lesson.KeyTooth) morph.Bar {
	p.t.Helper()
	role := strings.TrimSuffix(p.Text(".photos button:first-child"), " ✓")
	for _, x := range tooth.Specimen.Photos {
		if string(x.Role) == role && len(x.Bars) > 0 {
			return x.Bars[0]
		}
	}
	p.t.Fatalf("the key has no scale on the photograph %q", role)
	return morph.Bar{}
}

// A researcher marks the ends of one scale bar twice, the second time a pixel to
// the right; what follows becomes the pointing error behind the readings.
func TestOwnPointing(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	p.ClickRole("button", "Lesson")
	p.Click("#way-repeat")
	p.Click(".plan-photos .check:nth-of-type(1) input")
	p.Click("#repeat-begin")
	p.Click("#instructions-go")
	p.Until(`!document.querySelector("#stage .card") && document.querySelector("canvas").dataset.place`)
	for pass := range 2 {
		for _, x := range []float64{300, 700} {
			point(p, r2.Vec{X: x + float64(pass), Y: 500})
		}
		p.Fill("#cell-bar", "50")
		p.Press("Enter")
		p.Until(`document.querySelector("#scale-value")`)
		p.Click("#lesson-next")
	}
	p.UntilText("#pointing-result", "You place a point to")
	p.Shot("lesson-pointing")
	var sd float64
	if _, err := fmt.Sscanf(p.Text("#pointing-result strong"), "You place a point to ± %f px", &sd); err != nil {
		t.Fatal(err)
	}
	// CALC: pairs that differ by 1 along x and by 0 along y have a variance of
	// (1²/2 + 0)/2 = 0.25 a coordinate. A click is good to about a quarter of a
	// pixel here.
	if math.Abs(sd-0.5) > 0.2 {
		t.Errorf("pointing ± %v px, want about 0.5", sd)
	}
	p.Click("#lesson-answer")
	p.UntilText("details.pointing > summary", "your own repeats")
	p.UntilText("#tray .count", "7")
	p.Shot("lesson-pointing-used")
}

// madeClass is a lesson on five invented teeth with two names, its key, and the
// answers of six students who typed their values.
func madeClass(t *testing.T) []File {
	t.Helper()
	r := rand.New(rand.NewPCG(3, 9))
	var picture bytes.Buffer
	if err := png.Encode(&picture, image.NewGray(image.Rect(0, 0, 600, 400))); err != nil {
		t.Fatal(err)
	}
	plan := lesson.Plan{Title: "Five crowns", Readings: []morph.ID{morph.CBL, morph.CH}, Choices: []string{"Blade", "Spike"}, Repeats: 2}
	for i := range 5 {
		v := morph.View{ID: fmt.Sprint("v", i), Role: morph.LateralLabial}
		v.Crown = &morph.Crown{Path: morph.Path{{X: 150, Y: 300}, {X: 220, Y: 60}, {X: 320, Y: 300}}, Apex: 1, Done: true}
		s := &tray.Specimen{Name: fmt.Sprint("Invented ", i+1), Invented: true, Photos: []tray.Photo{{View: v, File: "x.png", Width: 600, Height: 400}},
			Typed: map[morph.ID]morph.Typed{morph.CBL: {Value: 10 + 4*float64(i)}, morph.CH: {Value: 25 + 9*float64(i)}}}
		plan.Teeth = append(plan.Teeth, lesson.Planned{Specimen: s, Truth: plan.Choices[i%2]})
	}
	made, err := lesson.Make(plan, func(*tray.Photo) ([]byte, error) { return picture.Bytes(), nil })
	if err != nil {
		t.Fatal(err)
	}
	k, err := lesson.ReadKey(made.Key)
	if err != nil {
		t.Fatal(err)
	}
	files := []File{{Name: made.LessonFile, Bytes: made.Lesson}, {Name: made.KeyFile, Bytes: made.Key}}
	for n := range 6 {
		o, err := lesson.Open(made.Lesson)
		if err != nil {
			t.Fatal(err)
		}
		w, err := lesson.Start(o, fmt.Sprint("Student ", n+1))
		if err != nil {
			t.Fatal(err)
		}
		for i, e := range w.Entries {
			s := w.Specimen(i)
			s.Typed = map[morph.ID]morph.Typed{}
			for id, v := range k.Teeth[k.Lesson.Tooth(e.Tooth)].Specimen.Typed {
				s.Typed[id] = morph.Typed{Value: v.Value + 0.2*float64(n-2) + 0.3*r.NormFloat64()}
			}
			off := 6 * r.NormFloat64()
			s.Photos[0].Crown = &morph.Crown{Path: morph.Path{{X: 150 + off, Y: 300}, {X: 220, Y: 60 + off}, {X: 320, Y: 300 - off}}, Apex: 1, Done: true}
			if err := errors.Join(w.Keep(i, s), w.Choose(i, plan.Choices[r.IntN(2)])); err != nil {
				t.Fatal(err)
			}
		}
		b, err := w.Answer(time.Now())
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, File{Name: w.AnswerFile(), Bytes: b})
	}
	return append(files, File{Name: "letter.json", Bytes: []byte(`{"dear": "all"}`)})
}

// eachLessonState leads the page through every state of the Lesson.
func eachLessonState(t *testing.T, p *Page, look func(state string)) {
	p.Click("#lesson-door")
	look("ways")
	p.Click("#way-make")
	look("make")
	p.Click("#lesson-back")
	p.Click("#way-take")
	look("take")
	p.Click("#lesson-close")
	openDemo(p)
	p.ClickRole("button", "Put away") // the remark, which lies over the buttons of a tablet
	p.ClickRole("button", "Lesson")
	p.Click("#way-make")
	p.Fill("#plan-choices", "Blade\nSpike")
	p.Click(".plan-fold summary")
	look("plan")
	p.Click("#plan-make")
	p.Until(`document.querySelector("#lesson-save")`)
	look("made")
	sittingStates(p, look)
	p.ClickRole("button", "Lesson")
	look("kept")
	p.Click("#way-repeat")
	look("repeat")
	p.Click("#lesson-back")
	p.Click("#way-review")
	p.Until(`document.activeElement?.id === "lesson-back"`)
	p.Drop(400, 400, madeClass(t)...)
	p.UntilText("#review-head", "6 students")
	look("review")
	p.Click("#review-report")
	p.Until(`document.querySelector(".sheet .on-paper")`)
	look("report")
	p.Exec(`document.querySelector(".sheet .on-paper").scrollIntoView()`)
	p.follow()
	look("report-plots")
	p.Pick("#report-of", "Student 2")
	p.Until(`document.querySelector(".own-result image")`)
	look("own")
}

// sittingStates are those of a lesson that was just made and is tried out, to its
// end.
func sittingStates(p *Page, look func(state string)) {
	p.Click("#lesson-try")
	p.Until(`document.activeElement?.id === "lesson-name"`)
	p.Type("Student 1")
	look("name")
	p.Click("#lesson-begin")
	p.Until(`document.querySelector("#instructions-go")`)
	look("instructions")
	p.Click("#instructions-go")
	p.Until(`!document.querySelector("#stage .card") && document.querySelector("canvas").dataset.place`)
	look("sitting")
	drawers := p.Visible(".top button.drawer")
	if drawers {
		p.ClickRole("button", "Tasks")
	}
	p.Click("#type-CBL")
	p.Fill("#task-cell-CBL", "20")
	look("tasks")
	if drawers {
		p.ClickRole("button", "Tasks")
	}
	for p.Visible("#lesson-next") && !p.Visible("#lesson-end-head") {
		p.Click("#lesson-next")
		p.follow()
	}
	look("end")
	p.Click("#lesson-leave")
	p.Click(".notice button")
}

// Every state of the Lesson is drawn on every screen for somebody to look at,
// keeps WCAG 2.2 at level AA as far as axe-core can tell, and has nothing to
// press that is smaller than a finger needs.
func TestLessonStates(t *testing.T) {
	for name, view := range views {
		if strings.HasPrefix(name, "desk") {
			continue // the laptop's page with more room about it
		}
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			world := p.auditor()
			eachLessonState(t, p, func(state string) {
				p.Shot("lesson-" + state + "-" + name)
				for _, v := range p.audit(world) {
					for _, n := range v.Nodes {
						t.Errorf("%s: %s (%s)\n\t%s\n\t%s\n\t%s", state, v.Help, v.ID, n.Target, n.HTML, strings.ReplaceAll(n.Why, "\n", "\n\t"))
					}
				}
				for _, small := range Eval[[]string](p, smallTargets) {
					t.Errorf("%s: %s", state, small)
				}
			})
		})
	}
}
