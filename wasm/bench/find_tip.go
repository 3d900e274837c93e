package bench

import (
	"fmt"

	"crownbench/morph"
	"crownbench/morph/vision"
	"gonum.org/v1/gonum/spatial/r2"
)

// findTip carries both edges of the crown on to where they would meet. It needs
// no look at the picture.
func (w crownWalk) findTip() Action {
	return Action{"Estimate the tip from both edges", "t", func() {
		w.active = mark{}
		w.offer = offer{search: search{
			undo:     "take the estimated tip",
			replaces: func() string { return "" },
			take: func(v, found *morph.View) {
				if v.Crown != nil {
					t := *found.Crown.Tip
					v.Crown.Tip = &t
				}
			},
		}}
		w.settle(w.tip())
		w.redraw()
	}}
}

func (w crownWalk) tip() (finding, error) {
	c := w.crown()
	apex, err := vision.Tip(dense(c.Path[:c.Apex+1].Polyline()), dense(c.Path[c.Apex:].Polyline()))
	if err != nil {
		return finding{}, err
	}
	far := distance(apex.At, c.Path[c.Apex].Vec())
	say := fmt.Sprintf("The tip may have been %.0f ± %.0f px beyond what is left.", far, apex.U)
	if scale := w.pxPerMM(); scale > 0 {
		say = fmt.Sprintf("The tip may have been %.1f ± %.1f mm beyond what is left.", far/scale, apex.U/scale)
	}
	if !w.TellsReadings() {
		say = "This is where the tip may have been."
	}
	c.Tip = &morph.Tip{X: apex.At.X, Y: apex.At.Y, U: apex.U}
	return finding{view: morph.View{Crown: &c}, say: say + " CH and AL will be marked as estimated."}, nil
}

// dense gives a line more points where it has few, so that an edge clicked in a
// few places has a course to carry on.
func dense(line []r2.Vec) []r2.Vec {
	const enough = 40
	for len(line) > 1 && len(line) < enough {
		out := make([]r2.Vec, 0, 2*len(line))
		for i, p := range line {
			if i > 0 {
				out = append(out, r2.Scale(0.5, r2.Add(line[i-1], p)))
			}
			out = append(out, p)
		}
		line = out
	}
	return line
}
