package comparison

import (
	"fmt"
	"slices"

	"crownbench/classify"
)

// List is what a browser keeps of a person's own comparison teeth. The zero
// value is empty and in use.
type List struct {
	Teeth []Tooth `json:"teeth,omitempty"`
	Off   bool    `json:"off,omitempty"` // kept, but not compared with
}

// Sample is the comparison sample: the published teeth, and those of the list
// unless it is off.
func (l List) Sample() (*classify.Reference, error) {
	if l.Off || len(l.Teeth) == 0 {
		return classify.Published(), nil
	}
	var own []classify.Tooth
	for _, t := range l.Teeth {
		c, err := t.sample()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", t.Name, err)
		}
		own = append(own, c)
	}
	return classify.Published().With(own)
}

// Add gives the list with teeth added; one that is there already, by its ID,
// is replaced. It refuses a list longer than MaxTeeth.
func (l List) Add(teeth ...Tooth) (List, error) {
	all := slices.Clone(l.Teeth)
	for _, t := range teeth {
		if i := slices.IndexFunc(all, func(x Tooth) bool { return x.ID == t.ID }); i >= 0 {
			all[i] = t
		} else {
			all = append(all, t)
		}
	}
	if len(all) > MaxTeeth {
		return l, fmt.Errorf("at most %d teeth of your own can be compared with; these would be %d", MaxTeeth, len(all))
	}
	return List{Teeth: all, Off: l.Off}, nil
}

// Remove gives the list without the tooth of an ID.
func (l List) Remove(id string) List {
	return List{Teeth: slices.DeleteFunc(slices.Clone(l.Teeth), func(t Tooth) bool { return t.ID == id }), Off: l.Off}
}

// Sound gives the list without teeth that cannot be compared with, and how many
// they were: what a browser gives back may be of another version.
func (l List) Sound() (List, int) {
	sound := List{Off: l.Off}
	seen := map[string]bool{}
	for _, t := range l.Teeth {
		if t.Check() == nil && !seen[t.ID] && len(sound.Teeth) < MaxTeeth {
			seen[t.ID] = true
			sound.Teeth = append(sound.Teeth, t)
		}
	}
	return sound, len(l.Teeth) - len(sound.Teeth)
}
