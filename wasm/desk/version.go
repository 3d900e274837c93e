package desk

// Reach tells whether the page starts without a connection.
type Reach int

const (
	// NeedsConnection: this browser keeps no page (an address without https,
	// a private window), or has not finished keeping it.
	NeedsConnection Reach = iota
	KeptHere
)

// Reach tells whether the page starts without a connection.
func (d *Desk) Reach() Reach { return d.reach }

// SetReach is told how far the browser keeps the page.
func (d *Desk) SetReach(r Reach) {
	d.reach = r
	d.outside.Refresh()
}

// NewerReady is told that a newer version of the page has been fetched whole.
func (d *Desk) NewerReady() {
	d.newer = true
	d.outside.Refresh()
}

// Newer tells whether a newer version waits to be taken up.
func (d *Desk) Newer() bool { return d.newer }

// TakeUpNewer starts the newer version; everything entered is kept.
func (d *Desk) TakeUpNewer() { d.outside.TakeUpNewer() }

// PutOffNewer leaves the newer version for the next start.
func (d *Desk) PutOffNewer() {
	d.newer = false
	d.outside.Refresh()
}

// TakenOverElsewhere is told that another tab took up a newer version.
func (d *Desk) TakenOverElsewhere() {
	d.Remark("Another tab has taken up a newer version of the program. Load this page again to use it here too; everything entered is kept.")
}
