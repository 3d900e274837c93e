package lesson

import (
	"fmt"
	"unicode/utf8"
)

// Limits of lessons, keys and answers. A file beyond them is refused with a
// sentence that names the limit.
const (
	MaxTeeth    = 40
	MaxPhotos   = 8 // of one tooth
	MaxReadings = 40
	MaxChoices  = 20
	MaxRepeats  = 10
	MaxAnswers  = 200 // in one review
	MaxName     = 200 // characters of a title, a name or a choice
	MaxText     = 10_000

	MaxLessonBytes   = 256 << 20
	MaxManifestBytes = 1 << 20
	MaxKeyBytes      = 64 << 20
	MaxAnswerBytes   = 4 << 20
)

// checkText refuses a text that is too long or not valid.
func checkText(what, s string, most int) error {
	if !utf8.ValidString(s) {
		return fmt.Errorf("the %s is not valid text (UTF-8)", what)
	}
	if n := utf8.RuneCountInString(s); n > most {
		return fmt.Errorf("the %s has %d characters; at most %d are taken", what, n, most)
	}
	return nil
}
