package archive_test

import (
	"bytes"
	"strconv"
	"testing"

	"crownbench/wasm/archive"
	"crownbench/wasm/tray"
)

// A tray of 500 teeth with a photograph each, of 100 kB so that the machine's
// memory is not what is measured.
func BenchmarkFiveHundredSpecimens(b *testing.B) {
	f := filled{files: map[string][]byte{}}
	for i := range 500 {
		s := invented().specimens[0].Clone()
		s.ID = strconv.Itoa(i)
		s.Photos = s.Photos[:1]
		file := bytes.Repeat([]byte{byte(i), byte(i >> 8), 7, 9}, 25_000)
		f.give(&s.Photos[0], file)
		f.specimens = append(f.specimens, s)
	}
	source := f.source()
	var finder tray.Finder
	source.Find = finder.Find
	for name, with := range writers {
		b.Run("write/"+name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				var n counter
				if err := with(&n, source); err != nil {
					b.Fatal(err)
				}
				b.SetBytes(int64(n))
			}
		})
	}
	whole := write(b, source, own)
	b.Run("read/own archive", func(b *testing.B) {
		b.SetBytes(int64(len(whole)))
		b.ReportAllocs()
		for b.Loop() {
			if _, _, err := archive.Read(bytes.NewReader(whole), int64(len(whole)), func(string, []byte) error { return nil }); err != nil {
				b.Fatal(err)
			}
		}
	})
}
