package sheet

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"crownbench/classify"
	"crownbench/morph"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// Sheet is the print view of one specimen, for two or three pages of A4 or
// Letter: who it is, the sorting, the photographs with what was marked on them,
// the readings, the nearest published teeth, what was assumed, cautions and
// sources. A photograph without a Picture of its hash is drawn as its marks
// alone.
//
// The root is article.sheet; its parts are header.sheet-head and the sections
// .sheet-sorting, .sheet-photos, .sheet-readings, .sheet-nearest,
// .sheet-assumed, .sheet-cautions, .sheet-sources and footer.sheet-foot. Within
// them stand the tables .readings, .shares and .nearest, the figures
// figure.plate with svg.marked, and the words .invented, .said, .doubt, .own,
// .num and .small. Whatever tells things apart is a word, a letter or a shape,
// never a colour alone.
//
// Further sections, such as a map, stand between photographs and readings.
func Sheet(s *tray.Specimen, f tray.Finding, pictures []Picture, v Versions, further ...*m.Node) *m.Node {
	side := f.Beside()
	return m.El("article.sheet", m.Attr("aria-label", "Sheet"),
		head(s),
		sorting(f),
		photos(s, pictures),
		m.List(further),
		readings(f.Readings),
		neighbours(f, side),
		section("assumed", "What was assumed", list(assumed(s, f))),
		section("cautions", "Cautions", list(cautions(f))),
		section("sources", "Sources", sources(f, side.Papers)),
		m.El("footer.sheet-foot", m.El("p.small",
			m.Text("Measured and sorted with Crownbench "), verbatim(v.Program),
			m.Text("; sorting "), verbatim(v.sorting(f)), m.Text(dateWords(s)+"."))))
}

func section(name, heading string, content ...m.Item) *m.Node {
	return m.El("section.sheet-"+name, append([]m.Item{m.El("h2", m.Text(heading))}, content...)...)
}

// verbatim shows a text from outside. bdi keeps marks of writing direction in
// it from turning the words around it.
func verbatim(text string) *m.Node { return m.El("bdi", m.Text(text)) }

func list(sentences []string) *m.Node {
	ul := m.El("ul")
	for _, s := range sentences {
		ul.Children = append(ul.Children, m.El("li", verbatim(s)))
	}
	return ul
}

func head(s *tray.Specimen) *m.Node {
	name := s.Name
	if strings.TrimSpace(name) == "" {
		name = "Unnamed tooth"
	}
	facts := m.El("dl.sheet-facts")
	fact := func(term, text string) {
		if text != "" {
			facts.Children = append(facts.Children, m.El("div", m.El("dt", m.Text(term)), m.El("dd", verbatim(text))))
		}
	}
	row := string(s.Row)
	if row == "" {
		row = "not known"
	}
	fact("Tooth row", row)
	fact("Mesial denticles", string(s.Mesial))
	fact("Distal denticles", string(s.Distal))
	for _, f := range tray.Fields {
		if f.ID != "remarks" { // below, as they may be long
			fact(f.Label, f.Text(s.Public()))
		}
	}
	h := m.El("header.sheet-head", m.El("p.small", m.Text("Isolated tooth · specimen sheet")), m.El("h1", verbatim(name)))
	if s.Invented {
		h.Children = append(h.Children, m.El("p.invented", m.El("strong", m.Text("INVENTED")),
			m.Text(" — this tooth does not exist; it serves as an example.")))
	}
	h.Children = append(h.Children, facts)
	if s.Remarks != "" {
		h.Children = append(h.Children, m.El("p.remarks", m.El("b", m.Text("Remarks: ")), verbatim(s.Remarks)))
	}
	return h
}

func dateWords(s *tray.Specimen) string {
	if s.Changed.IsZero() {
		return ""
	}
	return "; record last changed on " + s.Changed.UTC().Format("2006-01-02 15:04") + " UTC"
}

// cladesShown is the number of clades on the sheet.
const cladesShown = 5

func shareTable(of string, body *m.Node) *m.Node {
	return m.El("table.shares", m.El("thead", m.El("tr", columnHead(of), columnHead("Nearest teeth"), columnHead("Share"))), body)
}

func shareRow(name string, count, of int, share float64) *m.Node {
	return m.El("tr", m.El("th", m.Attr("scope", "row"), verbatim(name)),
		m.El("td.num", m.Textf("%d of %d", count, of)), m.El("td.num", m.Textf("%.0f %%", 100*share)))
}

func columnHead(text string) *m.Node { return m.El("th", m.Attr("scope", "col"), m.Text(text)) }

func measures(ms []classify.Measure) string {
	if len(ms) == 0 {
		return "no measurement"
	}
	var names []string
	for _, x := range ms {
		names = append(names, string(x))
	}
	return strings.Join(names, ", ")
}

func photos(s *tray.Specimen, pictures []Picture) *m.Node {
	if len(s.Photos) == 0 {
		return nil
	}
	n := section("photos", "Photographs", m.El("p.small",
		m.Text("A mesial end of the crown base, G apex, B distal end of the crown base; crossed lines end a reading of the scale bar, short strokes are denticles. ~G, dashed, is an apex estimated for a broken crown, with a bar of one ± to either side. The solid bar at the lower left is drawn to scale.")))
	for _, p := range s.Photos {
		url := ""
		for _, pic := range pictures {
			if pic.Hash == p.Hash {
				url = pic.URL
				break
			}
		}
		n.Children = append(n.Children, m.El("figure.plate", figure(p, url), caption(p, url != "")))
	}
	return n
}

func caption(p tray.Photo, shown bool) *m.Node {
	c := m.El("figcaption", m.El("b", m.Text(capital(string(p.Role)))))
	say := func(text string) { c.Children = append(c.Children, m.El("span", m.Text(" · "), verbatim(text))) }
	if p.File != "" {
		say(p.File)
	}
	if p.Taken != "" {
		say("taken " + p.Taken)
	}
	if p.Device != "" {
		say(p.Device)
	}
	scale, err := p.Scale()
	if errors.Is(err, morph.ErrNoBar) {
		say("no scale")
	} else if err != nil {
		say("no scale: " + lower(strings.TrimSuffix(err.Error(), ".")))
	} else {
		text := fmt.Sprintf("scale %s px per mm ± %s %%, ", figures(scale.PxPerMM), figures(100*scale.RelU))
		if p.Flat != nil {
			text += cardWords(p)
		} else {
			text += "from " + plural(scale.Bars, "reading", "readings") + " of the bar"
		}
		if scale.Bars > 1 {
			text += fmt.Sprintf(", which differ by up to %s %%", figures(100*scale.Spread))
		}
		say(text)
	}
	if p.Depth != nil && err == nil {
		say(depthWords(p.Depth))
	}
	say("a placed point ± " + p.PointingError().String())
	if p.Crown != nil && p.Crown.ApexBroken {
		say(tipWords(p))
	}
	if p.Crown != nil && p.Crown.BaseBroken {
		say("base broken: heights are minima")
	}
	if !shown {
		say("the photograph is not at hand here; its marks are drawn alone")
	}
	return c
}

// cardWords tells which card set a scale and what tilt its corners undo.
func cardWords(p tray.Photo) string {
	text := fmt.Sprintf("from the corners of a card of %g × %g %s", p.Flat.Width, p.Flat.Height, unitOf(p.Flat.Unit))
	if degrees, u, ok := p.Tilt(); ok {
		return text + fmt.Sprintf(", which also undo its tilt of %s°", tray.FormatNumber(degrees, u, "°"))
	}
	return text + ", which also undo the tilt"
}

// depthWords tells how deep the tooth lay and what came of it.
func depthWords(d *morph.Depth) string {
	text := fmt.Sprintf("tooth %s mm nearer to the lens than the scale", figures(d.Offset))
	if d.Offset < 0 {
		text = fmt.Sprintf("tooth %s mm farther from the lens than the scale", figures(-d.Offset))
	}
	if d.Distance > 0 {
		return text + fmt.Sprintf(", which is %s mm from it: lengths are corrected for that", figures(d.Distance))
	}
	return text + fmt.Sprintf(", whose distance is not known: lengths are not corrected and ± is wider, for %g mm at least", morph.AssumedDistance)
}

// figures writes a number with three digits that mean something.
func figures(v float64) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	decimals := max(0, 2-int(math.Floor(math.Log10(math.Abs(v)))))
	return fmt.Sprintf("%.*f", min(decimals, 9), v)
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func lower(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// readings is the table of what is known, and a line of what is not.
func readings(rs morph.Readings) *m.Node {
	table := m.El("table.readings", m.El("thead", m.El("tr",
		columnHead("Reading"), columnHead("Value ± uncertainty"), columnHead("Unit"), columnHead("State"), columnHead("How"))))
	var missing []string // what is needed, in order
	needs := map[string][]string{}
	var body *m.Node
	group := ""
	for _, r := range rs {
		if !r.Known && r.State == morph.MeasuredState && r.Problem == "" {
			why := r.Needs
			if why == "" {
				why = "not known"
			}
			if needs[why] == nil {
				missing = append(missing, why)
			}
			needs[why] = append(needs[why], string(r.ID))
			continue
		}
		if body == nil || group != r.Group {
			group = r.Group
			body = m.El("tbody", m.El("tr.group", m.El("th", m.Attr("scope", "rowgroup"), m.Attr("colspan", "5"), m.Text(group))))
			table.Children = append(table.Children, body)
		}
		body.Children = append(body.Children, readingRow(r))
	}
	n := section("readings", "Readings")
	if body == nil {
		n.Children = append(n.Children, m.El("p", m.Text("Nothing has been measured yet.")))
	} else {
		n.Children = append(n.Children, table)
	}
	if len(missing) > 0 && body != nil {
		for i, why := range missing {
			missing[i] = fmt.Sprintf("%s (%s)", strings.Join(needs[why], ", "), why)
		}
		n.Children = append(n.Children, m.El("p.small", m.Text("Not known: "), verbatim(strings.Join(missing, "; ")), m.Text(".")))
	}
	return n
}

func readingRow(r morph.Reading) *m.Node {
	how := m.El("td.how", verbatim(r.How))
	for _, c := range r.Candidates {
		if c.Key == r.Key || c.How == r.How {
			continue
		}
		other := r
		other.Known, other.Value, other.U, other.State = true, c.Value, c.U, c.State
		how.Children = append(how.Children, m.El("span.other", m.Text("; also "), verbatim(tray.FormatReading(other)+", "+c.How)))
	}
	if r.Problem != "" {
		how.Children = append(how.Children, m.El("span.doubt", m.Text(" — doubt: "), verbatim(r.Problem)))
	}
	return m.El("tr",
		m.El("th", m.Attr("scope", "row"), m.El("abbr", m.Attr("title", r.Definition), m.Text(string(r.ID))), m.Text(" "+r.Name)),
		m.El("td.num", m.Text(tray.FormatValue(r))), m.El("td", m.Text(r.Unit)), m.El("td", m.Text(stateWord(r))), how)
}

// neighbours sets the tooth beside the nearest ones.
func neighbours(f tray.Finding, side tray.SideBySide) *m.Node {
	if len(side.Rows) == 0 {
		return nil
	}
	heads := m.El("tr", columnHead("Tooth"), columnHead("Shape class"), columnHead("Clade"))
	own := m.El("tr.own", m.El("th", m.Attr("scope", "row"), m.Text("This tooth")),
		m.El("td", m.Text(formWord(f.Answer.Form))), m.El("td", m.Text("—")))
	for i, x := range side.Measures {
		heads.Children = append(heads.Children, m.El("th", m.Attr("scope", "col"), m.El("abbr", m.Attr("title", x.Name()), m.Text(string(x))), m.Text(unitBelow(x.Unit()))))
		own.Children = append(own.Children, m.El("td.num", m.Text(side.This[i])))
	}
	heads.Children = append(heads.Children, columnHead("Distance"), columnHead("Source"))
	own.Children = append(own.Children, m.El("td.num", m.Text("0")), m.El("td", m.Text("—")))
	body := m.El("tbody", own)
	for _, x := range side.Rows {
		row := m.El("tr",
			m.El("th", m.Attr("scope", "row"), verbatim(x.Name), m.El("span.taxon", m.Text(" "), m.El("i", verbatim(x.Tooth.Taxon)))),
			m.El("td", m.Text(formWord(x.Tooth.Form))), m.El("td", verbatim(x.Tooth.Clade)))
		for _, cell := range x.Cells {
			row.Children = append(row.Children, m.El("td.num", m.Text(cell)))
		}
		paper := "own"
		if x.Paper > 0 {
			paper = fmt.Sprintf("[%d]", x.Paper)
		}
		row.Children = append(row.Children, m.El("td.num", m.Textf("%.2f", x.Distance)), m.El("td", m.Text(paper)))
		body.Children = append(body.Children, row)
	}
	note := "Nearest first. Names are the labels of the published table, not a determination of this tooth. Distance is in the space that the comparison learned. Age and place were not used."
	if f.Answer.Own > 0 {
		note += " Teeth marked own were added by whoever made this sheet."
	}
	return section("nearest", fmt.Sprintf("The %d nearest %s teeth", len(side.Rows), sampleWord(f.Answer)),
		m.El("table.nearest", m.El("thead", heads), body),
		m.El("p.small", m.Text(note)))
}

// sampleWord names the teeth that were compared with.
func sampleWord(a classify.Answer) string {
	if a.Own > 0 {
		return "comparison"
	}
	return "published"
}

func formWord(f classify.Form) string {
	if f == "" {
		return "—"
	}
	return string(f)
}

func unitBelow(unit string) string {
	if unit == "" {
		return ""
	}
	return " (" + unit + ")"
}

// assumed says what the numbers rest on that nobody measured.
func assumed(s *tray.Specimen, f tray.Finding) []string {
	var says []string
	say := func(format string, args ...any) { says = append(says, fmt.Sprintf(format, args...)) }
	switch s.Row {
	case tray.RowMesial:
		say("Tooth row: mesial (premaxilla or tip of the dentary), as given; it was compared with mesial crowns only.")
	case tray.RowLateral:
		say("Tooth row: lateral (maxilla or the rest of the dentary), as given; it was compared with lateral crowns only.")
	default:
		say("Tooth row: not known; it was compared with crowns of every place in the jaw.")
	}
	var sides []string
	for _, p := range s.Photos {
		if p.Role.Lateral() && !slices.Contains(sides, string(p.Role)) {
			sides = append(sides, string(p.Role))
		}
	}
	if len(sides) > 0 {
		say("Side: the faces shown (%s) are named as the person marked them. On an isolated tooth the face toward which the distal carina is displaced is taken as labial (Hendrickx & Mateus 2014).", strings.Join(sides, ", "))
	}
	say("DSDI is %s (%s).", s.DSDIRule(), map[morph.DSDIRule]string{
		morph.DSDIMid: "as in the table compiled by Hendrickx et al. 2024", morph.DSDIMean: "Smith 2005",
	}[s.DSDIRule()])
	say("CHR is %s (%s); CH is the straight distal side from apex to base, not a perpendicular height. CBL lies along the mesiodistal, CBW along the labiolingual axis as marked.", s.CHRRule(), map[morph.CHRRule]string{
		morph.CHRByLength: "Smith 2005", morph.CHRByLongAxis: "the longer of CBL and CBW, as Smith 2005 does for turned front teeth",
	}[s.CHRRule()])
	if slices.ContainsFunc(f.Readings, func(r morph.Reading) bool { return r.Known && r.Key == morph.EllipseKey }) {
		say("Where no base section is outlined, an ellipse of CBL and CBW stands in for it. Section properties are those of a solid, straight beam without pulp cavity, root or enamel; no biting force follows from them.")
	}
	if slices.ContainsFunc(s.Photos, func(p tray.Photo) bool { return p.Flat != nil }) {
		say("Plane: a printed card is taken to lie flat in the plane of the tooth, or in one parallel to it where a depth is stated; its corners undo the tilt of that plane against the camera, for a lens without distortion.")
	}
	if slices.ContainsFunc(s.Photos, func(p tray.Photo) bool { return p.Flat == nil && len(p.Bars) > 0 }) {
		const lens, nearer, tilt = 500, 10, 10
		offset, _ := morph.OffsetError(lens, nearer)
		say("Plane: the scale bar is taken to lie in the plane of the tooth and square to the camera. A tooth %d mm nearer to a lens %d mm away measures %.1f %% too long; a length tilted by %d° measures %.1f %% too short. The ± does not hold this.",
			nearer, lens, 100*offset, tilt, -100*morph.TiltError(tilt))
	}
	say("± is one standard uncertainty: of placed points, scale readings, counts and what was typed. A value without ± has none stated.")
	return says
}

// cautions says what a reader of the sheet should not forget.
func cautions(f tray.Finding) []string {
	says := slices.Clone(f.Answer.Cautions)
	return append(says,
		"A sorting by measurements is an aid, not a determination. The shape class is not a taxon, and shares of clades are not probabilities of belonging to them.",
		"First ask whether it is a theropod: crocodyliforms, phytosaurs, other archosauromorphs and large varanids can have blade-like toothed crowns too.",
		"Position in the jaw changes a crown's proportions within one animal; front teeth of blade-toothed animals are thick, and young tyrannosaurids have thin crowns.",
		"Like teeth of different ages or continents may belong to different animals; the comparison does not know age or place.",
		"Wear and breakage make heights minima (>) and take denticles away; absent is not the same as not preserved.",
		"Collecting, owning, selling and exporting fossils is regulated: permits, the owner of the land and local law come first. This sheet gives no legal advice. Keep the tooth with its locality in a public collection, and take care in spreading exact localities.")
}

// compilers are the papers whose tables the published teeth were taken from;
// see classify/reference/README.md.
var compilers = []string{
	"Hendrickx C. and others 2024, Journal of Vertebrate Paleontology 43(4): e2311791, doi 10.1080/02724634.2024.2311791",
	"Marques and others 2025, PeerJ 13: e19116, doi 10.7717/peerj.19116",
	"Wills and others 2023, Papers in Palaeontology e1487",
}

func sources(f tray.Finding, papers []string) *m.Node {
	div := m.El("div")
	if len(papers) > 0 {
		ol := m.El("ol")
		for _, text := range papers {
			ol.Children = append(ol.Children, m.El("li", verbatim(text)))
		}
		div.Children = append(div.Children, ol,
			m.El("p.small", m.Textf("The %d published teeth were taken from the tables of: %s.", len(classify.Published().Teeth()), strings.Join(compilers, "; "))))
	}
	definitions := definitionsOf(f.Readings)
	if len(definitions) > 0 {
		div.Children = append(div.Children, m.El("p.small", m.Text("Definitions of the readings: "), verbatim(strings.Join(definitions, "; ")), m.Text(".")))
	}
	if len(div.Children) == 0 {
		div.Children = append(div.Children, m.El("p.small", m.Text("None: nothing was measured or compared.")))
	}
	return div
}
