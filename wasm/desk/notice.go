package desk

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Notice is a sentence for the person, with how grave it is.
type Notice struct {
	ID    int
	Text  string
	Grave bool // something went wrong; otherwise a remark
	// Offer is what can be done about it, Do does it; "" and nil when nothing.
	Offer string
	Do    func()
}

// forgetRemarks takes remarks off the page once the person has gone on; what
// went wrong stays until it is put away.
func (d *Desk) forgetRemarks() {
	d.notices = slices.DeleteFunc(d.notices, func(n Notice) bool { return !n.Grave })
}

// Warn shows a sentence about something that went wrong until it is put away.
func (d *Desk) Warn(text string) { d.notice(Notice{Text: text, Grave: true}) }

// Remark shows a sentence worth knowing.
func (d *Desk) Remark(text string) { d.notice(Notice{Text: text}) }

// WarnOfUnread shows a sentence about something kept that cannot be read, and
// offers what is kept as a file.
func (d *Desk) WarnOfUnread(text, file, kept string) {
	d.notice(Notice{Text: text, Grave: true, Offer: "Save it as a file", Do: func() {
		d.outside.Download(file, "text/plain;charset=utf-8", []byte(kept))
	}})
}

// maxNotices bounds what lies over the page when much goes wrong at once.
const maxNotices = 5

func (d *Desk) notice(new Notice) {
	for _, n := range d.notices {
		if n.Text == new.Text {
			return
		}
	}
	d.lastID++
	new.ID = d.lastID
	d.notices = append(d.notices, new)
	if len(d.notices) > maxNotices {
		d.notices = d.notices[1:]
	}
	d.outside.Refresh()
}

// Notices are the sentences on show, oldest first.
func (d *Desk) Notices() []Notice { return d.notices }

// PutAway takes a notice off the page.
func (d *Desk) PutAway(id int) {
	for i, n := range d.notices {
		if n.ID == id {
			d.notices = append(d.notices[:i:i], d.notices[i+1:]...)
			break
		}
	}
	d.outside.Refresh()
}

// Spoken is the last thing said for those who listen to the page.
func (d *Desk) Spoken() string { return d.spoken }

// Busy names what the program is at work on, "" when nothing.
func (d *Desk) Busy() string { return d.busy }

// SetBusy is told of work that a person waits for.
func (d *Desk) SetBusy(what string) {
	d.busy = what
	d.outside.Refresh()
}

// Sentence makes an error read as one: a capital first, unless it begins with
// the name of a file, and a full stop last.
func Sentence(err error) string {
	s := strings.TrimSpace(err.Error())
	if s == "" {
		return ""
	}
	if word, _, _ := strings.Cut(s, " "); !strings.Contains(word, ".") {
		first, n := utf8.DecodeRuneInString(s)
		s = string(unicode.ToUpper(first)) + s[n:]
	}
	if !strings.ContainsAny(s[len(s)-1:], ".?!") {
		s += "."
	}
	return s
}

func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
