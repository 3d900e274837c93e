package archive_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/archive"
	"crownbench/wasm/tray"
)

// schema is a JSON Schema, as far as the record's goes: JSON Schema 2020-12,
// core and validation (from memory). An unknown keyword is a failure, so that
// none is passed over.
type schema map[string]any

func parsed(t failer) schema {
	var s schema
	if err := json.Unmarshal([]byte(archive.Schema), &s); err != nil {
		t.Fatalf("%v", err)
	}
	return s
}

// check lists what a value breaks of the schema.
func (root schema) check(s schema, v any, where string) (wrong []string) {
	say := func(format string, args ...any) { wrong = append(wrong, where+": "+fmt.Sprintf(format, args...)) }
	sub := func(x any) schema { return schema(x.(map[string]any)) }
	for keyword, want := range s {
		switch keyword {
		case "$schema", "$comment", "$defs", "title", "description":
		case "$ref":
			name := strings.TrimPrefix(want.(string), "#/$defs/")
			wrong = append(wrong, root.check(sub(sub(root["$defs"])[name]), v, where)...)
		case "type":
			kinds, list := want.([]any)
			if !list {
				kinds = []any{want}
			}
			if !slices.ContainsFunc(kinds, func(k any) bool { return isKind(k.(string), v) }) {
				say("%v is no %v", v, want)
			}
		case "const":
			if v != want {
				say("%v is not %v", v, want)
			}
		case "enum":
			if !slices.Contains(want.([]any), v) {
				say("%v is none of %v", v, want)
			}
		case "format":
			if text, ok := v.(string); ok && want == "date-time" {
				if _, err := time.Parse(time.RFC3339, text); err != nil {
					say("%v", err)
				}
			}
		case "pattern":
			if text, ok := v.(string); ok && !regexp.MustCompile(want.(string)).MatchString(text) {
				say("%q does not match %s", text, want)
			}
		case "minLength", "maxLength":
			if text, ok := v.(string); ok && beyond(keyword, float64(utf8.RuneCountInString(text)), want) {
				say("%s %v", keyword, want)
			}
		case "minimum", "maximum":
			if x, ok := v.(float64); ok && beyond(keyword, x, want) {
				say("%v: %s %v", x, keyword, want)
			}
		case "minItems", "maxItems":
			if l, ok := v.([]any); ok && beyond(keyword, float64(len(l)), want) {
				say("%s %v", keyword, want)
			}
		case "maxProperties":
			if o, ok := v.(map[string]any); ok && beyond(keyword, float64(len(o)), want) {
				say("%s %v", keyword, want)
			}
		case "items":
			if l, ok := v.([]any); ok {
				for i, x := range l {
					wrong = append(wrong, root.check(sub(want), x, fmt.Sprintf("%s[%d]", where, i))...)
				}
			}
		case "required":
			if o, ok := v.(map[string]any); ok {
				for _, name := range want.([]any) {
					if _, there := o[name.(string)]; !there {
						say("lacks %s", name)
					}
				}
			}
		case "properties":
			if o, ok := v.(map[string]any); ok {
				for name, x := range o {
					if p, declared := sub(want)[name]; declared {
						wrong = append(wrong, root.check(sub(p), x, where+"."+name)...)
					}
				}
			}
		case "additionalProperties":
			o, _ := v.(map[string]any)
			declared, _ := s["properties"].(map[string]any)
			for name, x := range o {
				if _, ok := declared[name]; ok {
					continue
				}
				if want == false {
					say("has %s", name)
				} else {
					wrong = append(wrong, root.check(sub(want), x, where+"."+name)...)
				}
			}
		default:
			say("the keyword %s is not known here", keyword)
		}
	}
	return wrong
}

func isKind(kind string, v any) bool {
	switch x := v.(type) {
	case nil:
		return kind == "null"
	case bool:
		return kind == "boolean"
	case string:
		return kind == "string"
	case float64:
		return kind == "number" || kind == "integer" && x == float64(int64(x))
	case []any:
		return kind == "array"
	case map[string]any:
		return kind == "object"
	}
	return false
}

func beyond(keyword string, x float64, limit any) bool {
	if strings.HasPrefix(keyword, "min") {
		return x < limit.(float64)
	}
	return x > limit.(float64)
}

// Every record fits the published schema.
func TestRecordsFitTheSchema(t *testing.T) {
	s := parsed(t)
	rapid.Check(t, func(t *rapid.T) {
		files, _ := unzip(t, write(t, drawTray().Draw(t, "tray").source(), own))
		var v any
		if err := json.Unmarshal(files["record.json"], &v); err != nil {
			t.Fatal(err)
		}
		if wrong := s.check(s, v, "record"); len(wrong) > 0 {
			t.Fatal(strings.Join(wrong, "\n"))
		}
	})
}

// What the program refuses, the schema refuses too.
func TestSchemaRefuses(t *testing.T) {
	s := parsed(t)
	base := func() map[string]any { return map[string]any{"id": "a", "name": "KB-014"} }
	if wrong := s.check(s["$defs"].(map[string]any)["specimen"].(map[string]any), base(), "x"); wrong != nil {
		t.Fatalf("the specimen that each case spoils: %q", wrong)
	}
	for name, value := range map[string]any{
		"id": "", "name": 7.0, "toothRow": "upper", "revision": -1.0, "colour": "brown", "continent": "Atlantis",
		"identificationQualifier": "like", "remarks": strings.Repeat("ä", tray.MaxText+1), "mesialDenticles": "few", "created": "yesterday",
		"typed":  map[string]any{"CBL": map[string]any{"value": 1e10}},
		"counts": map[string]any{"DC": map[string]any{"n": -1.0, "lengthMM": 1.0}},
		"photos": []any{map[string]any{"id": "p", "role": "upside down"}},
	} {
		v := base()
		v[name] = value
		if s.check(s["$defs"].(map[string]any)["specimen"].(map[string]any), v, "x") == nil {
			t.Errorf("%s of %.40v fits", name, value)
		}
	}
}

// The schema declares each part of a record, and the fields as tray does.
func TestSchemaDeclaresEveryField(t *testing.T) {
	defs := parsed(t)["$defs"].(map[string]any)
	for name, kind := range map[string]reflect.Type{
		"specimen": reflect.TypeFor[tray.Specimen](), "photo": reflect.TypeFor[tray.Photo](), "vertex": reflect.TypeFor[morph.Vertex](),
		"bar": reflect.TypeFor[morph.Bar](), "crown": reflect.TypeFor[morph.Crown](), "section": reflect.TypeFor[morph.Section](),
		"flat": reflect.TypeFor[morph.Flat](), "depth": reflect.TypeFor[morph.Depth](),
		"stretch": reflect.TypeFor[morph.Stretch](), "typed": reflect.TypeFor[morph.Typed](), "count": reflect.TypeFor[morph.Count](),
	} {
		want := map[string]bool{}
		tags(kind, want)
		got := defs[name].(map[string]any)["properties"].(map[string]any)
		if diff := cmp.Diff(slices.Sorted(maps.Keys(want)), slices.Sorted(maps.Keys(got))); diff != "" {
			t.Errorf("%s (-record +record.schema.json):\n%s", name, diff)
		}
	}
	fields := defs["specimen"].(map[string]any)["properties"].(map[string]any)
	for _, f := range tray.Fields {
		declared, _ := fields[f.ID].(map[string]any)
		var words []string
		enum, _ := declared["enum"].([]any)
		for _, w := range enum {
			words = append(words, w.(string))
		}
		if declared["title"] != f.Label || declared["description"] != f.Help || !slices.Equal(words, f.Words) {
			t.Errorf("%s is declared as %v", f.ID, declared)
		}
	}
}

func tags(kind reflect.Type, into map[string]bool) {
	for i := range kind.NumField() {
		f := kind.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous {
			tags(f.Type, into)
		} else {
			into[name] = true
		}
	}
}
