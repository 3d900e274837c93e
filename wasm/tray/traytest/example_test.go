package traytest_test

import (
	"fmt"

	"crownbench/wasm/tray/traytest"
)

// Every specimen that is drawn is fit to be kept.
func Example() {
	for seed := range 3 {
		fmt.Println(traytest.Specimen().Example(seed).Check())
	}
	// Output:
	// <nil>
	// <nil>
	// <nil>
}
