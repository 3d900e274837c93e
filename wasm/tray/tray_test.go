package tray_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

// inputs is what a specimen holds, as text, without when and how often it was
// changed; "" stands for a specimen that is not there.
func inputs(s *tray.Specimen) string {
	if s == nil {
		return ""
	}
	c := s.Clone()
	c.Changed, c.Revision = time.Time{}, 0
	return asText(c)
}

func asText(s *tray.Specimen) string {
	text, err := json.Marshal(s)
	if err != nil {
		panic(err)
	}
	return string(text)
}

// modelStep is one step to undo, by specimen: what it held before and after.
type modelStep struct {
	label, merge  string
	before, after map[string]string
}

// model is what a tray should do, said on plain texts, and what has been seen
// of one so far.
type model struct {
	tray *tray.Tray

	now  map[string]string // by identifier
	base map[string]string // what remains when all is undone
	done []modelStep
	gone []modelStep // undone

	kept     map[string]*tray.Specimen // what Keep was told
	calls    int                       // of Keep
	revision map[string]int            // highest seen
	handed   map[*tray.Specimen]string // as each was when first seen
	clock    time.Time
	ids      int
}

func newModel(t *rapid.T) *model {
	m := &model{
		tray: &tray.Tray{},
		now:  map[string]string{}, base: map[string]string{}, kept: map[string]*tray.Specimen{},
		revision: map[string]int{}, handed: map[*tray.Specimen]string{}, clock: time.Unix(1e9, 0),
	}
	m.tray.Now = func() time.Time {
		// A browser's clock often stands still between two commands.
		m.clock = m.clock.Add(rapid.SampledFrom([]time.Duration{0, 0, time.Millisecond, time.Second}).Draw(t, "tick"))
		return m.clock
	}
	m.tray.NewID = func() string {
		m.ids++
		return fmt.Sprintf("id%d", m.ids*7919%1000) // not in order
	}
	m.tray.Keep = func(changes []tray.Change) {
		m.calls++
		for _, c := range changes {
			id := c.ID()
			if c.Before != m.kept[id] {
				t.Fatalf("Keep is told %s was %v; last told %v", id, c.Before, m.kept[id])
			}
			if c.After == nil {
				delete(m.kept, id)
				continue
			}
			if c.After.Revision <= m.revision[id] {
				t.Fatalf("%s goes from revision %d to %d", id, m.revision[id], c.After.Revision)
			}
			m.revision[id] = c.After.Revision
			m.kept[id] = c.After
			m.hand(c.After)
		}
		clear(changes) // the slice is Keep's own
	}
	return m
}

func (m *model) hand(s *tray.Specimen) {
	if _, ok := m.handed[s]; !ok {
		m.handed[s] = asText(s)
	}
}

func (m *model) pick(t *rapid.T) string {
	ids := []string{}
	for id := range m.now {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	if len(ids) == 0 || rapid.IntRange(0, 20).Draw(t, "missing") == 0 {
		return "nowhere"
	}
	return rapid.SampledFrom(ids).Draw(t, "specimen")
}

func (m *model) set(state map[string]string) {
	for id, text := range state {
		if text == "" {
			delete(m.now, id)
		} else {
			m.now[id] = text
		}
	}
}

func (m *model) do(s modelStep) {
	if len(s.after) == 0 {
		return
	}
	m.set(s.after)
	m.gone = nil
	if n := len(m.done); n > 0 && s.merge != "" && m.done[n-1].merge == s.merge && cmp.Equal(keys(m.done[n-1].after), keys(s.after)) {
		m.done[n-1].after = s.after
		if cmp.Equal(m.done[n-1].before, m.done[n-1].after) {
			m.done = m.done[:n-1]
		}
		return
	}
	m.done = append(m.done, s)
}

func keys(m map[string]string) []string {
	var ks []string
	for k := range m {
		ks = append(ks, k)
	}
	slices.Sort(ks)
	return ks
}

func (m *model) forget(id string) {
	for _, steps := range []*[]modelStep{&m.done, &m.gone} {
		*steps = slices.DeleteFunc(*steps, func(s modelStep) bool {
			delete(s.before, id)
			delete(s.after, id)
			return len(s.after) == 0
		})
	}
}

func (m *model) add(t *rapid.T) {
	news := rapid.SliceOfN(specimen(), 0, 3).Draw(t, "new")
	ids, err := m.tray.Add("add", news...)
	if err != nil {
		t.Fatal(err)
	}
	s := modelStep{label: "add", before: map[string]string{}, after: map[string]string{}}
	for i, id := range ids {
		got := m.tray.Get(id)
		if got.Revision != 1 {
			t.Fatalf("a new specimen has revision %d", got.Revision)
		}
		want := news[i].Clone()
		want.ID, want.Created = id, got.Created
		s.before[id], s.after[id] = "", inputs(want)
	}
	m.do(s)
}

func (m *model) edit(t *rapid.T) { m.editOne(t, m.pick(t), "") }

// drag edits a few times under one word, with an undo or redo in between now
// and then.
func (m *model) drag(t *rapid.T) {
	id := m.pick(t)
	for range rapid.IntRange(1, 4).Draw(t, "moves") {
		switch rapid.IntRange(0, 9).Draw(t, "hand") {
		case 0:
			m.undo(t)
		case 1:
			m.redo(t)
		}
		if m.now[id] != "" {
			m.editOne(t, id, "drag")
		}
	}
}

func (m *model) editOne(t *rapid.T, id, merge string) {
	shared := morph.Path{{X: 1, Via: [][2]float64{{1, 2}}}}
	edit := rapid.SampledFrom([]func(*tray.Specimen){
		func(*tray.Specimen) {}, // nothing
		func(s *tray.Specimen) { s.Name = "A" },
		func(s *tray.Specimen) { s.Name = "B" },
		func(s *tray.Specimen) {
			if s.Typed == nil {
				s.Typed = map[morph.ID]morph.Typed{}
			}
			s.Typed["CBL"] = morph.Typed{Value: 1}
		},
		func(s *tray.Specimen) { delete(s.Typed, "CBL") },
		func(s *tray.Specimen) { s.Typed = map[morph.ID]morph.Typed{} },
		func(s *tray.Specimen) { s.Photos = nil },
		func(s *tray.Specimen) {
			if len(s.Photos) > 0 {
				s.Photos[0].Crown = &morph.Crown{Path: shared, Apex: 0}
			}
		},
		func(s *tray.Specimen) {
			if len(s.Photos) > 0 && s.Photos[0].Crown != nil {
				s.Photos[0].Crown.Path[0].X++
				s.Photos[0].Crown.Path[0].Via = append(s.Photos[0].Crown.Path[0].Via, [2]float64{3, 4})
			}
		},
		// What is not an edit's to change.
		func(s *tray.Specimen) { s.ID, s.Created, s.Changed, s.Revision = "mine", time.Time{}, time.Time{}, 0 },
	}).Draw(t, "edit")
	calls := m.calls
	err := m.tray.Edit(id, "edit", merge, edit)
	if id == "nowhere" {
		if !errors.Is(err, tray.ErrGone) {
			t.Fatalf("editing what is not there gives %v", err)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	shared[0].X, shared[0].Via[0] = -99, [2]float64{-99, -99} // the tray has its own
	var want tray.Specimen
	if err := json.Unmarshal([]byte(m.now[id]), &want); err != nil {
		t.Fatal(err)
	}
	created := want.Created
	shared[0].X, shared[0].Via[0] = 1, [2]float64{1, 2}
	edit(&want)
	want.ID, want.Created = id, created
	if inputs(&want) == m.now[id] {
		if m.calls != calls {
			t.Fatal("an edit that changes nothing was kept")
		}
		return
	}
	m.do(modelStep{
		label: "edit", merge: merge,
		before: map[string]string{id: m.now[id]}, after: map[string]string{id: inputs(&want)},
	})
}

func (m *model) refusedEdit(t *rapid.T) {
	id := m.pick(t)
	err := m.tray.Edit(id, "spoil", "", func(s *tray.Specimen) { s.Row, s.Name = "upper", "spoilt" })
	if err == nil {
		t.Fatal("an edit to an unfit specimen was taken")
	}
}

func (m *model) duplicate(t *rapid.T) {
	id := m.pick(t)
	copied, err := m.tray.Duplicate(id)
	if id == "nowhere" {
		if !errors.Is(err, tray.ErrGone) {
			t.Fatalf("copying what is not there gives %v", err)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	got, of := m.tray.Get(copied), m.tray.Get(id)
	want := of.Clone()
	want.ID, want.Created, want.Name, want.CatalogNumber = got.ID, got.Created, got.Name, ""
	for _, s := range m.tray.Specimens() {
		if s.ID != copied && s.Name == got.Name {
			t.Fatalf("the copy of %q bears the name of another, %q", of.Name, got.Name)
		}
	}
	if got.ID == of.ID {
		t.Fatal("the copy has the identifier of the original")
	}
	m.do(modelStep{
		label:  "duplicate " + of.Name,
		before: map[string]string{copied: ""}, after: map[string]string{copied: inputs(want)},
	})
}

func (m *model) delete(t *rapid.T) {
	s := modelStep{label: "delete", before: map[string]string{}, after: map[string]string{}}
	var ids []string
	for range rapid.IntRange(0, 3).Draw(t, "n") {
		id := m.pick(t)
		ids = append(ids, id)
		s.before[id], s.after[id] = m.now[id], ""
	}
	err := m.tray.Delete("delete", ids...)
	if slices.Contains(ids, "nowhere") {
		if !errors.Is(err, tray.ErrGone) {
			t.Fatalf("deleting what is not there gives %v", err)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	m.do(s)
}

func (m *model) undo(t *rapid.T) {
	offered := m.tray.CanUndo()
	label, ids, ok := m.tray.Undo()
	if ok != (len(m.done) > 0) || offered != label {
		t.Fatalf("Undo gives %q, %v with %d steps done; %q was offered", label, ok, len(m.done), offered)
	}
	if !ok {
		return
	}
	s := m.done[len(m.done)-1]
	m.done = m.done[:len(m.done)-1]
	m.set(s.before)
	m.gone = append(m.gone, s)
	if n := len(m.done); n > 0 {
		m.done[n-1].merge = ""
	}
	m.checkStep(t, s, label, ids)
}

func (m *model) redo(t *rapid.T) {
	offered := m.tray.CanRedo()
	label, ids, ok := m.tray.Redo()
	if ok != (len(m.gone) > 0) || offered != label {
		t.Fatalf("Redo gives %q, %v with %d steps undone; %q was offered", label, ok, len(m.gone), offered)
	}
	if !ok {
		return
	}
	s := m.gone[len(m.gone)-1]
	m.gone = m.gone[:len(m.gone)-1]
	m.set(s.after)
	s.merge = ""
	m.done = append(m.done, s)
	m.checkStep(t, s, label, ids)
}

func (m *model) checkStep(t *rapid.T, s modelStep, label string, ids []string) {
	slices.Sort(ids)
	if label != s.label || !cmp.Equal(ids, keys(s.after)) {
		t.Fatalf("step %q of %v; want %q of %v", label, ids, s.label, keys(s.after))
	}
}

// adopt takes a specimen from elsewhere: an unknown one, a newer state of one
// that is here, or one that is too old.
func (m *model) adopt(t *rapid.T) {
	s := specimen().Draw(t, "from elsewhere")
	if id := m.pick(t); id != "nowhere" {
		s.ID = id
		s.Revision = m.revision[id] + rapid.IntRange(-2, 2).Draw(t, "newer by")
		s.Revision = max(0, s.Revision)
		s.Created = m.tray.Get(id).Created
	} else {
		m.ids++
		s.ID = fmt.Sprintf("other%d", m.ids)
	}
	here, ok := m.tray.Get(s.ID), m.now[s.ID] != ""
	fresh := !ok || s.Revision > here.Revision
	calls := m.calls
	changed, err := m.tray.Adopt(s)
	if err != nil {
		t.Fatal(err)
	}
	if changed != fresh {
		t.Fatalf("adopting revision %d: changed %v", s.Revision, changed)
	}
	if m.calls != calls {
		t.Fatal("Keep is told of what is kept already")
	}
	if !changed {
		return
	}
	m.forget(s.ID)
	m.now[s.ID], m.base[s.ID] = inputs(s), inputs(s)
	m.revision[s.ID] = max(s.Revision, m.revision[s.ID])
	m.kept[s.ID] = m.tray.Get(s.ID)
	if len(shares(s, m.kept[s.ID])) > 0 {
		t.Fatal("an adopted specimen is shared with who handed it over")
	}
}

func (m *model) drop(t *rapid.T) {
	id := m.pick(t)
	if ok := m.tray.Drop(id); ok != (id != "nowhere") {
		t.Fatalf("Drop(%q) = %v", id, ok)
	}
	m.forget(id)
	delete(m.now, id)
	delete(m.base, id)
	delete(m.kept, id)
}

// check compares the tray with what it should hold.
func (m *model) check(t *rapid.T) {
	list := m.tray.Specimens()
	got := map[string]string{}
	for i, s := range list {
		got[s.ID] = inputs(s)
		m.hand(s)
		if m.kept[s.ID] != s || m.tray.Get(s.ID) != s {
			t.Fatalf("%s in the tray is not what was kept", s.ID)
		}
		if i > 0 && list[i-1].Created.After(s.Created) {
			t.Fatalf("%s stands after %s", s.ID, list[i-1].ID)
		}
	}
	if diff := cmp.Diff(m.now, got); diff != "" {
		t.Fatalf("the tray differs (-want +got):\n%s", diff)
	}
	if len(m.kept) != len(list) || m.tray.Len() != len(list) {
		t.Fatalf("%d specimens, Len %d, %d kept", len(list), m.tray.Len(), len(m.kept))
	}
}

func TestTrayFollowsTheModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := newModel(t)
		t.Repeat(map[string]func(*rapid.T){
			"add": m.add, "edit": m.edit, "drag": m.drag, "drag again": m.drag, "refused edit": m.refusedEdit, "duplicate": m.duplicate,
			"delete": m.delete, "undo": m.undo, "redo": m.redo, "adopt": m.adopt, "drop": m.drop,
			"": m.check,
		})
		// All the way back and forth again.
		end, steps := m.tray.Specimens(), len(m.done)
		for m.tray.CanUndo() != "" {
			m.undo(t)
		}
		m.check(t)
		if diff := cmp.Diff(m.base, m.now); diff != "" {
			t.Fatalf("undoing everything does not bring back the start (-start +undone):\n%s", diff)
		}
		for range steps {
			m.redo(t)
		}
		m.check(t)
		again := m.tray.Specimens()
		if len(again) != len(end) {
			t.Fatalf("%d specimens after redoing everything, %d before", len(again), len(end))
		}
		for i := range end {
			if inputs(end[i]) != inputs(again[i]) {
				t.Fatalf("redoing everything gives %s, before it was %s", inputs(again[i]), inputs(end[i]))
			}
		}
		for s, was := range m.handed {
			if is := asText(s); is != was {
				t.Fatalf("a specimen that was handed out changed from %s to %s", was, is)
			}
		}
	})
}

// The moves of one drag are one step; another word, another specimen, an undo
// or a redo between them begins a new one; a drag that ends where it began is
// none.
func TestMerge(t *testing.T) {
	tr := &tray.Tray{}
	ids, err := tr.Add("add", &tray.Specimen{Name: "0"}, &tray.Specimen{Name: "0"})
	if err != nil {
		t.Fatal(err)
	}
	drag := func(i int, word string, names ...string) {
		t.Helper()
		for _, name := range names {
			if err := tr.Edit(ids[i], "drag to "+name, word, func(s *tray.Specimen) { s.Name = name }); err != nil {
				t.Fatal(err)
			}
		}
	}
	steps := func() string {
		t.Helper()
		var names []string
		n := 0
		for tr.CanUndo() != "add" {
			tr.Undo()
			n++
			names = append(names, tr.Get(ids[0]).Name+tr.Get(ids[1]).Name)
		}
		for range n {
			tr.Redo()
		}
		return strings.Join(names, " ")
	}
	for _, tt := range []struct {
		name string
		do   func()
		want string // names of both specimens after each undo
	}{
		{"one drag", func() { drag(0, "a", "1", "2", "3") }, "00"},
		{"another word", func() { drag(0, "b", "4", "5") }, "30 00"},
		{"no word", func() { drag(0, "", "6", "7") }, "60 50 30 00"},
		{"another specimen", func() { drag(1, "c", "1", "2"); drag(0, "c", "8", "9") }, "72 70 60 50 30 00"},
		{"after an undo", func() { tr.Undo(); drag(1, "c", "3", "4") }, "72 70 60 50 30 00"},
		{"after a redo", func() { drag(1, "d", "5"); tr.Undo(); tr.Redo(); drag(1, "d", "6") }, "75 74 72 70 60 50 30 00"},
		{"back to where it began", func() { drag(1, "e", "7", "8", "6") }, "75 74 72 70 60 50 30 00"},
	} {
		tt.do()
		if got := steps(); got != tt.want {
			t.Errorf("%s: undoing gives %s, want %s", tt.name, got, tt.want)
		}
	}
}

func TestTrayKeepsTheOrderOfAdding(t *testing.T) {
	// The clock stands still, as between two ticks of a browser's.
	tr := &tray.Tray{Now: func() time.Time { return time.Unix(1e9, 0) }}
	var want []string
	for range 30 {
		ids, err := tr.Add("add", &tray.Specimen{}, &tray.Specimen{}, &tray.Specimen{})
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, ids...)
	}
	var got []string
	for _, s := range tr.Specimens() {
		got = append(got, s.ID)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("order of adding (-want +got):\n%s", diff)
	}
}

// A refused specimen leaves nothing behind, nor do those added with it.
func TestAddIsAllOrNothing(t *testing.T) {
	tr := &tray.Tray{Keep: func([]tray.Change) { t.Error("something was kept") }}
	if _, err := tr.Add("add", &tray.Specimen{Name: "fit"}, &tray.Specimen{Name: "unfit", Row: "upper"}); err == nil ||
		!strings.Contains(err.Error(), "unfit") {
		t.Errorf("the refusal is %v; want it to name the unfit one", err)
	}
	if tr.Len() != 0 || tr.CanUndo() != "" {
		t.Errorf("%d specimens, %q to undo", tr.Len(), tr.CanUndo())
	}
}

func TestAdoptRefuses(t *testing.T) {
	tr := &tray.Tray{}
	if changed, err := tr.Adopt(&tray.Specimen{ID: "x", Row: "upper"}); changed || err == nil {
		t.Errorf("adopted an unfit specimen: %v, %v", changed, err)
	}
}

// What was done elsewhere to one of several specimens leaves the step on the
// others undoable, and never brings a deleted one back by undoing an edit.
func TestAdoptForgetsOneSpecimenOnly(t *testing.T) {
	tr := &tray.Tray{}
	ids, err := tr.Add("add two", &tray.Specimen{Name: "A"}, &tray.Specimen{Name: "B"})
	if err != nil {
		t.Fatal(err)
	}
	a, b := ids[0], ids[1]
	if err := tr.Edit(a, "rename", "", func(s *tray.Specimen) { s.Name = "A2" }); err != nil {
		t.Fatal(err)
	}
	newer := tr.Get(b).Clone()
	newer.Name, newer.Revision = "B elsewhere", 9
	if err := tr.Delete("delete two", a, b); err != nil {
		t.Fatal(err)
	}
	if _, err := tr.Adopt(newer); err != nil {
		t.Fatal(err)
	}
	if label, _, _ := tr.Undo(); label != "delete two" || tr.Get(a) == nil || tr.Get(a).Name != "A2" {
		t.Errorf("undoing %q gives %v", label, tr.Get(a))
	}
	if label, _, _ := tr.Undo(); label != "rename" || tr.Get(a).Name != "A" {
		t.Errorf("undoing %q gives %v", label, tr.Get(a))
	}
	if got := tr.Get(b); got == nil || got.Name != "B elsewhere" || got.Revision != 9 {
		t.Errorf("what came from elsewhere is now %v", got)
	}
}

func TestNames(t *testing.T) {
	tr := &tray.Tray{}
	add := func(name string) string {
		ids, err := tr.Add("add", &tray.Specimen{Name: name})
		if err != nil {
			t.Fatal(err)
		}
		return ids[0]
	}
	if got := tr.FreshName(); got != "Tooth 1" {
		t.Errorf("first fresh name %q", got)
	}
	tooth1 := add("Tooth 1")
	if got := tr.FreshName(); got != "Tooth 2" {
		t.Errorf("second fresh name %q", got)
	}
	number := add("KB 14")
	// "KB 15" would be another specimen's number.
	for _, tt := range []struct{ of, want string }{
		{tooth1, "Tooth 2"},
		{number, "KB 14 (copy)"},
		{number, "KB 14 (copy 2)"},
		{add("KB 14 (copy 7)"), "KB 14 (copy 3)"},
		{add(""), " (copy)"},
	} {
		id, err := tr.Duplicate(tt.of)
		if err != nil {
			t.Fatal(err)
		}
		if got := tr.Get(id).Name; got != tt.want {
			t.Errorf("the copy of %q is named %q, want %q", tr.Get(tt.of).Name, got, tt.want)
		}
	}
}

func TestNewID(t *testing.T) {
	seen := map[string]bool{}
	for range 1000 {
		id := tray.NewID()
		if len(id) < 26 || seen[id] { // 26 letters of base 32 hold 130 bits
			t.Fatalf("identifier %q", id)
		}
		seen[id] = true
	}
}

func BenchmarkEdit(b *testing.B) {
	for _, points := range []int{10, 1000, tray.MaxVertices - 10} {
		b.Run(fmt.Sprint(points), func(b *testing.B) {
			tr := &tray.Tray{}
			s := &tray.Specimen{Photos: []tray.Photo{{View: morph.View{ID: "p", Role: morph.LateralLabial, Crown: &morph.Crown{
				Path: morph.Path{{}, {Via: make([][2]float64, points)}, {}}, Apex: 1,
			}}}}}
			ids, err := tr.Add("add", s)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				if err := tr.Edit(ids[0], "move", "drag", func(s *tray.Specimen) { s.Photos[0].Crown.Path[0].X++ }); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
