package panel

import (
	"strconv"

	"crownbench/wasm/bench"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// shadeForm sets how the photograph is shown.
func shadeForm(d *desk.Desk) *m.Node {
	s := d.Bench.Shade()
	slide := func(id, label string, least, at float64, set func(*bench.Shade, float64)) *m.Node {
		return m.El("div.field", m.El("label", m.Attr("for", id), m.Text(label)),
			m.El("input", m.Attr("id", id), m.Attr("type", "range"), m.Attr("min", strconv.FormatFloat(least, 'f', -1, 64)), m.Attr("max", "1"), m.Attr("step", "0.05"),
				m.Attr("value", strconv.FormatFloat(at, 'f', -1, 64)),
				m.On("input", func(e m.Event) {
					if x, err := strconv.ParseFloat(e.Value, 64); err == nil {
						s := d.Bench.Shade()
						set(&s, x)
						d.SetShade(s)
					}
				})))
	}
	var values []string
	for _, c := range bench.Channels {
		values = append(values, string(c))
	}
	form := m.El("form.tool-form", m.Attr("novalidate", ""), m.On("submit", func(e m.Event) { e.PreventDefault() }),
		slide("brightness", "Brightness", -1, s.Brightness, func(s *bench.Shade, x float64) { s.Brightness = x }),
		slide("contrast", "Contrast", -1, s.Contrast, func(s *bench.Shade, x float64) { s.Contrast = x }),
		slide("local", "Local contrast", 0, s.Local, func(s *bench.Shade, x float64) { s.Local = x }),
		choice("channel", "Colours", string(s.Channel), values, []string{"all", "red only", "green only", "blue only"},
			func(v string) {
				s := d.Bench.Shade()
				s.Channel = bench.Channel(v)
				d.SetShade(s)
			}))
	if s != (bench.Shade{}) {
		form.Children = append(form.Children, button("As it is", func() { d.SetShade(bench.Shade{}) }))
	}
	form.Children = append(form.Children, m.El("p.small.quiet", m.Text("Only for looking: nothing that is measured or found changes.")))
	return m.El("details.shade", m.Key("shade"), m.El("summary", m.Text("Brightness, contrast, colours")), form)
}
