package archive_test

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"crownbench/wasm/archive"
)

// entry is a file of an archive that a test builds by hand.
type entry struct {
	name    string
	content string
	header  func(*zip.FileHeader) // changes what the archive says of it
}

// build makes a zip file by the standard library.
func build(t failer, entries ...entry) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, e := range entries {
		var packed bytes.Buffer
		d, err := flate.NewWriter(&packed, flate.BestCompression)
		if err != nil {
			t.Fatalf("%v", err)
		}
		d.Write([]byte(e.content))
		d.Close()
		h := &zip.FileHeader{Name: e.name, Method: zip.Deflate, CRC32: crc32.ChecksumIEEE([]byte(e.content)),
			CompressedSize64: uint64(packed.Len()), UncompressedSize64: uint64(len(e.content))}
		if e.header != nil {
			e.header(h)
		}
		w, err := z.CreateRaw(h)
		if err != nil {
			t.Fatalf("%v", err)
		}
		w.Write(packed.Bytes())
	}
	if err := z.Close(); err != nil {
		t.Fatalf("%v", err)
	}
	return b.Bytes()
}

const (
	pictureBytes = "\xff\xd8 a photograph"
	emptyHead    = `{"format":"crownbench-archive","version":1,"program":"x","files":[]}`
)

func sum(s string) string {
	h := sha256.Sum256([]byte(s))
	return hex.EncodeToString(h[:])
}

func record() string {
	return `{"format":"crownbench-record","version":1,"specimens":[{"inputs":{"id":"a","name":"KB-014","photos":[{"id":"p","role":"other","sha256":"` +
		sum(pictureBytes) + `","file":"t.jpg","mime":"image/jpeg","bytes":15,"width":1,"height":1}]},"derived":{}}]}`
}

func head() string {
	return fmt.Sprintf(`{"format":"crownbench-archive","version":1,"program":"x","files":[{"path":"record.json","sha256":%q}]}`, sum(record()))
}

// sound is an archive by another hand: packed photographs, no schema.
func sound() []entry {
	return []entry{{name: "archive.json", content: head()}, {name: "record.json", content: record()},
		{name: "photographs/" + sum(pictureBytes) + ".jpg", content: pictureBytes}}
}

func TestReadsAnArchiveOfAnotherHand(t *testing.T) {
	got, files, notes, err := readBack(build(t, sound()...))
	if err != nil || notes != nil || len(got) != 1 || string(files[sum(pictureBytes)]) != pictureBytes {
		t.Errorf("%v, %q, %d specimens, %d files", err, notes, len(got), len(files))
	}
}

func TestReadRefuses(t *testing.T) {
	with := func(change func(e []entry) []entry) []byte { return build(t, change(sound())...) }
	also := func(more ...entry) []byte { return build(t, append(sound(), more...)...) }
	replaced := func(i int, content string) []byte {
		return with(func(e []entry) []entry { e[i].content = content; return e })
	}
	claiming := func(i int, size uint64) []byte {
		return with(func(e []entry) []entry {
			e[i].header = func(h *zip.FileHeader) { h.UncompressedSize64 = size }
			return e
		})
	}
	for name, tt := range map[string]struct {
		b    []byte
		says string
	}{
		"nothing":                            {nil, "not a zip archive"},
		"a photograph":                       {[]byte("\xff\xd8\xff\xe0\x00\x10JFIF"), "not a zip archive"},
		"an empty zip":                       {build(t), "not an archive of this program"},
		"another zip":                        {build(t, entry{name: "word/document.xml", content: "<a/>"}), "not an archive of this program"},
		"a head that is no JSON":             {replaced(0, "hello"), "not an archive of this program"},
		"another format":                     {replaced(0, `{"format":"x","version":1}`), "not an archive of this program"},
		"a later version":                    {replaced(0, `{"format":"crownbench-archive","version":2,"new":{}}`), "version 2, made by a later version"},
		"no version":                         {replaced(0, `{"format":"crownbench-archive"}`), "does not say its version"},
		"an unknown part":                    {replaced(0, `{"format":"crownbench-archive","version":1,"maps":[]}`), `unknown field "maps"`},
		"no record":                          {build(t, sound()[0]), "lacks its record.json"},
		"a record of noise":                  {replaced(1, "\x00\x01"), "record.json in the archive: "},
		"a record cut off":                   {replaced(1, record()[:60]), "cut off"},
		"a later record":                     {replaced(1, strings.Replace(record(), `"version":1`, `"version":2`, 1)), "version 2"},
		"a later specimen":                   {replaced(1, strings.Replace(record(), `"name":`, `"colour":"x","name":`, 1)), "colour"},
		"a path upwards":                     {also(entry{name: "photographs/../../x.jpg"}), "outside itself"},
		"a path from the root":               {also(entry{name: "/etc/passwd"}), "outside itself"},
		"a path of Windows":                  {also(entry{name: `..\x`}), "outside itself"},
		"a drive":                            {also(entry{name: "C:x"}), "outside itself"},
		"a name with a zero byte":            {also(entry{name: "a\x00.jpg"}), "outside itself"},
		"no name":                            {also(entry{name: ""}), "outside itself"},
		"two records":                        {also(entry{name: "record.json", content: record()}), `two files called "record.json"`},
		"two photographs alike":              {also(sound()[2]), "two files called"},
		"a head of 65 MB":                    {claiming(0, 65<<20), "archive.json in the archive takes up more than 64 MB"},
		"a record of 257 MB":                 {claiming(1, 257<<20), "record.json in the archive takes up more than 256 MB"},
		"all that there is":                  {claiming(2, 33<<30), "unpacks to more than 32 GB"},
		"sizes that overflow":                {with(func(e []entry) []entry { e[0].header, e[2].header = huge, huge; return e }), "unpacks to more than 32 GB"},
		"a record longer than it says":       {claiming(1, 10), "contradicts itself"},
		"the same without a list at the end": {cut(claiming(1, 10)), "holds more than the archive says"},
		"a record with another sum": {with(func(e []entry) []entry {
			e[1].header = func(h *zip.FileHeader) { h.CRC32++ }
			return e
		}), "check sum is wrong"},
		"a record packed in another way": {with(func(e []entry) []entry {
			e[1].header = func(h *zip.FileHeader) { h.Method = 12 }
			return e
		}), "packed in a way that is not read"},
		"200,001 files": {many(t, archive.MaxFiles+1), "at most 200000 are read"},
	} {
		got, _, notes, err := readBack(tt.b)
		if err == nil {
			t.Errorf("%s: read as %d specimens, %q", name, len(got), notes)
		} else if !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: says %q; want it to say %q", name, err, tt.says)
		} else if got != nil || notes != nil {
			t.Errorf("%s: gives something beside its error", name)
		}
	}
	if _, _, err := archive.Read(bytes.NewReader(nil), archive.MaxBytes+1, nil); err == nil || !strings.Contains(err.Error(), "larger than 32 GB") {
		t.Errorf("a file of 32 GB and a byte: %v", err)
	}
}

// cut takes the list of files off the end of a zip file.
func cut(b []byte) []byte { return b[:bytes.Index(b, []byte("PK\x01\x02"))] }

func huge(h *zip.FileHeader) { h.UncompressedSize64 = 1<<64 - 1 }

func many(t failer, n int) []byte {
	entries := make([]entry, n)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := range entries {
		if _, err := z.CreateRaw(&zip.FileHeader{Name: fmt.Sprint(i)}); err != nil {
			t.Fatalf("%v", err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatalf("%v", err)
	}
	return b.Bytes()
}

// What leaves the rest whole is said, and the rest is kept.
func TestReadRepairs(t *testing.T) {
	with := func(change func(e []entry) []entry) []byte { return build(t, change(sound())...) }
	photo := func(change func(*entry)) []byte {
		return with(func(e []entry) []entry { change(&e[2]); return e })
	}
	for name, tt := range map[string]struct {
		b     []byte
		says  string
		files int
	}{
		"no photograph":             {build(t, sound()[:2]...), `lacks the photograph "t.jpg" of "KB-014"`, 0},
		"another photograph":        {photo(func(e *entry) { e.content = "another" }), `"t.jpg" of "KB-014" is not the one that was marked`, 0},
		"a photograph of wrong sum": {photo(func(e *entry) { e.header = func(h *zip.FileHeader) { h.CRC32++ } }), "check sum is wrong", 0},
		"a photograph too large":    {photo(func(e *entry) { e.header = func(h *zip.FileHeader) { h.UncompressedSize64 = 201 << 20 } }), "takes up more than 200 MB", 0},
		"a photograph cut short":    {photo(func(e *entry) { e.header = func(h *zip.FileHeader) { h.UncompressedSize64++ } }), "is cut off", 0},
		"a photograph of noise":     {photo(func(e *entry) { e.header = func(h *zip.FileHeader) { h.CompressedSize64-- } }), "the photograph", 0},
		"a bomb for a photograph": {photo(func(e *entry) {
			e.content = strings.Repeat("\x00", 1<<24)
			e.header = func(h *zip.FileHeader) { h.UncompressedSize64 = 15 }
		}), "contradicts itself", 0},
		"a file too many": {build(t, append(sound(), entry{name: "Thumbs.db", content: "x"})...), `also holds "Thumbs.db"`, 1},
		"files too many":  {build(t, append(sound(), entry{name: "a"}, entry{name: "b"}, entry{name: "photographs/"})...), `also holds 2 files that do not belong to it, the last of them "b"`, 1},
		"a record changed by hand": {with(func(e []entry) []entry {
			e[0].content = strings.Replace(head(), `"sha256":"`, `"sha256":"0`, 1)
			return e
		}), "record.json in the archive is not as it was written", 1},
		"a head that lists nothing":  {with(func(e []entry) []entry { e[0].content = emptyHead; return e }), "not as it was written", 1},
		"a note of the first record": {firstArchive(t), "", 1},
	} {
		got, files, notes, err := readBack(tt.b)
		if err != nil || len(got) != 1 || got[0].Name != "KB-014" {
			t.Errorf("%s: %v, %d specimens", name, err, len(got))
			continue
		}
		said := strings.Join(notes, " ")
		if tt.says == "" && said != "" || !strings.Contains(strings.ToLower(said), strings.ToLower(tt.says)) {
			t.Errorf("%s: says %q; want it to say %q", name, said, tt.says)
		}
		if len(files) != tt.files {
			t.Errorf("%s: %d photographs", name, len(files))
		}
	}
}

// firstArchive is an archive with a record as the first published program wrote
// them, before a specimen had a catalogue's fields.
func firstArchive(t failer) []byte {
	b, err := os.ReadFile(filepath.Join("testdata", "version1.zip"))
	if err != nil {
		t.Fatalf("%v", err)
	}
	return b
}

// An archive that was cut off anywhere is refused with a sentence, or read as
// far as it goes: never more than was there, never anything else.
func TestCutOff(t *testing.T) {
	f := invented()
	whole := write(t, f.source(), own)
	refused, repaired := 0, 0
	for n := 0; n < len(whole); n += 5 {
		got, files, notes, err := readBack(whole[:n])
		if err != nil {
			refused++
			if len(err.Error()) < 20 {
				t.Errorf("cut at %d: says %q", n, err)
			}
			continue
		}
		repaired++
		if !strings.Contains(strings.Join(notes, " "), "was cut off") {
			t.Fatalf("cut at %d: says only %q", n, notes)
		}
		if diff := cmp.Diff(f.specimens[0].Public(), got[0]); diff != "" {
			t.Fatalf("cut at %d: the tray changes:\n%s", n, diff)
		}
		for hash, b := range files {
			if !bytes.Equal(b, f.files[hash]) {
				t.Fatalf("cut at %d: another photograph", n)
			}
		}
	}
	if refused == 0 || repaired == 0 {
		t.Errorf("%d refused, %d repaired", refused, repaired)
	}
	// Only the list at the end is gone: everything comes back.
	_, files, notes, err := readBack(cut(whole))
	if err != nil || len(files) != 2 || len(notes) != 1 {
		t.Errorf("without the list at the end: %v, %d photographs, %q", err, len(files), notes)
	}
}

func TestKeepEndsTheReading(t *testing.T) {
	b := build(t, sound()...)
	broken := errors.New("the disk is full")
	if _, _, err := archive.Read(bytes.NewReader(b), int64(len(b)), func(string, []byte) error { return broken }); !errors.Is(err, broken) {
		t.Errorf("gives %v", err)
	}
}

func FuzzRead(f *testing.F) {
	whole := write(f, invented().source(), own)
	f.Add(whole)
	f.Add(whole[:len(whole)-40])
	f.Add(build(f, sound()...))
	f.Add(build(f, sound()[:2]...))
	f.Add(firstArchive(f))
	f.Add([]byte("PK\x05\x06"))
	f.Fuzz(func(t *testing.T, b []byte) {
		got, files, notes, err := readBack(b)
		if err != nil {
			if got != nil || notes != nil || err.Error() == "" {
				t.Fatalf("%d specimens, %q beside %q", len(got), notes, err)
			}
			return
		}
		again := filled{specimens: got, files: files}
		var out bytes.Buffer
		if _, err := archive.Write(&out, again.source()); err != nil {
			t.Fatal(err)
		}
		same, _, _, err := readBack(out.Bytes())
		if err != nil {
			t.Fatal(err)
		}
		for i := range got {
			got[i] = got[i].Public()
		}
		if diff := cmp.Diff(got, same); diff != "" {
			t.Fatalf("what was read changes when it is written again:\n%s", diff)
		}
	})
}
