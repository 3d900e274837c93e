// Command slim makes a copy of Ebitengine that leaves its compiler of shaders out
// of the program, and a go.mod to build with it.
//
//	go run ./web/slim -to cache/slim wasm/bench/*.kage
//	GOOS=js GOARCH=wasm go build -modfile cache/slim/go.mod ./wasm
//
// Ebitengine compiles its shaders, and those of a program, whenever the program
// starts. For that it brings along go/parser, go/constant, math/big and
// text/template, and the latter makes the linker keep every exported method of
// every type. All of that served to turn a dozen texts into the same dozen texts
// each time. Slim does it once: it runs Ebitengine's own compiler over them and
// gives the program the results.
//
// It also lets the engine rest: where Ebitengine draws only when asked, it still
// has the browser call it sixty times a second to see whether it was, and looks
// ten times a second whether its audio, of which there is none, is to stop. In
// the copy an asked-for frame wakes it, and nothing runs in between.
//
// The files that stand in for Ebitengine's own were written for one version of
// it, [written]. With another one slim says so and changes nothing: the program
// is then larger, and works as well.
package main

import (
	"bytes"
	"embed"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

const (
	module  = "github.com/hajimehoshi/ebiten/v2"
	written = "v2.8.8" // the version that the stand-ins were written for
)

//go:embed ebitengine
var standIns embed.FS

// replaced lists Ebitengine's files and what stands in for each.
var replaced = map[string]string{
	"internal/graphics/shader.go":      "graphics.txt",
	"internal/shaderir/program.go":     "program.txt",
	"internal/shaderir/check.go":       "",
	"internal/shaderir/glsl/glsl.go":   "glsl.txt",
	"internal/shaderir/glsl/type.go":   "",
	"internal/builtinshader/shader.go": "builtinshader.txt",
}

// edit is a change to one of Ebitengine's files: was stands in it once.
type edit struct{ file, was, becomes string }

var edits = []edit{
	{"internal/ui/ui_js.go", `	u.renderingScheduled = true
}
`, `	u.renderingScheduled = true
	if wake := u.wake; wake != nil {
		u.wake = nil
		wake()
	}
}
`},
	{"internal/ui/ui_js.go", `	renderingScheduled  bool
`, `	renderingScheduled  bool
	wake                func() // asks for the next frame while none is asked for
`},
	{"internal/ui/ui_js.go", `		case FPSModeVsyncOffMinimum:
			requestAnimationFrame.Invoke(cf)
`, `		case FPSModeVsyncOffMinimum:
			if u.onceUpdateCalled && !u.renderingScheduled {
				u.wake = func() { requestAnimationFrame.Invoke(cf) }
				return
			}
			requestAnimationFrame.Invoke(cf)
`},
	{"internal/ui/ui_js.go", "const interval = 100 * time.Millisecond", "const interval = time.Hour"},
}

func main() {
	to := flag.String("to", "cache/slim", "folder to write into; it is emptied first")
	flag.Parse()
	if err := slim(*to, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "slim:", err)
		os.Exit(1)
	}
}

// slim writes go.mod, go.sum and the copy into a folder. shaders are the
// program's own, in Ebitengine's language.
func slim(to string, shaders []string) error {
	if err := os.RemoveAll(to); err != nil {
		return err
	}
	if err := os.MkdirAll(to, 0o755); err != nil {
		return err
	}
	found, err := run(".", "go", "list", "-m", "-f", "{{.Version}} {{.Dir}}", module)
	if err != nil {
		return err
	}
	version, dir, _ := strings.Cut(strings.TrimSpace(string(found)), " ")
	for _, file := range []string{"go.mod", "go.sum"} {
		text, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(to, file), text, 0o644); err != nil {
			return err
		}
	}
	if version != written {
		fmt.Printf("Ebitengine is %s, not %s; its compiler of shaders stays in the program, which is larger for it\n", version, written)
		return nil
	}
	engine, err := filepath.Abs(filepath.Join(to, "ebitengine"))
	if err != nil {
		return err
	}
	if err := copyModule(dir, engine); err != nil {
		return err
	}
	if err := prepare(engine, shaders); err != nil {
		return err
	}
	_, err = run(".", "go", "mod", "edit", "-replace", module+"="+engine, filepath.Join(to, "go.mod"))
	return err
}

// copyModule copies what a program needs of a module.
func copyModule(from, to string) error {
	return filepath.WalkDir(from, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		if entry.IsDir() {
			switch name {
			case "examples", "cmd", ".github":
				return fs.SkipDir
			}
			return os.MkdirAll(filepath.Join(to, name), 0o755)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, name), text, 0o644)
	})
}

// prepare compiles the shaders in the copy, by its own compiler, and puts the
// stand-ins in the compiler's place.
func prepare(engine string, shaders []string) error {
	const command = "internal/prepare"
	if err := os.Mkdir(filepath.Join(engine, command), 0o755); err != nil {
		return err
	}
	if err := put(filepath.Join(engine, command, "main.go"), "prepare.txt"); err != nil {
		return err
	}
	args := []string{"run", "./" + command}
	for _, s := range shaders {
		path, err := filepath.Abs(s)
		if err != nil {
			return err
		}
		args = append(args, path)
	}
	table, err := run(engine, "go", args...)
	if err != nil {
		return err
	}
	if err := os.RemoveAll(filepath.Join(engine, command)); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(engine, "internal/graphics/prepared.go"), table, 0o644); err != nil {
		return err
	}
	for name, standIn := range replaced {
		path := filepath.Join(engine, name)
		if err := os.Remove(path); err != nil {
			return err
		}
		if standIn == "" {
			continue
		}
		if err := put(path, standIn); err != nil {
			return err
		}
	}
	for _, e := range edits {
		path := filepath.Join(engine, e.file)
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if n := bytes.Count(text, []byte(e.was)); n != 1 {
			return fmt.Errorf("%s holds %d times what is to be changed in it: %q", e.file, n, e.was)
		}
		if err := os.WriteFile(path, bytes.Replace(text, []byte(e.was), []byte(e.becomes), 1), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// put writes a stand-in to a file.
func put(path, name string) error {
	text, err := standIns.ReadFile("ebitengine/" + name)
	if err != nil {
		return err
	}
	return os.WriteFile(path, text, 0o644)
}

func run(dir, name string, args ...string) ([]byte, error) {
	var out, complaint bytes.Buffer
	c := exec.Command(name, args...)
	c.Dir, c.Stdout, c.Stderr = dir, &out, &complaint
	// The program's own settings, such as GOOS or a go.mod elsewhere, are not
	// those of a command that runs now.
	c.Env = append(os.Environ(), "GOOS=", "GOARCH=", "GOWORK=off")
	if err := c.Run(); err != nil {
		return nil, fmt.Errorf("%s %s: %w\n%s", name, strings.Join(args, " "), err, complaint.Bytes())
	}
	return out.Bytes(), nil
}
