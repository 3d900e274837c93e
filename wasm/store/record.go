package store

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"crownbench/wasm/tray"
)

// recordFormat counts the ways in which a specimen has been written. It goes
// up with every change after which an older program would misread a record;
// a record with a higher one is left alone. readers must then learn the old.
const recordFormat = 1

// record is a specimen as it is stored: a living one with its inputs, or a
// tombstone, which keeps the revision at which the specimen was deleted.
type record struct {
	ID       string
	Format   int
	Revision int
	Stamp    string   // random, new at every write
	Deleted  bool     // a tombstone
	When     int64    // of the write, milliseconds since 1970
	Photos   []string // hashes of the photographs that the specimen shows
	Body     string   // the specimen as JSON; empty in a tombstone
}

// recordOf makes what is to be stored for a change.
func recordOf(c tray.Change, stamp string, now time.Time) (record, error) {
	r := record{ID: c.ID(), Format: recordFormat, Stamp: stamp, When: now.UnixMilli()}
	if c.After == nil {
		r.Deleted = true
		r.Revision = c.Before.Revision
		r.Photos = hashes(c.Before)
		return r, nil
	}
	body, err := bodyOf(c.After)
	if err != nil {
		return record{}, err
	}
	r.Revision, r.Photos, r.Body = c.After.Revision, hashes(c.After), body
	return r, nil
}

// bodyOf writes a specimen the same way every time, so that bodies can be
// compared.
func bodyOf(s *tray.Specimen) (string, error) {
	b, err := json.Marshal(s)
	if err != nil {
		return "", fmt.Errorf("%s cannot be written down: %w", s.Name, err)
	}
	return string(b), nil
}

func hashes(s *tray.Specimen) []string {
	var out []string
	for i := range s.Photos {
		if h := s.Photos[i].Hash; !slices.Contains(out, h) {
			out = append(out, h)
		}
	}
	return out
}

// specimen reads a record, or says why it cannot be read. A tombstone gives
// nil and nil.
func (r *record) specimen() (*tray.Specimen, *Damaged) {
	unread := func(newer bool, format string, args ...any) *Damaged {
		return &Damaged{ID: r.ID, Newer: newer, Raw: r.Body, Wrong: fmt.Sprintf(format, args...)}
	}
	const asNewer = "The saved specimen %s was written by a newer version of this program. Reload the page while you are online; it has been left as it is."
	const asDamaged = "The saved specimen %s cannot be read (%v). It has been left as it is; save it as a file to have it looked at."
	switch {
	case r.Format > recordFormat:
		return nil, unread(true, asNewer, nameIn(r))
	case r.Format < 1:
		return nil, unread(false, asDamaged, nameIn(r), "it does not say in which format it is")
	case r.Deleted:
		return nil, nil
	}
	var s tray.Specimen
	strict := json.NewDecoder(strings.NewReader(r.Body))
	strict.DisallowUnknownFields()
	err := strict.Decode(&s)
	if err == nil {
		if _, err = strict.Token(); err == io.EOF {
			err = nil
		} else {
			err = errors.New("something follows it")
		}
	} else if json.Unmarshal([]byte(r.Body), new(tray.Specimen)) == nil {
		// Fields that this program does not know would be lost by writing the
		// specimen again, and only a newer one can have written them.
		return nil, unread(true, asNewer, nameIn(r))
	}
	if err != nil {
		return nil, unread(false, asDamaged, nameIn(r), err)
	}
	if s.ID != r.ID {
		return nil, unread(false, asDamaged, nameIn(r), "it carries the identifier of another")
	}
	if s.Revision != r.Revision {
		return nil, unread(false, asDamaged, nameIn(r), "its revision is not the one it is filed under")
	}
	if err := s.Check(); err != nil {
		return nil, unread(false, asDamaged, nameIn(r), err)
	}
	return &s, nil
}

// nameIn finds something to call a record by that may not be readable.
func nameIn(r *record) string {
	name := r.ID
	// A body that does not parse as a whole may still do so as far as the name.
	d := json.NewDecoder(strings.NewReader(r.Body))
	depth := 0
	for key := false; ; {
		token, err := d.Token()
		if err != nil {
			break
		}
		switch t := token.(type) {
		case json.Delim:
			if t == '{' || t == '[' {
				depth++
			} else {
				depth--
			}
			key = depth == 1
			continue
		case string:
			if depth == 1 && key && t == "name" {
				if value, err := d.Token(); err == nil {
					if text, ok := value.(string); ok && text != "" {
						name = text
					}
				}
				key = true
				continue
			}
		}
		key = depth == 1 && !key
	}
	if n := []rune(name); len(n) > 80 {
		return string(n[:79]) + "…"
	}
	return name
}
