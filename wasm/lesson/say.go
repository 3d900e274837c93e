package lesson

import (
	"fmt"
	"strings"

	"crownbench/morph"
	"crownbench/morph/agreement"
	"crownbench/wasm/tray"
)

// number writes a value of a quantity with its unit.
func number(v float64, q morph.Quantity) string { return plain(v, q) + unitAfter(q) }

// plain writes a value of a quantity as a table shows it.
func plain(v float64, q morph.Quantity) string { return minus(tray.FormatNumber(v, 0, q.Unit)) }

// rounded writes a value with as many digits as its standard error u allows; as
// plain does where that is 0.
func rounded(v, u float64, q morph.Quantity) string {
	text, _, _ := strings.Cut(tray.FormatNumber(v, u, q.Unit), " ± ")
	return minus(text)
}

// minus sets the sign that prints as wide as a plus.
func minus(number string) string { return strings.Replace(number, "-", "−", 1) }

func unitAfter(q morph.Quantity) string {
	if q.Unit == "" || q.Unit == "°" {
		return q.Unit
	}
	return " " + q.Unit
}

// errorOf is about the standard error that an interval stands for.
func errorOf(i agreement.Interval) float64 { return (i.High - i.Low) / 4 }

// between writes an interval without a unit.
func between(i agreement.Interval, q morph.Quantity) string {
	return rounded(i.Low, errorOf(i), q) + " to " + rounded(i.High, errorOf(i), q)
}

// estimated writes a value with the digits that its interval allows.
func estimated(v float64, i agreement.Interval, q morph.Quantity) string {
	return rounded(v, errorOf(i), q) + unitAfter(q)
}

// share writes a share or a correlation with two places, as such numbers are
// printed, and with up to four so that what falls short of 1 is not written as 1.
func share(v float64) string {
	text := fmt.Sprintf("%.2f", v)
	for places := 3; places <= 4 && v < 1 && strings.TrimRight(text, "0") == "1."; places++ {
		text = fmt.Sprintf("%.*f", places, v)
	}
	if text == "-0.00" {
		return "0.00"
	}
	return minus(text)
}

// Summary says in sentences what the class's measurements of a reading show,
// the plainest first.
func (r *Reading) Summary() []string {
	q := r.Quantity
	var out []string
	if e := r.Errors.Within; e.Known {
		out = append(out, fmt.Sprintf("One student measuring again errs by %s (95 %% interval %s)%s.", estimated(e.TEM, e.In, q), between(e.In, q), percent(e)))
	}
	if e := r.Errors.Between; e.Known {
		out = append(out, fmt.Sprintf("Between students, each with the mean of the repeats, the error is %s (%s)%s.", estimated(e.TEM, e.In, q), between(e.In, q), percent(e)))
	}
	if e := r.Errors.Total; e.Known && r.Errors.Within.Known {
		out = append(out, fmt.Sprintf("A single measurement by any of them errs by %s (%s).", estimated(e.TEM, e.In, q), between(e.In, q)))
	}
	if r.BiasWhy == "" {
		out = append(out, biasSaid(r.Bias, q))
	}
	if r.CorrelationWhy == "" {
		c := r.Correlation
		says := fmt.Sprintf("Of the differences between single measurements, a share of %s comes from the teeth and the rest from the measuring", share(c.TwoSingle))
		if c.TwoSingle <= 0 {
			says = fmt.Sprintf("These measurements do not tell the teeth apart at all: their share of the differences is %s", share(c.TwoSingle))
		}
		out = append(out, fmt.Sprintf("%s (ICC(2,1), %s to %s).", says, share(c.InTwoSingle.Low), share(c.InTwoSingle.High)))
	}
	for _, why := range []string{r.ErrorsWhy, r.BiasWhy, r.CorrelationWhy} {
		if why != "" {
			out = append(out, why)
		}
	}
	return out
}

func percent(e agreement.Error) string {
	if e.Percent == 0 {
		return ""
	}
	return fmt.Sprintf(", %s %% of the mean", tray.FormatNumber(e.Percent, 0, "°"))
}

func biasSaid(b agreement.Bias, q morph.Quantity) string {
	where := "above"
	v := b.Mean
	if v < 0 {
		where, v = "below", -v
	}
	if !b.Clear() {
		return fmt.Sprintf("No bias can be told: on average the class lies %s %s the key, and the interval (%s) holds 0.", estimated(v, b.In, q), where, between(b.In, q))
	}
	return fmt.Sprintf("The class lies %s %s the key on average (%s).", estimated(v, b.In, q), where, between(b.In, q))
}

// Summary says in sentences how the class named the teeth.
func (n *Naming) Summary() []string {
	var out []string
	if n.Of > 0 {
		out = append(out, fmt.Sprintf("%d of %d names are those of the key.", n.Right, n.Of))
	}
	for _, k := range []struct {
		what, why string
		kappa     agreement.Kappa
	}{{"with the key", n.WithKeyWhy, n.WithKey}, {"among students", n.AmongWhy, n.Among}} {
		if k.why != "" {
			out = append(out, k.why)
			continue
		}
		out = append(out, fmt.Sprintf("Agreement %s beyond chance: κ = %s (%s to %s).", k.what, share(k.kappa.Kappa), share(k.kappa.In.Low), share(k.kappa.In.High)))
	}
	return out
}
