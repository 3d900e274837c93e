package main

import (
	"os"
	"strings"
	"testing"
)

// With another version of Ebitengine the stand-ins would be left out, and the
// program would grow by a sixth without a word that anybody reads.
func TestStandInsAreOfTheEngineInUse(t *testing.T) {
	mod, err := os.ReadFile("../../go.mod")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(mod), module+" "+written+"\n") {
		t.Errorf("go.mod does not ask for %s %s, for which the stand-ins were written: write them anew", module, written)
	}
}

// Every stand-in stands in for something, and the other way round.
func TestEveryStandInIsUsed(t *testing.T) {
	used := map[string]bool{"prepare.txt": true}
	for _, name := range replaced {
		used[name] = true
		if name == "" {
			continue
		}
		if _, err := standIns.ReadFile("ebitengine/" + name); err != nil {
			t.Error(err)
		}
	}
	files, err := standIns.ReadDir("ebitengine")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if !used[f.Name()] {
			t.Errorf("nothing uses %s", f.Name())
		}
	}
}
