package photo

import (
	"fmt"
	"strings"
	"unicode"
)

// Fault is the reason why a file is refused.
type Fault int

const (
	Empty         Fault = iota + 1 // no bytes at all
	NotPhotograph                  // none of the formats read
	OtherFormat                    // a picture, but in a format or variant that is not read
	Truncated                      // the end is missing
	Damaged                        // complete in length but contradictory or changed
	TooManyPixels                  // its header claims more than MaxPixels or MaxSide
	FileTooLarge                   // more than MaxFileBytes
)

// Refusal says why a file is not read. Wrong continues a sentence that begins
// with the file's name; Remedy is a sentence of its own.
type Refusal struct {
	File   string
	Fault  Fault
	Wrong  string
	Remedy string
}

func (r *Refusal) Error() string {
	return shown(r.File) + " " + r.Wrong + ". " + r.Remedy
}

func refuse(name string, f Fault, remedy, wrong string, args ...any) *Refusal {
	return &Refusal{File: name, Fault: f, Wrong: fmt.Sprintf(wrong, args...), Remedy: remedy}
}

const copyAgain = "Copy it from the camera or the disk again."

func truncated(name string, f Format) *Refusal {
	return refuse(name, Truncated, copyAgain, "is cut off: the end of the %s is missing", f)
}

func damaged(name, what string, args ...any) *Refusal {
	return refuse(name, Damaged, copyAgain, "is damaged: %s", fmt.Sprintf(what, args...))
}

func unread(name, remedy, wrong string, args ...any) *Refusal {
	return refuse(name, OtherFormat, remedy, wrong, args...)
}

// maxShownName is how many characters of a file's name a sentence quotes.
const maxShownName = 80

// shown makes a file's name fit to stand in a sentence: what would not print,
// or would turn the line's direction, is left out.
func shown(name string) string {
	name = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || r == unicode.ReplacementChar {
			return -1
		}
		return r
	}, name)
	name = strings.TrimSpace(name)
	if name == "" {
		return "The file"
	}
	if r := []rune(name); len(r) > maxShownName {
		// The ending is kept: people look for it.
		return string(r[:maxShownName-13]) + "…" + string(r[len(r)-12:])
	}
	return name
}

func megabytes(n int64) string {
	return fmt.Sprintf("%d MB", (n+1<<20-1)>>20)
}

// grouped writes a number of up to six digits with its thousands apart.
func grouped(n int) string {
	if n < 1000 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%d,%03d", n/1000, n%1000)
}
