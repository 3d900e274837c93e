package lesson

import (
	"fmt"
	"math"
	"strings"

	m "crownbench/wasm/markup"
	"crownbench/wasm/sheet"
)

// Report is the class's report as a piece of a page, in the look of the sheet
// (class "sheet").
func (c *Class) Report() *m.Node {
	l := c.Key.Lesson
	article := m.El("article.sheet.class-report",
		m.El("h1", m.Text("Class report: "+l.Title)),
		m.If(l.Invented, m.El("p.invented", m.Text("The teeth are invented; nothing here says anything about a real animal."))),
		m.El("p", m.Text(c.counted())),
		m.If(len(c.Problems) > 0, c.problems()),
	)
	add := func(n *m.Node) { article.Children = append(article.Children, n) }
	for i := range c.Readings {
		add(c.reading(i))
	}
	if c.Naming != nil {
		add(c.naming())
	}
	if n := c.apart(); n != nil {
		add(n)
	}
	add(terms())
	if l.Cautions != "" {
		add(section("Cautions", paragraphs(l.Cautions)...))
	}
	return article
}

// HTML is the report as a file of its own.
func (c *Class) HTML() []byte { return sheet.Standalone(c.Report()) }

func (c *Class) counted() string {
	left := 0
	for _, p := range c.Problems {
		if !p.Counted && p.File != "" {
			left++
		}
	}
	text := fmt.Sprintf("%s on %s, each measured %s.", counted(len(c.Students), "student"), counted(len(c.Key.Lesson.Teeth), "tooth"), times(c.Key.Lesson.Repeats))
	if left > 0 {
		text += fmt.Sprintf(" %s not counted.", counted(left, "file"))
	}
	return text
}

func counted(n int, what string) string {
	switch {
	case n == 1:
		return "1 " + what
	case what == "tooth":
		return fmt.Sprintf("%d teeth", n)
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

func (c *Class) problems() *m.Node {
	var items []*m.Node
	for _, p := range c.Problems {
		items = append(items, m.El("li", m.El("bdi", m.Text(p.Text))))
	}
	return section("Files with something wrong", m.El("ul", m.List(items)))
}

func section(title string, content ...*m.Node) *m.Node {
	return m.El("section", m.El("h2", m.Text(title)), m.List(content))
}

// paragraphs makes paragraphs of plain text, parted by empty lines.
func paragraphs(text string) []*m.Node {
	var out []*m.Node
	for p := range strings.SplitSeq(strings.ReplaceAll(text, "\r\n", "\n"), "\n\n") {
		if strings.TrimSpace(p) != "" {
			out = append(out, m.El("p", m.Text(strings.TrimSpace(p))))
		}
	}
	return out
}

func (c *Class) reading(place int) *m.Node {
	r := &c.Readings[place]
	q := r.Quantity
	title := string(q.ID)
	if q.Name != "" {
		title = fmt.Sprintf("%s, %s", strings.ReplaceAll(title, "_", " "), q.Name)
	}
	if q.Unit != "" {
		title += " (" + q.Unit + ")"
	}
	n := section(title)
	for _, s := range r.Summary() {
		n.Children = append(n.Children, m.El("p", m.Text(s)))
	}
	n.Children = append(n.Children, c.figures(place)...)
	rows := []*m.Node{}
	for i, x := range r.Teeth {
		tooth := c.Key.Lesson.Teeth[i].Name
		if own := c.Key.Teeth[i].Specimen.Name; own != tooth && own != "" {
			tooth += " (" + own + ")"
		}
		row := m.El("tr", m.El("th", m.Attr("scope", "row"), m.El("bdi", m.Text(tooth))))
		cells := []string{fmt.Sprint(x.Students), "", "", "", "", "", "", fmt.Sprint(x.Outliers)}
		if n := float64(x.Students); n > 0 {
			cells[1], cells[3] = rounded(x.Mean, x.SD/math.Sqrt(n), q), rounded(x.Median, x.SD/math.Sqrt(n), q)
			cells[4] = rounded(x.Low, x.SD, q) + " to " + rounded(x.High, x.SD, q)
		}
		if n := float64(x.Students); n > 1 {
			cells[2] = rounded(x.SD, x.SD/math.Sqrt(2*n), q)
		}
		if x.KeyKnown {
			cells[5] = plain(x.Key, q)
		}
		if x.BiasWhy == "" {
			cells[6] = fmt.Sprintf("%s (%s)", signed(x.Bias.Mean, rounded(x.Bias.Mean, errorOf(x.Bias.In), q)), between(x.Bias.In, q))
		}
		for _, text := range cells {
			row.Children = append(row.Children, m.El("td.num", m.Text(text)))
		}
		rows = append(rows, row)
	}
	n.Children = append(n.Children, table([]string{"Tooth", "Students", "Mean", "SD", "Median", "Range", "Key", "Off the key (95 %)", "Stand apart"}, rows))
	return n
}

func signed(v float64, text string) string {
	if v > 0 {
		return "+" + text
	}
	return text
}

func table(heads []string, rows []*m.Node) *m.Node {
	head := m.El("tr")
	for i, h := range heads {
		if i == 0 {
			head.Children = append(head.Children, m.El("th", m.Attr("scope", "col"), m.Text(h)))
		} else {
			head.Children = append(head.Children, m.El("th.num", m.Attr("scope", "col"), m.Text(h)))
		}
	}
	return m.El("table", m.El("thead", head), m.El("tbody", m.List(rows)))
}

func (c *Class) naming() *m.Node {
	n := section("Names given to the teeth")
	for _, s := range c.Naming.Summary() {
		n.Children = append(n.Children, m.El("p", m.Text(s)))
	}
	var rows []*m.Node
	for i, counts := range c.Naming.Counts {
		row := m.El("tr", m.El("th", m.Attr("scope", "row"), m.El("bdi", m.Text(c.Key.Lesson.Teeth[i].Name))))
		for j, k := range counts {
			// What is right is told by a mark, not by colour.
			text := fmt.Sprint(k)
			if j == c.Naming.Truth[i] {
				text += " ✓"
			}
			row.Children = append(row.Children, m.El("td.num", m.Text(text)))
		}
		rows = append(rows, row)
	}
	n.Children = append(n.Children, table(append([]string{"Tooth (✓ the key's name)"}, c.Naming.Choices...), rows))
	return n
}

// apart lists the measurements that stand apart, a line for each student and
// reading; nil when none does.
func (c *Class) apart() *m.Node {
	var items []*m.Node
	for s := range c.Students {
		for _, r := range c.Readings {
			var said []string
			for _, v := range r.Values {
				if v.Student == s && v.Outlier {
					said = append(said, fmt.Sprintf("%s %s (median %s)", c.Key.Lesson.Teeth[v.Tooth].Name,
						number(v.Value, r.Quantity), plain(r.Teeth[v.Tooth].Median, r.Quantity)))
				}
			}
			if len(said) > 0 {
				items = append(items, m.El("li", m.El("bdi", m.Textf("%s, %s: %s.", c.Students[s].Name, r.Quantity.ID, listed(said)))))
			}
		}
	}
	if len(items) == 0 {
		return nil
	}
	return section("Measurements that stand apart",
		m.El("p", m.Text("They are counted, and a single one can carry a class away. Look at the marks first: a wrong scale or two points changed over is the commonest reason. Then review the class without that student.")),
		m.El("ul", m.List(items)))
}

// terms explains the words of the report.
func terms() *m.Node {
	var items []*m.Node
	for _, t := range []string{
		"An error here is the technical error of measurement: about two thirds of all measurements lie within one such error of the tooth's mean, nineteen of twenty within two.",
		"Within: one student measures the same tooth again. Between: the means of different students. A measurement by one student taken once has both.",
		"An interval of 95 % holds what it is given for in nineteen of twenty classes like this one, if errors are about normal and students work by themselves.",
		"A small error is no proof of being right: a class that sets the scale wrongly in the same way agrees well and is wrong together. That is what the key shows.",
		"A measurement stands apart when its modified z score, from the median and the median deviation, is beyond 3.5.",
		"κ is 1 when all agree and 0 when they agree as often as chance would have it.",
		"The sum in each answer file shows accidents, not deceit.",
	} {
		items = append(items, m.El("li", m.Text(t)))
	}
	return section("How to read this", m.El("ul", m.List(items)))
}
