package desk_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/desk"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// surroundings stands for the browser.
type surroundings struct {
	shown      []string // hashes of pictures asked for
	downloaded map[string][]byte
	place      desk.Place
	settings   desk.Settings
	picks      int    // how often photographs were asked for
	turn       func() // what happens while work goes on beside the page

	demo    []*tray.Specimen
	photos  map[string][]byte // files by hash
	kept    []desk.KeptWork
	work    map[string][]byte          // states by key
	reading []func(bench.Sight, error) // who waits for pixels
	rested  []func()
	takenOut
}

func (s *surroundings) Refresh()            {}
func (s *surroundings) Redraw()             {}
func (s *surroundings) AfterFrame(f func()) { f() }
func (s *surroundings) ReadPixels(then func(bench.Sight, error)) {
	s.reading = append(s.reading, then)
}
func (s *surroundings) ShowPicture(p *tray.Photo) {
	if p != nil {
		s.shown = append(s.shown, p.Hash)
	}
}
func (s *surroundings) TakeUpNewer()                 {}
func (s *surroundings) PickPhotos(bool)              { s.picks++ }
func (s *surroundings) PickRecord()                  {}
func (s *surroundings) LoadDemo()                    {}
func (s *surroundings) KeepSettings(x desk.Settings) { s.settings = x }
func (s *surroundings) PickOwnTable()                {}
func (s *surroundings) PickLessonFiles(bool)         {}
func (s *surroundings) FetchDemo(then func([]*tray.Specimen, error)) {
	then(s.demo, nil)
}
func (s *surroundings) PhotoFile(p *tray.Photo) ([]byte, error) {
	b, ok := s.photos[p.Hash]
	if !ok {
		return nil, errors.New("the photograph is not here")
	}
	return b, nil
}
func (s *surroundings) KeepLessonFile(hash string, b []byte) { s.photos[hash] = b }
func (s *surroundings) KeepWork(all []desk.KeptWork, key string, state func() ([]byte, error)) {
	s.kept = all
	s.work[key], _ = state()
}
func (s *surroundings) FetchWork(w desk.KeptWork, then func(file, state []byte, err error)) {
	then(s.photos[w.File], s.work[w.Key], nil)
}
func (s *surroundings) Print()                {}
func (s *surroundings) Remember(p desk.Place) { s.place = p }
func (s *surroundings) PickTable()            {}
func (s *surroundings) Beside(work func(turn func() bool)) {
	work(func() bool {
		if s.turn != nil {
			s.turn()
		}
		return true
	})
}
func (s *surroundings) Rested(f func()) { s.rested = append(s.rested, f) }
func (s *surroundings) Download(name, _ string, b []byte) {
	if s.downloaded == nil {
		s.downloaded = map[string][]byte{}
	}
	s.downloaded[name] = b
}
func (s *surroundings) PreparePictures(_ *tray.Specimen, ready func(map[string]string)) { ready(nil) }

func newDesk() (*desk.Desk, *surroundings) {
	out := &surroundings{photos: map[string][]byte{}, work: map[string][]byte{}}
	return desk.New(&tray.Tray{}, out, sheet.Versions{Program: "test", Sorting: "test"}), out
}

func photo(id, file string) tray.Photo {
	return tray.Photo{View: morph.View{ID: id}, Hash: strings.Repeat("ab", 32), File: file, MIME: "image/jpeg", Bytes: 1, Width: 400, Height: 300}
}

func Example() {
	d, _ := newDesk()
	d.QuickCheck()
	// READ Hendrickx et al. 2024: Carcharodontosaurus SGM Din-1 mx03.
	d.TypeValue("CH", "71.01", desk.Done)
	d.TypeValue("CBL", "41,46 mm", desk.Done)
	d.TypeValue("CBW", "15.15", desk.Done)
	f := d.Find(d.Specimen())
	fmt.Println(f.Answer.Form == classify.Blade, tray.FormatReading(f.Readings.Get("CBR")))
	// Output: true 0.365
}

func TestTypingOneCellIsOneStep(t *testing.T) {
	d, _ := newDesk()
	d.QuickCheck()
	for _, text := range []string{"7", "71", "71.", "71.0"} {
		d.TypeValue("CH", text, desk.UnderWay)
	}
	if got := d.Specimen().Typed["CH"].Value; got != 71 {
		t.Fatalf("CH = %v", got)
	}
	d.Undo()
	if _, typed := d.Specimen().Typed["CH"]; typed {
		t.Error("one undo did not take the whole cell back")
	}
	d.Redo()
	if got := d.Specimen().Typed["CH"].Value; got != 71 {
		t.Errorf("after redo CH = %v", got)
	}
}

func TestRefusedTextIsKept(t *testing.T) {
	d, _ := newDesk()
	d.QuickCheck()
	d.TypeValue("CH", "71.01", desk.Done)
	d.TypeValue("CH", "seventy", desk.UnderWay)
	if _, refused := d.Refused("CH"); refused {
		t.Error("a text was refused while it was being typed")
	}
	d.TypeValue("CH", "seventy", desk.Done)
	r, refused := d.Refused("CH")
	if !refused || r.Text != "seventy" || !strings.HasSuffix(r.Why, ".") {
		t.Errorf("refusal %+v", r)
	}
	if got := d.Specimen().Typed["CH"].Value; got != 71.01 {
		t.Errorf("what was typed before is gone: CH = %v", got)
	}
	d.SetField(desk.NameField, "  ")
	if _, refused := d.Refused("name"); !refused || d.Specimen().Name == "" {
		t.Error("an empty name was taken")
	}
}

// CALC: length by width is 1/CBR, and its uncertainty follows from 1/x.
func TestRatioBothWays(t *testing.T) {
	d, _ := newDesk()
	d.QuickCheck()
	d.TypeRatio("2 ± 0.1", true, desk.Done)
	if got := d.Specimen().Typed["CBR"]; got.Value != 0.5 || got.U != 0.025 {
		t.Errorf("2 ± 0.1 long by wide is CBR %v ± %v", got.Value, got.U)
	}
	d.TypeRatio("0.5", false, desk.Done)
	if got := d.Specimen().Typed["CBR"].Value; got != 0.5 {
		t.Errorf("CBR typed as 0.5 is %v", got)
	}
	d.TypeRatio("0", true, desk.Done)
	if _, refused := d.Refused("ratio"); !refused {
		t.Error("a ratio of 0 was taken")
	}
}

func TestRolesOfNewPhotographs(t *testing.T) {
	d, out := newDesk()
	d.AddPhotos(photo("a", "KB_basal.jpg"), photo("b", "IMG_0001.jpg"), photo("c", "IMG_0002.jpg"), photo("d", "midcrown.png"))
	var roles []morph.Role
	for _, p := range d.Specimen().Photos {
		roles = append(roles, p.Role)
	}
	want := []morph.Role{morph.BasalView, morph.LateralLabial, morph.DistalView, morph.MidSection}
	if fmt.Sprint(roles) != fmt.Sprint(want) {
		t.Errorf("roles %v, want %v", roles, want)
	}
	if d.Photo().ID != "a" || len(out.shown) == 0 {
		t.Error("the first new photograph is not on the bench")
	}
	d.RemovePhoto()
	if d.Specimen().Photo("a") != nil || d.Photo() == nil {
		t.Error("removing the photograph on the bench leaves the bench wrong")
	}
	d.Undo()
	if d.Specimen().Photo("a") == nil {
		t.Error("the removed photograph did not come back")
	}
}

func TestDeleteGoesToANeighbour(t *testing.T) {
	d, _ := newDesk()
	for range 3 {
		d.NewSpecimen()
	}
	all := d.Tray.Specimens()
	d.Select(all[1].ID)
	d.Delete(all[1].ID)
	if d.Specimen().ID != all[2].ID {
		t.Error("after a deletion the next specimen is on the desk")
	}
	d.Delete(all[2].ID)
	d.Delete(all[0].ID)
	if d.Specimen() != nil {
		t.Error("an empty tray has a specimen on the desk")
	}
	d.Undo()
	if d.Specimen() == nil || d.Specimen().ID != all[0].ID {
		t.Error("undo did not put the deleted specimen on the desk")
	}
}

// Two tabs changed one specimen: what is stored stays, ours stays beside it.
func TestConflictLosesNothing(t *testing.T) {
	d, _ := newDesk()
	d.NewSpecimen()
	ours := d.Specimen()
	theirs := ours.Clone()
	theirs.Name = "As the other tab has it"
	d.Conflict("Another tab was first.", ours.ID, ours, theirs)
	var names []string
	for _, s := range d.Tray.Specimens() {
		names = append(names, s.Name)
	}
	if len(names) != 2 || !strings.Contains(strings.Join(names, "|"), theirs.Name) || !strings.Contains(strings.Join(names, "|"), ours.Name) {
		t.Errorf("after the conflict the tray holds %q", names)
	}
}

func TestRecordComesBack(t *testing.T) {
	d, out := newDesk()
	d.QuickCheck()
	d.TypeValue("CH", "46.1 ± 0.2", desk.Done)
	d.TakeOut("json")
	other, _ := newDesk()
	other.ReadRecord("tray.json", out.downloaded["tray.json"])
	if other.Tray.Len() != 1 || other.Specimen().Typed["CH"] != d.Specimen().Typed["CH"] {
		t.Error("the record did not come back as it left")
	}
	other.ReadRecord("broken.json", []byte("{"))
	if n := other.Notices(); other.Tray.Len() != 1 || len(n) == 0 || !strings.Contains(n[len(n)-1].Text, "broken.json") {
		t.Error("a broken record was taken, or refused without a word")
	}
}

func TestSentence(t *testing.T) {
	for in, want := range map[string]string{
		"the disk is full":      "The disk is full.",
		"notes.jpg is empty":    "notes.jpg is empty.",
		"über 5 mm?":            "Über 5 mm?",
		"":                      "",
		" two sentences. Done.": "Two sentences. Done.",
	} {
		if got := desk.Sentence(errors.New(in)); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
}

func FuzzReadDemo(f *testing.F) {
	f.Add([]byte(`{"specimens":[{"name":"KB-1","photos":[{"file":"a.jpg","role":"basal","scaleBar":{"ends":[[0,0],[1,1]],"lengthMM":5}}]}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		ss, err := desk.ReadDemo(b, func(file string) (tray.Photo, error) { return photo(tray.NewID(), file), nil })
		if err != nil {
			return
		}
		d, _ := newDesk()
		if len(ss) > 0 {
			d.TakeDemo(ss) // refused with a sentence, or taken; never a panic
		}
	})
}

func TestCatalogueFields(t *testing.T) {
	d, _ := newDesk()
	d.NewSpecimen()
	d.SetField("formation", "  Example Formation ")
	if got := d.Specimen().Formation; got != "Example Formation" {
		t.Errorf("the formation is %q", got)
	}
	d.SetField("decimalLatitude", "north")
	if _, refused := d.Refused("decimalLatitude"); !refused || d.Specimen().DecimalLatitude != "" {
		t.Error("a latitude that is none was taken")
	}
	d.SetField("decimalLatitude", "12.5")
	if _, refused := d.Refused("decimalLatitude"); refused || d.Specimen().DecimalLatitude != "12.5" {
		t.Error("a latitude was not taken after one was refused")
	}
	d.ShareCoordinates(true)
	if !d.Specimen().ShareCoordinates {
		t.Error("the coordinates are not shared")
	}
	d.SetField("colour", "brown")
}

// Leaving the page is questioned only where it would cost something.
func TestWouldBeLost(t *testing.T) {
	d, _ := newDesk()
	d.SetSaving(desk.SavingOff, "no database")
	if d.WouldBeLost() {
		t.Error("an empty tray would be lost")
	}
	if _, err := d.Tray.Adopt(&tray.Specimen{ID: "invented", Invented: true}); err != nil {
		t.Fatal(err)
	}
	if d.WouldBeLost() {
		t.Error("an invented tooth would be lost")
	}
	d.QuickCheck()
	for state, want := range map[desk.SavingState]bool{desk.SavingOff: true, desk.NotSaved: true, desk.SavingNow: true, desk.Saved: false} {
		d.SetSaving(state, "")
		if got := d.WouldBeLost(); got != want {
			t.Errorf("saving state %d with a tooth entered: %v, want %v", state, got, want)
		}
	}
}
