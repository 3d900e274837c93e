package desk

import (
	"errors"

	"crownbench/wasm/bench"
)

// pixels are those of the photograph on the bench, as far as they were needed.
type pixels struct {
	of      string // hash
	sight   *bench.Sight
	reading bool
	waiting []func(bench.Sight, error)
}

// See gives the bench the pixels of the photograph that is shown. They are read
// when they are first needed and let go with the photograph.
func (h host) See(then func(bench.Sight, error)) {
	d := h.d
	p := &d.pixels
	if p.sight != nil {
		s := *p.sight
		d.outside.AfterFrame(func() { d.seen(then, s, nil) })
		return
	}
	p.waiting = append(p.waiting, then)
	d.readPixels()
}

// readPixels reads the pixels that are waited for, once the picture is open.
func (d *Desk) readPixels() {
	p := &d.pixels
	if p.reading || len(p.waiting) == 0 || p.of != d.pictureFor {
		return
	}
	switch d.picture {
	case PictureReady:
		p.reading = true
		hash := p.of
		d.outside.ReadPixels(func(s bench.Sight, err error) {
			if d.pixels.of != hash || d.pictureFor != hash {
				return // the person has gone on to another photograph
			}
			if err == nil {
				d.pixels.sight = &s
			}
			d.answer(s, err)
		})
	case PictureBad:
		d.answer(bench.Sight{}, errors.New("the picture cannot be opened, so nothing can be found in it"))
	}
}

// answer tells all who wait for the pixels.
func (d *Desk) answer(s bench.Sight, err error) {
	waiting := d.pixels.waiting
	d.pixels.waiting, d.pixels.reading = nil, false
	for _, then := range waiting {
		d.seen(then, s, err)
	}
}

// seen goes on with the pixels.
func (d *Desk) seen(then func(bench.Sight, error), s bench.Sight, err error) {
	then(s, err)
	d.outside.Refresh()
}

// Beside searches the picture beside the page. Where that led to a proposed scale
// bar, the keyboard goes to the cell that asks for its length.
func (h host) Beside(work func(rest func())) {
	d := h.d
	d.outside.Beside(func(turn func() bool) {
		before := d.Bench.Offering()
		work(func() { turn() })
		if d.Bench.Offering() && !before && d.Bench.Tool() == bench.Scale {
			d.focus = cellID("bar")
		}
		d.outside.Refresh()
	})
}

// FollowEdge says whether traced lines follow the edge in the picture, for all
// teeth.
func (d *Desk) FollowEdge(yes bool) {
	if t := d.lesson.taking; t != nil && !t.Work.Lesson.Help.Edges {
		return
	}
	d.settings.Straight = !yes
	d.outside.KeepSettings(d.settings)
	d.Bench.FollowEdge(yes)
	d.outside.Refresh()
}

// SetShade says how the photograph on the bench is shown.
func (d *Desk) SetShade(s bench.Shade) {
	d.Bench.SetShade(s)
	d.outside.Refresh()
}
