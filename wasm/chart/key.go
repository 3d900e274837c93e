package chart

import (
	"gonum.org/v1/gonum/spatial/r2"

	m "crownbench/wasm/markup"
)

// keyEntry is one sign of the key with its name, in place.
type keyEntry struct{ nodes []*m.Node }

// placeKeys sets the signs of the marks in rows above the frame and gives the
// height that they take. Marks of one name share a sign.
func (p Plot) placeKeys(left, right, top float64) (entries []keyEntry, height float64) {
	at := r2.Vec{X: left, Y: top + 0.7*p.Letter}
	seen := map[string]bool{}
	for _, k := range p.Marks {
		name, _ := k.key(at)
		if name == "" || seen[name] {
			continue
		}
		seen[name] = true
		name = fitting(name, right-left-1.4*p.Letter, p.Letter)
		wide := 1.4*p.Letter + textWidth(name, p.Letter)
		if at.X > left && at.X+wide > right {
			at = r2.Vec{X: left, Y: at.Y + 1.5*p.Letter}
		}
		_, sign := k.key(r2.Vec{X: at.X + 0.5*p.Letter, Y: at.Y})
		label := Layout{letter: p.Letter}.text(r2.Vec{X: at.X + 1.4*p.Letter, Y: at.Y + 0.35*p.Letter}, name, "start", inkColour)
		entries = append(entries, keyEntry{append(sign, label)})
		at.X += wide + p.Letter
	}
	if len(entries) == 0 {
		return nil, 0
	}
	return entries, at.Y - top + 1.2*p.Letter
}
