package desk

import "crownbench/wasm/sheet"

// CopyReadings puts the readings of the specimen on the desk on the clipboard,
// as cells that a spreadsheet takes.
func (d *Desk) CopyReadings() {
	if s := d.Specimen(); s != nil {
		d.copy("The table of readings", sheet.ReadingCells(d.Find(s)))
	}
}

// CopyMethods puts a paragraph on the clipboard that tells how the specimen on
// the desk was measured and sorted.
func (d *Desk) CopyMethods() {
	if s := d.Specimen(); s != nil {
		d.copy("The paragraph", sheet.Methods(s, d.Find(s), d.Versions))
	}
}

func (d *Desk) copy(what, text string) {
	d.outside.Copy(text, func(err error) {
		if err != nil {
			d.Warn(what + " could not be put on the clipboard: " + Sentence(err))
			return
		}
		d.Remark(what + " is on the clipboard.")
	})
}
