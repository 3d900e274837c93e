//go:build browser

package browsertest

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"

	"github.com/chromedp/chromedp"

	"crownbench/web/site"
)

// Folders, relative to this package, where go test runs.
const (
	distFolder    = "../../dist"
	emptyFolder   = "../../cache/empty"
	fixtureFolder = "testdata/fixture"
	shotFolder    = "../../dist/shots"
)

// One Chromium and two servers serve a whole run of tests: starting a browser
// costs more than most tests do.
var (
	chromium   context.Context
	appURL     string
	fixtureURL string
)

// withBrowser starts what the tests share, calls run, and stops it all again.
func withBrowser(run func() int) (code int, err error) {
	if _, err := os.Stat(filepath.Join(distFolder, "index.html")); err != nil {
		return 0, fmt.Errorf("there is no page to test; build it with ./build.sh quick: %w", err)
	}
	app := httptest.NewServer(site.Handler(os.DirFS(distFolder)))
	defer app.Close()
	fixture := httptest.NewServer(site.Handler(os.DirFS(fixtureFolder)))
	defer fixture.Close()
	appURL, fixtureURL = app.URL, fixture.URL

	profile, err := os.MkdirTemp("", "crownbench-browser-")
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(profile)) }()

	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.Flag("headless", "new"),
		chromedp.NoSandbox,
		chromedp.UserDataDir(profile),
		// WebGL 2 in software, so that the photo view draws without a GPU.
		chromedp.Flag("use-gl", "angle"),
		chromedp.Flag("use-angle", "swiftshader"),
		chromedp.Flag("enable-unsafe-swiftshader", true),
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true),
		// Input that comes before the first frame is on the screen would be
		// dropped without a word.
		chromedp.Flag("allow-pre-commit-input", true),
		// A machine without a desktop has no mouse; say that there is one
		// (4 and 2 are Blink's numbers for a fine pointer and for hovering).
		chromedp.Flag("blink-settings", "primaryPointerType=4,availablePointerTypes=4,primaryHoverType=2,availableHoverTypes=2"),
		// Nothing but this machine can be reached, whoever tries.
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost"),
	)
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	defer stop()
	browser, quit := chromedp.NewContext(allocator)
	defer quit()
	if err := chromedp.Do(browser); err != nil {
		return 0, fmt.Errorf("chromium does not start: %w", err)
	}
	chromium = browser
	return run(), nil
}

// serveAt serves a handler of a test's own until the test ends.
func serveAt(t interface{ Cleanup(func()) }, h http.Handler) (url string) {
	s := httptest.NewServer(h)
	t.Cleanup(s.Close)
	return s.URL
}
