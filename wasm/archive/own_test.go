package archive_test

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/wasm/archive"
	"crownbench/wasm/tray"
)

// readBack reads an archive and gives the photographs' files by hash.
func readBack(b []byte) ([]*tray.Specimen, map[string][]byte, []string, error) {
	files := map[string][]byte{}
	specimens, notes, err := archive.Read(bytes.NewReader(b), int64(len(b)), func(hash string, b []byte) error {
		files[hash] = b
		return nil
	})
	return specimens, files, notes, err
}

func TestOwnArchiveRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawTray().Draw(t, "tray")
		b := write(t, f.source(), own)
		if diff := cmp.Diff(b, write(t, f.source(), own)); diff != "" {
			t.Fatalf("the same tray gives other bytes:\n%s", diff)
		}
		got, files, notes, err := readBack(b)
		if err != nil || notes != nil {
			t.Fatalf("%v, %q", err, notes)
		}
		var want []*tray.Specimen
		for _, s := range f.specimens {
			want = append(want, s.Public())
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("the tray changes (-before +after):\n%s", diff)
		}
		if len(files) != len(f.files) {
			t.Fatalf("%d of %d photographs come back", len(files), len(f.files))
		}
		for hash, b := range files {
			if !bytes.Equal(b, f.files[hash]) {
				t.Fatalf("a photograph of %d bytes comes back with %d", len(f.files[hash]), len(b))
			}
		}
	})
}

// A name of every kind comes back from the own archive as it was.
func TestLongNameSurvives(t *testing.T) {
	f := invented()
	f.specimens[0].Name, f.specimens[0].Photos[0].File = longName, longName
	got, _, _, err := readBack(write(t, f.source(), own))
	if err != nil || got[0].Name != longName || got[0].Photos[0].File != longName {
		t.Errorf("%v; the name comes back with %d bytes", err, len(got[0].Name))
	}
}

// What stands in the archive, where and in which order, as package
// documentation has it; nothing of a file's own name becomes a path.
func TestOwnArchiveLayout(t *testing.T) {
	f := invented()
	files, names := unzip(t, write(t, f.source(), own))
	want := []string{"archive.json", "record.json", "record.schema.json",
		"photographs/" + f.specimens[0].Photos[0].Hash + ".jpg", "photographs/" + f.specimens[0].Photos[1].Hash + ".png"}
	if diff := cmp.Diff(want, names); diff != "" {
		t.Errorf("files (-want +got):\n%s", diff)
	}
	if string(files["record.schema.json"]) != archive.Schema {
		t.Error("the schema in the archive is another")
	}
	if !bytes.HasPrefix(files["archive.json"], []byte("{\n \"format\": \"crownbench-archive\",\n \"version\": 1,\n")) {
		t.Errorf("archive.json begins %.60s", files["archive.json"])
	}
}

// A photograph that cannot be had, or is another, is left out and said so.
func TestWriteWithoutSomePhotographs(t *testing.T) {
	f := invented()
	first, second := f.specimens[0].Photos[0].Hash, f.specimens[0].Photos[1].Hash
	delete(f.files, first)
	f.files[second] = []byte("\x89PNG changed")
	var b bytes.Buffer
	notes, err := archive.Write(&b, f.source())
	if err != nil {
		t.Fatal(err)
	}
	if len(notes) != 2 || !strings.Contains(notes[0], "not among those saved") || !strings.Contains(notes[1], "not those that were marked") {
		t.Errorf("notes %q", notes)
	}
	got, files, notes, err := readBack(b.Bytes())
	if err != nil || len(files) != 0 || len(notes) != 1 || !strings.Contains(notes[0], "lacks 2 of the photographs") {
		t.Errorf("%v; %d files; notes %q", err, len(files), notes)
	}
	if diff := cmp.Diff(f.specimens[0].Public(), got[0]); diff != "" {
		t.Errorf("the marks changed:\n%s", diff)
	}
	source := f.source()
	source.Photo = nil
	if notes, err := archive.Write(io.Discard, source); err != nil || len(notes) != 2 {
		t.Errorf("without photographs: %v, %q", err, notes)
	}
}

// Photographs are asked for one by one, each after the one before was written.
func TestPhotographsAreNotGathered(t *testing.T) {
	f := invented()
	// Far more than the buffers that stand between.
	big := bytes.Repeat([]byte("x"), 1<<20)
	f.give(&f.specimens[0].Photos[0], big)
	source := f.source()
	var written counter
	var before []int
	source.Photo = func(hash string) ([]byte, error) {
		before = append(before, int(written))
		return f.files[hash], nil
	}
	if err := own(&written, source); err != nil {
		t.Fatal(err)
	}
	if len(before) != 2 || before[1] < 1<<20-1<<16 {
		t.Errorf("asked after %v bytes were written", before)
	}
}

type counter int

func (c *counter) Write(b []byte) (int, error) {
	*c += counter(len(b))
	return len(b), nil
}

var errFull = errors.New("full")

// full is a writer with room for so many bytes.
type full struct{ room int }

func (f *full) Write(b []byte) (int, error) {
	if len(b) > f.room {
		return 0, errFull
	}
	f.room -= len(b)
	return len(b), nil
}

// Every writer gives the error of a full disk, wherever it comes.
func TestFullDisk(t *testing.T) {
	f := invented()
	for name, with := range writers {
		whole := len(write(t, f.source(), with))
		for room := 0; room < whole; room += max(1, whole/7) {
			if err := with(&full{room}, f.source()); !errors.Is(err, errFull) {
				t.Errorf("%s with room for %d of %d bytes gives %v", name, room, whole, err)
			}
		}
	}
}

var writers = map[string]func(io.Writer, archive.Source) error{
	"own archive": own, "data package": archive.DataPackage, "Darwin Core Archive": archive.DarwinCore, "annotations": archive.Annotations,
}

func TestWritersRefuseWhatCouldNotBeRead(t *testing.T) {
	for name, with := range writers {
		twice := archive.Source{Specimens: []*tray.Specimen{{ID: "a"}, {ID: "a"}}}
		if err := with(io.Discard, twice); err == nil || !strings.Contains(err.Error(), "same identifier") {
			t.Errorf("%s of two alike: %v", name, err)
		}
		unfit := archive.Source{Specimens: []*tray.Specimen{{ID: "a", Row: "upper"}}}
		if err := with(io.Discard, unfit); err == nil || !strings.Contains(err.Error(), "tooth row") {
			t.Errorf("%s of an unfit specimen: %v", name, err)
		}
	}
}

// Every format is the same for the same tray, and holds no coordinates that are
// not shared.
func TestEveryFormatIsDeterministicAndKeepsCoordinatesBack(t *testing.T) {
	secrets := []string{"12.34567", "-76.54321", "EPSG:98765", "33.77"}
	for name, with := range writers {
		for _, share := range []bool{false, true} {
			f := invented()
			s := f.specimens[0]
			s.DecimalLatitude, s.DecimalLongitude, s.GeodeticDatum, s.CoordinateUncertainty = secrets[0], secrets[1], secrets[2], secrets[3]
			s.ShareCoordinates = share
			b := write(t, f.source(), with)
			if !bytes.Equal(b, write(t, f.source(), with)) {
				t.Errorf("%s: the same tray gives other bytes", name)
			}
			if name == "annotations" {
				if bytes.Contains(b, []byte(secrets[0])) {
					t.Errorf("%s: tells where the find was", name)
				}
				continue
			}
			all := ""
			files, _ := unzip(t, b)
			for _, file := range files {
				all += string(file)
			}
			for _, secret := range secrets {
				if strings.Contains(all, secret) != share {
					t.Errorf("%s, shared %v: holds %s: %v", name, share, secret, !share)
				}
			}
			if strings.Contains(all, tray.CoordinatesWithheld) == share {
				t.Errorf("%s, shared %v: says that they are withheld: %v", name, share, share)
			}
		}
	}
}

func TestEmptyTray(t *testing.T) {
	for name, with := range writers {
		b := write(t, archive.Source{}, with)
		if name == "own archive" {
			if got, _, notes, err := readBack(b); err != nil || len(got) != 0 || notes != nil {
				t.Errorf("%v, %v, %v", got, notes, err)
			}
		}
	}
}

// A fault that lies behind all photographs is not told of each.
func TestManyMissingPhotographs(t *testing.T) {
	f := invented()
	p := f.specimens[0].Photos[0]
	f.specimens[0].Photos = nil
	for i := range 30 {
		p.ID = string(rune('a' + i))
		f.give(&p, []byte(p.ID))
		f.specimens[0].Photos = append(f.specimens[0].Photos, p)
	}
	whole := write(t, f.source(), own)
	clear(f.files)
	notes, err := archive.Write(io.Discard, f.source())
	if err != nil || len(notes) != 11 || notes[10] != "20 more photographs were left out." {
		t.Errorf("%v, %d sentences, the last %q", err, len(notes), notes[len(notes)-1])
	}
	// One byte of each photograph changed: they stand as they are in the file.
	for i := range whole {
		if i > 43 && bytes.HasPrefix(whole[i-4:], []byte(".jpg")) && i < bytes.Index(whole, []byte("PK\x01\x02")) {
			whole[i] ^= 1
		}
	}
	_, files, notes, err := readBack(whole)
	if err != nil || len(files) != 0 || len(notes) != 11 || notes[10] != "20 more photographs were left out." {
		t.Errorf("%v, %d photographs, %d sentences, the last %q", err, len(files), len(notes), notes[len(notes)-1])
	}
}
