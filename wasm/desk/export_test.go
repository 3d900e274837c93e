package desk_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"image"
	"image/png"
	"io"
	"strings"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/desk"
	"crownbench/wasm/tray"
)

// takenOut is what the surroundings know of files and the clipboard.
type takenOut struct {
	full      error // what keeping a photograph fails with
	clipboard string
	backup    desk.Backup
}

func (s *surroundings) Create(name, mime string) (io.Writer, func(bool)) {
	b := &bytes.Buffer{}
	return b, func(keep bool) {
		if keep {
			s.Download(name, mime, b.Bytes())
		}
	}
}
func (s *surroundings) KeepPhoto(hash string, b []byte) error {
	if s.full != nil {
		return s.full
	}
	if s.photos == nil {
		s.photos = map[string][]byte{}
	}
	s.photos[hash] = b
	return nil
}
func (s *surroundings) Copy(text string, done func(error)) { s.clipboard = text; done(nil) }
func (s *surroundings) KeepBackup(b desk.Backup)           { s.backup = b }
func (s *surroundings) AskSpace()                          {}

// pictured is a tooth with one photograph, whose file the surroundings keep.
func pictured(t *testing.T, out *surroundings, name string, b []byte) *tray.Specimen {
	t.Helper()
	sum := sha256.Sum256(b)
	p := photo("p", name+".png")
	p.Role = morph.OtherView
	p.Hash, p.MIME, p.Bytes = hex.EncodeToString(sum[:]), "image/png", len(b)
	if err := out.KeepPhoto(p.Hash, b); err != nil {
		t.Fatal(err)
	}
	s := &tray.Specimen{Name: name, Photos: []tray.Photo{p}}
	s.DecimalLatitude, s.DecimalLongitude = "1.5", "2.5"
	return s
}

func somePNG(t *testing.T, side int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, side, side))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func onlyFile(t *testing.T, out *surroundings, begin string) []byte {
	t.Helper()
	for name, b := range out.downloaded {
		if strings.HasPrefix(name, begin) {
			return b
		}
	}
	t.Fatalf("no file %s… was made", begin)
	return nil
}

// A backup brings teeth, photographs and coordinates back; a file that is no
// picture is left out with a sentence, and a full disk adds nothing.
func TestBackupComesBack(t *testing.T) {
	d, out := newDesk()
	good := somePNG(t, 4)
	if _, err := d.Tray.Add("add", pictured(t, out, "good", good), pictured(t, out, "bad", []byte("no picture"))); err != nil {
		t.Fatal(err)
	}
	d.BackUp()
	b := onlyFile(t, out, "backup-")

	other, in := newDesk()
	other.TakeArchive("b.zip", bytes.NewReader(b), int64(len(b)))
	if other.Tray.Len() != 2 || len(in.photos) != 1 || other.Specimen().DecimalLatitude != "1.5" {
		t.Errorf("%d teeth and %d photographs came back", other.Tray.Len(), len(in.photos))
	}
	said := ""
	for _, n := range other.Notices() {
		said += n.Text + "\n"
	}
	if !strings.Contains(said, "2 specimens read from b.zip") || !strings.Contains(said, "left out") {
		t.Errorf("it says %q", said)
	}
	other.Undo()
	if other.Tray.Len() != 0 {
		t.Error("one step does not take everything out again")
	}

	full, in := newDesk()
	in.full = errors.New("there is no room left")
	full.TakeArchive("b.zip", bytes.NewReader(b), int64(len(b)))
	if n := full.Notices(); full.Tray.Len() != 0 || len(n) != 1 || !strings.Contains(n[0].Text, "no room left") {
		t.Errorf("on a full disk: %d teeth, %v", full.Tray.Len(), n)
	}
}

// Every kind of export is made of a tray, and stopping one leaves no file.
func TestExports(t *testing.T) {
	d, out := trayOf(t, 3)
	for _, e := range desk.Exports {
		out.downloaded = nil
		d.TakeOut(e.ID)
		if e.ID == "plate" || e.ID == "shapes" { // nothing was traced
			if n := d.Notices(); len(out.downloaded) != 0 || len(n) == 0 {
				t.Errorf("%s was made of no outlines", e.ID)
			}
			continue
		}
		if len(out.downloaded) != 1 {
			t.Errorf("%s: %d files", e.ID, len(out.downloaded))
		}
		if e.ID == "annotations" {
			continue // it looks at no finding, and is done before anyone could stop it
		}
		out.downloaded = nil
		out.turn = func() {
			if j := d.Job(); j != nil && j.Done == 2 {
				d.StopJob()
			}
		}
		d.TakeOut(e.ID)
		out.turn = nil
		if len(out.downloaded) != 0 || d.Job() != nil {
			t.Errorf("%s: stopped, yet %d files were made", e.ID, len(out.downloaded))
		}
	}
}

// The reminder comes after twenty teeth or two hundred changes, is put off for
// as much again, and a backup ends it. What was read from a file does not count.
func TestBackupReminder(t *testing.T) {
	d, out := newDesk()
	d.Tray.Keep = d.Worked
	for range 19 {
		d.NewSpecimen()
	}
	if d.BackupDue() != "" {
		t.Error("it comes early")
	}
	d.NewSpecimen()
	if !strings.Contains(d.BackupDue(), "20 teeth") {
		t.Errorf("it says %q", d.BackupDue())
	}
	d.PutOffBackup()
	for i := range 199 {
		d.SetField(desk.RemarksField, strings.Repeat("x", i%2+1))
	}
	if d.BackupDue() != "" {
		t.Error("put off, it comes back early")
	}
	d.SetField(desk.RemarksField, "and one more")
	if d.BackupDue() == "" {
		t.Error("it does not come back")
	}
	d.BackUp()
	if d.BackupDue() != "" || time.Since(out.backup.Last) > time.Minute || out.backup.Changes != 0 {
		t.Errorf("after a backup it knows %+v", out.backup)
	}
	d.TakeOut("json")
	other, out2 := newDesk()
	other.Tray.Keep = other.Worked
	other.ReadRecord("tray.json", out.downloaded["tray.json"])
	if other.Tray.Len() != 20 || out2.backup.Changes != 0 {
		t.Errorf("reading %d teeth back counts as %d changes", other.Tray.Len(), out2.backup.Changes)
	}
	next, _ := newDesk()
	next.TakeBackup(out.backup)
	if !strings.Contains(next.SinceBackup(), "Nothing changed since") {
		t.Errorf("the next start says %q", next.SinceBackup())
	}
}

func TestCopy(t *testing.T) {
	d, out := newDesk()
	d.QuickCheck()
	d.TypeValue("CBL", "22.6", desk.Done)
	d.CopyReadings()
	if !strings.Contains(out.clipboard, "\nCBL\t") || !strings.Contains(out.clipboard, "\t22.6\t") {
		t.Errorf("the clipboard holds %q", out.clipboard)
	}
	d.CopyMethods()
	if !strings.Contains(out.clipboard, "CBL was entered") {
		t.Errorf("the paragraph says %q", out.clipboard)
	}
}
