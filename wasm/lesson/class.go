package lesson

import (
	"slices"

	"crownbench/morph"
	"crownbench/morph/agreement"
)

// Class is what a class's answers say. Numbers that they do not give stand
// beside a sentence that says why; none is ever NaN.
type Class struct {
	Key      *Key
	Students []Student
	Problems []Problem
	Readings []Reading
	Naming   *Naming // nil when the lesson asks for no names
}

// Reading is what the class made of one reading. Student, Tooth and Repeat are
// places in the lists of the class and of the lesson.
type Reading struct {
	Quantity morph.Quantity
	Values   []Value
	Teeth    []ToothReading

	// Errors are the technical errors within and between students.
	Errors    agreement.ObserverErrors
	ErrorsWhy string
	// Correlation rests on the students who measured every tooth, each
	// with the mean of the repeats.
	Correlation    agreement.Intraclass
	CorrelationWhy string
	// Bias is that of the students' mean differences from the key.
	Bias    agreement.Bias
	BiasWhy string
	// Limits are those of single students' values around the key, and Points
	// what they rest on.
	Limits    agreement.Spread
	LimitsWhy string
	Points    []Point
}

// Value is one measurement by one student.
type Value struct {
	Student, Tooth, Repeat int // Repeat from 0
	Value                  float64
	// Score is its modified z score among all measurements of the tooth.
	Score   float64
	Outlier bool
}

// Point is a student's mean of one tooth beside the key.
type Point struct {
	Student, Tooth int
	Mean           float64 // of the two
	Difference     float64 // student − key
}

// ToothReading is one reading of one tooth over the class; each student counts
// once, with the mean of the repeats.
type ToothReading struct {
	Students  int // who have it
	Missing   int // who do not
	Mean, SD  float64
	Median    float64
	Low, High float64
	Outliers  int // measurements marked
	Key       float64
	KeyKnown  bool
	Bias      agreement.Bias
	BiasWhy   string
}

func (rv *Reviewer) readingOf(students []*reviewed, reading int) Reading {
	l := rv.key.Lesson
	q, _ := morph.QuantityOf(l.Readings[reading])
	r := Reading{Quantity: q, Teeth: make([]ToothReading, len(l.Teeth))}
	// mean[tooth][student] is nil where there is none.
	mean := make([][]*float64, len(l.Teeth))
	for t := range mean {
		mean[t] = make([]*float64, len(students))
	}
	for i, s := range students {
		sum, n := make([]float64, len(l.Teeth)), make([]float64, len(l.Teeth))
		for _, v := range s.values {
			if v.reading == reading {
				r.Values = append(r.Values, Value{Student: i, Tooth: v.tooth, Repeat: v.repeat, Value: v.value})
				sum[v.tooth] += v.value
				n[v.tooth]++
			}
		}
		for t := range sum {
			if n[t] > 0 {
				m := sum[t] / n[t]
				mean[t][i] = &m
			}
		}
	}
	r.score(len(l.Teeth))
	for t := range l.Teeth {
		r.Teeth[t] = r.toothOf(t, mean[t], rv.held[t].Get(q.ID))
	}
	r.compare(mean, len(students))
	return r
}

// score marks the outliers of each tooth.
func (r *Reading) score(teeth int) {
	at := make([][]int, teeth)
	for i, v := range r.Values {
		at[v.Tooth] = append(at[v.Tooth], i)
	}
	for _, places := range at {
		values := make([]float64, len(places))
		for i, p := range places {
			values[i] = r.Values[p].Value
		}
		scores, err := agreement.Scores(values)
		if err != nil {
			continue // values beyond any comparison are marked by nothing
		}
		for i, p := range places {
			v := &r.Values[p]
			v.Score = scores[i]
			v.Outlier = max(v.Score, -v.Score) > agreement.OutlierScore
		}
	}
}

func (r *Reading) toothOf(tooth int, means []*float64, key morph.Reading) ToothReading {
	var t ToothReading
	var values, off []float64
	t.Key, t.KeyKnown = judged(key)
	for _, m := range means {
		if m == nil {
			t.Missing++
			continue
		}
		values = append(values, *m)
		off = append(off, *m-t.Key)
	}
	t.Students = len(values)
	for _, v := range r.Values {
		if v.Tooth == tooth && v.Outlier {
			t.Outliers++
		}
	}
	if len(values) > 0 {
		t.Low, t.High = slices.Min(values), slices.Max(values)
		t.Median = agreement.Median(values)
		for _, v := range values {
			t.Mean += v / float64(len(values))
		}
	}
	b, err := agreement.BiasOf(off)
	if err == nil {
		t.SD = b.SD
	}
	switch {
	case !t.KeyKnown:
		t.BiasWhy = "The key has no value for this tooth."
	case err != nil:
		t.BiasWhy = err.Error()
	default:
		t.Bias = b
	}
	return t
}

// compare fills in what rests on all teeth together.
func (r *Reading) compare(mean [][]*float64, students int) {
	var ms []agreement.Measurement
	for _, v := range r.Values {
		ms = append(ms, agreement.Measurement{Tooth: v.Tooth, Observer: v.Student, Value: v.Value})
	}
	r.Errors, r.ErrorsWhy = said(agreement.ErrorsOf(ms))

	table := make(agreement.Repeats, len(mean))
	var biases []float64
	groups := make([][]float64, students)
	for s := range students {
		var sum float64
		complete := true
		for t := range mean {
			m := mean[t][s]
			complete = complete && m != nil
			if key := r.Teeth[t]; m != nil && key.KeyKnown {
				d := *m - key.Key
				groups[s] = append(groups[s], d)
				sum += d
				r.Points = append(r.Points, Point{Student: s, Tooth: t, Mean: (*m + key.Key) / 2, Difference: d})
			}
		}
		if n := len(groups[s]); n > 0 {
			biases = append(biases, sum/float64(n))
		}
		if complete {
			for t := range mean {
				table[t] = append(table[t], *mean[t][s])
			}
		}
	}
	if len(table[0]) < 2 {
		r.CorrelationWhy = "The intraclass correlation needs two students who measured every tooth."
	} else {
		r.Correlation, r.CorrelationWhy = said(agreement.IntraclassCorrelation(table))
	}
	if len(r.Points) == 0 {
		r.BiasWhy = "The key has no value that anyone measured."
		r.LimitsWhy = r.BiasWhy
		return
	}
	r.Bias, r.BiasWhy = said(agreement.BiasOf(biases))
	r.Limits, r.LimitsWhy = said(agreement.SpreadOf(groups))
}

func said[T any](v T, err error) (T, string) {
	if err != nil {
		return v, err.Error()
	}
	return v, ""
}
