package archive

import (
	"archive/zip"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"

	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// Format and Version stand at the head of an own archive's archive.json.
const (
	Format  = "crownbench-archive"
	Version = 1
)

const (
	manifestName = "archive.json"
	recordName   = "record.json"
	schemaName   = "record.schema.json"
	photoFolder  = "photographs/"
)

type manifest struct {
	Format  string   `json:"format"`
	Version int      `json:"version"`
	Program string   `json:"program"`
	Files   []listed `json:"files"`
}

type listed struct {
	Path   string `json:"path"`
	SHA256 string `json:"sha256"`
}

// Write writes the own archive of a tray and gives sentences about
// photographs that could not be put in; everything that is known of them is in
// the archive all the same. It refuses a tray that Read would not read back.
// Other errors are the writer's.
func Write(w io.Writer, s Source) ([]string, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	record, schema := newPart(recordName), newPart(schemaName)
	inputs := sheet.Record
	if s.Private {
		inputs = sheet.PrivateRecord
	}
	if err := inputs(record, s.Specimens, s.find, s.Versions); err != nil {
		return nil, err
	}
	if _, err := io.WriteString(schema, Schema); err != nil {
		return nil, err
	}
	shown := photographs(s.Specimens)
	if n := len(shown) + 3; n > MaxFiles {
		return nil, fmt.Errorf("the archive would hold %d files, and %d is the most; take the specimens out in parts", n, MaxFiles)
	}
	head := manifest{Format, Version, s.Versions.Program, []listed{{recordName, record.hash()}, {schemaName, schema.hash()}}}
	for _, p := range shown {
		head.Files = append(head.Files, listed{p.path, p.Hash})
	}
	first := newPart(manifestName)
	enc := json.NewEncoder(first)
	enc.SetIndent("", " ")
	if err := enc.Encode(head); err != nil {
		return nil, err
	}

	var missing notes
	z := zip.NewWriter(w)
	for _, p := range []*part{first, record, schema} {
		if err := put(z, p); err != nil {
			return nil, err
		}
	}
	for _, p := range shown {
		b, err := s.photo(p)
		if err != nil {
			missing.photo("The archive lacks the photograph %s: %v.", p.called(), err)
			continue
		}
		if err := putStored(z, p.path, b); err != nil {
			return nil, err
		}
	}
	missing.end()
	return missing.said, z.Close()
}

// shownPhoto is a photograph's file with the specimen that shows it first.
type shownPhoto struct {
	*tray.Photo
	of   string // the specimen's name
	path string // in the archive
}

// called is what a sentence calls the photograph.
func (p shownPhoto) called() string { return fmt.Sprintf("%.80q of %.80q", p.File, p.of) }

// photographs lists each file that specimens show, once, in their order.
func photographs(specimens []*tray.Specimen) []shownPhoto {
	var out []shownPhoto
	seen := map[string]bool{"": true} // a photograph without a hash has no file
	for _, s := range specimens {
		for i := range s.Photos {
			p := &s.Photos[i]
			if !seen[p.Hash] {
				seen[p.Hash] = true
				out = append(out, shownPhoto{p, s.Name, photoFolder + p.Hash + endings[p.MIME]})
			}
		}
	}
	return out
}

// endings are those of the names of files, by media type.
var endings = map[string]string{"image/jpeg": ".jpg", "image/png": ".png", "image/webp": ".webp", "image/tiff": ".tif"}

// photo gives a photograph's file if it is the one that the record means.
func (s *Source) photo(p shownPhoto) ([]byte, error) {
	if s.Photo == nil {
		return nil, fmt.Errorf("it was not asked for")
	}
	b, err := s.Photo(p.Hash)
	switch {
	case err != nil:
		return nil, err
	case len(b) > MaxPhotoBytes:
		return nil, fmt.Errorf("it takes up more than %d MB", MaxPhotoBytes>>20)
	case hashOf(b) != p.Hash:
		return nil, fmt.Errorf("its bytes are not those that were marked")
	}
	return b, nil
}

func hashOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
