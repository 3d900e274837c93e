package main

import (
	"bytes"
	"go/parser"
	"go/printer"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

const program = "// Command told says where it was called.\n" + `//go:build !never

package main

/* a comment
over lines */ import (
	_ "embed"
	"fmt"
	"runtime"
)

//go:embed text.txt
var text string

//line elsewhere.y:70
const raw = ` + "`one\n//line raw:9\nthree`" + `

//go:noinline
func where() int {
	_, _, line, _ := runtime.Caller(1)
	return line
}

func main() {
	/* two */ a := /*
	three */ where()
	fmt.Printf("%d %d %q %q\n", a, where(), raw, text)
}
`

// What is compiled is the same text, with every declaration on line 1; the
// parser and the printer of Go's library are the judges.
func TestSameProgramWithoutLines(t *testing.T) {
	plain := printed(t, token.NewFileSet(), []byte(program))
	set := token.NewFileSet()
	without := withoutLines([]byte(program), "/folder/source")
	if got := printed(t, set, without); got != plain {
		t.Errorf("the program became another one:\n%s\nfrom\n%s", got, plain)
	}
	tree, err := parser.ParseFile(set, "", without, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range tree.Decls {
		if p := set.Position(d.Pos()); p.Filename != "/folder/source" || p.Line > 2 {
			t.Errorf("a declaration is at %v", p)
		}
	}
}

// printed returns a program's declarations without comments, which is all that
// runs.
func printed(t *testing.T, set *token.FileSet, text []byte) string {
	t.Helper()
	tree, err := parser.ParseFile(set, "", text, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	for _, d := range tree.Decls {
		// An empty set: with positions the printer would keep lines apart as the
		// text has them.
		if err := (&printer.Config{Mode: printer.RawFormat}).Fprint(&out, token.NewFileSet(), d); err != nil {
			t.Fatal(err)
		}
	}
	return strings.Join(strings.Fields(out.String()), " ")
}

// The go command builds with lineless in the compiler's place, and the program
// works and knows no line but the first few.
func TestBuildWithoutLines(t *testing.T) {
	folder := t.TempDir()
	tool := filepath.Join(folder, "lineless")
	if out, err := exec.Command("go", "build", "-o", tool, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for name, text := range map[string]string{"main.go": program, "text.txt": "within", "go.mod": "module told\n\ngo 1.26\n"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		flags []string
		want  string
	}{
		{nil, `82 83 "one\n//line raw:9\nthree" "within"` + "\n"},
		{[]string{"-toolexec", tool}, `2 1 "one\n//line raw:9\nthree" "within"` + "\n"},
	} {
		build := exec.Command("go", append(append([]string{"build", "-trimpath", "-o", "told"}, c.flags...), ".")...)
		build.Dir = folder
		build.Env = append(os.Environ(), "GOWORK=off", "GOFLAGS=-buildvcs=false", "GOOS=", "GOARCH=")
		if out, err := build.CombinedOutput(); err != nil {
			t.Fatalf("%v: %v\n%s", c.flags, err, out)
		}
		out, err := exec.Command(filepath.Join(folder, "told")).Output()
		if err != nil {
			t.Fatal(err)
		}
		if string(out) != c.want {
			t.Errorf("%v: the program says %s, not %s", c.flags, out, c.want)
		}
	}
}
