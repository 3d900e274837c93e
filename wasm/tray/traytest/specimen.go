package traytest

import (
	"fmt"
	"time"

	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

// Hostile are texts that a careless writer would take for markup, a formula, a
// path or the end of a cell, or that turn the direction of writing.
var Hostile = []string{
	"", "KB-014", "Tooth 2", "<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "</style>&amp;]]>",
	"=cmd|' /C calc'!A0", "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "  =1", "'=1", "''", "-12.5", "+7",
	"a \"b\", c;d", "línea\nzwei\r\ndrei\rvier", "\u202eabc\u2066", "../../x", "\x00\x1b[31m", "\ufeff=1", "＝1", "\x00=1",
}

// Text draws what a person may type into a field, or a file bring into one.
func Text() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom(Hostile),
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

func origin() *rapid.Generator[morph.Origin] {
	return rapid.SampledFrom([]morph.Origin{morph.ByHand, morph.Proposed, morph.Edited})
}

func photo(id string) *rapid.Generator[tray.Photo] {
	return rapid.Custom(func(t *rapid.T) tray.Photo {
		p := tray.Photo{
			View: morph.View{
				ID: id, Role: rapid.SampledFrom(morph.Roles).Draw(t, "role"), Pointing: number(0, 20).Draw(t, "pointing"),
			},
			Hash: rapid.StringMatching(`[0-9a-f]{64}`).Draw(t, "hash"), File: Text().Draw(t, "file"), MIME: "image/jpeg",
			Bytes: rapid.IntRange(0, 1e8).Draw(t, "bytes"), Width: rapid.IntRange(0, 8000).Draw(t, "width"),
			Height: rapid.IntRange(0, 8000).Draw(t, "height"), Taken: Text().Draw(t, "taken"), Device: Text().Draw(t, "device"),
			Creator: Text().Draw(t, "creator"), License: Text().Draw(t, "license"),
		}
		for range rapid.IntRange(0, 2).Draw(t, "bars") {
			p.Bars = append(p.Bars, morph.Bar{
				From: vertex().Draw(t, "from"), To: vertex().Draw(t, "to"),
				Length: number(0, 100).Draw(t, "length"), ULength: number(0, 1).Draw(t, "u"),
				Unit:   rapid.SampledFrom([]morph.Unit{morph.Millimetre, morph.Centimetre, morph.Inch}).Draw(t, "unit"),
				Origin: origin().Draw(t, "origin"),
			})
		}
		for range rapid.IntRange(0, 1).Draw(t, "repeats") {
			p.Repeats = append(p.Repeats, path(1).Draw(t, "marks"))
		}
		if rapid.Bool().Draw(t, "flat") {
			p.Flat = &morph.Flat{
				Width: number(0, 100).Draw(t, "width"), Height: number(0, 100).Draw(t, "height"),
				USide: number(0, 1).Draw(t, "u"), Unit: morph.Millimetre,
			}
			for i := range p.Flat.Corners {
				p.Flat.Corners[i] = vertex().Draw(t, "corner")
			}
		}
		if rapid.Bool().Draw(t, "depth") {
			p.Depth = &morph.Depth{
				Offset: number(-20, 20).Draw(t, "offset"), UOffset: number(0, 5).Draw(t, "u"),
				Distance: number(0, 800).Draw(t, "distance"), UDistance: number(0, 50).Draw(t, "u"),
			}
		}
		if rapid.Bool().Draw(t, "crown") {
			c := &morph.Crown{
				Path: path(1).Draw(t, "crown"), Done: rapid.Bool().Draw(t, "done"),
				ApexBroken: rapid.Bool().Draw(t, "apex broken"), BaseBroken: rapid.Bool().Draw(t, "base broken"),
				Origin: origin().Draw(t, "origin"),
			}
			if rapid.Bool().Draw(t, "tip") {
				c.Tip = &morph.Tip{X: number(-10, 5000).Draw(t, "x"), Y: number(-10, 5000).Draw(t, "y"), U: number(0, 100).Draw(t, "u")}
			}
			c.Apex = rapid.IntRange(morph.Unset, len(c.Path)-1).Draw(t, "apex")
			p.Crown = c
		}
		if rapid.Bool().Draw(t, "section") {
			s := &morph.Section{Outline: path(1).Draw(t, "outline"), Done: rapid.Bool().Draw(t, "done"), Origin: origin().Draw(t, "origin")}
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
				Origin: origin().Draw(t, "origin"),
			})
		}
		return p
	})
}

// fieldText draws what passes the field's check, hostile where that lets it.
func fieldText(f tray.Field) *rapid.Generator[string] {
	fits := func(text string) bool { return f.Check(text) == nil }
	if len(f.Words) > 0 {
		return rapid.SampledFrom(f.Words)
	}
	if fits("<b>") {
		return Text().Filter(fits)
	}
	return rapid.SampledFrom([]string{"", f.Such})
}

// Specimen draws a specimen that passes Check, with any of its parts set.
func Specimen() *rapid.Generator[*tray.Specimen] {
	return rapid.Custom(func(t *rapid.T) *tray.Specimen {
		s := &tray.Specimen{
			ID: "drawn", Name: Text().Draw(t, "name"), Invented: rapid.Bool().Draw(t, "invented"),
			Created: instant().Draw(t, "created"), Changed: instant().Draw(t, "changed"),
			Revision: rapid.IntRange(0, 1000).Draw(t, "revision"),
			Row:      rapid.SampledFrom([]tray.Row{tray.RowUnknown, tray.RowMesial, tray.RowLateral}).Draw(t, "row"),
			Mesial:   carinaState().Draw(t, "mesial"), Distal: carinaState().Draw(t, "distal"),
			DSDI: rapid.SampledFrom([]morph.DSDIRule{"", morph.DSDIMid, morph.DSDIMean}).Draw(t, "DSDI"),
			CHR:  rapid.SampledFrom([]morph.CHRRule{"", morph.CHRByLength, morph.CHRByLongAxis}).Draw(t, "CHR"),
		}
		s.ShareCoordinates = rapid.Bool().Draw(t, "share")
		for _, f := range tray.Fields {
			if rapid.Bool().Draw(t, f.ID+" known") {
				f.Set(s, fieldText(f).Draw(t, f.ID))
			}
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
