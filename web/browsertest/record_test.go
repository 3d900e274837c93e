//go:build browser

package browsertest

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"

	"github.com/google/go-cmp/cmp"
)

// unfoldGroup opens a group of fields of the record, where it is closed.
func unfoldGroup(p *Page, heading string) {
	p.t.Helper()
	p.Until(`document.querySelector(".specimen")`)
	if !Eval[bool](p, `document.querySelector(".specimen").open`) {
		p.Click(".specimen > summary")
		p.Until(`document.querySelector(".specimen").open`)
	}
	group := `[...document.querySelectorAll(".group")].find(e => e.querySelector("summary").textContent.startsWith("` + heading + `"))`
	if !Eval[bool](p, group+`.open`) {
		p.Exec(group + `.querySelector("summary").click()`)
		p.Until(group + `.open`)
	}
	p.follow()
}

// What is known of the find is entered field by field, refused with a sentence
// where it cannot be, and is there again after a reload.
func TestRecordForm(t *testing.T) {
	p := Open(t, Laptop)
	p.Click("#quick")
	unfold := func(heading string) { unfoldGroup(p, heading) }
	unfold("Specimen")
	p.Fill("#cell-catalogNumber", "1234.5")
	p.Fill("#cell-permit", "permit 17 of 2024")
	p.Press("Tab")
	unfold("Find")
	p.Fill("#cell-eventDate", "2023-13")
	p.Press("Tab")
	p.Until(`document.querySelector("#cell-eventDate-why")`)
	p.Fill("#cell-eventDate", "2023-08")
	p.Fill("#cell-decimalLatitude", "91")
	p.Press("Tab")
	p.Until(`document.querySelector("#cell-decimalLatitude-why") && !document.querySelector("#cell-eventDate-why")`)
	p.Shot("record-refused")
	p.Fill("#cell-decimalLatitude", "12.5")
	p.Pick("#cell-continent", "Asia")
	p.Fill("#cell-decimalLongitude", "-67.25")
	p.Press("Tab")
	p.UntilText("#share-words", "Kept back")
	p.Click("#share-coordinates")
	p.UntilText("#share-words", "for anyone to read")
	unfold("Remarks")
	p.Fill("#cell-remarks", "first line")
	p.Press("Enter")
	p.Type("second line")
	p.Press("Tab")
	p.UntilText("#saving", "Saved")
	p.follow()

	p.Reload()
	p.Until(`document.querySelector("#name")`)
	unfold("Specimen")
	unfold("Find")
	unfold("Remarks")
	for selector, want := range map[string]string{
		"#cell-catalogNumber": "1234.5", "#cell-permit": "permit 17 of 2024", "#cell-eventDate": "2023-08", "#cell-continent": "Asia",
		"#cell-decimalLatitude": "12.5", "#cell-decimalLongitude": "-67.25", "#cell-remarks": "first line\nsecond line",
	} {
		if got := p.Value(selector); got != want {
			t.Errorf("%s came back as %q instead of %q", selector, got, want)
		}
	}
	p.Until(`document.querySelector("#share-coordinates").checked`)
	p.Shot("record-filled")
}

// unzip gives the files of an archive by name.
func unzip(t *testing.T, b []byte) map[string][]byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if files[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	return files
}

// inputs are a record's specimens as JSON, without what a tray gives to every
// tooth that it takes in: its identifier, its times and its count of changes.
func inputs(t *testing.T, record []byte) []string {
	t.Helper()
	specimens, err := sheet.ReadRecord(bytes.NewReader(record))
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, s := range specimens {
		c := s.Clone()
		c.ID, c.Created, c.Changed, c.Revision = "", time.Time{}, time.Time{}, 0
		b, err := json.Marshal((*tray.Specimen)(c))
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, string(b))
	}
	return out
}

// A backup that was made with one click brings the tray into another browser
// as it was: every record byte for byte, every photograph by its SHA-256, and
// coordinates that are not shared too. An archive to hand on lacks those.
func TestBackupThereAndBack(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	unfoldGroup(p, "Find")
	p.Fill("#cell-decimalLatitude", "12.5")
	p.Fill("#cell-decimalLongitude", "-67.25")
	p.Press("Tab")
	p.UntilText("#saving", "Saved")
	p.ClickRole("button", "Out")
	p.Until(`document.querySelector("#kept").textContent.includes("1 tooth changed")`)
	p.Shot("out")
	backup := p.Download(func() { p.Click("#out-backup") })
	p.UntilText("#kept", "Nothing changed since")
	public := p.Download(func() { p.Click("#out-archive") })
	if got := unzip(t, public.Bytes)["record.json"]; bytes.Contains(got, []byte(`"decimalLatitude":"12.5"`)) || !bytes.Contains(got, []byte(tray.CoordinatesWithheld)) {
		t.Error("the archive to hand on gives the place away, or does not say that it is withheld")
	}
	before := unzip(t, backup.Bytes)

	other := Open(t, Laptop)
	other.Drop(640, 400, File{Name: "backup.zip", Bytes: backup.Bytes})
	other.UntilText("#tray .count", "7")
	other.Until(`document.querySelector("canvas").dataset.place && !document.querySelector("#stage .card")`)
	other.UntilText(".notices", "7 specimens read from backup.zip")
	other.Shot("backup-read")
	other.ClickRole("button", "Out")
	after := unzip(t, other.Download(func() { other.Click("#out-backup") }).Bytes)
	if diff := cmp.Diff(inputs(t, before["record.json"]), inputs(t, after["record.json"])); diff != "" {
		t.Errorf("records (-out +in):\n%s", diff)
	}
	photographs := 0
	for name, b := range before {
		if hash, ok := strings.CutPrefix(name, "photographs/"); ok {
			photographs++
			sum := sha256.Sum256(after[name])
			if hash, _, _ = strings.Cut(hash, "."); hex.EncodeToString(sum[:]) != hash || !bytes.Equal(b, after[name]) {
				t.Errorf("%s is not as it was", name)
			}
		}
	}
	if photographs < 7 {
		t.Errorf("only %d photographs are in the backup", photographs)
	}
	other.Click("#out-close")
	other.ClickRole("button", "Undo")
	other.Until(`!document.querySelector("#tray")`)
}

// A damaged archive says what is missing, keeps the rest, and one that is none
// is refused.
func TestDamagedArchive(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	p.ClickRole("button", "Out")
	b := p.Download(func() { p.Click("#out-archive") }).Bytes
	other := Open(t, Laptop)
	other.Drop(640, 400, File{Name: "cut.zip", Bytes: b[:len(b)*2/3]})
	other.UntilText("#tray .count", "7")
	other.UntilText(".notices", "cut off")
	other.Shot("archive-cut")
	other.Drop(640, 400, File{Name: "none.zip", Bytes: []byte("PK\x03\x04 nothing")})
	other.UntilText(".notices", "none.zip was not read")
}

// Every export of the invented tray is made, and is what it says it is.
func TestEveryExport(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	p.ClickRole("button", "Out")
	for id, want := range map[string]string{
		"#out-datapackage": "datapackage.json", "#out-dwca": "meta.xml",
	} {
		if files := unzip(t, p.Download(func() { p.Click(id) }).Bytes); files[want] == nil {
			t.Errorf("%s lacks %s", id, want)
		}
		p.Until(`!document.querySelector("#job-stop")`)
	}
	annotations := p.Download(func() { p.Click("#out-annotations") })
	if !json.Valid(annotations.Bytes) || !bytes.Contains(annotations.Bytes, []byte("http://www.w3.org/ns/anno.jsonld")) {
		t.Error("the annotations are none")
	}
	p.Until(`!document.querySelector("#job-stop")`)
	if plate := p.Download(func() { p.Click("#out-plate") }); !bytes.Contains(plate.Bytes, []byte("<svg")) {
		t.Error("the plate is no drawing")
	}
}

// Picked teeth stand side by side at one scale, and the readings of a tooth are
// pasted as cells.
func TestSizesAndClipboard(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	p.Click("#picking")
	p.Click("#pick-all")
	p.Click("#picked-sizes")
	p.Until(`document.querySelectorAll(".plate-view svg path").length > 7`)
	p.Shot("sizes")
	plate := p.Download(func() { p.Click("#plate-save") })
	if !strings.HasSuffix(plate.Name, ".svg") || !bytes.Contains(plate.Bytes, []byte(`class="scale-bar"`)) {
		t.Errorf("%s has no scale bar", plate.Name)
	}
	p.Click("#sizes-close")
	p.ClickRole("button", "Sheet")
	p.Until(`document.querySelectorAll(".paper svg image").length > 1`)
	p.allowClipboard()
	paste := func(button string) string {
		p.Click(button)
		p.UntilText(".notices", "is on the clipboard")
		p.Click("#sheet-close")
		unfoldGroup(p, "Remarks")
		p.Fill("#cell-remarks", "")
		p.Press("Control+v")
		text := p.Value("#cell-remarks")
		p.Press("Tab")
		return text
	}
	rows := strings.Split(strings.TrimSpace(paste("#copy-readings")), "\n")
	i := slices.IndexFunc(rows, func(r string) bool { return strings.HasPrefix(r, "CBL\t") })
	if i < 0 || len(strings.Split(rows[i], "\t")) != 7 || len(strings.Split(rows[0], "\t")) != 7 {
		t.Fatalf("the clipboard holds %q", rows)
	}
	shown := Eval[string](p, `document.querySelector('tr[data-reading="CBL"] .value').textContent`)
	if value, _, _ := strings.Cut(shown, " "); !strings.HasPrefix(strings.Split(rows[i], "\t")[2], value[:2]) {
		t.Errorf("CBL is %q on the page and %q on the clipboard", shown, rows[i])
	}
	p.ClickRole("button", "Sheet")
	if text := paste("#copy-methods"); !strings.Contains(text, "px per mm") || !strings.Contains(text, "INVENTED") || !strings.Contains(text, "DSDI") {
		t.Errorf("the paragraph says %q", text)
	}
}

// A backup read into a tray that has gone on asks whose teeth count, and adds
// nothing twice.
func TestBackupIntoATrayThatWentOn(t *testing.T) {
	p := Open(t, Laptop)
	quickTooth(p, "71.01", "41.46", "15.15")
	p.UntilText("#saving", "Saved")
	p.ClickRole("button", "Out")
	backup := p.Download(func() { p.Click("#out-archive") })
	p.Click("#out-close")
	p.Drop(640, 400, backup)
	p.UntilText(".notices", "1 tooth was in the tray already")
	p.UntilText("#tray .count", "1")
	p.Fill("#name", "HX-9")
	p.Press("Tab")
	p.Fill("#cell-CH", "72")
	p.Press("Tab")
	p.follow()
	// Under another name it is no longer known for the same; by identifier it is.
	p.Drop(640, 400, backup)
	p.Until(`document.querySelector("#restore-head") || document.querySelector("#tray .count").textContent === "2"`)
	p.Shot("restore-asks")
	if p.Visible("#restore-head") {
		p.Click("#restore-both")
	}
	p.UntilText("#tray .count", "2")
	p.ClickRole("button", "Undo")
	p.UntilText("#tray .count", "1")
	p.Until(`document.querySelector("#cell-CH").value === "72"`)
}
