package desk

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"crownbench/classify"
	"crownbench/wasm/tray"
)

// MapScene is everything that is to be seen on the map.
type MapScene struct {
	View   MapView // as shown
	X, Y   MapAxis
	Groups []MapGroup
	Points []MapPoint // of groups that are not hidden; the tray's other teeth last
	Own    *MapOwn    // the tooth on the desk, nil when there is none
	Yours  int        // how many of the comparison teeth shown are the person's own
	// Lack says what the tooth lacks for the layout that was asked for, and what
	// is shown instead; "" when nothing.
	Lack string
	// Drawn is where a panel keeps what it drew of the scene.
	Drawn map[any]any
}

// keptMap is the last scene with what it was made of. A specimen never changes
// once the tray has handed it out, so its address stands for its values.
type keptMap struct {
	key    mapKey
	others []*tray.Specimen
	scene  *MapScene
}

// mapKey is what a scene follows from, but for the tray's other teeth.
type mapKey struct {
	view          MapView
	x, y          classify.Measure
	clade, hidden string
	specimen      *tray.Specimen
	sample        *classify.Reference
}

func (d *Desk) mapKey() mapKey {
	x, y := d.MapMeasures()
	var hidden []string
	for group, is := range d.chosen.hidden {
		if is {
			hidden = append(hidden, group)
		}
	}
	slices.Sort(hidden)
	return mapKey{d.MapView(), x, y, d.chosen.clade, fmt.Sprintf("%q", hidden), d.Specimen(), d.reference()}
}

// MapAxis is one axis of the map: a measure, or what was computed of several.
type MapAxis struct {
	Measure  classify.Measure // "" for a computed axis
	Share    float64          // of a computed axis in the whole, 0 to 1
	Loadings []classify.Loading
}

// MapGroup is what belongs together on the map.
type MapGroup struct {
	Key    string // "" for the rest
	Name   string
	Count  int // of teeth that have a place on this layout
	Hidden bool
}

// Yours tells whether a comparison tooth is the person's own: it is from no
// publication.
func Yours(t *classify.Tooth) bool { return t.Source == "" }

// MapPoint is one tooth on the map: a comparison tooth, or one of the tray.
type MapPoint struct {
	ID       string
	X, Y     float64
	Group    string
	Tooth    *classify.Tooth
	Specimen *tray.Specimen
}

// TrayGroup is the group of the tray's other teeth.
const TrayGroup = "tray"

// MapOwn is the tooth on the desk with its place; on measures with its standard
// uncertainties, 0 when not known. A tooth may have only one of the two.
type MapOwn struct {
	Name       string
	X, Y       float64
	UX, UY     float64
	HasX, HasY bool
}

// Map lays out what the person chose to see. The scene stays the same one until
// something on it changes.
func (d *Desk) Map() *MapScene {
	key := d.mapKey()
	var others []*tray.Specimen
	if d.chosen.others {
		others = d.others()
	}
	if k := &d.lastMap; k.scene == nil || k.key != key || !slices.Equal(k.others, others) {
		scene := d.layOut(others)
		scene.Drawn = map[any]any{}
		*k = keptMap{key, others, &scene}
	}
	return d.lastMap.scene
}

func (d *Desk) layOut(others []*tray.Specimen) MapScene {
	s := d.Specimen()
	var own *valued
	if s != nil {
		own = valuesOf(d.Find(s))
	}
	view := d.MapView()
	x, y := d.MapMeasures()
	lack := ""
	if missing := d.missing(own, essential...); view != MeasuresView && len(missing) > 0 {
		x, y = known(own, x, y)
		lack = fmt.Sprintf("A place on those axes rests on %s; not known of this tooth: %s. Shown instead: %s against %s. ", words(essential), words(missing), y, x)
		view = MeasuresView
	}
	if view == MeasuresView {
		scene := d.measured(x, y, own, others)
		scene.Lack = lack + d.lackOf(own, x, y)
		return scene
	}
	m, err := d.layout(view)
	if err != nil {
		scene := d.measured(x, y, own, others)
		scene.Lack = Sentence(err) + " Shown instead: two measures."
		return scene
	}
	return d.computed(view, m, s, others)
}

// lackOf says which of two measures a tooth lacks.
func (d *Desk) lackOf(own *valued, x, y classify.Measure) string {
	missing := d.missing(own, distinct(x, y)...)
	switch {
	case len(missing) == 0:
		return ""
	case len(missing) == 1 && x != y:
		return fmt.Sprintf("%s is not known of this tooth; the line marks its %s.", missing[0], other(missing[0], x, y))
	}
	return "Without " + words(missing) + " the tooth has no place here."
}

func other(m, x, y classify.Measure) classify.Measure {
	if m == x {
		return y
	}
	return x
}

func distinct(x, y classify.Measure) []classify.Measure {
	if x == y {
		return []classify.Measure{x}
	}
	return []classify.Measure{x, y}
}

// missing gives what the tooth on the desk lacks; no tooth lacks nothing.
func (d *Desk) missing(own *valued, of ...classify.Measure) []classify.Measure {
	if own == nil {
		return nil
	}
	return lacking(own, of...)
}

// known chooses two measures that a tooth has, those asked for first; where it
// has fewer, the other is one that most teeth have.
func known(v *valued, x, y classify.Measure) (classify.Measure, classify.Measure) {
	if x != y && v.has(x) && v.has(y) {
		return x, y
	}
	var has []classify.Measure
	for _, m := range classify.Measures() {
		if v.has(m) {
			has = append(has, m)
		}
	}
	switch len(has) {
	case 0:
		return x, y
	case 1:
		if has[0] == classify.CH {
			return classify.CBL, classify.CH
		}
		return has[0], classify.CH
	}
	return has[0], has[1]
}

// computed lays out by axes that were computed of all measures.
func (d *Desk) computed(view MapView, m *classify.Map, s *tray.Specimen, others []*tray.Specimen) MapScene {
	scene := MapScene{View: view,
		X: MapAxis{Share: m.Share(0), Loadings: m.Loadings[0]},
		Y: MapAxis{Share: m.Share(1), Loadings: m.Loadings[1]}}
	d.group(&scene, func(yield func(*classify.Tooth, float64, float64)) {
		for i, t := range m.Teeth {
			yield(t, m.Points[i][0], m.Points[i][1])
		}
	})
	if s != nil {
		if p, ok := m.Place(d.Find(s).Query); ok {
			scene.Own = &MapOwn{Name: s.Name, X: p[0], Y: p[1], HasX: true, HasY: true}
		}
	}
	for _, o := range others {
		f := d.Find(o)
		if len(lacking(valuesOf(f), essential...)) > 0 {
			continue
		}
		if p, ok := m.Place(f.Query); ok {
			scene.Points = append(scene.Points, trayPoint(o, p[0], p[1]))
		}
	}
	return scene
}

func trayPoint(s *tray.Specimen, x, y float64) MapPoint {
	return MapPoint{ID: TrayGroup + ":" + s.ID, X: x, Y: y, Group: TrayGroup, Specimen: s}
}

// measured lays out by two measures.
func (d *Desk) measured(x, y classify.Measure, own *valued, others []*tray.Specimen) MapScene {
	scene := MapScene{View: MeasuresView, X: MapAxis{Measure: x}, Y: MapAxis{Measure: y}}
	teeth := d.reference().Teeth()
	d.group(&scene, func(yield func(*classify.Tooth, float64, float64)) {
		for i := range teeth {
			t := &teeth[i]
			vx, okX := t.Value(x)
			vy, okY := t.Value(y)
			if okX && okY {
				yield(t, vx, vy)
			}
		}
	})
	if own != nil {
		scene.Own = &MapOwn{Name: d.Specimen().Name, X: own.v[x], Y: own.v[y], UX: own.u[x], UY: own.u[y], HasX: own.has(x), HasY: own.has(y)}
	}
	for _, o := range others {
		if v := valuesOf(d.Find(o)); v.has(x) && v.has(y) {
			scene.Points = append(scene.Points, trayPoint(o, v.v[x], v.v[y]))
		}
	}
	return scene
}

// group sorts teeth into the groups that the person chose, and takes those that
// are not hidden onto the map.
func (d *Desk) group(scene *MapScene, each func(func(t *classify.Tooth, x, y float64))) {
	of := func(t *classify.Tooth) string { return string(t.Form) }
	if clade := d.chosen.clade; clade != "" {
		scene.Groups = []MapGroup{{Key: clade, Name: clade}, {Name: "Other clades"}}
		of = func(t *classify.Tooth) string {
			if t.Clade == clade {
				return clade
			}
			return ""
		}
	} else {
		for _, f := range classify.Forms() {
			scene.Groups = append(scene.Groups, MapGroup{Key: string(f), Name: f.Words()})
		}
		scene.Groups = append(scene.Groups, MapGroup{Name: "Form left open"})
	}
	at := map[string]*MapGroup{}
	for i := range scene.Groups {
		g := &scene.Groups[i]
		g.Hidden = d.chosen.hidden[g.Key]
		at[g.Key] = g
	}
	each(func(t *classify.Tooth, x, y float64) {
		g := at[of(t)]
		g.Count++
		if !g.Hidden {
			if Yours(t) {
				scene.Yours++
			}
			scene.Points = append(scene.Points, MapPoint{ID: t.ID, X: x, Y: y, Group: g.Key, Tooth: t})
		}
	})
}

// valued is what a tooth has of each measure, with standard uncertainties,
// ratios and lengths found from each other.
type valued struct {
	v, u map[classify.Measure]float64
}

func (v *valued) has(m classify.Measure) bool { return v.v[m] > 0 }

// ratios of the comparison: over / under.
var ratios = []struct{ ratio, over, under classify.Measure }{
	{classify.CBR, classify.CBW, classify.CBL},
	{classify.CHR, classify.CH, classify.CBL},
}

func valuesOf(f tray.Finding) *valued {
	v := &valued{maps.Clone(f.Query.Values), maps.Clone(f.Query.U)}
	if v.u == nil {
		v.u = map[classify.Measure]float64{}
	}
	maps.DeleteFunc(v.v, func(m classify.Measure, x float64) bool { return classify.CheckValue(m, x) != nil })
	// A length found from one ratio can serve the other.
	for range 2 {
		for _, r := range ratios {
			v.find(r.ratio, r.over, r.under, func(over, under float64) float64 { return over / under })
			v.find(r.over, r.ratio, r.under, func(ratio, under float64) float64 { return ratio * under })
			v.find(r.under, r.over, r.ratio, func(over, ratio float64) float64 { return over / ratio })
		}
	}
	return v
}

// find computes a measure that is not known from two that are. Relative
// uncertainties add as squares.
func (v *valued) find(m, a, b classify.Measure, f func(a, b float64) float64) {
	if v.has(m) || !v.has(a) || !v.has(b) {
		return
	}
	x := f(v.v[a], v.v[b])
	if classify.CheckValue(m, x) != nil {
		return
	}
	v.v[m] = x
	if ua, ub := v.u[a]/v.v[a], v.u[b]/v.v[b]; ua > 0 || ub > 0 {
		v.u[m] = x * math.Hypot(ua, ub)
	}
}

// Values are the values of a tray tooth as the map takes them, by measure in
// the usual order.
func (d *Desk) Values(s *tray.Specimen) (in []classify.Measure, values map[classify.Measure]float64) {
	v := valuesOf(d.Find(s))
	return slices.DeleteFunc(classify.Measures(), func(m classify.Measure) bool { return !v.has(m) }), v.v
}
