package site

import "testing"

func TestAccepts(t *testing.T) {
	for _, c := range []struct {
		header   string
		br, gzip bool
		source   string
	}{
		// The five examples of RFC 9110, section 12.5.3 (from memory).
		{"compress, gzip", false, true, "RFC 9110, 12.5.3"},
		{"", false, false, "RFC 9110, 12.5.3; an empty field wants no coding"},
		{"*", true, true, "RFC 9110, 12.5.3"},
		{"compress;q=0.5, gzip;q=1.0", false, true, "RFC 9110, 12.5.3"},
		{"gzip;q=1.0, identity; q=0.5, *;q=0", false, true, "RFC 9110, 12.5.3"},
		// What browsers send, and what could go wrong.
		{"gzip, deflate, br, zstd", true, true, "Chromium"},
		{"br;q=0, gzip", false, true, "a weight of zero refuses"},
		{"*, br;q=0", false, true, "the named coding wins over the asterisk"},
		{"BR , GZIP", true, true, "codings have no case (RFC 9110, 8.4.1)"},
		{"br;q=rubbish, gzip;q=2", false, false, "a garbled weight gets the plain file"},
		{"br;q=NaN", false, false, "a garbled weight gets the plain file"},
		{"brotli", false, false, "only the whole name counts"},
	} {
		if got := accepts(c.header, "br"); got != c.br {
			t.Errorf("%q accepts br: %v, want %v (%s)", c.header, got, c.br, c.source)
		}
		if got := accepts(c.header, "gzip"); got != c.gzip {
			t.Errorf("%q accepts gzip: %v, want %v (%s)", c.header, got, c.gzip, c.source)
		}
	}
}

func FuzzAccepts(f *testing.F) {
	f.Add("gzip, deflate, br;q=0.8, *;q=0")
	f.Add(";;,=,q=;q")
	f.Fuzz(func(t *testing.T, header string) {
		// A coding that is refused at the end of a header stays refused however
		// the header began, unless it was named before.
		if accepts(header+", br;q=0", "br") && !accepts(header, "br") {
			t.Errorf("%q refuses br and %q accepts it", header, header+", br;q=0")
		}
	})
}
