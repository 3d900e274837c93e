// Command budget reads what benchmarks printed and holds it against what the
// program may cost.
//
//	./build.sh bench | tee cache/bench.txt && go run ./web/budget cache/bench.txt
//
// It prints a Markdown table: the machine, then for each budget what was measured
// and whether it is kept, with the machine's load when the table was written,
// because a busy machine measures itself.
package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"regexp"
	"runtime"
	"strconv"
	"strings"
)

// budget is a limit on one figure. Figures are known by the benchmark's name
// without the number of processors, and their unit.
type budget struct {
	what      string
	benchmark string
	unit      string
	scale     float64 // from the figure to the unit of the limit
	limit     float64
	in        string
	least     bool // the limit is what must at least be reached
}

var budgets = []budget{
	{what: "transfer of a first visit, brotli", benchmark: transfer, unit: "kB", scale: 1e-3, limit: 2.6, in: "MB"},
	{what: "24-megapixel JPEG, from the drop until it shows, in the browser", benchmark: "BenchmarkPixels", unit: "s-to-visible", scale: 1, limit: 1.5, in: "s"},
	{what: "the page's memory with that photograph, times its size as RGBA", benchmark: "BenchmarkPixels", unit: "times-its-size", scale: 1, limit: 5},
	{what: "a frame while panning", benchmark: "BenchmarkFrame/20000points/fit", unit: "ns/op", scale: 1e-6, limit: 3, in: "ms"},
	{what: "edge path after a move of the pointer, 24 megapixels", benchmark: "BenchmarkFollow/24MP", unit: "ns/op", scale: 1e-6, limit: 8, in: "ms"},
	{what: "outline of a tooth, 24 megapixels", benchmark: "BenchmarkSilhouette/24MP", unit: "ns/op", scale: 1e-6, limit: 400, in: "ms"},
	{what: "outline of a tooth, 24 megapixels, in the browser", benchmark: "BenchmarkPixels", unit: "s-to-crown", scale: 1, limit: 1.2, in: "s"},
	{what: "all readings with 2,000 draws", benchmark: "BenchmarkResample/draws=2000/via=2000", unit: "ns/op", scale: 1e-6, limit: 60, in: "ms"},
	{what: "one tooth sorted", benchmark: "BenchmarkSort/in_words", unit: "ns/op", scale: 1e-3, limit: 30, in: "µs"},
	{what: "times faster than golearn's nearest neighbours", benchmark: "BenchmarkGolearnKNN", unit: "times-faster", scale: 1, limit: 3, least: true},
	{what: "100,000 typed rows sorted, in the browser", benchmark: "BenchmarkSortTable", unit: "s-to-sorted", scale: 1, limit: 5, in: "s"},
	{what: "longest time the page is deaf meanwhile", benchmark: "BenchmarkSortTable", unit: "ms-longest", scale: 1, limit: 200, in: "ms"},
	{what: "processor time of an idle page, per second", benchmark: "BenchmarkIdle", unit: "ms-per-s", scale: 1, limit: 5, in: "ms"},
	{what: "program's memory after 5,000 commands, less that after 1,000", benchmark: "BenchmarkLongUse", unit: grown, scale: 1, limit: 16, in: "MB"},
}

const (
	transfer = "transfer" // what web/pack prints of a first visit
	grown    = "MB-grown" // worked out of two figures
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: budget FILE")
		os.Exit(2)
	}
	f, err := os.Open(os.Args[1])
	if err != nil {
		fmt.Fprintln(os.Stderr, "budget:", err)
		os.Exit(1)
	}
	defer f.Close()
	figures, processor, err := read(f)
	if err != nil {
		fmt.Fprintln(os.Stderr, "budget:", err)
		os.Exit(1)
	}
	fmt.Print(table(figures, processor))
}

// read gathers figures by benchmark and unit; of several the last counts.
func read(r io.Reader) (figures map[string]map[string]float64, processor string, err error) {
	figures = map[string]map[string]float64{}
	put := func(benchmark, unit string, v float64) {
		if figures[benchmark] == nil {
			figures[benchmark] = map[string]float64{}
		}
		figures[benchmark][unit] = v
	}
	processors := regexp.MustCompile(`-\d+$`)
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		line := lines.Text()
		if cpu, ok := strings.CutPrefix(line, "cpu: "); ok {
			processor = cpu
			continue
		}
		words := strings.Fields(line)
		switch {
		case strings.HasPrefix(line, "first visit") && len(words) == 5:
			if v, err := strconv.ParseFloat(words[4], 64); err == nil {
				if _, had := figures[transfer]; !had { // the program's stands before the engine's alone
					put(transfer, "kB", v)
				}
			}
		case strings.HasPrefix(line, "Benchmark") && len(words) > 3:
			name := processors.ReplaceAllString(words[0], "")
			for i := 2; i+1 < len(words); i += 2 {
				if v, err := strconv.ParseFloat(words[i], 64); err == nil {
					put(name, words[i+1], v)
				}
			}
		}
	}
	if use := figures["BenchmarkLongUse"]; use != nil {
		put("BenchmarkLongUse", grown, use["MB-program-after-5000"]-use["MB-program-after-1000"])
	}
	return figures, processor, lines.Err()
}

// table writes the figures against their budgets.
func table(figures map[string]map[string]float64, processor string) string {
	var b strings.Builder
	load, _ := os.ReadFile("/proc/loadavg")
	name, _ := os.Hostname()
	fmt.Fprintf(&b, "%s, %s, %d processors, %s/%s, %s; load at the end %s\n\n", name, processor, runtime.NumCPU(), runtime.GOOS, runtime.GOARCH, runtime.Version(), strings.TrimSpace(string(load)))
	b.WriteString("| what | measured | budget | |\n|---|---|---|---|\n")
	for _, x := range budgets {
		sign := "≤"
		if x.least {
			sign = "≥"
		}
		limit := strings.TrimSpace(fmt.Sprintf("%s %g %s", sign, x.limit, x.in))
		v, ok := figures[x.benchmark][x.unit]
		if !ok {
			fmt.Fprintf(&b, "| %s | not measured | %s | — |\n", x.what, limit)
			continue
		}
		v *= x.scale
		verdict := "kept"
		if x.least && v < x.limit || !x.least && v > x.limit {
			verdict = "MISSED"
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", x.what, strings.TrimSpace(fmt.Sprintf("%.3g %s", v, x.in)), limit, verdict)
	}
	return b.String()
}
