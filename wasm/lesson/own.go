package lesson

import (
	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph"
	"crownbench/morph/agreement"
)

// Own is one student's result tooth by tooth.
type Own struct {
	Student Student
	Teeth   []OwnTooth
}

// OwnTooth is one tooth of a student's result.
type OwnTooth struct {
	Name     string
	Photos   []OwnPhoto
	Readings []OwnReading
	// Chosen and Truth are names, "" where there is none.
	Chosen, Truth string
}

// OwnPhoto is a photograph with the student's landmarks beside the key's.
type OwnPhoto struct {
	Photo     *Photo
	Landmarks []OwnLandmark
}

// OwnLandmark is a landmark in px of the upright photograph.
type OwnLandmark struct {
	Kind   agreement.Landmark
	Repeat int // from 1
	At     r2.Vec
	// Key is where the key has it, when Keyed; Off how far apart they are, in
	// px.
	Key   r2.Vec
	Keyed bool
	Off   float64
}

// OwnReading is a reading of the student beside those of key and class.
type OwnReading struct {
	Quantity morph.Quantity
	Values   []Value // one a repeat
	Tooth    ToothReading
}

// Own gives the result of a student by place in Students.
func (c *Class) Own(student int) Own {
	k, l := c.Key, c.Key.Lesson
	o := Own{Student: c.Students[student]}
	for t := range l.Teeth {
		own := OwnTooth{Name: l.Teeth[t].Name, Truth: k.Teeth[t].Truth}
		for i := range l.Teeth[t].Photos {
			own.Photos = append(own.Photos, OwnPhoto{Photo: &l.Teeth[t].Photos[i]})
		}
		for _, e := range o.Student.Answer.Entries {
			if e.Tooth != l.Teeth[t].ID {
				continue
			}
			if own.Chosen == "" {
				own.Chosen = e.Choice
			}
			for i := range own.Photos {
				p := &own.Photos[i]
				for _, v := range e.Views {
					if v.ID == p.Photo.ID {
						p.add(v, e.Repeat, k.Teeth[t].view(v.ID))
					}
				}
			}
		}
		for _, r := range c.Readings {
			own.Readings = append(own.Readings, OwnReading{Quantity: r.Quantity, Values: r.of(student, t), Tooth: r.Teeth[t]})
		}
		o.Teeth = append(o.Teeth, own)
	}
	return o
}

// of gives the values of a student for a tooth.
func (r *Reading) of(student, tooth int) []Value {
	var out []Value
	for _, v := range r.Values {
		if v.Student == student && v.Tooth == tooth {
			out = append(out, v)
		}
	}
	return out
}

// view gives the key's marks on a photograph by the lesson's ID of it, nil
// where there are none.
func (t *KeyTooth) view(photo string) *morph.View {
	p := t.Specimen.Photo(t.Photos[photo])
	if p == nil {
		return nil
	}
	return &p.View
}

func (p *OwnPhoto) add(v morph.View, repeat int, key *morph.View) {
	var keyed []agreement.Placed
	if key != nil {
		keyed = agreement.PlacesOf(*key)
	}
	for _, at := range agreement.PlacesOf(v) {
		m := OwnLandmark{Kind: at.Kind, Repeat: repeat, At: at.At}
		// The nearest of its kind: a scale bar may be read from either end.
		for _, q := range keyed {
			if q.Kind != at.Kind {
				continue
			}
			if d := r2.Norm(r2.Sub(q.At, at.At)); !m.Keyed || d < m.Off {
				m.Key, m.Keyed, m.Off = q.At, true, d
			}
		}
		p.Landmarks = append(p.Landmarks, m)
	}
}
