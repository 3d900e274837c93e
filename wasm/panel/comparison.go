package panel

import (
	"fmt"
	"strings"

	"crownbench/classify"
	"crownbench/wasm/comparison"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// comparisonDialog is the list of the person's own comparison teeth, and the
// ways to lengthen it.
func comparisonDialog(d *desk.Desk) *m.Node {
	own := d.OwnTeeth()
	items := []m.Item{
		m.El("p", m.Textf("Every tooth is compared with %d published ones. Teeth of your own that are identified by other evidence, such as a jaw they sit in, can stand beside them. They stay in this browser.", len(classify.Published().Teeth()))),
	}
	if len(own.Teeth) > 0 {
		items = append(items, m.El("div.check", m.Key("use"),
			m.El("input#own-use", m.Attr("type", "checkbox"), m.Flag("checked", !own.Off), m.On("change", func(e m.Event) { d.UseOwnTeeth(e.Checked) })),
			m.El("label", m.Attr("for", "own-use"), m.Text("Compare with my own teeth too"))))
	}
	if s := d.Specimen(); s != nil {
		items = append(items, addThis(d, s))
	}
	if len(own.Teeth) > 0 {
		items = append(items, sampleTest(d))
	}
	items = append(items, m.El("div.actions",
		button("Add a table (CSV)", d.PickOwnTable, m.Attr("id", "own-table")),
		button("Take the last change back", d.PutOwnBack, m.Attr("id", "own-back"), m.Flag("disabled", !d.OwnChanged()))),
		m.El("p.small", m.Text("A table has one row a tooth, with headings such as id, taxon, clade, form, individual, row, CBL mm, CBW mm, CH mm, AL mm, MC, DC. A form is blade, robust or front; CBL, CBW and CH are needed.")),
		ownList(d, own))
	return over("comparison", "Comparison teeth", func() { d.OpenDialog(desk.NoDialog) }, items...)
}

// addThis lets the person add the specimen on the desk.
func addThis(d *desk.Desk, s *tray.Specimen) *m.Node {
	k := d.Known()
	label := "Add " + s.Name
	if t, added := d.OwnOf(s.ID); added {
		label = "Replace " + t.Name + " as it is now"
	}
	field := func(id, name, value, list string, set func(*desk.Known, string)) *m.Node {
		in := m.El("input", m.Attr("id", id), m.Attr("type", "text"), m.Attr("value", value), m.Attr("autocomplete", "off"),
			m.On("change", func(e m.Event) { k := d.Known(); set(&k, e.Value); d.SayKnown(k) }))
		if list != "" {
			in.Attrs["list"] = list
		}
		return m.El("div.field", m.El("label", m.Attr("for", id), m.Text(name)), in)
	}
	clades := m.El("datalist#own-clades")
	for _, c := range classify.Clades() {
		clades.Children = append(clades.Children, m.El("option", m.Key(c), m.Attr("value", c)))
	}
	values, texts := []string{""}, []string{"not said"}
	for _, f := range classify.Forms() {
		values, texts = append(values, string(f)), append(texts, f.Words())
	}
	form := m.El("form.add-this", m.Key("add-"+s.ID), m.Attr("novalidate", ""), m.On("submit", func(e m.Event) {
		e.PreventDefault()
		d.AddOwnTooth()
	}),
		m.El("fieldset", m.El("legend", m.Textf("The tooth on the desk, %s, is known to be", s.Name)),
			m.El("div.trio",
				field("own-taxon", "Taxon", k.Taxon, "", func(k *desk.Known, v string) { k.Taxon = v }),
				field("own-clade", "Clade", k.Clade, "own-clades", func(k *desk.Known, v string) { k.Clade = v }),
				choice("own-form", "Form", string(k.Form), values, texts, func(v string) { k := d.Known(); k.Form = classify.Form(v); d.SayKnown(k) })),
			m.El("div.check",
				m.El("input#own-certain", m.Attr("type", "checkbox"), m.Flag("checked", k.Certain), m.On("change", func(e m.Event) { k := d.Known(); k.Certain = e.Checked; d.SayKnown(k) })),
				m.El("label", m.Attr("for", "own-certain"), m.Text("I am certain, by other evidence than this sorting"))),
			m.El("div.actions", m.El("button#own-add", m.Attr("type", "submit"), m.Text(label)))),
		clades)
	if strings.TrimSpace(k.Clade) != "" && !k.Compared() {
		form.Children = append(form.Children, m.El("p.small", m.Key("foreign"), m.Textf("%s is none of the clades that shares are given for; the tooth will speak for its form only.", k.Clade)))
	}
	if refusal, refused := d.Refused("own-tooth"); refused {
		form.Children = append(form.Children, why("own-tooth", refusal.Why))
	}
	return form
}

// sampleTest lets the person see whether their teeth help: how often the
// likeliest name is the true one, with them and without.
func sampleTest(d *desk.Desk) *m.Node {
	t := d.SampleTest()
	box := m.El("div.sample-test", m.Key("test"))
	add := func(n *m.Node) { box.Children = append(box.Children, n) }
	switch {
	case t.Running:
		add(m.El("p", m.Attr("role", "status"), m.Text("Testing the comparison teeth…")))
		add(m.El("progress", m.Attr("aria-label", "Teeth tested"), m.Attr("max", key(max(t.All, 1))), m.Attr("value", key(t.Done))))
		add(button("Stop", d.StopTest, m.Attr("id", "test-stop")))
	case t.Result != nil:
		add(testTable(*t.Result))
		add(m.El("p.small", m.Text("Each tooth was sorted with all teeth of its animal left out, its place in the jaw unknown; the likeliest name counts. A few teeth of your own change little here; figures of fewer than 30 teeth say little.")))
	default:
		add(button("Test whether they help", d.TestSample, m.Attr("id", "test-sample")))
	}
	return box
}

func testTable(v classify.Validation) *m.Node {
	body := m.El("tbody")
	row := func(what string, of int, without, with float64) {
		if of == 0 {
			return
		}
		body.Children = append(body.Children, m.El("tr", m.Key(what), m.El("th", m.Attr("scope", "row"), m.Text(what)),
			m.El("td.num", m.Textf("%d", of)), m.El("td.num", m.Text(tenths(without))), m.El("td.num", m.Text(tenths(with)))))
	}
	row("Published teeth, form", v.Published.FormTeeth, v.PublishedAlone.Form, v.Published.Form)
	row("Published teeth, clade", v.Published.CladeTeeth, v.PublishedAlone.Clade, v.Published.Clade)
	row("Your own, form", v.Own.FormTeeth, v.OwnAlone.Form, v.Own.Form)
	row("Your own, clade", v.Own.CladeTeeth, v.OwnAlone.Clade, v.Own.Clade)
	return m.El("table.own", m.El("caption", m.Attr("role", "status"), m.Text("How often the likeliest name is the true one")),
		m.El("thead", m.El("tr", m.El("td"), numberHead("Teeth"), numberHead("Without your own"), numberHead("With them"))), body)
}

func numberHead(text string) *m.Node {
	return m.El("th.num", m.Attr("scope", "col"), m.Text(text))
}

func tenths(share float64) string { return fmt.Sprintf("%.1f %%", 100*share) }

// ownShown bounds the rows of the list; a longer one is better looked at in
// the table it came from.
const ownShown = 200

func ownList(d *desk.Desk, own comparison.List) *m.Node {
	if len(own.Teeth) == 0 {
		return m.El("p.quiet", m.Key("none"), m.Text("No teeth of your own yet."))
	}
	body := m.El("tbody")
	for _, t := range own.Teeth[:min(len(own.Teeth), ownShown)] {
		body.Children = append(body.Children, m.El("tr", m.Key(t.ID),
			m.El("th", m.Attr("scope", "row"), m.Name(t.Name)),
			m.El("td", m.Text(strings.Join(nonEmpty(t.Taxon, t.Clade, string(t.Form)), " · "))),
			m.El("td.quiet", m.Text(t.From)),
			m.El("td", button("Remove", func() { d.RemoveOwnTooth(t.ID) }, m.Attr("aria-label", "Remove "+t.Name)))))
	}
	box := m.El("div.own-list", m.Key("list"),
		m.El("table.own", m.El("caption", m.Textf("Your own, %d", len(own.Teeth))),
			m.El("thead", m.El("tr", columnHead("Tooth"), columnHead("Known to be"), columnHead("From"), m.El("td"))), body))
	if len(own.Teeth) > ownShown {
		box.Children = append(box.Children, m.El("p.small", m.Textf("and %d more", len(own.Teeth)-ownShown)))
	}
	box.Children = append(box.Children, button("Remove all", d.RemoveOwnTeeth, m.Attr("id", "own-clear")))
	return box
}

func nonEmpty(texts ...string) []string {
	var some []string
	for _, t := range texts {
		if t != "" {
			some = append(some, t)
		}
	}
	return some
}
