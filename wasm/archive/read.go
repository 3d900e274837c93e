package archive

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// Read reads an own archive of size bytes: the specimens as they were, in their
// order. Each photograph that they show is handed to keep, one at a time, under
// its SHA-256; whether it is a picture is for whoever opens it to find out. An
// error of keep ends the reading.
//
// The sentences are about what is missing or wrong but leaves the rest
// whole: a photograph that is missing, damaged or too large; a record that was
// changed by hand; files that do not belong there; an archive that was cut off
// after its record. Everything else is refused with a sentence: a file that is
// no archive of this program or one of a later version, one that names a file
// twice or outside itself, one beyond the limits, and whatever
// sheet.ReadRecord refuses.
func Read(r io.ReaderAt, size int64, keep func(hash string, b []byte) error) ([]*tray.Specimen, []string, error) {
	if size > MaxBytes {
		return nil, nil, fmt.Errorf("the archive is larger than %d GB, the most that is read", MaxBytes>>30)
	}
	a, err := open(r, size)
	if err != nil {
		return nil, nil, err
	}
	specimens, err := a.record()
	if err != nil {
		return nil, nil, err
	}
	if err := a.photographs(specimens, keep); err != nil {
		return nil, nil, err
	}
	a.others()
	return specimens, a.notes.said, nil
}

// file is a file in an archive that is read.
type file struct {
	name string
	size uint64 // as the archive claims
	room int    // bytes to set aside at once, where the archive is surely as large
	open func() (io.Reader, error)
	used bool
}

// opened is an archive whose list of files has been read.
type opened struct {
	files  []*file
	byName map[string]*file
	cut    bool // the archive ends early
	notes
}

var errNoArchive = errors.New("this is not an archive of this program: it has no " + manifestName + " that says so")

func open(r io.ReaderAt, size int64) (*opened, error) {
	a := &opened{byName: map[string]*file{}}
	z, err := zip.NewReader(r, size)
	if err == nil || errors.Is(err, zip.ErrInsecurePath) { // paths are looked at below
		for _, f := range z.File {
			a.files = append(a.files, &file{name: f.Name, size: f.UncompressedSize64, open: func() (io.Reader, error) { return f.Open() }})
			if f.Method == zip.Store && f.UncompressedSize64 <= uint64(size) {
				a.files[len(a.files)-1].room = int(f.UncompressedSize64)
			}
		}
	} else {
		// The list at the end is missing or damaged.
		a.files, a.cut = salvage(r, size), true
		if len(a.files) == 0 {
			return nil, errors.New("the file is not a zip archive, or was cut off before anything of use; copy it again from where it came")
		}
	}
	if len(a.files) > MaxFiles {
		return nil, fmt.Errorf("the archive holds %d files; at most %d are read", len(a.files), MaxFiles)
	}
	total := uint64(0)
	for _, f := range a.files {
		if total += min(f.size, MaxBytes+1); total > MaxBytes {
			return nil, fmt.Errorf("the archive unpacks to more than %d GB, the most that is read", MaxBytes>>30)
		}
		if outside(f.name) {
			return nil, fmt.Errorf("the archive names a file outside itself, %.80q, which none of this program does", f.name)
		}
		if a.byName[f.name] != nil {
			return nil, fmt.Errorf("the archive holds two files called %.80q, and which of them counts cannot be told", f.name)
		}
		a.byName[f.name] = f
	}
	return a, nil
}

// outside tells whether a name leads out of the folder it is unpacked in, on
// any system.
func outside(name string) bool {
	if name == "" || strings.ContainsAny(name, "\\:\x00") || strings.HasPrefix(name, "/") {
		return true
	}
	return slices.Contains(strings.Split(name, "/"), "..")
}

// record reads what the archive says of itself and its specimens.
func (a *opened) record() ([]*tray.Specimen, error) {
	head, err := a.manifest()
	if err != nil {
		return nil, err
	}
	f := a.byName[recordName]
	if f == nil {
		return nil, fmt.Errorf("the archive lacks its %s, without which nothing in it can be read", recordName)
	}
	b, err := f.bytes(MaxRecordBytes)
	if err != nil {
		return nil, fmt.Errorf("%s in the archive %w", recordName, err)
	}
	specimens, err := sheet.ReadRecord(bytes.NewReader(b))
	if err != nil {
		return nil, fmt.Errorf("%s in the archive: %w", recordName, err)
	}
	i := slices.IndexFunc(head.Files, func(l listed) bool { return l.Path == recordName })
	if i < 0 || head.Files[i].SHA256 != hashOf(b) {
		a.say("%s in the archive is not as it was written; it was read as it is now.", recordName)
	}
	return specimens, nil
}

func (a *opened) manifest() (manifest, error) {
	var head manifest
	f := a.byName[manifestName]
	if f == nil {
		return head, errNoArchive
	}
	b, err := f.bytes(MaxManifestBytes)
	if err != nil {
		return head, fmt.Errorf("%s in the archive %w", manifestName, err)
	}
	// The version comes first: a later one may have other parts.
	var version struct {
		Format  string `json:"format"`
		Version int    `json:"version"`
	}
	if err := json.Unmarshal(b, &version); err != nil || version.Format != Format {
		return head, errNoArchive
	}
	switch {
	case version.Version > Version:
		return head, fmt.Errorf("the archive is of version %d, made by a later version of this program; this one reads up to version %d", version.Version, Version)
	case version.Version < 1:
		return head, errors.New("the archive does not say its version")
	}
	strict := json.NewDecoder(bytes.NewReader(b))
	strict.DisallowUnknownFields()
	if err := strict.Decode(&head); err != nil {
		return head, fmt.Errorf("%s in the archive has a part that this program does not know: %w", manifestName, err)
	}
	f.used = true
	return head, nil
}

// photographs hands out every photograph that the specimens show.
func (a *opened) photographs(specimens []*tray.Specimen, keep func(string, []byte) error) error {
	byHash := map[string]*file{}
	for _, f := range a.files {
		if base, ok := strings.CutPrefix(f.name, photoFolder); ok {
			byHash[strings.TrimSuffix(base, path.Ext(base))] = f
		}
	}
	missing, last := 0, ""
	for _, p := range photographs(specimens) {
		f := byHash[p.Hash]
		if f == nil {
			missing++
			last = p.called()
			continue
		}
		f.used = true
		b, err := f.bytes(MaxPhotoBytes)
		if err == nil && hashOf(b) != p.Hash {
			err = errors.New("is not the one that was marked, or is damaged")
		}
		if err != nil {
			a.photo("The photograph %s %v; it was left out, and everything else was kept.", p.called(), err)
			continue
		}
		if err := keep(p.Hash, b); err != nil {
			return err
		}
	}
	a.end()
	why := ""
	if a.cut {
		a.say("The archive was cut off or its end is damaged; what stands before that was read.")
		why = " for that reason"
	}
	switch {
	case missing == 1:
		a.say("The archive lacks the photograph %s%s; its marks were kept.", last, why)
	case missing > 1:
		a.say("The archive lacks %d of the photographs%s, the last of them %s; their marks were kept.", missing, why, last)
	}
	return nil
}

// others notes what does not belong into an archive.
func (a *opened) others() {
	n, last := 0, ""
	for _, f := range a.files {
		if !f.used && f.name != recordName && f.name != schemaName && !strings.HasSuffix(f.name, "/") {
			n, last = n+1, f.name
		}
	}
	switch {
	case n == 1:
		a.say("The archive also holds %.80q, which does not belong to it and was passed over.", last)
	case n > 1:
		a.say("The archive also holds %d files that do not belong to it, the last of them %.80q; they were passed over.", n, last)
	}
}

// bytes reads a file of at most so many bytes, and no more of it than the
// archive claims that there is. The error is the end of a sentence that begins
// with the file.
func (f *file) bytes(most int64) ([]byte, error) {
	if f.size > uint64(most) {
		return nil, fmt.Errorf("takes up more than %d MB, the most that is read", most>>20)
	}
	r, err := f.open()
	if err != nil {
		return nil, damaged(err)
	}
	var b bytes.Buffer
	if f.room > 0 {
		b.Grow(f.room + bytes.MinRead)
	}
	_, err = b.ReadFrom(io.LimitReader(r, int64(f.size)+1))
	switch {
	case uint64(b.Len()) > f.size:
		return nil, errors.New("is damaged: it holds more than the archive says")
	case err != nil:
		return nil, damaged(err)
	}
	return b.Bytes(), nil
}

func damaged(err error) error {
	switch {
	case errors.Is(err, zip.ErrAlgorithm):
		return errors.New("is packed in a way that is not read")
	case errors.Is(err, zip.ErrFormat):
		return errors.New("is damaged: the archive contradicts itself about it")
	case errors.Is(err, zip.ErrChecksum):
		return errors.New("is damaged: its check sum is wrong")
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return errors.New("is cut off")
	case errors.As(err, new(flate.CorruptInputError)):
		return errors.New("is damaged: it cannot be unpacked")
	}
	return fmt.Errorf("cannot be read (%w)", err)
}
