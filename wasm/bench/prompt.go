package bench

// Prompt says the one thing to do next.
type Prompt struct {
	Text    string
	Actions []Action
	Busy    bool // something is under way, and nobody knows how far it is
}

// Action is something that can be done next besides pointing into the photo.
// Do may be called as long as the Prompt is the newest one.
type Action struct {
	Label string
	Key   string // the key that does it while the photo view has the focus, or ""
	Do    func()
}

// Prompt gives the next thing to do with the tool in use.
func (b *Bench) Prompt() Prompt {
	if b.view == nil {
		return Prompt{Text: "Add a photo to begin."}
	}
	p := b.walk().prompt()
	if b.active.kind != nothing {
		p.Actions = append(p.Actions, Action{"Remove this point", "Delete", b.removeActive})
	}
	return p
}

// Progress says how far the marks of a tool have come.
type Progress uint8

const (
	NotBegun Progress = iota
	UnderWay
	Complete
)

// Progress says how far the marks of a tool have come on the shown photo.
func (b *Bench) Progress(t Tool) Progress {
	if b.view == nil {
		return NotBegun
	}
	return b.walkOf(t).progress()
}
