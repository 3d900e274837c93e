package lesson_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/morph/agreement"
	"crownbench/wasm/lesson"
)

// A class of known errors through every file and back (seeded, many times):
// the review's 95 % intervals hold the truth 90 to 99 times of a hundred.
func TestReviewRecoversTheErrors(t *testing.T) {
	const (
		classes  = 300
		students = 8
		sdBias   = 0.25 // mm, between students
		sd       = 0.12 // mm, one student again
		bias     = 0.10 // mm, of everyone
		mistakes = 0.2
	)
	b := newBench(t)
	_, o, k := handedOut(t, b.plan(2), b.picture)
	held := map[string]int{}
	for seed := range uint64(classes) {
		r := rand.New(rand.NewPCG(seed, 77))
		var files []lesson.File
		for s := range students {
			h := hand{bias: bias + sdBias*r.NormFloat64(), sd: sd, mistakes: mistakes, r: r}
			files = append(files, lesson.File{Name: fmt.Sprintf("%d.json", s), Data: h.answer(t, o, k, fmt.Sprint("student ", s), monday)})
		}
		c := lesson.Review(k, files)
		if len(c.Problems) > 0 || len(c.Students) != students {
			t.Fatalf("%d students, %v", len(c.Students), c.Problems)
		}
		x := c.Readings[0]
		for name, at := range map[string]struct {
			i     agreement.Interval
			truth float64
			why   string
		}{
			"within":  {x.Errors.Within.In, sd, x.ErrorsWhy + x.Errors.Within.Needs},
			"between": {x.Errors.Between.In, math.Sqrt(sdBias*sdBias + sd*sd/2), x.Errors.Between.Needs},
			"total":   {x.Errors.Total.In, math.Hypot(sdBias, sd), x.Errors.Total.Needs},
			"bias":    {x.Bias.In, bias, x.BiasWhy},
			"limit":   {x.Limits.InUpper(), bias + 1.96*math.Sqrt(sdBias*sdBias+sd*sd/2), x.LimitsWhy},
			// CALC: six teeth of forms 4:2, each named rightly with chance 0.8
			// and "cannot say" otherwise: κ = (0.8 − e)/(1 − e) with
			// e = (4/6·0.8·4/6 + 2/6·0.8·2/6).
			"kappa": {c.Naming.WithKey.In, (0.8 - 0.8*20/36) / (1 - 0.8*20/36), c.Naming.WithKeyWhy},
		} {
			if at.why != "" {
				t.Fatalf("%s: %s", name, at.why)
			}
			if at.i.Holds(at.truth) {
				held[name]++
			}
		}
	}
	for name, n := range held {
		t.Logf("%s: %.1f %%", name, 100*float64(n)/classes)
		if n < classes*90/100 || n > classes*99/100 {
			t.Errorf("the interval of %s holds the truth in %d of %d classes", name, n, classes)
		}
	}
	if len(held) != 6 {
		t.Errorf("held: %v", held)
	}
}

// Marks on photographs instead of typed values: points placed with a known
// error in px give CBL an error of √2·σ for its two ends (first order, closed
// form), and the student's own page tells how far each landmark lies off.
func TestReviewOfMarks(t *testing.T) {
	const sigma = 0.8
	b := newBench(t)
	p := b.plan(3)
	p.Readings, p.Choices, p.Help.Scale = []morph.ID{morph.CBL, morph.CH}, nil, true
	for i := range p.Teeth {
		p.Teeth[i].Truth = ""
	}
	_, o, k := handedOut(t, p, b.picture)
	r := rand.New(rand.NewPCG(3, 3))
	var files []lesson.File
	for s := range 12 {
		w, err := lesson.Start(o, fmt.Sprint("student ", s))
		if err != nil {
			t.Fatal(err)
		}
		// Drawn in an order that does not depend on that of the lesson.
		drawn := map[string]*morph.Crown{}
		for _, x := range teeth {
			for repeat := range o.Lesson.Repeats {
				drawn[fmt.Sprint(x.name, repeat+1)] = crown(x, 40.625, 80.875, func() float64 { return sigma * r.NormFloat64() })
			}
		}
		for i, e := range w.Entries {
			sp := w.Specimen(i)
			sp.Photos[0].Crown = drawn[fmt.Sprint(truthOf(k, e.Tooth).name, e.Repeat)]
			if err := w.Keep(i, sp); err != nil {
				t.Fatal(err)
			}
		}
		a, err := w.Answer(monday)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, lesson.File{Name: "a", Data: a})
	}
	c := lesson.Review(k, files)
	if len(c.Problems) > 0 {
		t.Fatal(c.Problems)
	}
	for _, x := range c.Readings {
		if !x.Errors.Within.In.Holds(math.Sqrt2 * sigma / pxPerMM) {
			t.Errorf("%s: error within %g, %v; placed with %g", x.Quantity.ID, x.Errors.Within.TEM, x.Errors.Within.In, math.Sqrt2*sigma)
		}
		for i, tooth := range x.Teeth {
			if want := k.Teeth[i]; !tooth.KeyKnown || want.Specimen == nil {
				t.Errorf("no key for tooth %d", i)
			}
		}
	}
	own := c.Own(0)
	pointed, err := own.Pointing(k.Lesson)
	if err != nil {
		t.Fatal(err)
	}
	if !pointed.All.In.Holds(sigma) || pointed.All.DF != 6*3*2*2 {
		t.Errorf("points were placed with %g px and %+v is told", sigma, pointed.All)
	}
	n, ss := 0, 0.0
	for _, tooth := range own.Teeth {
		for _, m := range tooth.Photos[0].Landmarks {
			if !m.Keyed {
				t.Fatalf("%+v has nothing in the key", m)
			}
			if m.Kind != agreement.BarEnd {
				n++
				ss += m.Off * m.Off
			} else if m.Off != 0 {
				t.Errorf("the given scale bar is off by %g px", m.Off)
			}
		}
		if len(tooth.Readings[0].Values) != 3 {
			t.Errorf("%d values", len(tooth.Readings[0].Values))
		}
	}
	if n != 6*3*3 {
		t.Fatalf("%d landmarks", n)
	}
	// Σ/σ² is χ² on 2n degrees of freedom, SD 2√n: four of them.
	if chi := ss / (sigma * sigma); math.Abs(chi-2*float64(n)) > 8*math.Sqrt(float64(n)) {
		t.Errorf("landmarks are off by %g px squared in all", ss)
	}
}

func TestReviewNamesProblems(t *testing.T) {
	b := newBench(t)
	_, o, k := handedOut(t, b.plan(2), b.picture)
	madeOther, other, otherKey := handedOut(t, b.plan(2), b.picture)
	r := rand.New(rand.NewPCG(1, 1))
	h := hand{sd: 0.1, r: r}
	good := h.answer(t, o, k, "Anna Example", monday)
	later := h.answer(t, o, k, "anna  example", monday.Add(time.Hour))
	edited := bytes.Replace(h.answer(t, o, k, "Boris Example", monday), []byte(`"value":`), []byte(`"value":1`), 1)
	short, err := lesson.Start(o, "Clara Example")
	if err != nil {
		t.Fatal(err)
	}
	s := short.Specimen(0)
	s.Typed = map[morph.ID]morph.Typed{morph.CBL: {Value: 9}}
	if err := short.Keep(0, s); err != nil {
		t.Fatal(err)
	}
	part, err := short.Answer(monday)
	if err != nil {
		t.Fatal(err)
	}
	foreign := h.answer(t, other, otherKey, "Dora Example", monday)
	c := lesson.Review(k, []lesson.File{
		{"anna.json", good}, {"anna again.json", later}, {"anna late.json", good}, {"boris.json", edited}, {"clara.json", part}, {"dora.json", foreign},
		{"half.json", good[:len(good)/2]}, {"empty.json", nil}, {"photo.jpg", picture(t, 1, "x")}, {"key.json", madeOther.Key}, {"lesson.zip", madeOther.Lesson},
		{"eve.json", h.answer(t, o, k, "Eve Example", monday)},
	})
	if len(c.Students) != 3 || c.Students[0].File != "anna again.json" || c.Students[1].Name != "Clara Example" {
		t.Fatalf("%d counted", len(c.Students))
	}
	want := map[string]string{
		"anna.json": "handed in more than once", "anna late.json": "handed in more than once", "boris.json": "was changed after it was written",
		"clara.json": "has nothing complete of", "dora.json": "answers another lesson", "half.json": "damaged", "empty.json": "is empty",
		"photo.jpg": "is not an answer to a lesson", "key.json": "is the key of a lesson, not an answer", "lesson.zip": "is not an answer to a lesson",
	}
	for _, p := range c.Problems {
		if want[p.File] == "" || !strings.Contains(p.Text, want[p.File]) || !strings.HasSuffix(p.Text, ".") || p.Counted != (p.File == "clara.json") {
			t.Errorf("%s: %s", p.File, p.Text)
		}
		delete(want, p.File)
	}
	if len(want) > 0 {
		t.Errorf("nothing was said of %v", want)
	}
}

// One gross mistake carries a class away; left out, the class is as it was.
func TestReviewWithoutAStudent(t *testing.T) {
	b := newBench(t)
	_, o, k := handedOut(t, b.plan(2), b.picture)
	r := rand.New(rand.NewPCG(4, 4))
	with, plain := lesson.NewReviewer(k), lesson.NewReviewer(k)
	for s := range 7 {
		h := hand{sd: 0.1, r: r}
		if s == 3 {
			h.bias = 20
		}
		f := lesson.File{Name: "x", Data: h.answer(t, o, k, fmt.Sprint("student ", s), monday)}
		with.Add(f)
		if s != 3 {
			plain.Add(f)
		}
	}
	all, less, want := with.Class(), with.Class("student 3"), plain.Class()
	if len(all.Students) != 7 || len(less.Students) != 6 || len(less.Problems) != 1 || !strings.Contains(less.Problems[0].Text, "student 3 was left out") {
		t.Errorf("%d and %d students, %v", len(all.Students), len(less.Students), less.Problems)
	}
	for i := range want.Readings {
		if got := less.Readings[i].Errors; got != want.Readings[i].Errors {
			t.Errorf("%+v, want %+v", got, want.Readings[i].Errors)
		}
	}
	for _, v := range all.Readings[0].Values {
		if all.Students[v.Student].Name == "student 3" && !v.Outlier {
			t.Errorf("%+v", v)
		}
	}
}

func TestReviewOfTooMany(t *testing.T) {
	b := newBench(t)
	_, o, k := handedOut(t, b.plan(1), b.picture)
	h := hand{sd: 0.1, r: rand.New(rand.NewPCG(1, 1))}
	var files []lesson.File
	for i := range lesson.MaxAnswers + 1 {
		files = append(files, lesson.File{Name: fmt.Sprint(i), Data: h.answer(t, o, k, fmt.Sprint("student ", i), monday)})
	}
	c := lesson.Review(k, files)
	if len(c.Students) != lesson.MaxAnswers || len(c.Problems) != 1 || !strings.Contains(c.Problems[0].Text, "file 201") {
		t.Errorf("%d students, %v", len(c.Students), c.Problems)
	}
}

// One student, one tooth, nothing at all, values that are all equal: each
// number is one, or a sentence says why there is none.
func TestReviewOfLittle(t *testing.T) {
	b := newBench(t)
	for _, n := range []struct {
		teeth, repeats, students int
		equal                    bool
	}{{1, 1, 0, false}, {1, 1, 1, false}, {1, 2, 1, false}, {6, 1, 1, false}, {1, 2, 5, false}, {2, 1, 2, true}, {6, 2, 6, true}} {
		p := b.plan(n.repeats)
		p.Teeth = p.Teeth[:n.teeth]
		_, o, k := handedOut(t, p, b.picture)
		var files []lesson.File
		for s := range n.students {
			h := hand{sd: 0.1, r: rand.New(rand.NewPCG(uint64(s), 1))}
			if n.equal {
				h.sd = 0
			}
			files = append(files, lesson.File{Name: "x", Data: h.answer(t, o, k, fmt.Sprint(s), monday)})
		}
		checkNumbers(t, lesson.Review(k, files))
	}
}

type failer interface {
	Helper()
	Errorf(string, ...any)
}

// checkNumbers looks at everything that a page would show of a class.
func checkNumbers(t failer, c *lesson.Class) {
	t.Helper()
	number := func(what string, vs ...float64) {
		t.Helper()
		for _, v := range vs {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%s is %g", what, v)
			}
		}
	}
	either := func(what string, known bool, why string) {
		t.Helper()
		if known == (why != "") {
			t.Errorf("%s: known %v, %q", what, known, why)
		}
	}
	for _, x := range c.Readings {
		for _, e := range []agreement.Error{x.Errors.Within, x.Errors.Between, x.Errors.Total} {
			number("error", e.TEM, e.In.Low, e.In.High, e.Percent, e.Reliability)
			if !e.Known && e.Needs == "" && x.ErrorsWhy == "" {
				t.Errorf("an error is not known and nothing says why")
			}
		}
		either("correlation", x.Correlation.Teeth > 0, x.CorrelationWhy)
		either("bias", x.Bias.N > 0, x.BiasWhy)
		either("limits", x.Limits.Groups > 0, x.LimitsWhy)
		number("limits", x.Limits.Lower(), x.Limits.Upper(), x.Limits.InLower().Low, x.Limits.InUpper().High)
		number("bias", x.Bias.Mean, x.Bias.In.Low, x.Bias.In.High)
		for _, tooth := range x.Teeth {
			number("tooth", tooth.Mean, tooth.SD, tooth.Median, tooth.Low, tooth.High, tooth.Key)
			either("bias of a tooth", tooth.Bias.N > 0, tooth.BiasWhy)
		}
		for _, v := range x.Values {
			number("value", v.Value, v.Score)
		}
	}
	if n := c.Naming; n != nil {
		either("kappa with the key", n.WithKey.N > 0, n.WithKeyWhy)
		either("kappa among students", n.Among.N > 0, n.AmongWhy)
		number("kappa", n.WithKey.Kappa, n.WithKey.In.Low, n.Among.Kappa, n.Among.In.High)
	}
	texts := []string{c.Report().PlainText()}
	for i := range c.Students {
		texts = append(texts, c.Own(i).Page("x", nil).PlainText())
	}
	for _, x := range c.Tables() {
		texts = append(texts, fmt.Sprint(x.Rows))
	}
	for _, s := range texts {
		if strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
			t.Errorf("a number that is none is shown: %s", s)
		}
	}
}

// A whole class of the most students, values typed.
func BenchmarkReview(b *testing.B) {
	x := newBench(b)
	_, o, k := handedOut(b, x.plan(2), x.picture)
	var files []lesson.File
	for s := range lesson.MaxAnswers {
		h := hand{sd: 0.1, r: rand.New(rand.NewPCG(uint64(s), 1))}
		files = append(files, lesson.File{Name: "x", Data: h.answer(b, o, k, fmt.Sprint(s), monday)})
	}
	for b.Loop() {
		lesson.Review(k, files)
	}
}
