package sheet_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
	"crownbench/wasm/tray/traytest"
)

func record(t interface{ Fatalf(string, ...any) }, specimens ...*tray.Specimen) []byte {
	var b bytes.Buffer
	if err := sheet.Record(&b, specimens, tray.Find, versions); err != nil {
		t.Fatalf("%v", err)
	}
	return b.Bytes()
}

func TestRecordRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var specimens, want []*tray.Specimen
		for i := range rapid.IntRange(0, 3).Draw(t, "specimens") {
			s := traytest.Specimen().Draw(t, "specimen").Clone()
			s.ID = fmt.Sprint("S", i)
			want = append(want, s.Public())
			specimens = append(specimens, s)
		}
		got, err := sheet.ReadRecord(bytes.NewReader(record(t, specimens...)))
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("the record changes (-before +after):\n%s", diff)
		}
	})
}

// Parts that came after the first version of the program are written only where
// they are used, so that an older program reads every record that it can hold.
func TestRecordHasNoPartThatIsNotUsed(t *testing.T) {
	text := string(record(t, tyrannosaurus(t), photographed()))
	for _, part := range []string{`"flat"`, `"depth"`, `"repeats"`} {
		if strings.Contains(text, part) {
			t.Errorf("the record of specimens without it has a part %s", part)
		}
	}
}

// A reader who knows only JSON finds the format's name, the inputs and, marked
// as derived, the readings and the answer.
func TestRecordIsReadable(t *testing.T) {
	var r struct {
		Format    string
		Version   int
		Program   string
		Sorting   string
		Specimens []struct {
			Inputs struct {
				Name   string
				Typed  map[string]struct{ Value, U float64 }
				Photos []struct{ SHA256, File string }
			}
			Derived struct {
				Readings []struct {
					ID         string
					Value      *float64
					U          float64
					IntervalMM float64
				}
				Answer struct {
					Said, Form string
					Shares     map[string]float64
					Nearest    []struct {
						Specimen string
						Distance float64
					}
				}
			}
		}
	}
	if err := json.Unmarshal(record(t, tyrannosaurus(t), photographed()), &r); err != nil {
		t.Fatal(err)
	}
	if r.Format != "crownbench-record" || r.Version != 1 || r.Program != "test 1" || r.Sorting != "teeth x" || len(r.Specimens) != 2 {
		t.Fatalf("head: %q %d %q %q, %d specimens", r.Format, r.Version, r.Program, r.Sorting, len(r.Specimens))
	}
	s := r.Specimens[0]
	if s.Inputs.Name != "FMNH PR2081 mx05" || s.Inputs.Typed["CBL"].Value != 45.46 || s.Inputs.Typed["CBL"].U != 0.1 {
		t.Errorf("inputs: %+v", s.Inputs)
	}
	want := map[string]float64{"CBL": 45.46, "CBR": 0.717774, "CHR": 2.069072, "CMA": 59.763528} // printed, see tyrannosaurus
	for _, d := range s.Derived.Readings {
		if w, ok := want[d.ID]; ok {
			if d.Value == nil || math.Abs(*d.Value-w) > 1e-6*w {
				t.Errorf("%s = %v, printed %v", d.ID, d.Value, w)
			}
			delete(want, d.ID)
		}
	}
	if len(want) > 0 {
		t.Errorf("not derived: %v", want)
	}
	a := s.Derived.Answer
	if a.Form != "robust" || a.Said == "" || len(a.Nearest) != 15 || !strings.HasPrefix(a.Nearest[0].Specimen, "FMNH PR2081") {
		t.Errorf("answer: %+v", a)
	}
	counted := 0.0
	for _, d := range r.Specimens[1].Derived.Readings {
		if d.ID == "DC" {
			counted = d.IntervalMM
		}
	}
	// Five ticks, four gaps of √(20² + 40²) px at 80 px per mm.
	if want := 4 * math.Hypot(20, 40) / 80; math.Abs(counted-want) > 1e-9 {
		t.Errorf("DC was counted over %v mm, want %v", counted, want)
	}
	if p := r.Specimens[1].Inputs.Photos; len(p) != 1 || p[0].SHA256 != hash || p[0].File != "tooth.jpg" {
		t.Errorf("photographs: %+v", p)
	}
}

// What is derived is never believed.
func TestReadRecordIgnoresTheDerived(t *testing.T) {
	text := string(record(t, tyrannosaurus(t)))
	from := strings.Index(text, `"derived":`)
	to := strings.LastIndex(text, "}\n]}")
	if from < 0 || to < from {
		t.Fatalf("no derived part in %s", text)
	}
	for _, other := range []string{`"derived":{"readings":[{"id":"CBL","value":1}],"answer":7}`, `"derived":null`, `"derived":[[["x"]]]`} {
		got, err := sheet.ReadRecord(strings.NewReader(text[:from] + other + text[to:]))
		if err != nil {
			t.Errorf("%s: %v", other, err)
			continue
		}
		if diff := cmp.Diff([]*tray.Specimen{tyrannosaurus(t)}, got); diff != "" {
			t.Errorf("%s changes the inputs:\n%s", other, diff)
		}
	}
}

func TestReadRecordAccepts(t *testing.T) {
	for name, text := range map[string]string{
		"an empty tray":         `{"format":"crownbench-record","version":1,"specimens":[]}`,
		"a byte order mark":     "\ufeff" + `{"format":"crownbench-record","version":1,"specimens":[]}`,
		"another order":         `{"program":"x","format":"crownbench-record","specimens":[],"version":1}`,
		"spaces and line feeds": " {\n\"format\" : \"crownbench-record\" , \"version\" : 1, \"specimens\" : [ ] }\n\n",
	} {
		if got, err := sheet.ReadRecord(strings.NewReader(text)); err != nil || len(got) != 0 {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
}

func TestReadRecordRefuses(t *testing.T) {
	head := `{"format":"crownbench-record","version":1,"specimens":[`
	one := `{"inputs":{"id":"a","name":"KB-014"}}`
	for name, tt := range map[string]struct{ text, says string }{
		"nothing":               {"", "empty"},
		"spaces":                {" \n", "empty"},
		"a photograph":          {"\xff\xd8\xff\xe0\x00\x10JFIF", "not text in UTF-8"},
		"a table":               {"name,invented\r\n", "line 1"},
		"another JSON file":     {`{"type":"FeatureCollection","features":[]}`, "not a record of this program"},
		"a list":                {`[1]`, "not a record of this program"},
		"a word":                {`"crownbench-record"`, "not a record of this program"},
		"another format":        {`{"format":"crown","version":1,"specimens":[]}`, "not a record of this program"},
		"a format of number":    {`{"format":1}`, "not a record of this program"},
		"specimens first":       {`{"specimens":[` + one + `],"format":"crownbench-record","version":1}`, "not a record of this program"},
		"a later version":       {`{"format":"crownbench-record","version":2,"specimens":[]}`, "version 2; this program reads version 1"},
		"a version of text":     {`{"format":"crownbench-record","version":"1","specimens":[]}`, "the version is a string"},
		"no version":            {`{"format":"crownbench-record","specimens":[]}`, "does not say its version"},
		"no list":               {`{"format":"crownbench-record","version":1}`, "no list of specimens"},
		"a list that is none":   {`{"format":"crownbench-record","version":1,"specimens":{}}`, "is not a list"},
		"an unknown part":       {`{"format":"crownbench-record","version":1,"photos":[],"specimens":[]}`, `a part "photos"`},
		"cut off":               {head + one, "ends in the middle"},
		"cut off in a specimen": {head + one + `,{"inputs":{"id":"b","na`, "ends in the middle of the record in specimen 2"},
		"a broken quote":        {head + "\n" + one + ",\n{\"inputs\":{\"id\": b\"}}]}", "specimen 2, at line 3, column 18"},
		"two records":           {head + one + `]}` + head + `]}`, "goes on after the end"},
		"no inputs":             {head + `{"derived":{}}]}`, "specimen 1 has no inputs"},
		"null inputs":           {head + `{"inputs":null}]}`, "specimen 1 has no inputs"},
		"inputs that are text":  {head + `{"inputs":"x"}]}`, "specimen 1 has no inputs"},
		"a specimen of number":  {head + `7]}`, "specimen 1 is a number"},
		"a name of number":      {head + one + `,{"inputs":{"id":"b","name":7}}]}`, "the name in specimen 2 is a number"},
		"a point of text":       {head + `{"inputs":{"id":"b","photos":[{"id":"p","crown":{"path":[{"x":"1"}]}}]}}]}`, "in specimen 1 is a string"},
		"a time of text":        {head + `{"inputs":{"id":"b","created":"yesterday"}}]}`, "specimen 1 cannot be read"},
		"an unknown input":      {head + `{"inputs":{"id":"b","colour":"brown"}}]}`, `a part "colour" in specimen 1`},
		"an unfit specimen":     {head + one + `,{"inputs":{"id":"b","name":"KB-015","toothRow":"upper"}}]}`, `specimen 2: "KB-015" gives the tooth row as "upper"`},
		"no identifier":         {head + `{"inputs":{"name":"KB-014"}}]}`, "no identifier"},
		"a path for a hash":     {head + `{"inputs":{"id":"b","photos":[{"id":"p","role":"other","sha256":"../x"}]}}]}`, "64 hexadecimal digits"},
		"an infinite number":    {head + `{"inputs":{"id":"b","typed":{"CBL":{"value":1e999}}}}]}`, "in specimen 1 is a number"},
		"two of one identifier": {head + one + `,` + one + `]}`, "specimens 1 and 2 have the same identifier"},
		"too many points": {
			head + `{"inputs":{"id":"b","photos":[{"id":"p","role":"other","crown":{"path":[{}` + strings.Repeat(",{}", 850_000) + `]}}]}}]}`,
			"more marked points than a specimen may",
		},
		"deep nesting": {head + `{"inputs":{"id":"b","photos":` + strings.Repeat("[", 200_000), "specimen 1"},
	} {
		got, err := sheet.ReadRecord(strings.NewReader(tt.text))
		if err == nil {
			t.Errorf("%s: read as %d specimens", name, len(got))
		} else if !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: says %q; want it to say %q", name, err, tt.says)
		} else if got != nil {
			t.Errorf("%s: gives specimens beside its error", name)
		}
	}
}

func TestRecordLimits(t *testing.T) {
	many := make([]*tray.Specimen, sheet.MaxRecordSpecimens+1)
	if err := sheet.Record(full{}, many, nil, versions); err == nil || !strings.Contains(err.Error(), "at most 100000") {
		t.Errorf("too many specimens: %v", err)
	}
	if err := sheet.Record(&bytes.Buffer{}, []*tray.Specimen{{ID: "x", Row: "upper"}}, tray.Find, versions); err == nil {
		t.Error("an unfit specimen was written, which could not be read back")
	}
	if err := sheet.Record(full{}, nil, tray.Find, versions); !errors.Is(err, errFull) {
		t.Errorf("a full disk gives %v", err)
	}

	var b strings.Builder
	b.WriteString(`{"format":"crownbench-record","version":1,"specimens":[`)
	for i := range sheet.MaxRecordSpecimens + 1 {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, `{"inputs":{"id":"%d"}}`, i)
	}
	b.WriteString("]}")
	if _, err := sheet.ReadRecord(strings.NewReader(b.String())); err == nil || !strings.Contains(err.Error(), "more than 100000 specimens") {
		t.Errorf("too many specimens in a file: %v", err)
	}
	if _, err := sheet.ReadRecord(broken{}); !errors.Is(err, errFull) {
		t.Errorf("a broken reader gives %v", err)
	}
}

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, errFull }

func FuzzReadRecord(f *testing.F) {
	f.Add(record(f, tyrannosaurus(f), photographed()))
	f.Add([]byte(`{"format":"crownbench-record","version":1,"specimens":[{"inputs":{"id":"a","typed":{"CH":{"value":1,"state":"minimum"}}}}]}`))
	f.Add([]byte(`{"format":"crownbench-record","version":1,"specimens":[{"inputs":{"id":"a","photos":[{"id":"p","role":"basal","section":{"outline":[{"x":1,"via":[[1,2]]}],"mesial":-1,"distal":0}}]}}]}`))
	f.Add([]byte("{"))
	f.Add([]byte(`{"format":"crownbench-record","version":1,"specimens":[{"inputs":{"id":"a","decimalLatitude":"1","informationWithheld":"x","formation":"=1"}}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		want, err := sheet.ReadRecord(bytes.NewReader(text))
		if err != nil {
			if want != nil || err.Error() == "" {
				t.Fatalf("%d specimens beside %q", len(want), err)
			}
			return
		}
		got, err := sheet.ReadRecord(bytes.NewReader(record(t, want...)))
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range want {
			want[i] = s.Public()
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("what was read changes when it is written again:\n%s", diff)
		}
	})
}

// Infinite readings cannot stand in JSON and are left out.
func TestRecordOfWhatIsNotFinite(t *testing.T) {
	find := func(*tray.Specimen) tray.Finding {
		return tray.Finding{Readings: morph.Readings{
			{Quantity: morph.Quantity{ID: "CBL"}, Known: true, Value: math.Inf(1)},
			{Quantity: morph.Quantity{ID: "CBW"}, Known: true, Value: 1, U: math.NaN()},
		}}
	}
	var b bytes.Buffer
	if err := sheet.Record(&b, []*tray.Specimen{{ID: "x"}}, find, versions); err != nil {
		t.Fatal(err)
	}
	if got, err := sheet.ReadRecord(&b); err != nil || len(got) != 1 {
		t.Fatalf("%v, %v", got, err)
	}
}

func BenchmarkRecord(b *testing.B) {
	for _, n := range []int{1, 100} {
		var specimens []*tray.Specimen
		for i := range n {
			s := tyrannosaurus(b)
			s.ID = fmt.Sprint(i)
			specimens = append(specimens, s)
		}
		var finder tray.Finder
		text := record(b, specimens...)
		b.Run(fmt.Sprintf("write/%d", n), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if err := sheet.Record(&bytes.Buffer{}, specimens, finder.Find, versions); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(fmt.Sprintf("read/%d", n), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if _, err := sheet.ReadRecord(bytes.NewReader(text)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A record as the first published program wrote it, before a specimen had a
// catalogue's fields.
func TestReadRecordOfTheFirstVersion(t *testing.T) {
	const old = `{"format":"crownbench-record","version":1,"program":"one","sorting":"teeth x","specimens":[
{"inputs":{"id":"a","name":"KB-014","created":"2024-01-02T03:04:05Z","changed":"2024-01-02T03:04:06Z","revision":3,
"toothRow":"lateral","age":"Late Cretaceous","country":"Nowhere","locality":"below the bridge","remarks":"a\nb",
"photos":[{"id":"p","role":"basal","sha256":"` + hash + `","file":"t.jpg","mime":"image/jpeg","bytes":7,"width":4,"height":3,"taken":"2024-01-01T00:00:00","device":"camera"}],
"typed":{"CBL":{"value":20}}},"derived":{"readings":[],"answer":{"said":"x","version":"y"}}}
]}`
	got, err := sheet.ReadRecord(strings.NewReader(old))
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 1 {
		t.Fatalf("%d specimens", len(got))
	}
	s := got[0]
	if s.Age != "Late Cretaceous" || s.Country != "Nowhere" || s.Locality != "below the bridge" || s.Remarks != "a\nb" || s.Catalogue != (tray.Catalogue{}) {
		t.Errorf("read as %+v", s)
	}
	if p := s.Photos[0]; p.Taken != "2024-01-01T00:00:00" || p.Device != "camera" || p.Creator != "" || p.License != "" {
		t.Errorf("its photograph as %+v", p)
	}
}

// Where the find lay is in no file unless it is shared.
func TestCoordinatesAreKeptBack(t *testing.T) {
	s := tyrannosaurus(t)
	s.DecimalLatitude, s.DecimalLongitude, s.GeodeticDatum, s.CoordinateUncertainty = "12.34567", "-76.54321", "EPSG:98765", "33.77"
	secrets := []string{s.DecimalLatitude, s.DecimalLongitude, s.GeodeticDatum, s.CoordinateUncertainty}
	for _, share := range []bool{false, true} {
		s.ShareCoordinates = share
		var csv bytes.Buffer
		if err := sheet.CSV(&csv, []*tray.Specimen{s}, tray.Find, versions); err != nil {
			t.Fatal(err)
		}
		for name, text := range map[string]string{
			"record": string(record(t, s)), "table": csv.String(),
			"sheet": sheet.Sheet(s, tray.Find(s), nil, versions).String(),
		} {
			for _, secret := range secrets {
				if strings.Contains(text, secret) != share {
					t.Errorf("shared %v: %s in the %s: %v", share, secret, name, !share)
				}
			}
			if strings.Contains(text, tray.CoordinatesWithheld) == share {
				t.Errorf("shared %v: the %s says %q: %v", share, name, tray.CoordinatesWithheld, share)
			}
		}
	}
}
