package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// ran runs `go test -json` on packages of a small module and tallies it. The
// events are the go command's own, so the tally is tested against what it will
// meet.
func ran(t *testing.T, packages map[string]string) (passed, failed int, said string) {
	t.Helper()
	dir := t.TempDir()
	write := func(name, content string) {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("go.mod", "module tray\n\ngo 1.26\n")
	for name, code := range packages {
		write(name+"/a_test.go", "package "+name+"\n\n"+code)
	}
	cmd := exec.CommandContext(t.Context(), "go", "test", "-json", "./...")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "GOFLAGS=", "GOWORK=off")
	events, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	tally := newTally(&out)
	if err := tally.read(events); err != nil {
		t.Fatal(err)
	}
	// The exit code of failing tests is no news.
	_ = cmd.Wait()
	passed, failed = tally.counts()
	return passed, failed, out.String()
}

func TestTally(t *testing.T) {
	for name, c := range map[string]struct {
		packages       map[string]string
		passed, failed int
		says           []string
		hides          []string
	}{
		"all pass": {
			packages: map[string]string{"a": `
import ("fmt"; "testing")
func TestOne(t *testing.T) { t.Log("quiet"); t.Run("sub", func(t *testing.T) {}); t.Run("sub", func(t *testing.T) {}) }
func TestTwo(t *testing.T) {}
func FuzzThree(f *testing.F) { f.Add(1); f.Add(2); f.Fuzz(func(*testing.T, int) {}) }
func Example() { fmt.Println("x"); /* Output: x */ }
`},
			passed: 4, failed: 0, says: []string{"ok  tray/a", "4 tests"}, hides: []string{"quiet"},
		},
		"one fails": {
			packages: map[string]string{"a": `
import "testing"
func TestGood(t *testing.T) { t.Log("quiet") }
func TestBad(t *testing.T) { t.Run("sub", func(t *testing.T) { t.Error("CBL is 3, want 4") }) }
`},
			passed: 1, failed: 1, says: []string{"FAIL TestBad (tray/a)", "CBL is 3, want 4"}, hides: []string{"quiet", "FAIL TestGood"},
		},
		"one skips": {
			packages: map[string]string{"a": `
import "testing"
func TestGood(t *testing.T) {}
func TestLazy(t *testing.T) { t.Skip("no time") }
func TestHalf(t *testing.T) { t.Run("sub", func(t *testing.T) { t.Skip("half a time") }) }
`},
			passed: 1, failed: 2, says: []string{"SKIP TestLazy", "no time", "SKIP TestHalf", "half a time"},
		},
		"one dies": {
			packages: map[string]string{"a": `
import "testing"
func TestGood(t *testing.T) {}
func TestDead(t *testing.T) { var crown []int; crown[0]++ }
`},
			passed: 1, failed: 1, says: []string{"TestDead", "index out of range"},
		},
		"the package exits": {
			packages: map[string]string{"a": `
import ("os"; "testing")
func TestGood(t *testing.T) {}
func TestExit(t *testing.T) { os.Exit(3) }
`},
			passed: 1, failed: 1, says: []string{"TestExit"},
		},
		"setup fails": {
			packages: map[string]string{"a": `
import ("fmt"; "os"; "testing")
func TestMain(m *testing.M) { fmt.Println("there is no browser"); os.Exit(1) }
func TestNever(t *testing.T) {}
`},
			passed: 0, failed: 1, says: []string{"FAIL tray/a", "there is no browser"},
		},
		"does not build": {
			packages: map[string]string{"a": `
import "testing"
func TestOne(t *testing.T) {}
`, "b": `
import "testing"
func TestTwo(t *testing.T) { denticles++ }
`},
			passed: 1, failed: 1, says: []string{"ok  tray/a", "DOES NOT BUILD tray/b", "undefined: denticles"},
		},
		"nothing there": {
			packages: map[string]string{"a": ``},
			passed:   0, failed: 0,
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			passed, failed, said := ran(t, c.packages)
			if passed != c.passed || failed != c.failed {
				t.Errorf("%d passed, %d failed; want %d and %d", passed, failed, c.passed, c.failed)
			}
			for _, want := range c.says {
				if !strings.Contains(said, want) {
					t.Errorf("it does not say %q", want)
				}
			}
			for _, hidden := range c.hides {
				if strings.Contains(said, hidden) {
					t.Errorf("it says %q", hidden)
				}
			}
			if t.Failed() {
				t.Logf("it says:\n%s", said)
			}
		})
	}
}

// A run that is cut off has not passed.
func TestCutOff(t *testing.T) {
	var out strings.Builder
	tally := newTally(&out)
	err := tally.read(strings.NewReader(`{"Action":"start","Package":"crownbench/morph"}
{"Action":"run","Package":"crownbench/morph","Test":"TestCrown"}
{"Action":"output","Package":"crownbench/morph","Test":"TestCrown","Output":"half way\n"}
not an event
`))
	if err != nil {
		t.Fatal(err)
	}
	if passed, failed := tally.counts(); passed != 0 || failed != 1 {
		t.Errorf("%d passed, %d failed", passed, failed)
	}
	for _, want := range []string{"DIED TestCrown", "half way", "not an event"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("it does not say %q:\n%s", want, &out)
		}
	}
}
