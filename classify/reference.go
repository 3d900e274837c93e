package classify

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"sync"

	"crownbench/classify/internal/model"
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
	hash    string
	own     int // teeth added by the user, the last ones

	versionOnce sync.Once
	version     string

	mu     sync.Mutex
	panels map[string]*panel // by task, built at first use
	deeps  *panel            // for reach
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
	return &Reference{teeth: teeth, sources: sources, hash: hex.EncodeToString(sum[:])}
})

// With returns a sample of r's teeth and the given ones, for instance a
// collection's own identified crowns. r stays as it is, so that a page can
// switch between the two. Distances are those learned from the published teeth;
// the coverage stated for sets was measured without the added ones, which the
// answers say.
//
// The error names the first tooth that cannot be added: without an id or a
// clade, or with an id already taken. A tooth without an Individual counts as
// an animal of its own.
func (r *Reference) With(teeth []Tooth) (*Reference, error) {
	taken := make(map[string]bool, len(r.teeth))
	for i := range r.teeth {
		taken[r.teeth[i].ID] = true
	}
	all := slices.Clone(r.teeth)
	for i, t := range teeth {
		switch {
		case t.ID == "":
			return nil, fmt.Errorf("tooth %d of those to be added has no id", i+1)
		case taken[t.ID]:
			return nil, fmt.Errorf("tooth %d of those to be added has the id %q, which is taken", i+1, t.ID)
		case t.Clade == "" && t.Form == "":
			return nil, fmt.Errorf("tooth %q has neither a clade nor a form, so there is nothing to learn from it", t.ID)
		case t.Form != "" && !slices.Contains(Forms(), t.Form):
			return nil, fmt.Errorf("tooth %q has the form %q; blade, robust or front is expected", t.ID, t.Form)
		}
		taken[t.ID] = true
		if t.Individual == "" {
			t.Individual = "tooth " + t.ID
		}
		t.own = true
		all = append(all, t)
	}
	return &Reference{teeth: all, sources: r.sources, hash: r.hash, own: r.own + len(teeth)}, nil
}

// Clades lists the clades that teeth are compared with, in alphabetical order.
// A tooth of another clade has no part in the clades' shares.
func Clades() []string {
	i := slices.IndexFunc(learned().Tasks, func(t *model.Task) bool { return t.Name == "clade" })
	return slices.Sorted(slices.Values(learned().Tasks[i].Classes))
}

// Teeth returns the teeth of the sample in table order, added ones last.
func (r *Reference) Teeth() []Tooth { return r.teeth }

// Own returns how many of the teeth were added with [Reference.With].
func (r *Reference) Own() int { return r.own }

// Sources returns the papers that the published teeth come from.
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

// Hash returns the SHA-256 of the table of published teeth, hexadecimal. Teeth
// added to a sample do not change it.
func (r *Reference) Hash() string { return r.hash }

// Version names the sample and the model: the first eight digits of the hash
// of the teeth, the model's version, and the number of added teeth.
func (r *Reference) Version() string {
	r.versionOnce.Do(func() {
		r.version = fmt.Sprintf("teeth %.8s, model %s", r.hash, learned().Version)
		if r.own > 0 {
			r.version += fmt.Sprintf(", %d own teeth", r.own)
		}
	})
	return r.version
}
