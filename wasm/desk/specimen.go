package desk

import (
	"fmt"
	"slices"
	"strings"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/tray"
)

// NewSpecimen puts an empty specimen on the desk.
func (d *Desk) NewSpecimen() {
	if d.add("add a tooth", &tray.Specimen{Name: d.Tray.FreshName()}) {
		d.focus = "name"
	}
}

// QuickCheck puts an empty specimen on the desk and the keyboard into the
// first cell of the form for calliper values.
func (d *Desk) QuickCheck() {
	if d.add("add a tooth", &tray.Specimen{Name: d.Tray.FreshName()}) {
		d.focus = cellID(string(firstQuick))
	}
}

// firstQuick is the measurement a collection worker takes first.
const firstQuick = morph.ID("CH")

func (d *Desk) add(label string, s ...*tray.Specimen) bool {
	if d.refusedInLesson() {
		return false
	}
	ids, err := d.Tray.Add(label, s...)
	if err != nil {
		d.Warn(Sentence(err))
		return false
	}
	d.dialog = NoDialog
	d.SetDrawer(false, d.sideOpen)
	d.Select(ids[0])
	return true
}

// Duplicate adds a copy of a specimen and puts it on the desk.
func (d *Desk) Duplicate(id string) {
	n, err := d.Tray.Duplicate(id)
	if err != nil {
		d.Warn(Sentence(err))
		return
	}
	d.Select(n)
}

// Delete takes a specimen out of the tray; Undo brings it back.
func (d *Desk) Delete(id string) {
	s := d.Tray.Get(id)
	if s == nil {
		return
	}
	all := d.Tray.Specimens()
	next := ""
	for i, x := range all {
		if x.ID == id {
			if i+1 < len(all) {
				next = all[i+1].ID
			} else if i > 0 {
				next = all[i-1].ID
			}
		}
	}
	if err := d.Tray.Delete("delete "+s.Name, id); err != nil {
		d.Warn(Sentence(err))
		return
	}
	if d.specimen == id {
		d.Select(next)
	}
	d.Remark(fmt.Sprintf("%s was deleted. Undo brings it back.", s.Name))
	d.outside.Refresh()
}

// Field is a text field of a specimen: its name, or one of tray.Fields by its ID.
type Field string

const (
	NameField     Field = "name"
	AgeField      Field = "age"
	CountryField  Field = "country"
	LocalityField Field = "locality"
	RemarksField  Field = "remarks"
)

// SetField writes a text field of the specimen on the desk, or refuses the text
// with a sentence.
func (d *Desk) SetField(f Field, text string) {
	text = strings.TrimSpace(text)
	if f == NameField && text == "" {
		d.refuse(string(f), text, fmt.Errorf("a specimen needs a name: its catalogue or field number, or any word"))
		return
	}
	change := func(s *tray.Specimen) { s.Name = text }
	if f != NameField {
		field, ok := tray.FieldOf(string(f))
		if !ok {
			return
		}
		text = field.Typed(text)
		if err := field.Check(text); err != nil {
			d.refuse(string(f), text, err)
			return
		}
		change = func(s *tray.Specimen) { field.Set(s, text) }
	}
	d.accept(string(f))
	d.edit("change the "+string(f), "", change)
}

// ShareCoordinates lets the coordinates of the specimen on the desk leave with
// what is exported, or keeps them back.
func (d *Desk) ShareCoordinates(yes bool) {
	label := "keep the coordinates back"
	if yes {
		label = "share the coordinates"
	}
	d.edit(label, "", func(s *tray.Specimen) { s.Catalogue.ShareCoordinates = yes })
}

// SetPhotoRights says who took the photograph on the bench, and under which
// terms it may be used.
func (d *Desk) SetPhotoRights(creator, license string) {
	id := d.photo
	d.edit("set the photograph's rights", "", func(s *tray.Specimen) {
		if p := s.Photo(id); p != nil {
			p.Creator, p.License = strings.TrimSpace(creator), strings.TrimSpace(license)
		}
	})
}

// SpreadPhotoRights gives every photograph of the tooth the rights of the one
// on the bench.
func (d *Desk) SpreadPhotoRights() {
	p := d.Photo()
	if p == nil {
		return
	}
	d.edit("set the rights of all photographs", "", func(s *tray.Specimen) {
		for i := range s.Photos {
			s.Photos[i].Creator, s.Photos[i].License = p.Creator, p.License
		}
	})
}

// SetRow says where in the jaw the tooth stood.
func (d *Desk) SetRow(r tray.Row) {
	d.edit("set the tooth row", "", func(s *tray.Specimen) { s.Row = r })
}

// Typing tells how far a person is with a cell: while they are Under way a
// text that makes no sense yet is let be; once they are Done it is refused with
// a sentence. The moves of one cell are one step to undo.
type Typing int

const (
	UnderWay Typing = iota
	Done
)

// TypeValue takes what a person typed into the cell of a quantity; an empty
// text takes the typed value away.
func (d *Desk) TypeValue(id morph.ID, text string, how Typing) {
	cell := string(id)
	if strings.TrimSpace(text) == "" {
		d.accept(cell)
		d.edit(fmt.Sprintf("type %s", id), "type "+cell, func(s *tray.Specimen) { delete(s.Typed, id) })
		return
	}
	q, ok := morph.QuantityOf(id)
	if !ok || !q.Typable {
		return
	}
	t, err := tray.ParseTyped(q, text)
	if err != nil {
		d.refuseOnceDone(how, cell, text, err)
		return
	}
	d.accept(cell)
	d.edit(fmt.Sprintf("type %s", id), "type "+cell, func(s *tray.Specimen) {
		if s.Typed == nil {
			s.Typed = map[morph.ID]morph.Typed{}
		}
		s.Typed[id] = t
		if s.Prefer[id] != "" {
			delete(s.Prefer, id) // what was just typed counts
		}
	})
}

// TypeRatio takes the base ratio as a person has it: length by width, or width
// by length (CBR).
func (d *Desk) TypeRatio(text string, lengthByWidth bool, how Typing) {
	const cell = "ratio"
	if strings.TrimSpace(text) == "" {
		d.accept(cell)
		d.edit("type the base ratio", "type "+cell, func(s *tray.Specimen) { delete(s.Typed, "CBR") })
		return
	}
	v, u, state, err := tray.ParseNumber(text)
	if err == nil && lengthByWidth {
		if v <= 0 {
			err = fmt.Errorf("length by width is above 0; a crown 20 mm long and 10 mm wide has 2")
		} else {
			v, u = 1/v, u/(v*v)
		}
	}
	if err != nil {
		d.refuseOnceDone(how, cell, text, err)
		return
	}
	d.accept(cell)
	d.edit("type the base ratio", "type "+cell, func(s *tray.Specimen) {
		if s.Typed == nil {
			s.Typed = map[morph.ID]morph.Typed{}
		}
		s.Typed["CBR"] = morph.Typed{Value: v, U: u, State: state}
	})
}

// TypeCount takes a denticle count over a length for a density (MA … DB). An
// empty count takes it away; a count waits for its length and the other way
// round without complaint.
func (d *Desk) TypeCount(id morph.ID, count, length string, how Typing) {
	cell := "count-" + string(id)
	if strings.TrimSpace(count) == "" {
		d.accept(cell)
		d.edit(fmt.Sprintf("count %s", id), "type "+cell, func(s *tray.Specimen) { delete(s.Counts, id) })
		return
	}
	n, _, err := tray.ParsePlain(count)
	if err == nil && (n <= 0 || n > maxCount) {
		err = fmt.Errorf("a count of denticles lies between 1 and %d; for none choose \"absent\" or \"not preserved\"", maxCount)
	}
	if err != nil {
		d.refuseOnceDone(how, cell, count, err)
		return
	}
	l, _, err := tray.ParsePlain(length)
	if err == nil && l <= 0 {
		err = fmt.Errorf("the length they were counted over is above 0 mm")
	}
	if err != nil {
		d.refuseOnceDone(how, cell, count, fmt.Errorf("over what length? %w", err))
		return
	}
	d.accept(cell)
	d.edit(fmt.Sprintf("count %s", id), "type "+cell, func(s *tray.Specimen) {
		if s.Counts == nil {
			s.Counts = map[morph.ID]morph.Count{}
		}
		s.Counts[id] = morph.Count{N: n, LengthMM: l}
	})
}

// maxCount bounds a typed count: no carina carries more.
const maxCount = 2000

// Prefer makes one of a quantity's candidates count; "" goes back to the default.
func (d *Desk) Prefer(id morph.ID, key string) {
	d.edit(fmt.Sprintf("choose what counts for %s", id), "", func(s *tray.Specimen) {
		if key == "" {
			delete(s.Prefer, id)
			return
		}
		if s.Prefer == nil {
			s.Prefer = map[morph.ID]string{}
		}
		s.Prefer[id] = key
	})
}

// SetCarina says what is known of a carina's denticles as a whole.
func (d *Desk) SetCarina(c morph.Carina, state morph.CarinaState) {
	d.edit(fmt.Sprintf("set the %s denticles", c), "", func(s *tray.Specimen) {
		if c == morph.MesialCarina {
			s.Mesial = state
		} else {
			s.Distal = state
		}
	})
}

// SetDSDI chooses the definition of the denticle size density index.
func (d *Desk) SetDSDI(r morph.DSDIRule) {
	d.edit("choose the DSDI definition", "", func(s *tray.Specimen) { s.DSDI = r })
}

// SetCHR chooses the axis by which CHR divides.
func (d *Desk) SetCHR(r morph.CHRRule) {
	d.edit("choose the CHR definition", "", func(s *tray.Specimen) { s.CHR = r })
}

// AddPhotos puts photographs on the specimen on the desk, or on a new one when
// there is none, and the first of them on the bench.
func (d *Desk) AddPhotos(photos ...tray.Photo) {
	if len(photos) == 0 || d.refusedInLesson() {
		return
	}
	for i := range photos {
		photos[i].Pointing = d.settings.Pointing.SD
	}
	if photos[0].Role == "" && roleFromName(photos[0].File) == "" {
		photos[0].Role = d.nextRole
	}
	d.nextRole = ""
	if d.Specimen() == nil {
		s := &tray.Specimen{Name: d.Tray.FreshName()}
		assignRoles(nil, photos)
		s.Photos = photos
		if d.add("add "+countOf(len(photos), "photograph", "photographs"), s) {
			d.SelectPhoto(photos[0].ID)
		}
		return
	}
	s := d.Specimen()
	if photos = d.knownAgain(s, photos); len(photos) == 0 {
		return
	}
	if len(s.Photos)+len(photos) > tray.MaxPhotos {
		d.Warn(fmt.Sprintf("At most %d photographs belong to one specimen; %s not added.", tray.MaxPhotos, countOf(len(photos), "was", "were")))
		return
	}
	d.edit("add "+countOf(len(photos), "photograph", "photographs"), "", func(s *tray.Specimen) {
		assignRoles(s.Photos, photos)
		s.Photos = append(s.Photos, photos...)
	})
	d.SelectPhoto(photos[0].ID)
}

// knownAgain takes out the photographs that the specimen has already. Their
// files are on the desk once more, so that a picture that had gone missing from
// this browser is back under its marks.
func (d *Desk) knownAgain(s *tray.Specimen, photos []tray.Photo) []tray.Photo {
	news, again := photos[:0:0], ""
	for _, p := range photos {
		i := slices.IndexFunc(s.Photos, func(q tray.Photo) bool { return q.Hash == p.Hash })
		if i < 0 {
			news = append(news, p)
			continue
		}
		again = s.Photos[i].ID
		d.Remark(fmt.Sprintf("%s is already the %s photograph of this tooth; its marks stand.", p.File, s.Photos[i].Role))
	}
	if len(news) == 0 && again != "" {
		if d.picture == PictureBad {
			d.pictureFor = "" // open it anew
		}
		d.photo = again
		d.lay()
		d.remember()
	}
	return news
}

// assignRoles proposes what new photographs show: from words in the file's
// name where there are any, else the next view that the job needs and that is
// not there yet.
func assignRoles(have, news []tray.Photo) {
	taken := map[morph.Role]bool{}
	for _, p := range have {
		taken[p.Role] = true
	}
	for i := range news {
		if news[i].Role == "" {
			news[i].Role = roleFromName(news[i].File)
		}
		taken[news[i].Role] = true
	}
	for i := range news {
		if news[i].Role != "" {
			continue
		}
		news[i].Role = morph.OtherView
		for _, r := range []morph.Role{morph.LateralLabial, morph.BasalView, morph.DistalView, morph.MesialView} {
			if !taken[r] && !(r == morph.LateralLabial && taken[morph.LateralLingual]) {
				news[i].Role = r
				break
			}
		}
		taken[news[i].Role] = true
	}
}

func roleFromName(file string) morph.Role {
	f := strings.ToLower(file)
	has := func(words ...string) bool {
		for _, w := range words {
			if strings.Contains(f, w) {
				return true
			}
		}
		return false
	}
	switch {
	case has("lingual"):
		return morph.LateralLingual
	case has("labial", "lateral"):
		return morph.LateralLabial
	case has("mid-crown", "midcrown", "mid_crown"):
		return morph.MidSection
	case has("basal", "base"):
		return morph.BasalView
	case has("mesial"):
		return morph.MesialView
	case has("distal"):
		return morph.DistalView
	}
	return ""
}

// SetRole says what the photograph on the bench shows.
func (d *Desk) SetRole(r morph.Role) {
	id := d.photo
	d.edit("set the photograph's role", "", func(s *tray.Specimen) {
		if p := s.Photo(id); p != nil {
			p.Role = r
		}
	})
}

// RemovePhoto takes the photograph on the bench off the specimen, with its
// marks; Undo brings both back.
func (d *Desk) RemovePhoto() {
	id := d.photo
	d.edit("remove a photograph", "", func(s *tray.Specimen) {
		for i := range s.Photos {
			if s.Photos[i].ID == id {
				s.Photos = append(s.Photos[:i:i], s.Photos[i+1:]...)
				break
			}
		}
	})
	d.settle()
	d.remember()
}

// SetBroken says that the crown's apex or base is broken off.
func (d *Desk) SetBroken(apex, base bool) {
	id := d.photo
	d.edit("set what is broken", "", func(s *tray.Specimen) {
		if p := s.Photo(id); p != nil && p.Crown != nil {
			p.Crown.ApexBroken, p.Crown.BaseBroken = apex, base
			if !apex {
				p.Crown.Tip = nil
			}
		}
	})
}

// SetPointing sets how far a placed point may be off on this photograph, in px.
func (d *Desk) SetPointing(text string, how Typing) {
	const cell = "pointing"
	var v float64
	if strings.TrimSpace(text) != "" {
		var err error
		v, _, err = tray.ParsePlain(text)
		if err == nil && (v <= 0 || v > maxPointing) {
			err = fmt.Errorf("the pointing error lies between 0 and %d px", maxPointing)
		}
		if err != nil {
			d.refuseOnceDone(how, cell, text, err)
			return
		}
	}
	d.accept(cell)
	id := d.photo
	d.edit("set the pointing error", "type "+cell+id, func(s *tray.Specimen) {
		if p := s.Photo(id); p != nil {
			p.Pointing = v
		}
	})
}

// maxPointing bounds a stated pointing error, in px.
const maxPointing = 100

// SetTool takes up one of the bench's tools.
func (d *Desk) SetTool(t bench.Tool) {
	d.forgetRemarks()
	d.Bench.SetTool(t)
	d.remember()
	d.outside.Redraw()
	d.outside.Refresh()
}

// SetDenticleRow says what the next stretch of carina will be; one that is
// there already is renamed by the bench's own action.
func (d *Desk) SetDenticleRow(c morph.Carina, t morph.Third, serrated bool) {
	d.Bench.SetRow(c, t, serrated)
	d.outside.Redraw()
	d.outside.Refresh()
}

// SetBarLength gives the scale bar on the bench its length, the standard
// uncertainty of that length and its unit.
func (d *Desk) SetBarLength(length, ulength string, unit morph.Unit) {
	const cell = "bar"
	v, u, err := barLength(length, ulength, unit)
	if err == nil {
		err = d.Bench.SetBarLength(v, u, unit)
	}
	if err != nil {
		d.refuse(cell, length, err)
		return
	}
	d.accept(cell)
	d.Laid()
}

// ConfirmBar takes the length that the form proposes for a bar that has none
// yet. A text that was just typed has been taken before.
func (d *Desk) ConfirmBar() {
	b, entered, ok := d.Bench.BarLength()
	if !ok || entered || b.Length == 0 {
		return
	}
	if _, refused := d.Refused("bar"); refused {
		return
	}
	if err := d.Bench.SetBarLength(b.Length, b.ULength, b.Unit); err != nil {
		d.Warn(Sentence(err))
	}
	d.Laid()
}

// SetBarUnit changes the unit of the scale bar. Before the bar has a length it
// only sets what the form proposes.
func (d *Desk) SetBarUnit(length, ulength string, unit morph.Unit) {
	if strings.TrimSpace(length) == "" {
		length = defaultBar[unit]
	}
	d.SetBarLength(length, ulength, unit)
}

// defaultBar is what a bar of a unit usually is, so that choosing the unit
// first does not end in a refusal.
var defaultBar = map[morph.Unit]string{morph.Millimetre: "10", morph.Centimetre: "1", morph.Inch: "1"}

func barLength(length, ulength string, unit morph.Unit) (v, u float64, err error) {
	if v, u, err = tray.ParsePlain(length); err != nil {
		return 0, 0, err
	}
	if strings.TrimSpace(ulength) != "" {
		if u, _, err = tray.ParsePlain(ulength); err != nil {
			return 0, 0, err
		}
	}
	if v <= 0 || u < 0 {
		return 0, 0, fmt.Errorf("the length of a scale bar is above 0 %s", unit)
	}
	return v, u, nil
}

func cellID(cell string) string { return "cell-" + cell }
