package lesson

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"
)

// The kinds of files, as their "format" names them.
const (
	LessonFormat = "crownbench-lesson"
	KeyFormat    = "crownbench-lesson-key"
	AnswerFormat = "crownbench-lesson-answer"
	WorkFormat   = "crownbench-lesson-work"

	// Version of all of them.
	Version = 1
)

var formatNames = map[string]string{
	LessonFormat: "a lesson", KeyFormat: "the key of a lesson", AnswerFormat: "an answer to a lesson", WorkFormat: "a student's saved work",
}

// sealed is the form of keys, answers and saved work: JSON in UTF-8.
type sealed struct {
	Format  string          `json:"format"`
	Version int             `json:"version"`
	Sum     string          `json:"sha256"` // of the body without spaces between its parts
	Body    json.RawMessage `json:"body"`
}

// seal writes a body with the sum by which changes are noticed.
func seal(format string, body any) ([]byte, error) {
	text, err := json.Marshal(body)
	if err != nil {
		return nil, err
	}
	out, err := json.Marshal(sealed{format, Version, digestOf(text), text})
	return append(out, '\n'), err
}

// unseal reads a sealed file of a format of at most so many bytes into body,
// and tells whether its sum fits. The error says what is wrong with the file.
func unseal(text []byte, format string, most int, body any) (whole bool, err error) {
	if len(text) > most {
		return false, fmt.Errorf("the file is larger than %d MB, more than %s may be", most>>20, formatNames[format])
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if len(bytes.TrimSpace(text)) == 0 {
		return false, errors.New("the file is empty")
	}
	var s sealed
	if err := decode(text, &s); err != nil {
		if !utf8.Valid(text) || bytes.TrimSpace(text)[0] != '{' || foreign(text) {
			return false, fmt.Errorf("the file is not %s", formatNames[format])
		}
		return false, err
	}
	if err := checkFormat(s.Format, s.Version, format); err != nil {
		return false, err
	}
	var compact bytes.Buffer
	if err := json.Compact(&compact, s.Body); err != nil {
		return false, fmt.Errorf("the file has no content: %w", err)
	}
	return digestOf(compact.Bytes()) == s.Sum, decode(s.Body, body)
}

// foreign tells whether text is sound JSON that does not claim to be any of the
// program's own files.
func foreign(text []byte) bool {
	var s struct {
		Format string `json:"format"`
	}
	err := json.Unmarshal(text, &s)
	var kind *json.UnmarshalTypeError
	return (err == nil || errors.As(err, &kind)) && formatNames[s.Format] == ""
}

func checkFormat(is string, version int, want string) error {
	if is != want {
		if name, ok := formatNames[is]; ok {
			return fmt.Errorf("the file is %s, not %s", name, formatNames[want])
		}
		return fmt.Errorf("the file is not %s", formatNames[want])
	}
	if version != Version {
		return fmt.Errorf("the file is of version %d, and this program reads version %d; load the page again to get the latest", version, Version)
	}
	return nil
}

// decode reads one JSON value strictly: parts that this program does not know
// would be lost, so they are refused.
func decode(text []byte, into any) error {
	if !utf8.Valid(text) {
		return errors.New("the file is not text in UTF-8")
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	err := d.Decode(into)
	if err == nil && len(bytes.TrimSpace(text[d.InputOffset():])) > 0 {
		return errors.New("something stands behind the end of the file's content")
	}
	return explain(err)
}

// explain turns an error of the JSON reader into a sentence.
func explain(err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &kind):
		return fmt.Errorf("its part %.80q is a %.20s, which does not belong there", kind.Field, kind.Value)
	case errors.As(err, &syntax):
		return fmt.Errorf("the file is damaged at byte %d", syntax.Offset)
	}
	if name, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		return fmt.Errorf("there is a part %.80s that this program does not know; the file may come from a later version", name)
	}
	return fmt.Errorf("the file is cut off or damaged (%v)", err)
}

// digestOf is the SHA-256 of bytes in hexadecimal.
func digestOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
