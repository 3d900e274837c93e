package archive

import "fmt"

// maxNotes is how many sentences are given of photographs; what goes beyond is
// counted, since one fault often lies behind all.
const maxNotes = 10

// notes are sentences for the person about what is missing or wrong.
type notes struct {
	said []string
	more int // photographs without a sentence
}

func (n *notes) say(format string, args ...any) {
	n.said = append(n.said, fmt.Sprintf(format, args...))
}

// photo says what is wrong with a photograph.
func (n *notes) photo(format string, args ...any) {
	if len(n.said) >= maxNotes {
		n.more++
		return
	}
	n.say(format, args...)
}

// end counts the photographs that got no sentence.
func (n *notes) end() {
	switch {
	case n.more == 1:
		n.say("One more photograph was left out.")
	case n.more > 1:
		n.say("%d more photographs were left out.", n.more)
	}
	n.more = 0
}
