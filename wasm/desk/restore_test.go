package desk_test

import (
	"bytes"
	"strings"
	"testing"

	"crownbench/wasm/desk"
	"crownbench/wasm/tray"
)

// A backup that is read into the tray it was made of adds nothing; after a
// change the person is asked, and each answer is one step.
func TestBackupOfThisTray(t *testing.T) {
	d, out := newDesk()
	a := pictured(t, out, "a", somePNG(t, 4))
	b := &tray.Specimen{Name: "b"}
	b.CatalogNumber = "KB-2"
	c := &tray.Specimen{Name: "c", Remarks: "in the file only"}
	if _, err := d.Tray.Add("add", a, b, c); err != nil {
		t.Fatal(err)
	}
	d.BackUp()
	file := onlyFile(t, out, "backup-")
	read := func() { d.TakeArchive("b.zip", bytes.NewReader(file), int64(len(file))) }
	names := func() string {
		var all []string
		for _, s := range d.Tray.Specimens() {
			all = append(all, s.Name+":"+s.Remarks)
		}
		return strings.Join(all, ", ")
	}

	read()
	if d.Tray.Len() != 3 || d.Dialog() != desk.NoDialog {
		t.Fatalf("read into its own tray: %s, dialog %q", names(), d.Dialog())
	}
	if said := d.Notices(); !strings.Contains(said[len(said)-1].Text, "3 teeth were in the tray already") {
		t.Errorf("it says %q", said[len(said)-1].Text)
	}

	ids := d.Tray.Specimens()
	if err := d.Tray.Edit(ids[1].ID, "edit", "", func(s *tray.Specimen) { s.Remarks = "ours" }); err != nil {
		t.Fatal(err)
	}
	if err := d.Tray.Delete("delete", ids[2].ID); err != nil {
		t.Fatal(err)
	}
	before := names()
	for _, x := range []struct {
		keep desk.Keep
		want string
	}{
		{desk.KeepOurs, "a:, b:ours, c:in the file only"},
		{desk.KeepTheirs, "a:, b:, c:in the file only"},
		{desk.KeepBoth, "a:, b:ours, c:in the file only, b (from the file):"},
	} {
		read()
		r := d.Restore()
		if d.Dialog() != desk.RestoreDialog || r.Known != 1 || len(r.Fresh) != 1 || len(r.Differ) != 1 || r.Differ[0].Ours.Name != "b" {
			t.Fatalf("asked %q of %+v", d.Dialog(), r)
		}
		if names() != before {
			t.Fatalf("before an answer the tray holds %s", names())
		}
		d.FinishRestore(x.keep)
		if names() != x.want {
			t.Errorf("answer %d: %s, want %s", x.keep, names(), x.want)
		}
		d.Undo()
		if names() != before {
			t.Fatalf("one step back: %s", names())
		}
	}

	read()
	d.LeaveRestore()
	if names() != before || d.Restore() != nil || d.Dialog() != desk.NoDialog {
		t.Errorf("put away: %s", names())
	}
}
