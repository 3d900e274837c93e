package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
)

// printSizes writes what each file costs to transfer, raw, with gzip and with
// brotli, in kB of 1000 bytes, and the total of a first visit against the
// budget. The budget is for the best compression; what a quicker one makes is not
// held against it.
func printSizes(w io.Writer, page map[string]packed, quality int, budget float64) error {
	const row = "%-28s %10s %10s %10s\n"
	kB := func(n int) string { return fmt.Sprintf("%.1f", float64(n)/1e3) }
	line := func(name string, p packed) {
		fmt.Fprintf(w, row, name, kB(p.raw), kB(p.sent(p.gzip)), kB(p.sent(p.brotli)))
	}
	var visit, later packed
	add := func(t *packed, p packed) {
		t.raw += p.raw
		t.gzip += p.sent(p.gzip)
		t.brotli += p.sent(p.brotli)
	}
	fmt.Fprintf(w, row, "file (kB)", "raw", "gzip", "brotli")
	for _, name := range slices.Sorted(maps.Keys(page)) {
		if onDemand(name) {
			add(&later, page[name])
			continue
		}
		add(&visit, page[name])
		line(name, page[name])
	}
	line("first visit", visit)
	if later.raw > 0 {
		line("fetched when asked for", later)
	}
	if quality < maxQuality {
		_, err := fmt.Fprintln(w, "compressed quickly, not for publishing")
		return err
	}
	_, err := fmt.Fprintf(w, "first visit with brotli: %.2f MB of a budget of %.2f MB\n", float64(visit.brotli)/1e6, budget)
	return err
}

// sent is what goes over the wire: the compressed size, or the raw size when
// there is no compressed sibling.
func (p packed) sent(compressed int) int {
	if compressed == 0 {
		return p.raw
	}
	return compressed
}
