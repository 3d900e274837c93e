package archive

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"hash/crc32"
	"io"
)

// part is a file of an archive that is written before its place in the archive
// comes: compressed at once, so that tables of a large tray take little memory.
type part struct {
	name  string
	bytes int64
	crc   hash.Hash32
	sum   hash.Hash
	small bytes.Buffer
	pack  *flate.Writer
}

func newPart(name string) *part {
	p := &part{name: name, crc: crc32.NewIEEE(), sum: sha256.New()}
	// The only error is that of an unknown level.
	p.pack, _ = flate.NewWriter(&p.small, flate.DefaultCompression)
	return p
}

func (p *part) Write(b []byte) (int, error) {
	p.bytes += int64(len(b))
	p.crc.Write(b)
	p.sum.Write(b)
	return p.pack.Write(b)
}

// hash is the SHA-256 of what was written, in hexadecimal.
func (p *part) hash() string { return hex.EncodeToString(p.sum.Sum(nil)) }

// put writes a part into the archive. Sizes and sums stand before the content,
// so that a file that was cut off can be read as far as it goes.
func put(z *zip.Writer, p *part) error {
	if err := p.pack.Close(); err != nil {
		return err
	}
	return raw(z, &zip.FileHeader{
		Name: p.name, Method: zip.Deflate, CRC32: p.crc.Sum32(),
		CompressedSize64: uint64(p.small.Len()), UncompressedSize64: uint64(p.bytes),
	}, p.small.Bytes())
}

// putStored writes a file that no compression makes smaller, such as a
// photograph.
func putStored(z *zip.Writer, name string, b []byte) error {
	return raw(z, &zip.FileHeader{
		Name: name, Method: zip.Store, CRC32: crc32.ChecksumIEEE(b),
		CompressedSize64: uint64(len(b)), UncompressedSize64: uint64(len(b)),
	}, b)
}

const (
	firstZipDate = 1<<5 | 1 // 1980-01-01 in the form of MS-DOS, the first there is
	utf8Names    = 0x800
)

func raw(z *zip.Writer, h *zip.FileHeader, content []byte) error {
	h.ModifiedDate, h.Flags = firstZipDate, utf8Names
	w, err := z.CreateRaw(h)
	if err != nil {
		return err
	}
	_, err = w.Write(content)
	return err
}

// writeZip writes parts as they stand.
func writeZip(w io.Writer, parts ...*part) error {
	z := zip.NewWriter(w)
	for _, p := range parts {
		if err := put(z, p); err != nil {
			return err
		}
	}
	return z.Close()
}
