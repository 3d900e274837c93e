package main

import (
	"strings"
	"testing"
)

// What go test and web/pack print, shortened.
const printed = `cpu: Some Processor
BenchmarkGolearnKNN-2   	      79	  15016739 ns/op	     25971 golearn-ns/query	         2.355 times-faster	 1193123 B/op
BenchmarkSort/in_words-2         	   29944	     39949 ns/op	    3980 B/op	      32 allocs/op
BenchmarkLongUse-2 1 9 ns/op 40.0 MB-program-after-1000 41.5 MB-program-after-5000
first visit                     19055.3     4276.4     2400.8
first visit                     1.3     4.4     800.8
`

func TestTable(t *testing.T) {
	figures, processor, err := read(strings.NewReader(printed))
	if err != nil {
		t.Fatal(err)
	}
	text := table(figures, processor)
	for _, want := range []string{
		"Some Processor",
		"| transfer of a first visit, brotli | 2.4 MB | ≤ 2.6 MB | kept |",
		"| one tooth sorted | 39.9 µs | ≤ 30 µs | MISSED |",
		"| times faster than golearn's nearest neighbours | 2.35 | ≥ 3 | MISSED |",
		"| program's memory after 5,000 commands, less that after 1,000 | 1.5 MB | ≤ 16 MB | kept |",
		"| a frame while panning | not measured |",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the table lacks %q:\n%s", want, text)
		}
	}
}
