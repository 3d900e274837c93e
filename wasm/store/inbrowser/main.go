//go:build !js

// Command inbrowser runs a Go test program that was compiled for the browser
// in a headless Chromium, so that packages bound to the browser are tested by
// go test like all others:
//
//	go build -o dist/inbrowser ./wasm/store/inbrowser
//	GOOS=js GOARCH=wasm go test -exec "$PWD/dist/inbrowser" ./wasm/store/... ./wasm/page/picture
//
// A test may set how much the browser lets the page store, to see what happens
// when the disk is full, with a request to /quota?bytes=N (0 lifts the limit),
// and have the browser throw away what the page has stored, with one to /clear.
package main

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

//go:embed page.html
var page string

func main() {
	if len(os.Args) < 2 {
		fmt.Fprintln(os.Stderr, "usage: inbrowser program.wasm [arguments]")
		os.Exit(2)
	}
	code, err := run(os.Args[1], os.Args[2:])
	if err != nil {
		fmt.Fprintln(os.Stderr, "inbrowser:", err)
		os.Exit(2)
	}
	os.Exit(code)
}

// run gives the exit code of the program.
func run(program string, args []string) (code int, err error) {
	support, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return 0, fmt.Errorf("where Go lives: %w", err)
	}
	wasmExec := filepath.Join(strings.TrimSpace(string(support)), "lib", "wasm", "wasm_exec.js")

	profile, err := os.MkdirTemp("", "inbrowser-")
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(profile)) }()
	allocator, stop := chromedp.NewExecAllocator(context.Background(), append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.Flag("headless", "new"),
		chromedp.NoSandbox,
		chromedp.UserDataDir(profile),
		chromedp.Flag("use-gl", "angle"),
		chromedp.Flag("use-angle", "swiftshader"),
		chromedp.Flag("enable-unsafe-swiftshader", true),
		chromedp.Flag("enable-precise-memory-info", true),
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"),
	)...)
	defer stop()
	tab, quit := chromedp.NewContext(allocator)
	defer quit()
	if err := chromedp.Do(tab); err != nil {
		return 0, fmt.Errorf("chromium does not start: %w", err)
	}

	done := make(chan int, 1)
	var origin string
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		io.WriteString(w, page)
	})
	mux.HandleFunc("GET /arguments", func(w http.ResponseWriter, _ *http.Request) {
		io.WriteString(w, strings.Join(args, "\n"))
	})
	mux.HandleFunc("GET /wasm_exec.js", func(w http.ResponseWriter, r *http.Request) { http.ServeFile(w, r, wasmExec) })
	mux.HandleFunc("GET /program.wasm", func(w http.ResponseWriter, r *http.Request) { http.ServeFile(w, r, program) })
	mux.HandleFunc("POST /output", func(_ http.ResponseWriter, r *http.Request) { io.Copy(os.Stdout, r.Body) })
	mux.HandleFunc("POST /exit", func(_ http.ResponseWriter, r *http.Request) {
		code, err := strconv.Atoi(r.FormValue("code"))
		if err != nil {
			code = 2
		}
		done <- code
	})
	mux.HandleFunc("POST /quota", func(w http.ResponseWriter, r *http.Request) {
		limit := storage.OverrideQuotaForOriginParams{Origin: origin}
		if n, err := strconv.ParseFloat(r.FormValue("bytes"), 64); err == nil && n > 0 {
			limit.QuotaSize = &n
		}
		if _, err := chromedp.Call(tab, storage.OverrideQuotaForOrigin, limit); err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
		}
	})
	mux.HandleFunc("POST /clear", func(w http.ResponseWriter, _ *http.Request) {
		everything := storage.ClearDataForOriginParams{Origin: origin, StorageTypes: "indexeddb"}
		if _, err := chromedp.Call(tab, storage.ClearDataForOrigin, everything); err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
		}
	})
	server := httptest.NewServer(mux)
	defer server.Close()
	origin = server.URL

	if err := chromedp.Do(tab, chromedp.Navigate(server.URL)); err != nil {
		return 0, err
	}
	select {
	case code := <-done:
		return code, nil
	case <-tab.Done():
		return 0, fmt.Errorf("chromium ended before the program did: %w", tab.Err())
	}
}
