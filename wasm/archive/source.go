package archive

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strings"

	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// Source is what an archive is made of.
type Source struct {
	Specimens []*tray.Specimen
	// Find derives what the archive says beside the inputs; nil means tray.Find.
	Find func(*tray.Specimen) tray.Finding
	// Photo gives the bytes of a photograph's file by the SHA-256 of it, in
	// hexadecimal. Only Write asks, once for each file.
	Photo    func(hash string) ([]byte, error)
	Versions sheet.Versions
	Dataset  Dataset
	// Private lets Write put in coordinates that are not to be shared, for the
	// owner's backup. The open standards never have them.
	Private bool
}

func (s *Source) find(t *tray.Specimen) tray.Finding {
	if s.Find == nil {
		return tray.Find(t)
	}
	return s.Find(t)
}

// check refuses specimens that could not be read back: two of one identifier,
// or one that its Check refuses.
func (s *Source) check() error {
	seen := map[string]bool{}
	for _, t := range s.Specimens {
		if err := t.Check(); err != nil {
			return err
		}
		if seen[t.ID] {
			return fmt.Errorf("two specimens have the same identifier %.40q", t.ID)
		}
		seen[t.ID] = true
	}
	return nil
}

// Dataset says of a published tray as a whole what no specimen does. Every
// field may be empty.
type Dataset struct {
	Title       string
	Description string
	Creator     string // person or institution
	License     string // an address, or an identifier such as CC-BY-4.0
}

func (d Dataset) title() string {
	if t := strings.TrimSpace(d.Title); t != "" {
		return t
	}
	return "Isolated theropod teeth"
}

func (d Dataset) creator() string {
	if c := strings.TrimSpace(d.Creator); c != "" {
		return c
	}
	return "not stated"
}

// urn names a thing by what identifies it, the same way every time: a UUID of
// version 8 (RFC 9562, section 5.8) from the SHA-256 of the parts.
func urn(parts ...string) string {
	sum := sha256.Sum256([]byte(strings.Join(parts, "\x00")))
	b := sum[:16]
	b[6] = b[6]&0x0f | 0x80
	b[8] = b[8]&0x3f | 0x80
	return fmt.Sprintf("urn:uuid:%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// occurrence names a specimen to the world.
func occurrence(s *tray.Specimen) string { return urn("crownbench", "specimen", s.ID) }

// picture names a photograph's file by its bytes (RFC 6920), so that whoever
// has the file can tell that it is the one; without a hash, by its record.
func picture(s *tray.Specimen, p *tray.Photo) string {
	sum, err := hex.DecodeString(p.Hash)
	if err != nil || len(sum) != sha256.Size {
		return urn("crownbench", "photograph", s.ID, p.ID)
	}
	return "ni:///sha-256;" + base64.RawURLEncoding.EncodeToString(sum)
}
