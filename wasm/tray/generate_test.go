package tray_test

import (
	"fmt"
	"reflect"
	"time"

	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

// text draws what a person may type into a field.
func text() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"", "KB-014", "Tooth 2", "a \"b\" <c>", "línea\nzwei", "\u202eabc"}),
		rapid.StringN(0, 12, -1),
	)
}

func number(lo, hi float64) *rapid.Generator[float64] {
	return rapid.OneOf(rapid.Float64Range(lo, hi), rapid.SampledFrom([]float64{max(lo, 0), lo, hi}))
}

func vertex() *rapid.Generator[morph.Vertex] {
	return rapid.Custom(func(t *rapid.T) morph.Vertex {
		v := morph.Vertex{X: number(-10, 5000).Draw(t, "x"), Y: number(-10, 5000).Draw(t, "y")}
		for range rapid.IntRange(0, 2).Draw(t, "via") {
			v.Via = append(v.Via, [2]float64{number(0, 5000).Draw(t, "x"), number(0, 5000).Draw(t, "y")})
		}
		return v
	})
}

func path(least int) *rapid.Generator[morph.Path] {
	return rapid.Custom(func(t *rapid.T) morph.Path {
		return morph.Path(rapid.SliceOfN(vertex(), least, least+4).Draw(t, "path"))
	})
}

func photo(id string) *rapid.Generator[tray.Photo] {
	return rapid.Custom(func(t *rapid.T) tray.Photo {
		p := tray.Photo{
			View: morph.View{
				ID: id, Role: rapid.SampledFrom(morph.Roles).Draw(t, "role"), Pointing: number(0, 20).Draw(t, "pointing"),
			},
			Hash: rapid.StringMatching(`[0-9a-f]{64}`).Draw(t, "hash"), File: text().Draw(t, "file"), MIME: "image/jpeg",
			Bytes: rapid.IntRange(0, 1e8).Draw(t, "bytes"), Width: rapid.IntRange(0, 8000).Draw(t, "width"),
			Height: rapid.IntRange(0, 8000).Draw(t, "height"), Taken: text().Draw(t, "taken"), Device: text().Draw(t, "device"),
		}
		for range rapid.IntRange(0, 2).Draw(t, "bars") {
			p.Bars = append(p.Bars, morph.Bar{
				From: vertex().Draw(t, "from"), To: vertex().Draw(t, "to"),
				Length: number(0, 100).Draw(t, "length"), ULength: number(0, 1).Draw(t, "u"),
				Unit: rapid.SampledFrom([]morph.Unit{morph.Millimetre, morph.Centimetre, morph.Inch}).Draw(t, "unit"),
			})
		}
		if rapid.Bool().Draw(t, "crown") {
			c := &morph.Crown{
				Path: path(1).Draw(t, "crown"), Done: rapid.Bool().Draw(t, "done"),
				ApexBroken: rapid.Bool().Draw(t, "apex broken"), BaseBroken: rapid.Bool().Draw(t, "base broken"),
			}
			c.Apex = rapid.IntRange(morph.Unset, len(c.Path)-1).Draw(t, "apex")
			p.Crown = c
		}
		if rapid.Bool().Draw(t, "section") {
			s := &morph.Section{Outline: path(1).Draw(t, "outline"), Done: rapid.Bool().Draw(t, "done")}
			s.Mesial = rapid.IntRange(morph.Unset, len(s.Outline)-1).Draw(t, "mesial")
			s.Distal = rapid.IntRange(morph.Unset, len(s.Outline)-1).Draw(t, "distal")
			p.Section = s
		}
		for range rapid.IntRange(0, 2).Draw(t, "stretches") {
			p.Stretches = append(p.Stretches, morph.Stretch{
				Carina:   rapid.SampledFrom([]morph.Carina{morph.MesialCarina, morph.DistalCarina}).Draw(t, "carina"),
				Third:    rapid.SampledFrom([]morph.Third{morph.Apical, morph.Mid, morph.Basal}).Draw(t, "third"),
				Serrated: rapid.Bool().Draw(t, "serrated"), Line: path(0).Draw(t, "line"),
				Ticks: path(0).Draw(t, "ticks"), Done: rapid.Bool().Draw(t, "done"),
			})
		}
		return p
	})
}

// specimen draws a specimen that passes Check, with any of its parts set.
func specimen() *rapid.Generator[*tray.Specimen] {
	return rapid.Custom(func(t *rapid.T) *tray.Specimen {
		s := &tray.Specimen{
			ID: "drawn", Name: text().Draw(t, "name"), Invented: rapid.Bool().Draw(t, "invented"),
			Created: instant().Draw(t, "created"), Changed: instant().Draw(t, "changed"),
			Revision: rapid.IntRange(0, 1000).Draw(t, "revision"),
			Row:      rapid.SampledFrom([]tray.Row{tray.RowUnknown, tray.RowMesial, tray.RowLateral}).Draw(t, "row"),
			Age:      text().Draw(t, "age"), Country: text().Draw(t, "country"),
			Locality: text().Draw(t, "locality"), Remarks: text().Draw(t, "remarks"),
			Mesial: carinaState().Draw(t, "mesial"), Distal: carinaState().Draw(t, "distal"),
			DSDI: rapid.SampledFrom([]morph.DSDIRule{"", morph.DSDIMid, morph.DSDIMean}).Draw(t, "DSDI"),
			CHR:  rapid.SampledFrom([]morph.CHRRule{"", morph.CHRByLength, morph.CHRByLongAxis}).Draw(t, "CHR"),
		}
		for i := range rapid.IntRange(0, 2).Draw(t, "photos") {
			s.Photos = append(s.Photos, photo(fmt.Sprint("P", i)).Draw(t, "photo"))
		}
		id := rapid.SampledFrom([]morph.ID{"CBL", "CBW", "CH", "AL", "CBR", "MCL", "MC", "DC", "DA"})
		state := rapid.SampledFrom([]morph.State{"", morph.Estimated, morph.Minimum, morph.NotApplicable, morph.Unknown, morph.Absent, morph.NotPreserved})
		for range rapid.IntRange(0, 4).Draw(t, "typed") {
			if s.Typed == nil {
				s.Typed = map[morph.ID]morph.Typed{}
			}
			s.Typed[id.Draw(t, "id")] = morph.Typed{
				Value: number(0, 200).Draw(t, "value"), U: number(0, 2).Draw(t, "u"), State: state.Draw(t, "state"),
			}
		}
		for range rapid.IntRange(0, 2).Draw(t, "counts") {
			if s.Counts == nil {
				s.Counts = map[morph.ID]morph.Count{}
			}
			s.Counts[id.Draw(t, "id")] = morph.Count{N: number(0, 60).Draw(t, "n"), LengthMM: number(0, 20).Draw(t, "over")}
		}
		for range rapid.IntRange(0, 2).Draw(t, "prefer") {
			if s.Prefer == nil {
				s.Prefer = map[morph.ID]string{}
			}
			s.Prefer[id.Draw(t, "id")] = rapid.SampledFrom([]string{"typed", "counted", "view:P0"}).Draw(t, "key")
		}
		return s
	})
}

func carinaState() *rapid.Generator[morph.CarinaState] {
	return rapid.SampledFrom([]morph.CarinaState{
		morph.DenticlesUnknown, morph.DenticlesPresent, morph.DenticlesAbsent, morph.DenticlesNotPreserved,
	})
}

func instant() *rapid.Generator[time.Time] {
	return rapid.Custom(func(t *rapid.T) time.Time {
		return time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "s"), rapid.Int64Range(0, 999999999).Draw(t, "ns")).UTC()
	})
}

// shares lists the parts of two values that lie at the same place in memory.
func shares(a, b any) []string {
	at := map[uintptr]string{}
	reach(reflect.ValueOf(a), "", func(p uintptr, where string) { at[p] = where })
	var common []string
	reach(reflect.ValueOf(b), "", func(p uintptr, where string) {
		if _, ok := at[p]; ok {
			common = append(common, where)
		}
	})
	return common
}

// reach calls f for every pointer, map and non-empty slice below v.
func reach(v reflect.Value, where string, f func(uintptr, string)) {
	if v.Type() == reflect.TypeFor[time.Time]() {
		return // shares its location with every other time, and never changes it
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			f(v.Pointer(), where)
			reach(v.Elem(), where, f)
		}
	case reflect.Map:
		if !v.IsNil() {
			f(v.Pointer(), where)
		}
		for _, k := range v.MapKeys() {
			reach(v.MapIndex(k), fmt.Sprintf("%s[%v]", where, k), f)
		}
	case reflect.Slice:
		if v.Len() > 0 {
			f(v.Pointer(), where)
		}
		for i := range v.Len() {
			reach(v.Index(i), fmt.Sprintf("%s[%d]", where, i), f)
		}
	case reflect.Array:
		for i := range v.Len() {
			reach(v.Index(i), fmt.Sprintf("%s[%d]", where, i), f)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			reach(v.Field(i), where+"."+v.Type().Field(i).Name, f)
		}
	}
}

// fill sets every field below v to something that is not its zero value, so
// that a field which is added later is tried too.
func fill(v reflect.Value, n *int) {
	*n++
	if v.Type() == reflect.TypeFor[time.Time]() {
		v.Set(reflect.ValueOf(time.Unix(int64(*n), 5).UTC()))
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(fmt.Sprint("text ", *n))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(*n))
	case reflect.Float64:
		v.SetFloat(float64(*n) + 0.25)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), n)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range 2 {
			fill(v.Index(i), n)
		}
	case reflect.Array:
		for i := range v.Len() {
			fill(v.Index(i), n)
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		for range 2 {
			key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
			fill(key, n)
			fill(value, n)
			v.SetMapIndex(key, value)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), n)
		}
	default:
		panic("fill knows no " + v.Kind().String())
	}
}
