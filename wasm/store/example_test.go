//go:build !js

package store_test

import (
	"fmt"

	"crownbench/wasm/store"
	"crownbench/wasm/tray"
)

// A page tells the user what another tab did in the words of the Conflict.
func ExampleConflict() {
	ours := &tray.Specimen{ID: "1", Name: "invented 7", Revision: 4}
	deleted := &store.Conflict{ID: "1", Ours: ours}
	fmt.Println(deleted)
	// Output:
	// invented 7 was deleted in another tab; your change was not saved. Keep yours as a new specimen, or let it go.
}
