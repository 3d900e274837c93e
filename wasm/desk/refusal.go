package desk

// Refusal is what a person typed into a cell that could not be taken, and why.
type Refusal struct {
	Text, Why string
}

// Refused gives what was typed into a cell and could not be taken.
func (d *Desk) Refused(cell string) (Refusal, bool) {
	r, ok := d.refused[d.specimen+"|"+cell]
	return r, ok
}

func (d *Desk) refuse(cell, text string, err error) {
	d.refused[d.specimen+"|"+cell] = Refusal{text, Sentence(err)}
	d.spoken = Sentence(err)
	d.outside.Refresh()
}

func (d *Desk) refuseOnceDone(how Typing, cell, text string, err error) {
	if how == Done {
		d.refuse(cell, text, err)
	}
}

func (d *Desk) accept(cell string) { delete(d.refused, d.specimen+"|"+cell) }
