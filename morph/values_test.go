package morph_test

import (
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph"
)

// Values says of every tooth what Read says, but for ±.
func TestValuesAreThoseOfRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tooth := anyTooth(t)
		with, without := morph.Read(tooth), morph.Values(tooth)
		for i, r := range with {
			v := without[i]
			if v.ID != r.ID || v.Known != r.Known || v.Value != r.Value || v.State != r.State || v.Key != r.Key || v.Needs != r.Needs || v.U != 0 {
				t.Fatalf("%+v, want %+v", v, r)
			}
		}
	})
}

func BenchmarkValues(b *testing.B) {
	for _, via := range []int{0, 2000} {
		tooth := inventedTooth(40, via, 30)
		b.Run("via="+strconv.Itoa(via), func(b *testing.B) {
			for b.Loop() {
				morph.Values(tooth)
			}
		})
	}
}
