package tray_test

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

func TestCloneSharesNothing(t *testing.T) {
	var s tray.Specimen
	n := 0
	fill(reflect.ValueOf(&s).Elem(), &n)
	c := s.Clone()
	if diff := cmp.Diff(&s, c); diff != "" {
		t.Fatalf("the copy differs (-original +copy):\n%s", diff)
	}
	if parts := shares(&s, c); len(parts) > 0 {
		t.Errorf("the copy shares %v", parts)
	}
	// The check itself sees sharing where there is some.
	shallow := s
	if parts := shares(&s, &shallow); len(parts) == 0 {
		t.Error("a shallow copy is said to share nothing")
	}
}

// A change to any part of a copy leaves the original as it was.
func TestCloneIsIndependent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := specimen().Draw(t, "specimen")
		before, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		c := s.Clone()
		n := 0
		overwrite(reflect.ValueOf(c).Elem(), &n)
		after, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(before), string(after)); diff != "" {
			t.Fatalf("changing a copy changed the original:\n%s", diff)
		}
	})
}

// overwrite changes every value that is reached from v in place.
func overwrite(v reflect.Value, n *int) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			overwrite(v.Elem(), n)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			overwrite(v.Index(i), n)
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			value := reflect.New(v.Type().Elem()).Elem()
			fill(value, n)
			v.SetMapIndex(k, value)
		}
	case reflect.Struct:
		if v.CanSet() && v.NumField() > 0 && !v.Type().Field(0).IsExported() {
			v.SetZero() // a time
			return
		}
		for i := range v.NumField() {
			overwrite(v.Field(i), n)
		}
	default:
		fill(v, n)
	}
}

func TestSpecimenSurvivesJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := specimen().Draw(t, "specimen").Clone()
		text, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		var got tray.Specimen
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, got.Clone()); diff != "" {
			t.Fatalf("JSON changed it (-before +after):\n%s", diff)
		}
		if err := got.Check(); err != nil {
			t.Fatal(err)
		}
	})
}

func TestEveryFieldSurvivesJSON(t *testing.T) {
	var want, got tray.Specimen
	n := 0
	fill(reflect.ValueOf(&want).Elem(), &n)
	text, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("JSON loses (-before +after):\n%s", diff)
	}
}

func TestCheckAccepts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := specimen().Draw(t, "specimen")
		if err := s.Check(); err != nil {
			t.Fatal(err)
		}
	})
}

func TestCheckRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	whole := func() *tray.Specimen {
		return &tray.Specimen{
			ID: "a", Name: "KB-014",
			Typed:  map[morph.ID]morph.Typed{"CBL": {Value: 22.6, U: 0.1}},
			Counts: map[morph.ID]morph.Count{"DC": {N: 9, LengthMM: 4.5}},
			Photos: []tray.Photo{{
				Hash: strings.Repeat("0a", 32), File: "tooth.jpg",
				View: morph.View{
					ID: "p", Role: morph.LateralLabial,
					Bars:      []morph.Bar{{To: morph.Vertex{X: 800}, Length: 10, Unit: morph.Millimetre}},
					Crown:     &morph.Crown{Path: make(morph.Path, 3), Apex: 1},
					Section:   &morph.Section{Outline: make(morph.Path, 3), Mesial: 0, Distal: 2},
					Stretches: []morph.Stretch{{Carina: morph.DistalCarina, Third: morph.Mid}},
				},
			}},
		}
	}
	if err := whole().Check(); err != nil {
		t.Fatalf("the specimen that each case spoils is refused: %v", err)
	}
	long := strings.Repeat("ä", tray.MaxText+1)
	for name, tt := range map[string]struct {
		spoil func(*tray.Specimen)
		says  string
	}{
		"no identifier":       {func(s *tray.Specimen) { s.ID = "" }, "no identifier"},
		"long identifier":     {func(s *tray.Specimen) { s.ID = long }, "identifier is longer than 10000"},
		"long name":           {func(s *tray.Specimen) { s.Name = long }, "name is longer than 10000"},
		"long remarks":        {func(s *tray.Specimen) { s.Remarks = long }, "remarks is longer than 10000"},
		"long country":        {func(s *tray.Specimen) { s.Country = long }, "country is longer than 10000"},
		"broken text":         {func(s *tray.Specimen) { s.Locality = "a\xff" }, "locality is not valid text"},
		"negative revision":   {func(s *tray.Specimen) { s.Revision = -1 }, "number of changes"},
		"endless revision":    {func(s *tray.Specimen) { s.Revision = math.MaxInt }, "number of changes"},
		"row":                 {func(s *tray.Specimen) { s.Row = "upper" }, `tooth row as "upper"`},
		"mesial denticles":    {func(s *tray.Specimen) { s.Mesial = "few" }, `carina as "few"`},
		"distal denticles":    {func(s *tray.Specimen) { s.Distal = "few" }, `carina as "few"`},
		"DSDI rule":           {func(s *tray.Specimen) { s.DSDI = "MB/DB" }, `DSDI by "MB/DB"`},
		"CHR rule":            {func(s *tray.Specimen) { s.CHR = "CH/AL" }, `CHR by "CH/AL"`},
		"typed NaN":           {func(s *tray.Specimen) { s.Typed["CH"] = morph.Typed{Value: nan} }, "no measurement"},
		"typed u infinite":    {func(s *tray.Specimen) { s.Typed["CH"] = morph.Typed{Value: 1, U: inf} }, "no measurement"},
		"typed u negative":    {func(s *tray.Specimen) { s.Typed["CH"] = morph.Typed{Value: 1, U: -1} }, "no measurement"},
		"typed too large":     {func(s *tray.Specimen) { s.Typed["CH"] = morph.Typed{Value: 2 * tray.MaxNumber} }, "no measurement"},
		"typed state":         {func(s *tray.Specimen) { s.Typed["CH"] = morph.Typed{Value: 1, State: "great"} }, `marked "great"`},
		"count NaN":           {func(s *tray.Specimen) { s.Counts["DC"] = morph.Count{N: nan, LengthMM: 1} }, "no count"},
		"count below zero":    {func(s *tray.Specimen) { s.Counts["DC"] = morph.Count{N: -9, LengthMM: 1} }, "no count"},
		"count over nothing":  {func(s *tray.Specimen) { s.Counts["DC"] = morph.Count{N: 9, LengthMM: -1} }, "no count"},
		"long choice":         {func(s *tray.Specimen) { s.Prefer = map[morph.ID]string{"CH": long} }, "choice for CH"},
		"too many typed":      {func(s *tray.Specimen) { s.Typed = manyTyped() }, "at most 500"},
		"too many photos":     {func(s *tray.Specimen) { s.Photos = make([]tray.Photo, tray.MaxPhotos+1) }, "at most 40"},
		"photo without ID":    {func(s *tray.Specimen) { s.Photos[0].ID = "" }, "no identifier of its own"},
		"two photos, one ID":  {func(s *tray.Specimen) { s.Photos = append(s.Photos, s.Photos[0]) }, "photograph 2"},
		"hash of a path":      {func(s *tray.Specimen) { s.Photos[0].Hash = "../../etc/passwd" }, "64 hexadecimal digits"},
		"hash in capitals":    {func(s *tray.Specimen) { s.Photos[0].Hash = strings.Repeat("0A", 32) }, "64 hexadecimal digits"},
		"long file name":      {func(s *tray.Specimen) { s.Photos[0].File = long }, "file name is longer"},
		"negative width":      {func(s *tray.Specimen) { s.Photos[0].Width = -1 }, "-1 × 0 px"},
		"negative size":       {func(s *tray.Specimen) { s.Photos[0].Bytes = -1 }, "-1 bytes"},
		"role":                {func(s *tray.Specimen) { s.Photos[0].Role = "upside down" }, `role "upside down"`},
		"pointing":            {func(s *tray.Specimen) { s.Photos[0].Pointing = -1 }, "no number"},
		"bar at NaN":          {func(s *tray.Specimen) { s.Photos[0].Bars[0].From.X = nan }, "no number"},
		"bar length":          {func(s *tray.Specimen) { s.Photos[0].Bars[0].Length = inf }, "no number"},
		"bar length negative": {func(s *tray.Specimen) { s.Photos[0].Bars[0].Length = -10 }, "no number"},
		"bar unit":            {func(s *tray.Specimen) { s.Photos[0].Bars[0].Unit = "ell" }, `"ell"; it is mm, cm or in`},
		"card's corner": {func(s *tray.Specimen) {
			s.Photos[0].Flat = &morph.Flat{Corners: [4]morph.Vertex{2: {X: nan}}}
		}, "no number"},
		"card's side":         {func(s *tray.Specimen) { s.Photos[0].Flat = &morph.Flat{Width: -1} }, "no number"},
		"card's unit":         {func(s *tray.Specimen) { s.Photos[0].Flat = &morph.Flat{Unit: "ell"} }, `card is "ell"; it is mm, cm or in`},
		"depth":               {func(s *tray.Specimen) { s.Photos[0].Depth = &morph.Depth{Offset: inf} }, "no number"},
		"depth's u":           {func(s *tray.Specimen) { s.Photos[0].Depth = &morph.Depth{UOffset: -1} }, "no number"},
		"repeated mark":       {func(s *tray.Specimen) { s.Photos[0].Repeats = []morph.Path{{{Y: nan}}} }, "no number"},
		"many repeats":        {func(s *tray.Specimen) { s.Photos[0].Repeats = make([]morph.Path, tray.MaxVertices+1) }, "at most 20000"},
		"crown point":         {func(s *tray.Specimen) { s.Photos[0].Crown.Path[2].Y = -inf }, "no number"},
		"crown far away":      {func(s *tray.Specimen) { s.Photos[0].Crown.Path[2].Y = 2 * tray.MaxPixels }, "no number"},
		"point along an edge": {func(s *tray.Specimen) { s.Photos[0].Crown.Path[2].Via = [][2]float64{{nan, 0}} }, "no number"},
		"apex beyond path":    {func(s *tray.Specimen) { s.Photos[0].Crown.Apex = 3 }, "point 4 of 3"},
		"apex before path":    {func(s *tray.Specimen) { s.Photos[0].Crown.Apex = -2 }, "point -1 of 3"},
		"apex of nothing":     {func(s *tray.Specimen) { s.Photos[0].Crown.Path = nil }, "point 2 of 0"},
		"mesial end":          {func(s *tray.Specimen) { s.Photos[0].Section.Mesial = 3 }, "section's end is point 4 of 3"},
		"distal end":          {func(s *tray.Specimen) { s.Photos[0].Section.Distal = -2 }, "section's end"},
		"carina":              {func(s *tray.Specimen) { s.Photos[0].Stretches[0].Carina = "labial" }, `carina "labial"`},
		"third":               {func(s *tray.Specimen) { s.Photos[0].Stretches[0].Third = "upper" }, `third "upper"`},
		"tick":                {func(s *tray.Specimen) { s.Photos[0].Stretches[0].Ticks = []morph.Vertex{{X: nan}} }, "no number"},
		"too many points":     {func(s *tray.Specimen) { s.Photos[0].Crown.Path = make(morph.Path, tray.MaxVertices+1) }, "at most 20000"},
		"too many along edges": {func(s *tray.Specimen) {
			s.Photos[0].Crown.Path[0].Via = make([][2]float64, tray.MaxVertices)
		}, "at most 20000"},
		"too many empty stretches": {func(s *tray.Specimen) {
			for range tray.MaxVertices {
				s.Photos[0].Stretches = append(s.Photos[0].Stretches, s.Photos[0].Stretches[0])
			}
		}, "at most 20000"},
	} {
		s := whole()
		tt.spoil(s)
		err := s.Check()
		if err == nil {
			t.Errorf("%s: not refused", name)
		} else if !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: the sentence is %q; want it to say %q", name, err, tt.says)
		}
	}
}

func manyTyped() map[morph.ID]morph.Typed {
	m := map[morph.ID]morph.Typed{}
	for i := range tray.MaxEntries + 1 {
		m[morph.ID(strings.Repeat("x", i))] = morph.Typed{}
	}
	return m
}
