package ripple

import "fmt"

// bare gives the stretches of the guide, two periods long at least, that lie
// outside the rows.
func (k look) bare(r *Row, o Options) []Bare {
	var out []Bare
	end := len(k.guide.points) - 1
	from := 0
	for i := 0; i <= len(k.rows); i++ {
		to := end
		if i < len(k.rows) {
			to = k.rows[i].from
		}
		b := Bare{From: float64(from) * k.guide.step, To: float64(to) * k.guide.step, Between: i > 0 && i < len(k.rows)}
		if b.To-b.From >= 2*r.Period {
			b.A, b.B = k.guide.over(b.From, 0), k.guide.over(b.To, 0)
			b.Say = b.say(k.guide.length(), o)
			out = append(out, b)
		}
		if i < len(k.rows) {
			from = k.rows[i].to
		}
	}
	return out
}

// say tells where it lies, as parts of the way from base to apex, or of the line
// where only a third shows.
func (b Bare) say(whole float64, o Options) string {
	f, t := 100*b.From/whole, 100*b.To/whole
	way := "from the base to the apex"
	if o.FromApex {
		f, t = 100-t, 100-f
	}
	if o.Third != "" {
		way = "along the line"
	}
	why := "worn there, or never serrated"
	if b.Between {
		why = "worn or chipped there"
	}
	return fmt.Sprintf("No denticles show between %.0f %% and %.0f %% of the way %s: %s.", f, t, way, why)
}
