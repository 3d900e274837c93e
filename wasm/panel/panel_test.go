package panel_test

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"io"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/comparison"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/panel"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

type nowhere struct{}

func (nowhere) Refresh()                                                        {}
func (nowhere) Redraw()                                                         {}
func (nowhere) AfterFrame(f func())                                             { f() }
func (nowhere) ReadPixels(func(bench.Sight, error))                             {}
func (nowhere) ShowPicture(*tray.Photo)                                         {}
func (nowhere) PickPhotos(bool)                                                 {}
func (nowhere) PickTable()                                                      {}
func (nowhere) Beside(work func(func() bool))                                   { work(func() bool { return false }) }
func (nowhere) Rested(f func())                                                 { f() }
func (nowhere) PickRecord()                                                     {}
func (nowhere) LoadDemo()                                                       {}
func (nowhere) Print()                                                          {}
func (nowhere) TakeUpNewer()                                                    {}
func (nowhere) KeepSettings(desk.Settings)                                      {}
func (nowhere) PickOwnTable()                                                   {}
func (nowhere) PickLessonFiles(bool)                                            {}
func (nowhere) FetchDemo(func([]*tray.Specimen, error))                         {}
func (nowhere) KeepLessonFile(string, []byte)                                   {}
func (nowhere) PhotoFile(*tray.Photo) ([]byte, error)                           { return onePicture, nil }
func (nowhere) KeepWork([]desk.KeptWork, string, func() ([]byte, error))        {}
func (nowhere) FetchWork(desk.KeptWork, func(file, state []byte, err error))    {}
func (nowhere) Remember(desk.Place)                                             {}
func (nowhere) Download(string, string, []byte)                                 {}
func (nowhere) PreparePictures(_ *tray.Specimen, ready func(map[string]string)) { ready(nil) }

// onePicture is the file of every photograph.
var onePicture = func() []byte {
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 800, 600))); err != nil {
		panic(err)
	}
	return b.Bytes()
}()

func (nowhere) Create(string, string) (io.Writer, func(bool)) { return io.Discard, func(bool) {} }
func (nowhere) KeepPhoto(string, []byte) error                { return nil }
func (nowhere) Copy(string, func(error))                      {}
func (nowhere) KeepBackup(desk.Backup)                        {}
func (nowhere) AskSpace()                                     {}

func newDesk() *desk.Desk { return desk.New(&tray.Tray{}, nowhere{}, sheet.Versions{}) }

func Example() {
	d := newDesk()
	for _, n := range panel.Page(d) {
		if n != nil && strings.Contains(n.PlainText(), "What is this tooth?") {
			fmt.Println("three doors")
		}
	}
	// Output: three doors
}

const hostileTable = "<script>,CBL,\"\",CBW,\u202eCH\n<script>x</script>,20,=1,abc,-1\n,1\n\"open,2\n"

// states are the states of the page that its structure is checked in.
func states() map[string]*desk.Desk {
	all := map[string]*desk.Desk{"empty": newDesk()}
	typed := newDesk()
	typed.QuickCheck()
	typed.TypeValue("CH", "46.1", desk.Done)
	typed.TypeValue("CBL", "22.6", desk.Done)
	typed.TypeValue("CBW", "10.2", desk.Done)
	typed.TypeValue("AL", "nonsense", desk.Done)
	typed.TypeCount("DC", "12", "5", desk.Done)
	for _, q := range morph.Quantities {
		typed.ToggleReading(q.ID)
	}
	all["typed, every reading open"] = typed
	for _, tool := range []bench.Tool{bench.Look, bench.Scale, bench.Crown, bench.Section, bench.Denticles} {
		d := newDesk()
		p := tray.Photo{View: morph.View{ID: "v", Role: morph.LateralLabial}, Hash: strings.Repeat("0", 64), File: "<b>.jpg", Width: 800, Height: 600}
		p.Bars = []morph.Bar{{From: morph.Vertex{X: 10, Y: 10}, To: morph.Vertex{X: 200, Y: 10}, Length: 10, Unit: morph.Millimetre}}
		p.Crown = &morph.Crown{Path: morph.Path{{X: 100, Y: 400}, {X: 150, Y: 100}, {X: 220, Y: 400}}, Apex: 1, Done: true}
		d.AddPhotos(p)
		d.SetTool(tool)
		all[fmt.Sprint("photo, tool ", tool)] = d
	}
	for name, flat := range map[string]*morph.Flat{
		"card":            {Corners: [4]morph.Vertex{{X: 10, Y: 10}, {X: 400, Y: 20}, {X: 390, Y: 300}, {X: 15, Y: 280}}, Width: 80, Height: 55, Unit: morph.Millimetre},
		"card, crossed":   {Corners: [4]morph.Vertex{{X: 10, Y: 10}, {X: 390, Y: 300}, {X: 400, Y: 20}, {X: 15, Y: 280}}, Width: 80, Height: 55, Unit: morph.Millimetre},
		"card, not sized": {Corners: [4]morph.Vertex{{X: 10, Y: 10}, {X: 400, Y: 20}, {X: 390, Y: 300}, {X: 15, Y: 280}}, Unit: morph.Millimetre},
		"card, wanted":    nil,
	} {
		d := newDesk()
		p := tray.Photo{View: morph.View{ID: "v", Role: morph.LateralLabial, Flat: flat}, Hash: strings.Repeat("0", 64), File: "<b>.jpg", Width: 800, Height: 600}
		p.Crown = &morph.Crown{Path: morph.Path{{X: 100, Y: 400}, {X: 150, Y: 100}, {X: 220, Y: 400}}, Apex: 1, Done: true}
		d.AddPhotos(p)
		d.MeasureByCard(true)
		if flat != nil {
			d.Unfold("depth", true)
			d.SetDepth(desk.DepthOffset, "4")
			d.SetDepth(desk.DepthDistance, "far")
			d.Unfold("pointing", true)
		}
		if name == "card" {
			d.MarkAgain()
		}
		all[name] = d
	}
	own := newDesk()
	own.QuickCheck()
	own.TypeValue("CH", "71.01", desk.Done)
	own.TypeValue("CBL", "41.46", desk.Done)
	own.TypeValue("CBW", "15.15", desk.Done)
	own.SayKnown(desk.Known{Identity: comparison.Identity{Taxon: "<i>", Clade: "nothing known", Form: "blade"}, Certain: true})
	own.AddOwnTooth()
	own.TestSample()
	own.AddOwnTooth() // refused: it was not said to be certain again
	own.OpenDialog(desk.ComparisonDialog)
	all["comparison teeth"] = own
	outside := newDesk()
	outside.QuickCheck()
	outside.TypeValue("CH", "94.06", desk.Done)
	outside.TypeValue("CBL", "45.46", desk.Done)
	outside.TypeValue("CBW", "326.3", desk.Done)
	all["outside"] = outside
	many := newDesk()
	var teeth []*tray.Specimen
	for i := range 100 {
		s := &tray.Specimen{Name: fmt.Sprintf("<b> %d", i)}
		s.CatalogNumber = "the same"
		if i%2 == 0 {
			s.Photos = []tray.Photo{{View: morph.View{ID: "v", Role: morph.LateralLabial}, Hash: strings.Repeat("0", 64), File: "<b>.jpg", MIME: "image/jpeg", Bytes: 1, Width: 800, Height: 600}}
		}
		teeth = append(teeth, s)
	}
	if _, err := many.Tray.Add("add", teeth...); err != nil {
		panic(err)
	}
	many.Start(desk.Place{})
	many.SetPicking(true)
	many.PickRows(true)
	many.ThumbnailMade(strings.Repeat("0", 64), "blob:x")
	all["many, picked"] = many
	for _, x := range []desk.Dialog{desk.OutDialog, desk.SizesDialog, desk.ShapesDialog} {
		d := newDesk()
		if _, err := d.Tray.Add("add", teeth...); err != nil {
			panic(err)
		}
		d.Start(desk.Place{})
		d.SetPicking(true)
		d.PickRows(true)
		d.SetSpace(desk.Space{Used: 1 << 30, Quota: 1<<30 + 5})
		d.OpenDialog(x)
		all["many, dialog "+string(x)] = d
	}
	for _, x := range []desk.Dialog{desk.OutDialog, desk.HelpDialog, desk.SheetDialog, desk.MapDialog} {
		d := newDesk()
		d.QuickCheck()
		d.SetField(desk.NameField, `<script>alert("x")</script>`)
		d.OpenDialog(x)
		all["dialog "+string(x)] = d
	}
	for stage, table := range map[string]string{
		"wanted": "", "open": hostileTable, "wrong": "<b>,colour\n1,2\n", "known": "id,CBL\nTooth 1,20\n",
		"sorted": hostileTable, "long": "id,CBL,CBW\n" + strings.Repeat("x,1,2\n", 600),
	} {
		d := newDesk()
		d.NewSpecimen()
		d.OpenTable()
		if table != "" {
			d.TakeTable("<script>.csv", []byte(table))
		}
		if stage == "sorted" {
			d.SortTable()
		}
		all["table "+stage] = d
	}
	for _, view := range []desk.MapView{desk.DiscriminantView, desk.PrincipalView, desk.MeasuresView} {
		d := newDesk()
		d.QuickCheck()
		d.QuickCheck()
		d.SetField(desk.NameField, `<script>alert("x")</script>`)
		for id, text := range map[morph.ID]string{"CH": "46.1", "CBL": "22.6", "CBW": "10.2"} {
			d.TypeValue(id, text, desk.Done)
		}
		d.SetMapView(view)
		d.SetMapOthers(true)
		d.ToggleMap()
		d.PointOut("T0482")
		d.OpenDialog(desk.MapDialog)
		all["map, "+string(view)] = d
	}
	for name, d := range lessonStates() {
		all["lesson, "+name] = d
	}
	return all
}

// Ids are unique, every control has a name, labels point at something, and
// siblings can be told apart by tag and key wherever keys are used.
func TestStructure(t *testing.T) {
	for name, d := range states() {
		t.Run(name, func(t *testing.T) {
			ids, labelled := map[string]int{}, map[string]bool{}
			var points []string
			var controls []*m.Node
			var walk func(n *m.Node)
			walk = func(n *m.Node) {
				if n == nil {
					return
				}
				if id := n.Attrs["id"]; id != "" {
					ids[id]++
				}
				switch n.Tag {
				case "label":
					labelled[n.Attrs["for"]] = true
					points = append(points, n.Attrs["for"])
				case "input", "select", "textarea":
					controls = append(controls, n)
				case "button":
					if strings.TrimSpace(n.PlainText()) == "" && n.Attrs["aria-label"] == "" {
						t.Errorf("a button without a name: %s", n)
					}
				}
				for _, a := range []string{"aria-describedby", "aria-labelledby", "list"} {
					if v := n.Attrs[a]; v != "" {
						points = append(points, v)
					}
				}
				keys := map[string]bool{}
				for _, c := range n.Children {
					if c.Key != "" {
						k := c.Tag + "/" + c.Key
						if keys[k] {
							t.Errorf("two siblings %s in %s", k, n.Tag)
						}
						keys[k] = true
					}
					walk(c)
				}
			}
			for _, n := range panel.Page(d) {
				walk(n)
				if n != nil && strings.Contains(n.String(), "<script>") {
					t.Error("a name reached the page as markup")
				}
			}
			for id, n := range ids {
				if n > 1 {
					t.Errorf("the id %s stands %d times in the page", id, n)
				}
			}
			for _, p := range points {
				if ids[p] == 0 {
					t.Errorf("something points at the id %q, which is not there", p)
				}
			}
			for _, c := range controls {
				if !labelled[c.Attrs["id"]] && c.Attrs["aria-label"] == "" {
					t.Errorf("a control without a label: %s", c)
				}
			}
		})
	}
}
