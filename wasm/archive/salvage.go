package archive

import (
	"archive/zip"
	"compress/flate"
	"encoding/binary"
	"io"
)

// salvage lists the whole files of a zip archive whose list at the end is
// missing, by walking from one file to the next as far as their heads (PKWARE's
// APPNOTE, section 4.3.7) are sound. It only follows files whose size stands in
// the head, as pack.go writes them.
func salvage(r io.ReaderAt, size int64) []*file {
	const headBytes = 30
	var files []*file
	head := make([]byte, headBytes)
	for at := int64(0); len(files) <= MaxFiles; {
		if _, err := r.ReadAt(head, at); err != nil || string(head[:4]) != "PK\x03\x04" {
			return files
		}
		u16 := func(i int) int64 { return int64(binary.LittleEndian.Uint16(head[i:])) }
		u32 := func(i int) int64 { return int64(binary.LittleEndian.Uint32(head[i:])) }
		const sizesFollow = 0x8
		flags, method, packed, unpacked := u16(6), u16(8), u32(18), u32(22)
		name := make([]byte, u16(26))
		begin := at + headBytes + u16(26) + u16(28)
		if _, err := r.ReadAt(name, at+headBytes); err != nil || flags&sizesFollow != 0 || begin+packed > size {
			return files
		}
		files = append(files, &file{name: string(name), size: uint64(unpacked), open: func() (io.Reader, error) {
			content := io.NewSectionReader(r, begin, packed)
			switch uint16(method) {
			case zip.Store:
				return content, nil
			case zip.Deflate:
				return flate.NewReader(content), nil
			}
			return nil, zip.ErrAlgorithm
		}})
		at = begin + packed
	}
	return files
}
