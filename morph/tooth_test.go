package morph_test

import (
	"fmt"

	"crownbench/morph"
)

func ExamplePath() {
	// A triangle whose second side follows an edge through one Via point and
	// whose closing side follows another.
	p := morph.Path{
		{X: 0, Y: 0, Via: [][2]float64{{-1, 2}}},
		{X: 4, Y: 0},
		{X: 0, Y: 4, Via: [][2]float64{{3, 3}}},
	}
	fmt.Println("open:  ", p.Polyline())
	fmt.Println("closed:", p.Polygon())
	fmt.Println("area:  ", morph.Area(p.Polygon()))
	// Output:
	// open:   [{0 0} {4 0} {3 3} {0 4}]
	// closed: [{0 0} {4 0} {3 3} {0 4} {-1 2}]
	// area:   14
}
