package lesson

import (
	"fmt"

	"crownbench/wasm/tray"
)

// MakeInOrder is Make without chance: identifiers are counted, and teeth stay in
// order.
func MakeInOrder(p Plan, picture func(*tray.Photo) ([]byte, error)) (*Made, error) {
	n := 0
	id := func() string {
		n++
		return fmt.Sprintf("COUNTED%019d", n)
	}
	return makeBy(chance{id, func(int, func(int, int)) {}}, p, picture)
}
