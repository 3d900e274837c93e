package lesson

import "crownbench/morph/agreement"

// ByStudent is what one student made of one reading.
type ByStudent struct {
	Teeth      int     // that the student measured
	Keyed      int     // of those, how many the key has
	Difference float64 // mean difference from the key
	Repeated   bool    // whether anything was measured twice
	TEM        float64 // the student's own error within, where Repeated
}

// By gives what a student, by place in Students, made of each reading.
func (c *Class) By(student int) []ByStudent {
	var out []ByStudent
	for i := range c.Readings {
		out = append(out, c.Readings[i].by(student))
	}
	return out
}

func (r *Reading) by(student int) ByStudent {
	var x ByStudent
	var ms []agreement.Measurement
	for _, v := range r.Values {
		if v.Student == student {
			ms = append(ms, agreement.Measurement{Tooth: v.Tooth, Value: v.Value})
		}
	}
	if e, err := agreement.ErrorsOf(ms); err == nil {
		x.Teeth = e.Teeth
		x.Repeated, x.TEM = e.Within.Known, e.Within.TEM
	}
	for _, p := range r.Points {
		if p.Student == student {
			x.Keyed++
			x.Difference += p.Difference
		}
	}
	if x.Keyed > 0 {
		x.Difference /= float64(x.Keyed)
	}
	return x
}
