package desk

import (
	"cmp"
	"errors"
	"io"
	"slices"

	"crownbench/wasm/archive"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// ShapesDialog is the crowns of the picked teeth laid over each other, the tooth
// on the desk among them.
const ShapesDialog Dialog = "shapes"

// MostShapes bounds how many crowns are laid over each other: more lines show
// nothing.
const MostShapes = 200

// shapeChoice is what a person chose to see of the shapes.
type shapeChoice struct {
	trueSize bool
	at       string // id of the tooth that is named
	last     struct {
		of    []*tray.Specimen
		own   *tray.Specimen
		scene *ShapeScene
	}
}

// ShapeScene is everything that is to be seen of crowns laid over each other.
type ShapeScene struct {
	Shapes sheet.Shapes
	Own    *sheet.Shaped // the crown of the tooth on the desk, nil when it has none
	// Others are the other crowns: those nearest in shape to Own first, or, without
	// it, in the order of the tray.
	Others []OtherShape
	Left   int // picked teeth beyond MostShapes
	// Drawn is where a panel keeps what it drew of the scene.
	Drawn map[any]any
}

// OtherShape is a crown that is not on the desk. Distance is that of its shape
// from the crown on the desk, 0 without one; see shape.Anchored.
type OtherShape struct {
	sheet.Shaped
	Distance float64
}

// shapeSpecimens are the picked teeth and the tooth on the desk, which comes
// first.
func (d *Desk) shapeSpecimens() []*tray.Specimen {
	var all []*tray.Specimen
	own := d.Specimen()
	if own != nil {
		all = append(all, own)
	}
	for _, s := range d.Picked() {
		if own == nil || s.ID != own.ID {
			all = append(all, s)
		}
	}
	return all
}

// Shapes lays the crowns over each other. The scene stays the same one until
// something on it changes.
func (d *Desk) Shapes() *ShapeScene {
	of, own := d.shapeSpecimens(), d.Specimen()
	last := &d.shapes.last
	if last.scene == nil || last.own != own || !slices.Equal(last.of, of) {
		last.of, last.own, last.scene = of, own, overlay(of, own)
	}
	return last.scene
}

func overlay(of []*tray.Specimen, own *tray.Specimen) *ShapeScene {
	shown := of[:min(len(of), MostShapes)]
	scene := &ShapeScene{Shapes: sheet.ShapesOf(shown), Left: len(of) - len(shown), Drawn: map[any]any{}}
	for i := range scene.Shapes.Crowns {
		if c := &scene.Shapes.Crowns[i]; c.Specimen == own {
			scene.Own = c
		}
	}
	for _, c := range scene.Shapes.Crowns {
		if c.Specimen == own {
			continue
		}
		o := OtherShape{Shaped: c}
		if scene.Own != nil {
			o.Distance = scene.Own.Form.Distance(c.Form)
		}
		scene.Others = append(scene.Others, o)
	}
	slices.SortStableFunc(scene.Others, func(a, b OtherShape) int { return cmp.Compare(a.Distance, b.Distance) })
	return scene
}

// ShapesTrueSize tells whether the crowns are drawn as large as they are.
func (d *Desk) ShapesTrueSize() bool { return d.shapes.trueSize }

// SetShapesTrueSize draws them so, or all equally large.
func (d *Desk) SetShapesTrueSize(yes bool) {
	d.shapes.trueSize = yes
	d.outside.Refresh()
}

// ShapeAt is the id of the tooth whose outline is named, or "".
func (d *Desk) ShapeAt() string { return d.shapes.at }

// PointOutShape names an outline by its tooth's id.
func (d *Desk) PointOutShape(id string) {
	if d.shapes.at != id {
		d.shapes.at = id
		d.outside.Refresh()
	}
}

// SaveShapes hands out a drawing of the crowns over each other.
func (d *Desk) SaveShapes(svg []byte) { d.outside.Download("crown-shapes.svg", "image/svg+xml", svg) }

// SaveDescriptors hands out the descriptors of the crowns that are laid over each
// other.
func (d *Desk) SaveDescriptors() { d.takeOut("shapes", d.shapeSpecimens()) }

func writeShapes(w io.Writer, s archive.Source) ([]string, error) {
	all := sheet.ShapesOf(s.Specimens)
	if len(all.Crowns) == 0 {
		return nil, errors.New("none of the teeth has a crown traced in its side view")
	}
	return nil, sheet.ShapesCSV(w, all, s.Versions)
}
