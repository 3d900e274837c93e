package photo

import (
	"strings"
	"time"
)

// EXIF tags (CIPA DC-008, Exif 2.32).
const (
	tagMake           = 0x010f
	tagModel          = 0x0110
	tagOrientation    = 0x0112
	tagExifIFD        = 0x8769
	tagTaken          = 0x9003 // DateTimeOriginal
	tagTakenOffset    = 0x9011 // OffsetTimeOriginal
	exifTimeLayout    = "2006:01:02 15:04:05"
	iso8601Layout     = "2006-01-02T15:04:05"
	exifOffsetLayout  = "-07:00"
	uprightByDefault  = Orientation(1)
	lastOfOrientation = Orientation(8)
)

// tags are the few things taken from a photograph's EXIF data.
type tags struct {
	orientation Orientation
	taken       string
	device      string
}

// readTags reads EXIF data as far as they can be read. They never make a
// photograph unreadable: without them, or with nonsense in them, it is taken
// as stored upright, of unknown date and device.
func readTags(exif []byte) tags {
	t := tags{orientation: uprightByDefault}
	s, first, ok := openStructure(exif)
	if !ok {
		return t
	}
	main, _ := s.directory(first)
	// Only a single SHORT is an orientation, for browsers too: both must
	// agree on which way is up.
	if f := main[tagOrientation]; f.kind == typeShort && f.count == 1 {
		v, _ := s.number(f, 0)
		if o := Orientation(v); o >= uprightByDefault && o <= lastOfOrientation {
			t.orientation = o
		}
	}
	t.device = device(s.text(main[tagMake]), s.text(main[tagModel]))
	if at, ok := s.number(main[tagExifIFD], 0); ok {
		exif, _ := s.directory(at)
		t.taken = taken(s.text(exif[tagTaken]), s.text(exif[tagTakenOffset]))
	}
	return t
}

// device joins maker and model; most models repeat the maker's first word.
func device(maker, model string) string {
	word := func(s string) string { w, _, _ := strings.Cut(s, " "); return w }
	if maker == "" || model == "" || strings.EqualFold(word(maker), word(model)) {
		if model == "" {
			return maker
		}
		return model
	}
	return maker + " " + model
}

// taken writes an EXIF date and time in ISO 8601, with the offset from UTC
// when the camera knew it. A date that is none gives "".
func taken(at, offset string) string {
	t, err := time.Parse(exifTimeLayout, at)
	if err != nil || t.Year() < 1800 {
		return ""
	}
	s := t.Format(iso8601Layout)
	if _, err := time.Parse(exifOffsetLayout, offset); err == nil {
		s += offset
	}
	return s
}
