package desk

import (
	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/tray"
)

// host lets the bench change the record through the desk.
type host struct{ d *Desk }

func (h host) Edit(label, merge string, edit func(*morph.View)) {
	d := h.d
	id := d.photo
	d.edit(label, merge, func(s *tray.Specimen) {
		if p := s.Photo(id); p != nil {
			edit(&p.View)
		}
	})
}

// Redraw is called for every move of the picture; the panels follow only when
// what they say has changed.
func (h host) Redraw() {
	h.d.outside.Redraw()
	if p := promptWords(h.d.Bench.Prompt()); p != h.d.prompted {
		h.d.prompted = p
		h.d.outside.Refresh()
	}
}

func promptWords(p bench.Prompt) string {
	words := p.Text
	for _, a := range p.Actions {
		words += "|" + a.Label
	}
	return words
}

func (h host) Say(sentence string) {
	h.d.spoken = sentence
	h.d.outside.Refresh()
}

// takeUp takes up the tool that the photograph on the bench asks for, none where
// nothing needs to be marked.
func (d *Desk) takeUp() {
	p := d.Photo()
	if p == nil {
		return
	}
	if d.Spare() {
		d.Bench.SetTool(bench.Look)
		return
	}
	d.Bench.SetTool(nextTool(p))
}

// nextTool proposes what to do first with a photograph: its scale, then what
// its role is for.
func nextTool(p *tray.Photo) bench.Tool {
	switch {
	case !p.Scaled():
		return bench.Scale
	case p.Role.Lateral() && (p.Crown == nil || !p.Crown.Done):
		return bench.Crown
	case p.Role.Sectional() && (p.Section == nil || !p.Section.Done || p.Section.Mesial == morph.Unset || p.Section.Distal == morph.Unset):
		return bench.Section
	case p.Role == morph.MesialView || p.Role == morph.DistalView:
		return bench.Denticles
	}
	return bench.Look
}

// lay shows the current photograph on the bench.
func (d *Desk) lay() {
	d.glanceAll()
	p := d.Photo()
	hash := ""
	if p != nil {
		hash = p.Hash
	}
	another := hash != d.pictureFor
	if another {
		d.pictureFor = hash
		d.pixels = pixels{of: hash}
		d.picture, d.pictureWhy = PictureNone, ""
		if p != nil {
			d.picture = PictureOpening
		}
	}
	if p == nil {
		d.photo = ""
		d.Bench.Show(nil, 0, 0)
	} else {
		d.Bench.Show(&p.View, p.Width, p.Height)
	}
	if another {
		d.outside.ShowPicture(p)
	}
	d.wantSpread()
	d.outside.Redraw()
	d.outside.Refresh()
}
