package vision

import "errors"

// ErrStopped tells that a search was stopped by who watched it.
var ErrStopped = errors.New("the search was stopped")

// Watched gives the picture to a search that somebody watches: the search calls
// goOn often, a few ms of work apart, and gives up with ErrStopped once that
// gives false. Where a program has one thread only, goOn is the time for it to do
// what else is waiting. Smaller copies made for the one picture are there for the
// other.
func (p *Picture) Watched(goOn func() bool) *Picture {
	return &Picture{size: p.size, count: p.count, of: p, goOn: goOn}
}

// watched gives a level of the picture that p is a watched view of.
func (p *Picture) watched(n int) *Level {
	l := *p.of.Level(n)
	l.goOn = p.goOn
	l.Rest()
	return &l
}

// halt unwinds a search that was stopped. It leaves no search: see Stopped.
type halt struct{}

// Rest is called by searches now and then, between rows of pixels or single
// tries; see Watched.
func (l *Level) Rest() {
	if l.goOn != nil && !l.goOn() {
		panic(halt{})
	}
}

// Stopped is deferred by every search, so that one that was stopped ends with
// ErrStopped.
func Stopped(err *error) {
	switch why := recover().(type) {
	case nil:
	case halt:
		*err = ErrStopped
	default:
		panic(why)
	}
}
