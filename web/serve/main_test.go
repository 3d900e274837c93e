package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var address = regexp.MustCompile(`http://\S+/`)

func TestServe(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "index.html"), []byte("Crownbench"), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	said, out := io.Pipe()
	ended := make(chan error, 1)
	go func() { ended <- serve(ctx, out, "localhost:0", dir) }()

	line, err := bufio.NewReader(said).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	url := address.FindString(line)
	if url == "" || strings.Contains(url, ":0/") {
		t.Fatalf("it says %q", line)
	}
	r, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if b, _ := io.ReadAll(r.Body); string(b) != "Crownbench" || r.Header.Get("Content-Security-Policy") == "" {
		t.Errorf("%s answers %q with %v", url, b, r.Header)
	}

	stop()
	if err := <-ended; err != nil {
		t.Errorf("it ended with %v", err)
	}
	if _, err := http.Get(url); err == nil {
		t.Error("it still answers after it has stopped")
	}
}

func TestServeRefuses(t *testing.T) {
	for name, c := range map[string]struct{ addr, dir, want string }{
		"no page":     {"localhost:0", filepath.Join(t.TempDir(), "absent"), "build the page first"},
		"bad address": {"localhost:nowhere", t.TempDir(), "choose another with -addr"},
	} {
		err := serve(t.Context(), io.Discard, c.addr, c.dir)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q in it", name, err, c.want)
		}
	}
}
