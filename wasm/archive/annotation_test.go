package archive_test

import (
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/archive"
)

type annotationPage struct {
	Context string `json:"@context"`
	ID      string
	Type    string
	Items   []annotation
}

type annotation struct {
	ID, Type, Motivation, Created string
	Generator                     struct{ Type, Name string }
	Body                          []struct{ Type, Value, Format, Language, Purpose string }
	Target                        struct {
		Type     string
		Source   struct{ ID, Type, Format string }
		Selector struct{ Type, ConformsTo, Value string }
	}
}

// drawing is what an SvgSelector selects.
type drawing struct {
	width, height float64
	paths         []trail
	circles       []r2.Vec
}

type trail struct {
	points []r2.Vec
	closed bool
}

var (
	uuidURN  = regexp.MustCompile(`^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`) // RFC 9562, sections 4 and 5.8
	fragment = regexp.MustCompile(`^xywh=(\d+),(\d+),(\d+),(\d+)$`)
	onePoint = regexp.MustCompile(`^(-?[0-9]+(?:\.[0-9]+)?) (-?[0-9]+(?:\.[0-9]+)?)$`)
)

// checkAnnotations holds a page of annotations to the Web Annotation Data Model
// (READ, W3C Recommendation 2017): the context, an id for each, a body, a
// target of source and selector, SVG that is well-formed and holds no style,
// script, animation or text. That a page has an id and a list of items, and
// the list of motivations, from memory.
func checkAnnotations(t failer, b []byte) annotationPage {
	var page annotationPage
	if err := json.Unmarshal(b, &page); err != nil {
		t.Fatalf("%v", err)
	}
	if page.Context != "http://www.w3.org/ns/anno.jsonld" || page.Type != "AnnotationPage" || !uuidURN.MatchString(page.ID) {
		t.Fatalf("the page is %q, a %q, of %q", page.ID, page.Type, page.Context)
	}
	seen := map[string]bool{}
	for _, a := range page.Items {
		if a.Type != "Annotation" || !uuidURN.MatchString(a.ID) || seen[a.ID] || a.Motivation != "describing" || a.Generator.Type != "Software" {
			t.Fatalf("the annotation %q, %q, %q is twice there or none", a.ID, a.Type, a.Motivation)
		}
		seen[a.ID] = true
		if _, err := time.Parse("2006-01-02T15:04:05Z", a.Created); a.Created != "" && err != nil {
			t.Fatalf("%v", err)
		}
		if len(a.Body) == 0 {
			t.Fatalf("no body")
		}
		for _, body := range a.Body {
			if body.Type != "TextualBody" || body.Value == "" || body.Format != "text/plain" {
				t.Fatalf("the body %+v", body)
			}
		}
		if a.Target.Type != "SpecificResource" || a.Target.Source.ID == "" || a.Target.Source.Type != "Image" {
			t.Fatalf("the target %+v", a.Target)
		}
		switch s := a.Target.Selector; s.Type {
		case "SvgSelector":
			readSVG(t, s.Value)
		case "FragmentSelector":
			if s.ConformsTo != "http://www.w3.org/TR/media-frags/" || !fragment.MatchString(s.Value) {
				t.Fatalf("the selector %+v", s)
			}
		default:
			t.Fatalf("the selector %+v", s)
		}
	}
	return page
}

func readSVG(t failer, svg string) drawing {
	num := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatalf("%v", err)
		}
		return v
	}
	var d drawing
	dec := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return d
		}
		if err != nil {
			t.Fatalf("%q: %v", svg, err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			if _, text := token.(xml.CharData); text {
				t.Fatalf("text in %q", svg)
			}
			continue
		}
		at := map[string]string{}
		for _, a := range e.Attr {
			at[a.Name.Local] = a.Value
		}
		if e.Name.Space != "http://www.w3.org/2000/svg" {
			t.Fatalf("%v in an SVG", e.Name)
		}
		switch e.Name.Local {
		case "svg":
			d.width, d.height = num(at["width"]), num(at["height"])
			if at["viewBox"] != fmt.Sprintf("0 0 %s %s", at["width"], at["height"]) {
				t.Fatalf("the view box is %q", at["viewBox"])
			}
		case "path":
			d.paths = append(d.paths, readPath(t, at["d"]))
		case "circle":
			d.circles = append(d.circles, r2.Vec{X: num(at["cx"]), Y: num(at["cy"])})
		default:
			t.Fatalf("%v in an SVG", e.Name)
		}
	}
}

func readPath(t failer, d string) trail {
	var out trail
	d, out.closed = strings.CutSuffix(d, "Z")
	d, ok := strings.CutPrefix(d, "M")
	if !ok {
		t.Fatalf("the path begins %.20q", d)
	}
	for p := range strings.SplitSeq(d, "L") {
		xy := onePoint.FindStringSubmatch(p)
		if xy == nil {
			t.Fatalf("the path has %q", p)
		}
		x, _ := strconv.ParseFloat(xy[1], 64)
		y, _ := strconv.ParseFloat(xy[2], 64)
		out.points = append(out.points, r2.Vec{X: x, Y: y})
	}
	return out
}

func near(a, b []r2.Vec) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if math.Abs(a[i].X-b[i].X) > 0.0005001 || math.Abs(a[i].Y-b[i].Y) > 0.0005001 {
			return false
		}
	}
	return true
}

// Every outline comes back from its annotation to a thousandth of a pixel.
func TestAnnotationsHoldTheOutlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawTray().Draw(t, "tray")
		page := checkAnnotations(t, write(t, f.source(), archive.Annotations))
		var drawn []drawing
		for _, a := range page.Items {
			if a.Target.Selector.Type == "SvgSelector" {
				drawn = append(drawn, readSVG(t, a.Target.Selector.Value))
			}
		}
		take := func(p float64, what string, want []r2.Vec, closed bool, ticks []r2.Vec) {
			if len(drawn) == 0 {
				t.Fatalf("no drawing of %s", what)
			}
			d := drawn[0]
			drawn = drawn[1:]
			if d.width != p || !near(d.circles, ticks) || (len(want) > 0) != (len(d.paths) == 1) {
				t.Fatalf("%s is drawn as %+v", what, d)
			}
			if len(want) > 0 && (!near(d.paths[0].points, want) || d.paths[0].closed != closed) {
				t.Fatalf("%s is drawn as %v, was %v", what, d.paths[0], want)
			}
		}
		for _, s := range f.specimens {
			for _, p := range s.Photos {
				w := float64(p.Width)
				for _, b := range p.Bars {
					take(w, "a scale bar", morph.Path{b.From, b.To}.Polyline(), false, nil)
				}
				if p.Flat != nil {
					take(w, "the card", morph.Path(p.Flat.Corners[:]).Polygon(), true, nil)
				}
				if p.Crown != nil {
					take(w, "the crown", p.Crown.Path.Polyline(), false, nil)
				}
				if x := p.Section; x != nil && x.Done {
					take(w, "the section", x.Outline.Polygon(), true, nil)
				} else if x != nil {
					take(w, "the section", x.Outline.Polyline(), false, nil)
				}
				for _, st := range p.Stretches {
					if len(st.Line)+len(st.Ticks) > 0 {
						var ticks []r2.Vec
						for _, tick := range st.Ticks {
							ticks = append(ticks, tick.Vec())
						}
						take(w, "a stretch", st.Line.Polyline(), false, ticks)
					}
				}
			}
		}
		if len(drawn) > 0 {
			t.Fatalf("%d drawings of nothing", len(drawn))
		}
	})
}

func TestAnnotationsOfTheInventedTray(t *testing.T) {
	f := invented()
	f.specimens[0].Name = longName
	page := checkAnnotations(t, write(t, f.source(), archive.Annotations))
	got := map[string]string{}
	for _, a := range page.Items {
		got[a.Body[0].Value] = a.Target.Selector.Value
		if a.Body[1].Value != longName || a.Body[1].Purpose != "identifying" {
			t.Errorf("the name has %d bytes", len(a.Body[1].Value))
		}
	}
	const head = `<svg height="600" viewBox="0 0 400 600" width="400" xmlns="http://www.w3.org/2000/svg">`
	want := map[string]string{
		"scale bar, 10 mm": `<svg height="300" viewBox="0 0 400 300" width="400" xmlns="http://www.w3.org/2000/svg"><path d="M0 0L100 0"></path></svg>`,
		"crown outline from the mesial base point A over the apex G to the distal base point B": head + `<path d="M100 500L150.25 300.125L300 100L300 500"></path></svg>`,
		"A, mesial base point of the crown":                                                     "xywh=100,500,1,1",
		"G, apex of the crown":                                                                  "xywh=300,100,1,1",
		"B, distal base point of the crown":                                                     "xywh=300,500,1,1",
		"outline of the section, basal":                                                         `<svg height="300" viewBox="0 0 400 300" width="400" xmlns="http://www.w3.org/2000/svg"><path d="M100 100L300 100L300 200L100 200Z"></path></svg>`,
		"mesial end of the section":                                                             "xywh=100,100,1,1",
		"distal end of the section":                                                             "xywh=300,100,1,1",
		"distal carina, mid, 3 ticks of denticles": head + `<path d="M300 250L300 350"></path><circle cx="300" cy="260" r="0.5"></circle>` +
			`<circle cx="300" cy="280" r="0.5"></circle><circle cx="300" cy="300" r="0.5"></circle></svg>`,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("annotations (-want +got):\n%s", diff)
	}
	// RFC 6920: ni:///sha-256; and the sum in base64url without padding.
	sum, err := hex.DecodeString(f.specimens[0].Photos[0].Hash)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := page.Items[0].Target.Source.ID, "ni:///sha-256;"+base64.RawURLEncoding.EncodeToString(sum); got != want {
		t.Errorf("the source is %q, want %q", got, want)
	}
}
