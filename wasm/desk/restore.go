package desk

import (
	"fmt"
	"slices"
	"strings"

	"crownbench/wasm/tray"
)

// RestoreDialog asks what becomes of teeth that a file has otherwise than the
// tray.
const RestoreDialog Dialog = "restore"

// Restore is a file that was read, set against the tray.
type Restore struct {
	File   string
	Fresh  []*tray.Specimen // teeth that the tray lacks
	Known  int              // teeth that stand in the tray just so
	Differ []Differing
}

// Differing is a tooth that the tray and a file have, not alike.
type Differing struct{ Ours, Theirs *tray.Specimen }

// Keep is whose of two differing states of a tooth counts.
type Keep int

const (
	KeepOurs Keep = iota
	KeepTheirs
	KeepBoth
)

// Restore is the file that waits for an answer, or nil.
func (d *Desk) Restore() *Restore { return d.restore }

// against sets specimens that were read against the tray. First those that are
// alike in everything find each other; then a tooth is taken for the same by its
// identifier, its catalogue number or a photograph.
func (d *Desk) against(file string, read []*tray.Specimen) *Restore {
	r := &Restore{File: file}
	ours := d.Tray.Specimens()
	// Only those that agree in what is quickly compared are compared whole.
	key := func(s *tray.Specimen) string {
		k := s.Name + "\x00" + s.CatalogNumber
		for i := range s.Photos {
			k += "\x00" + s.Photos[i].Hash
		}
		return k
	}
	byKey := map[string][]*tray.Specimen{}
	for _, o := range ours {
		byKey[key(o)] = append(byKey[key(o)], o)
	}
	taken := map[*tray.Specimen]bool{}
	pick := func(among []*tray.Specimen, alike func(o *tray.Specimen) bool) *tray.Specimen {
		for _, o := range among {
			if !taken[o] && alike(o) {
				taken[o] = true
				return o
			}
		}
		return nil
	}
	var rest []*tray.Specimen
	for _, s := range read {
		if pick(byKey[key(s)], func(o *tray.Specimen) bool { return tray.SameContent(o, s) }) != nil {
			r.Known++
		} else {
			rest = append(rest, s)
		}
	}
	for _, s := range rest {
		o := pick(ours, func(o *tray.Specimen) bool { return o.ID == s.ID })
		if o == nil {
			o = pick(ours, func(o *tray.Specimen) bool { return sameTooth(s, o) != "" })
		}
		if o == nil {
			r.Fresh = append(r.Fresh, s)
		} else {
			r.Differ = append(r.Differ, Differing{o, s})
		}
	}
	return r
}

// takeRead adds what was read from a file to the tray, as one step, and says so.
// Teeth that stand in the tray already are passed over; where some stand there
// otherwise, the person is asked first.
func (d *Desk) takeRead(file string, specimens []*tray.Specimen) {
	if len(specimens) == 0 {
		d.Remark(file + " holds no specimens.")
		return
	}
	d.restore = d.against(file, specimens)
	if len(d.restore.Differ) > 0 {
		d.OpenDialog(RestoreDialog)
		return
	}
	d.FinishRestore(KeepOurs)
}

// LeaveRestore puts the file away; the tray stays as it was.
func (d *Desk) LeaveRestore() {
	if d.restore != nil {
		d.Remark(d.restore.File + " was put away. The tray is as it was.")
	}
	d.restore = nil
	d.OpenDialog(NoDialog)
}

// FinishRestore takes what the tray lacks out of the file and, of teeth that
// differ, what the person wants: one step. It is no work that a backup would be
// missing: the file has it.
func (d *Desk) FinishRestore(keep Keep) {
	r := d.restore
	if r == nil {
		return
	}
	d.restore = nil
	news, over := slices.Clone(r.Fresh), map[string]*tray.Specimen{}
	for _, x := range r.Differ {
		switch keep {
		case KeepTheirs:
			over[x.Ours.ID] = x.Theirs
		case KeepBoth:
			c := x.Theirs.Clone()
			c.Name += " (from the file)"
			news = append(news, c)
		}
	}
	d.unworked = true
	ids, err := d.Tray.Take("read "+r.File, news, over)
	d.unworked = false
	d.dialog = NoDialog
	if err != nil {
		d.Warn(Sentence(err))
		return
	}
	switch {
	case len(ids) > 0:
		d.SetDrawer(false, d.sideOpen)
		d.Select(ids[0])
	case len(over) > 0:
		d.goTo([]string{r.Differ[0].Ours.ID})
	}
	said := []string{fmt.Sprintf("%s read from %s.", countOf(len(news), "specimen", "specimens"), r.File)}
	if len(news) == 0 {
		said[0] = r.File + " has no tooth that the tray lacks."
	}
	if r.Known > 0 {
		said = append(said, fmt.Sprintf("%s in the tray already, just so.", countOf(r.Known, "tooth was", "teeth were")))
	}
	if len(over) > 0 {
		said = append(said, fmt.Sprintf("%s now as in the file.", countOf(len(over), "tooth is", "teeth are")))
	}
	if len(news)+len(over) > 0 {
		said = append(said, "One Undo takes this back.")
	}
	d.Remark(strings.Join(said, " "))
}
