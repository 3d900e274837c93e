package toothphoto

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Truth is the exact geometry behind a photograph. Points are pixels of the
// picture (see the package comment); Measurements are millimetres and degrees
// of the tooth itself and are the same for every photograph of it. A point
// that falls outside the picture, as happens in close-ups, is nil.
type Truth struct {
	Name          string
	View          View
	Width, Height int
	PxPerMM       float64
	Rotation      float64 // degrees clockwise
	Mirrored      bool    // whether left and right are swapped against the tooth frame
	Tilt          float64 // degrees

	Bar BarTruth

	// A, G and B are the mesial base point, apex and distal base point. G is
	// the highest preserved point when the apex is broken.
	A, G, B *r2.Vec
	// IntactG is where the apex was; it differs from G only when broken.
	IntactG *r2.Vec

	// Outline is the walk A … G … B along every preserved denticle; Apex is
	// the index of G in it. The crown is closed by Cervix, B back to A.
	Outline []r2.Vec
	Apex    int
	// PlainOutline is the same walk along the carinae, at the level of the
	// notches between denticles; PlainApex is the index of G.
	PlainOutline []r2.Vec
	PlainApex    int
	Cervix       []r2.Vec

	// Section is the section outline of a section view, from the mesial end
	// along the labial side to the distal end and back.
	Section                 []r2.Vec
	MesialEnd, DistalEnd    *r2.Vec
	LabialMost, LingualMost *r2.Vec

	Mesial, Distal []DenticleTruth

	Measurements Measurements
}

// BarTruth is the scale bar: the two ends in pixels and the length between
// them. Length 0 means that the picture has none.
type BarTruth struct {
	Style  BarStyle
	Length float64 // mm
	Ends   [2]r2.Vec
}

// DenticleTruth is one preserved denticle that shows in the picture.
type DenticleTruth struct {
	Index int    // counted from the base of the row, 0 first
	Tip   r2.Vec // px, the outermost point of the lobe
	Foot  r2.Vec // px, the point of the carina under the tip
	// Notches are the points of the carina, px, where the denticle begins and
	// ends, the basal one first. Neighbours share a notch.
	Notches [2]r2.Vec
	Third   Third   // of the carina
	Along   float64 // mm of carina from its base point to the foot
	Height  float64 // mm from foot to tip
}

// Third is a third of the arc length of a carina.
type Third string

const (
	BasalThird  Third = "basal"
	MidThird    Third = "mid"
	ApicalThird Third = "apical"
)

// Measurements are the true values of a tooth, in mm, mm², mm⁴ and degrees.
type Measurements struct {
	CBL, CBW, CH, AL float64
	CBR              float64 // CBW / CBL
	CHR              float64 // CH / CBL
	// CMA, CAA and CDA are the angles of the triangle A-G-B at the mesial base
	// point, the apex and the distal base point; CMA is Smith's crown angle.
	CMA, CAA, CDA float64

	MCL float64 // mesiodistal length at half crown height, between the carinae
	MCW float64 // labiolingual width at half crown height
	MCR float64 // MCW / MCL
	// MCLTips is MCL between the tips of the denticles, as a calliper finds it.
	MCLTips float64

	// MSL is the length of the serrated part of the mesial carina along the
	// curve, worn denticles included, and MSLChord the straight one. Both are 0
	// without denticles.
	MSL, MSLChord float64

	// MesialArc and DistalArc are the lengths of the carinae along the curve,
	// to the intact apex.
	MesialArc, DistalArc float64

	// Area is that of the preserved crown within the walk A … G … B along the
	// denticles, closed by the straight line B–A; AreaPlain follows the
	// carinae instead of the denticles; AreaCervix is Area closed by the curved
	// enamel base line instead of the straight one.
	Area, AreaPlain, AreaCervix float64

	BaseSection SectionProperties
	MidSection  SectionProperties

	Mesial, Distal RowTruth
	// DSDIMid is MC/DC and DSDIMean is MAVG/DAVG, the two definitions in use;
	// of the rows as they grew, worn parts included; 0 when either row lacks a
	// value that it needs.
	DSDIMid, DSDIMean float64

	// ApexBroken marks CH and AL as those of the intact tooth; what is left of
	// them, to the highest preserved point, is in CHPreserved and ALPreserved.
	ApexBroken               bool
	CHPreserved, ALPreserved float64
}

// RowTruth is the denticle row of one carina.
type RowTruth struct {
	Present bool
	// Count is the number of preserved denticles; Original includes those worn
	// away or lost with the apex.
	Count, Original int
	// Apical, Mid and Basal are the densities in the thirds of the carina.
	Apical, Mid, Basal DensityTruth
	// Mean is the mean of the three, and 0 when one is missing.
	Mean float64
}

// DensityTruth is a denticle density at one position. It is the mean over a
// window of carina of up to 5 mm, centred in the part of the row that lies in
// the third; fractions of denticles count, so a person's whole count may
// differ by half a denticle.
type DensityTruth struct {
	// Present is false where the row does not reach into the third by at
	// least four denticles.
	Present bool
	// Preserved is false when a denticle in the window is worn or lost.
	Preserved bool
	Per5mm    float64
	Window    float64 // mm of carina
	From, To  float64 // mm of carina from its base point
}

// measure computes the true values of a crown.
func (c *crown) measure() (Measurements, error) {
	t := c.tooth
	m := Measurements{
		CBL: t.CBL, CBW: t.CBW, CH: t.CH, AL: t.AL,
		CBR: t.CBW / t.CBL, CHR: t.CH / t.CBL,
		CMA:       angle(t.CBL, t.AL, t.CH),
		CAA:       angle(t.AL, t.CH, t.CBL),
		CDA:       angle(t.CBL, t.CH, t.AL),
		MesialArc: c.mesial.length,
		DistalArc: c.distal.length,
	}
	ms, mp := c.mesial.crossing(c.apex.Y / 2)
	ds, dp := c.distal.crossing(c.apex.Y / 2)
	m.MCL = dp.X - mp.X
	m.MCW = t.midWidth()
	m.MCR = m.MCW / m.MCL
	m.MCLTips = m.MCL + c.mesialRow.reach(&c.mesial, ms) + c.distalRow.reach(&c.distal, ds)
	if c.mesialRow.count > 0 {
		m.MSL = c.mesialRow.to - c.mesialRow.from
		p, _ := c.mesial.at(c.mesialRow.from)
		q, _ := c.mesial.at(c.mesialRow.to)
		m.MSLChord = r2.Norm(r2.Sub(q, p))
	}
	walk, _ := c.path(true)
	plain, _ := c.path(false)
	m.Area = math.Abs(area(walk))
	m.AreaPlain = math.Abs(area(plain))
	m.AreaCervix = m.Area + t.Cervix*t.CBL*t.CBL*2/3
	var err error
	if m.BaseSection, err = t.Section.Properties(t.CBL, t.CBW); err != nil {
		return m, err
	}
	if m.MidSection, err = t.Section.Properties(m.MCL, m.MCW); err != nil {
		return m, err
	}
	ml, dl := c.limits()
	m.Mesial = c.mesialRow.truth(ml)
	m.Distal = c.distalRow.truth(dl)
	if m.Mesial.Mid.Present && m.Distal.Mid.Present {
		m.DSDIMid = m.Mesial.Mid.Per5mm / m.Distal.Mid.Per5mm
	}
	if m.Mesial.Mean > 0 && m.Distal.Mean > 0 {
		m.DSDIMean = m.Mesial.Mean / m.Distal.Mean
	}
	top := c.preservedApex()
	m.ApexBroken = c.breakLine != nil
	m.CHPreserved = r2.Norm(r2.Sub(top, r2.Vec{X: t.CBL}))
	m.ALPreserved = r2.Norm(top)
	return m, nil
}

// angle returns the angle in degrees between sides a and b, opposite to side
// c: the law of cosines.
func angle(a, b, c float64) float64 {
	return math.Acos((a*a+b*b-c*c)/(2*a*b)) * 180 / math.Pi
}

// area returns the signed area of a closed polygon, positive when it runs
// counter-clockwise with y up.
func area(pts []r2.Vec) float64 {
	sum := 0.0
	for i, p := range pts {
		sum += r2.Cross(p, pts[(i+1)%len(pts)])
	}
	return sum / 2
}

// reach returns how far denticle tips near arc length s stand out from the
// carina in the mesiodistal direction, in mm.
func (d *denticles) reach(c *carina, s float64) float64 {
	if d.count == 0 || s < d.from || s > d.to {
		return 0
	}
	i := min(int(d.phaseAt(s)), d.count-1)
	_, n := c.at(s)
	return d.height(i) / math.Abs(n.X)
}

// truth returns the row as it is preserved up to arc length limit.
func (d *denticles) truth(limit float64) RowTruth {
	r := RowTruth{Present: d.count > 0, Original: d.count}
	if d.count == 0 {
		return r
	}
	for i := 0; i < d.preserved(limit); i++ {
		if !d.worn(i) {
			r.Count++
		}
	}
	third := d.length / 3
	r.Basal = d.density(0, third, limit)
	r.Mid = d.density(third, 2*third, limit)
	r.Apical = d.density(2*third, d.length, limit)
	if r.Basal.Present && r.Mid.Present && r.Apical.Present {
		r.Mean = (r.Basal.Per5mm + r.Mid.Per5mm + r.Apical.Per5mm) / 3
	}
	return r
}

// density averages the row over up to 5 mm in the middle of its part between
// two arc lengths.
func (d *denticles) density(from, to, limit float64) DensityTruth {
	from, to = math.Max(from, d.from), math.Min(to, d.to)
	if to <= from || d.phaseAt(to)-d.phaseAt(from) < 4 {
		return DensityTruth{}
	}
	width := math.Min(5, to-from)
	mid := (from + to) / 2
	w := DensityTruth{Present: true, Preserved: true, Window: width, From: mid - width/2, To: mid + width/2}
	w.Per5mm = d.window(w.From, w.To)
	for i := int(d.phaseAt(w.From)); i <= min(int(d.phaseAt(w.To)), d.count-1); i++ {
		if d.worn(i) || i >= d.preserved(limit) {
			w.Preserved = false
		}
	}
	return w
}

// third names the third of the carina that arc length s lies in.
func (d *denticles) third(s float64) Third {
	switch f := s / d.length; {
	case f < 1./3:
		return BasalThird
	case f < 2./3:
		return MidThird
	}
	return ApicalThird
}

// seen lists the preserved denticles whose tips show in the picture.
func (d *denticles) seen(c *carina, limit float64, cam *camera, s Shot) []DenticleTruth {
	var out []DenticleTruth
	for i := 0; i < d.preserved(limit); i++ {
		if d.worn(i) {
			continue
		}
		at := d.tip(i)
		p, n := c.at(at)
		h := d.height(i)
		tip := cam.px(r2.Add(p, r2.Scale(h, n)))
		if !s.inside([]r2.Vec{tip}) {
			continue
		}
		first, _ := c.at(d.place(float64(i)))
		last, _ := c.at(d.place(float64(i + 1)))
		out = append(out, DenticleTruth{
			Index: i, Tip: tip, Foot: cam.px(p),
			Notches: [2]r2.Vec{cam.px(first), cam.px(last)},
			Third:   d.third(at), Along: at, Height: h,
		})
	}
	return out
}
