package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
)

// event is one line of `go test -json`; see `go doc test2json` and, for the
// build events, `go help buildjson`.
type event struct {
	Action      string
	Package     string
	ImportPath  string
	Test        string
	Output      string
	Elapsed     float64
	FailedBuild string
}

// tally follows a run of tests.
type tally struct {
	out      io.Writer
	packages map[string]*pkg
	builds   map[string]*strings.Builder
}

// pkg is what has been heard of one package.
type pkg struct {
	// ended holds the last word on each top-level test: pass, fail, skip, or
	// "" while it runs.
	ended  map[string]string
	output map[string]*strings.Builder
	// done is set once the package as a whole has passed, failed or had nothing
	// to test.
	done bool
	// broken counts a failure that no test can be blamed for.
	broken int
}

func newTally(out io.Writer) *tally {
	return &tally{out: out, packages: make(map[string]*pkg), builds: make(map[string]*strings.Builder)}
}

// read follows the run to its end. A line that is no event is passed on as it
// is: the go command writes some complaints as plain text.
func (t *tally) read(r io.Reader) error {
	lines := bufio.NewReader(r)
	for {
		line, err := lines.ReadBytes('\n')
		if len(line) > 0 {
			var e event
			if json.Unmarshal(line, &e) == nil && e.Action != "" {
				t.hear(e)
			} else {
				t.out.Write(line)
			}
		}
		if err == io.EOF {
			t.close()
			return nil
		}
		if err != nil {
			return fmt.Errorf("reading the test events: %w", err)
		}
	}
}

func (t *tally) hear(e event) {
	if e.Action == "build-output" {
		add(t.builds, e.ImportPath, e.Output)
		return
	}
	if e.Package == "" {
		return
	}
	p := t.packages[e.Package]
	if p == nil {
		p = &pkg{ended: make(map[string]string), output: make(map[string]*strings.Builder)}
		t.packages[e.Package] = p
	}
	top, _, sub := strings.Cut(e.Test, "/")
	switch e.Action {
	case "run":
		if !sub {
			p.ended[top] = ""
		}
	case "output":
		add(p.output, top, e.Output)
	case "pass", "fail", "skip":
		if e.Test == "" {
			t.finish(e, p)
			return
		}
		if sub {
			// A skipped subtest leaves no trace in its parent, so it is kept here.
			if e.Action == "skip" {
				p.ended[top] = "skip"
			}
			return
		}
		if p.ended[top] == "" || e.Action == "fail" {
			p.ended[top] = e.Action
		}
		switch p.ended[top] {
		case "pass":
			delete(p.output, top)
		default:
			t.show(fmt.Sprintf("%s %s (%s)", strings.ToUpper(p.ended[top]), top, e.Package), p.output[top])
		}
	}
}

// finish closes the account of a package.
func (t *tally) finish(e event, p *pkg) {
	p.done = true
	if e.FailedBuild != "" {
		p.broken++
		t.show("DOES NOT BUILD "+e.Package, t.builds[e.FailedBuild])
		return
	}
	passed, failed := p.counts()
	switch {
	case e.Action == "skip":
		fmt.Fprintf(t.out, "    %-36s no tests\n", e.Package)
	case e.Action == "pass" && failed == 0:
		fmt.Fprintf(t.out, "ok  %-36s %3d tests %6.1f s\n", e.Package, passed, e.Elapsed)
	default:
		t.showUnended(e.Package, p)
		if failed == 0 {
			p.broken++
			t.show("FAIL "+e.Package, p.output[""])
		}
	}
}

// showUnended prints what the tests said that were under way when their package
// died.
func (t *tally) showUnended(name string, p *pkg) {
	for _, test := range slices.Sorted(maps.Keys(p.ended)) {
		if p.ended[test] == "" {
			t.show(fmt.Sprintf("DIED %s (%s)", test, name), p.output[test])
		}
	}
}

// close accounts for packages that the run left open.
func (t *tally) close() {
	for _, name := range slices.Sorted(maps.Keys(t.packages)) {
		p := t.packages[name]
		if p.done {
			continue
		}
		t.showUnended(name, p)
		if _, failed := p.counts(); failed == 0 {
			p.broken++
			t.show("NEVER ENDED "+name, p.output[""])
		}
	}
}

// counts returns the number of test functions that passed, and of failures.
func (t *tally) counts() (passed, failed int) {
	for _, p := range t.packages {
		ok, bad := p.counts()
		passed += ok
		failed += bad
	}
	return passed, failed
}

func (p *pkg) counts() (passed, failed int) {
	for _, how := range p.ended {
		if how == "pass" {
			passed++
		} else {
			failed++
		}
	}
	return passed, failed + p.broken
}

// show prints a headed block, without the lines that only frame it.
func (t *tally) show(head string, said *strings.Builder) {
	fmt.Fprintf(t.out, "--- %s\n", head)
	if said == nil {
		return
	}
	for line := range strings.Lines(said.String()) {
		if strings.HasPrefix(line, "=== ") {
			continue
		}
		fmt.Fprintf(t.out, "    %s\n", strings.TrimRight(line, "\n"))
	}
}

func add(m map[string]*strings.Builder, key, text string) {
	if m[key] == nil {
		m[key] = new(strings.Builder)
	}
	m[key].WriteString(text)
}
