package classify_test

import (
	"fmt"

	"crownbench/classify"
)

// A tooth measured by calliper, with the distal denticles counted.
func Example() {
	answer := classify.Sort(classify.Query{
		Values: map[classify.Measure]float64{
			classify.CBL: 41.5, classify.CBW: 15.2, classify.CH: 71, classify.DC: 9,
		},
		Row: classify.Lateral,
	}, classify.Options{})
	fmt.Println(answer.Said)
	fmt.Println(answer.Neighbours[0].Tooth.Specimen)
	// Output:
	// Blade-like: 15 of the 15 nearest published crowns; most like Carcharodontosauridae or Megalosauridae; not robust.
	// SGM Din-1
}

// Without a width the form is not guessed at.
func ExampleSort_withoutWidth() {
	answer := classify.Sort(classify.Query{
		Values: map[classify.Measure]float64{classify.CBL: 22, classify.CH: 46},
	}, classify.Options{})
	fmt.Println(answer.Said)
	// Output:
	// Cannot say: the crown's width is missing (CBW or the ratio CBR), and width decides the form.
}
