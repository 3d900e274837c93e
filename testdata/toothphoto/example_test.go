package toothphoto_test

import (
	"fmt"

	"crownbench/testdata/toothphoto"
)

// A photograph of an invented crown, and what is true of it.
func ExampleRender() {
	tooth := toothphoto.Tooth{
		Name: "invented", CBL: 12, CBW: 6, CH: 24, AL: 26,
		MesialBow: 0.1, DistalBow: -0.02,
		Distal: toothphoto.Row{Apical: 13, Mid: 12, Basal: 13},
	}
	shot := toothphoto.Shot{
		View: toothphoto.LateralLabial, Width: 400, Height: 300, PxPerMM: 8,
		Bar: toothphoto.ScaleBar{Length: 10},
	}
	img, truth, err := toothphoto.Render(tooth, shot)
	if err != nil {
		fmt.Println(err)
		return
	}
	m := truth.Measurements
	fmt.Println(img.Bounds().Max, truth.PxPerMM, "px per mm")
	fmt.Printf("CBR %.2f CHR %.2f crown angle %.2f°\n", m.CBR, m.CHR, m.CMA)
	fmt.Println(m.Distal.Count, "distal denticles")
	// Output:
	// (400,300) 8 px per mm
	// CBR 0.50 CHR 2.00 crown angle 66.98°
	// 57 distal denticles
}
