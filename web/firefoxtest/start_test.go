//go:build firefox

package firefoxtest

import (
	"bufio"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"crownbench/web/site"
)

// Folders, relative to this package, where go test runs.
const (
	distFolder = "../../dist"
	shotFolder = "../../dist/shots"
)

// patience is how long Firefox may take to do what it was asked to. It is long
// because nothing is measured here: it only ends what is stuck.
const patience = 90 * time.Second

// Hidden opens the page in a Firefox without a screen and without WebGL.
func Hidden(t *testing.T) *Window {
	t.Helper()
	return open(t, nil, map[string]any{"webgl.disabled": true}, "-headless")
}

// Shown opens the page in a Firefox on a screen in memory, with WebGL 2 drawn in
// software.
func Shown(t *testing.T) *Window {
	t.Helper()
	return open(t, []string{"DISPLAY=" + screen(t), "LIBGL_ALWAYS_SOFTWARE=1", "MOZ_ENABLE_WAYLAND=0"},
		map[string]any{"webgl.force-enabled": true})
}

// screen starts an X server that draws into memory and gives its name.
func screen(t *testing.T) string {
	t.Helper()
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	x := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", "1400x1000x24", "-nolisten", "tcp")
	x.ExtraFiles = []*os.File{w} // its descriptor 3
	start(t, x)
	w.Close()
	number, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		t.Fatalf("Xvfb names no screen: %v", err)
	}
	return ":" + strings.TrimSpace(number)
}

// start runs a command until the test ends.
func start(t *testing.T, c *exec.Cmd) {
	t.Helper()
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = c.Process.Kill() // it may have ended by itself
		_ = c.Wait()
	})
}

// open starts Firefox with an empty profile and loads the page.
func open(t *testing.T, env []string, preferences map[string]any, args ...string) *Window {
	t.Helper()
	if _, err := os.Stat(filepath.Join(distFolder, "index.html")); err != nil {
		t.Fatalf("there is no page to test; build it with ./build.sh quick: %v", err)
	}
	server := httptest.NewServer(site.Handler(os.DirFS(distFolder)))
	t.Cleanup(server.Close)
	profile := t.TempDir()
	preferences["marionette.port"] = 0 // any that is free
	var prefs strings.Builder
	for name, value := range preferences {
		v, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&prefs, "user_pref(%q, %s);\n", name, v)
	}
	if err := os.WriteFile(filepath.Join(profile, "user.js"), []byte(prefs.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	firefox := exec.Command("firefox-esr", append([]string{"-marionette", "-remote-allow-system-access", "-no-remote", "-profile", profile}, args...)...)
	firefox.Env = append(os.Environ(), append(env, "HOME="+t.TempDir())...)
	firefox.WaitDelay = 5 * time.Second
	start(t, firefox)
	w := &Window{t: t, fox: connect(t, profile), home: server.URL + "/"}
	t.Cleanup(w.lastLook)
	w.call("WebDriver:NewSession", map[string]any{"capabilities": map[string]any{"alwaysMatch": map[string]any{"unhandledPromptBehavior": "ignore"}}}, nil)
	w.call("WebDriver:SetWindowRect", map[string]any{"x": 0, "y": 0, "width": 1300, "height": 860}, nil)
	w.call("WebDriver:Navigate", map[string]any{"url": w.home}, nil)
	w.Until(`document.documentElement.dataset.state === "ready"`)
	return w
}

// connect waits until Firefox has written down which port it listens at.
func connect(t *testing.T, profile string) *marionette {
	t.Helper()
	for deadline := time.Now().Add(patience); time.Now().Before(deadline); time.Sleep(50 * time.Millisecond) {
		port, err := os.ReadFile(filepath.Join(profile, "MarionetteActivePort"))
		if err != nil {
			continue
		}
		m, err := dial("127.0.0.1:" + strings.TrimSpace(string(port)))
		if err != nil {
			continue
		}
		t.Cleanup(func() { m.conn.Close() })
		return m
	}
	t.Fatal("Firefox does not start")
	return nil
}
