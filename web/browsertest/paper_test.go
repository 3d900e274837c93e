//go:build browser

package browsertest

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// pdf prints the page on paper of so many inches.
func (p *Page) pdf(width, height float64) []byte {
	p.t.Helper()
	yes := true
	var file []byte
	do(p, "printing", func(ctx context.Context, t *chromedp.Target) error {
		r, err := cdp.Call(ctx, t, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: width, PaperHeight: height, PrintBackground: &yes})
		file = r.Data
		return err
	})
	return file
}

// pdfPage is a page in a PDF (ISO 32000-1, 7.7.3.3), as Chromium writes it.
var pdfPage = regexp.MustCompile(`/Type\s*/Page\b`)

// The sheet of a tooth with everything on it, its place among the published
// teeth included, prints on few pages of A4 and of Letter alike. What its tables
// hold can be read off the paper by poppler's pdftotext.
func TestSheetPrints(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	p.ClickRole("button", "Sheet")
	p.Until(`document.querySelectorAll(".paper svg image").length > 1 && document.querySelector(".sheet-map svg")`)
	p.Shot("sheet-map")
	cells := Eval[[]string](p, `[...document.querySelectorAll(".paper table td, .paper table th")].map(c => c.innerText.trim()).filter(t => /^[A-Z]{2,3}$|^[0-9.,]+$/.test(t))`)
	if len(cells) < 20 {
		t.Fatalf("the sheet's tables hold %q", cells)
	}
	for name, inches := range map[string][2]float64{"a4": {8.27, 11.69}, "letter": {8.5, 11}} {
		file := p.pdf(inches[0], inches[1])
		if n := len(pdfPage.FindAll(file, -1)); !bytes.HasPrefix(file, []byte("%PDF-")) || n < 1 || n > 3 {
			t.Errorf("%s: %d pages in %d bytes", name, n, len(file))
		}
		if err := os.MkdirAll(shotFolder, 0o755); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(shotFolder, "sheet-"+name+".pdf")
		if err := os.WriteFile(path, file, 0o644); err != nil {
			t.Fatal(err)
		}
		text, err := exec.Command("pdftotext", "-layout", path, "-").Output()
		if err != nil {
			t.Fatalf("pdftotext: %v", err)
		}
		printed := strings.Fields(string(text))
		for _, cell := range cells {
			if !slices.Contains(printed, cell) {
				t.Errorf("%s: %q of the sheet is not on the paper", name, cell)
			}
		}
	}
}
