package classify

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"strings"
	"sync"
)

//go:embed reference/teeth.csv
var teethTable string

//go:embed reference/sources.csv
var sourcesTable string

// Reference is a sample of identified teeth that queries are compared with.
// It is safe for concurrent use. Its teeth must not be changed.
type Reference struct {
	teeth   []Tooth
	sources []Source
	version string

	mu      sync.Mutex
	samples map[sampleKey]*sample // built at first use
}

// Published returns the published teeth that the program carries. They are
// read at the first call; the cost is a few milliseconds.
var Published = sync.OnceValue(func() *Reference {
	teeth, err := ReadTeeth(strings.NewReader(teethTable))
	if err != nil {
		panic("reference/teeth.csv: " + err.Error())
	}
	sources, err := ReadSources(strings.NewReader(sourcesTable))
	if err != nil {
		panic("reference/sources.csv: " + err.Error())
	}
	sum := sha256.Sum256([]byte(teethTable))
	return newReference(teeth, sources, hex.EncodeToString(sum[:4]))
})

func newReference(teeth []Tooth, sources []Source, version string) *Reference {
	return &Reference{teeth: teeth, sources: sources, version: version, samples: make(map[sampleKey]*sample)}
}

// Teeth returns the teeth of the sample in table order.
func (r *Reference) Teeth() []Tooth { return r.teeth }

// Sources returns the papers that the teeth come from.
func (r *Reference) Sources() []Source { return r.sources }

// Source returns the paper with the given key.
func (r *Reference) Source(key string) (Source, bool) {
	for _, s := range r.sources {
		if s.Key == key {
			return s, true
		}
	}
	return Source{}, false
}

// Version names the sample: the first eight hexadecimal digits of the
// table's SHA-256.
func (r *Reference) Version() string { return r.version }
