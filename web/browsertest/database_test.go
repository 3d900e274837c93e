//go:build browser

package browsertest

import (
	"context"
	_ "embed"
	"encoding/base64"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// firstVersion is the database as the first version of the program left it (READ
// out of its page): a tooth with a photograph, the one flatPNG(300, 200, true)
// makes, and one of three typed numbers.
//
//go:embed testdata/first-version.json
var firstVersion string

// filled is a view whose page finds a database as first-version.json has it. It
// is made once, before the program asks for its own.
func filled(database string) View {
	v := Laptop
	v.Prelude = `if (!sessionStorage.getItem("filled")) {
		sessionStorage.setItem("filled", "yes");
		const all = ` + database + `;
		const photo = Uint8Array.from(atob("` + base64.StdEncoding.EncodeToString(flatPNG(300, 200, true)) + `"), c => c.charCodeAt(0));
		const open = indexedDB.open("crownbench", all.version);
		open.onupgradeneeded = () => {
			for (const [name, rows] of Object.entries(all.stores)) {
				const store = open.result.createObjectStore(name);
				for (const [key, value] of rows) store.put(name === "photos" ? photo : value, key);
			}
		};
		open.onsuccess = () => open.result.close();
	}`
	return v
}

// What the first version kept is there in this one, with its photograph, and is
// kept on.
func TestDatabaseOfTheFirstVersion(t *testing.T) {
	p := Open(t, filled(firstVersion))
	p.UntilText("#tray .count", "2")
	// READ Hendrickx et al. 2024: Carcharodontosaurus SGM Din-1 mx03.
	p.UntilText(".said", "Blade-like")
	if got := p.Value("#cell-CH") + " " + p.Value("#cell-CBL") + " " + p.Value("#cell-CBW"); got != "71.01 41.46 15.15" {
		t.Errorf("the numbers came back as %q", got)
	}
	p.Fill("#cell-CH", "71.02")
	p.Press("Tab")
	p.UntilText("#saving", "Saved")
	p.Click("#tray li:nth-child(1) .pick")
	untilPhotographs(p, 1)
	if got := p.Value("#name"); got != "First version 1" {
		t.Errorf("the name came back as %q", got)
	}
	if said := p.Text(".notices"); said != "" {
		t.Errorf("the page complains: %q", said)
	}
	p.Reload()
	p.Until(ready)
	p.Click("#tray li:nth-child(2) .pick")
	p.Until(`document.querySelector("#cell-CH")?.value === "71.02"`)
}

// A database that a newer version wrote is left alone: the page says so, and can
// be worked with.
func TestDatabaseOfANewerVersion(t *testing.T) {
	p := Open(t, filled(strings.Replace(firstVersion, `"version":1`, `"version":99`, 1)))
	p.UntilText(".notices", "written by a newer version of this program")
	p.UntilText("#saving", "Not kept")
	p.ClickRole("button", "Put away")
	quickTooth(p, "71.01", "41.46", "15.15")
	p.UntilText(".said", "Blade-like")
	if rows := Eval[int](p, `new Promise(done => {
		const open = indexedDB.open("crownbench");
		open.onsuccess = () => {
			const count = open.result.transaction("specimens").objectStore("specimens").count();
			count.onsuccess = () => { open.result.close(); done(count.result) };
		};
	})`); rows != 2 {
		t.Errorf("the newer version's database holds %d specimens, it held 2", rows)
	}
}

// A damaged record is named and left as it is; the other teeth are there.
func TestDamagedRecord(t *testing.T) {
	p := Open(t, filled(strings.Replace(firstVersion, `\"typed\":{\"CBL\"`, `\"typed\":{CBL`, 1)))
	p.UntilText(".notices", "cannot be read")
	p.UntilText(".notices", "Tooth 1")
	p.Shot("damaged-record")
	kept := p.Download(func() { p.ClickRole("button", "Save it as a file") })
	if !strings.Contains(string(kept.Bytes), `"typed":{CBL:`) {
		t.Errorf("saved of the damaged record: %.200q", kept.Bytes)
	}
	p.ClickRole("button", "Put away")
	p.UntilText("#tray .count", "1")
	untilPhotographs(p, 1)
}

// Two tabs of the page have one tooth open. What one enters shows in the other.
func TestTwoTabsFollowEachOther(t *testing.T) {
	a := Open(t, Laptop)
	quickTooth(a, "71.01", "", "") // the cell after CH has the keyboard then
	a.UntilText("#saving", "Saved")
	b := a.Beside()
	b.Until(`document.querySelector("#cell-CH")?.value === "71.01"`)
	b.Fill("#cell-CBW", "15.15")
	b.Press("Tab")
	b.UntilText("#saving", "Saved")
	a.Front()
	a.Until(`document.querySelector("#cell-CBW").value === "15.15"`)
	a.Fill("#cell-CBL", "41.46")
	a.Press("Tab")
	a.UntilText("#saving", "Saved")
	b.Front()
	b.UntilText(".said", "Blade-like")
}

// Two tabs that do not hear of each other change one tooth: the second is told,
// and what it entered stays as a tooth of its own.
func TestTwoTabsAtOddsLoseNothing(t *testing.T) {
	deaf := Laptop
	deaf.Prelude = `BroadcastChannel.prototype.postMessage = () => {}`
	a := Open(t, deaf)
	quickTooth(a, "71.01", "", "")
	a.UntilText("#saving", "Saved")
	b := a.Beside()
	b.Until(`document.querySelector("#cell-CH")?.value === "71.01"`)
	a.Front()
	a.Fill("#cell-CBL", "41.46")
	a.Press("Tab")
	a.follow()
	a.UntilText("#saving", "Saved")
	b.Front()
	b.Fill("#cell-CBW", "15.15")
	b.Press("Tab")
	b.UntilText(".notices", "was changed in another tab too")
	b.UntilText("#tray .count", "2")
	b.Shot("two-tabs-at-odds")
	b.UntilText("#saving", "Saved")
	b.Reload()
	b.Until(ready)
	b.UntilText("#tray .count", "2")
	got := map[string]bool{}
	for _, tooth := range []string{"1", "2"} {
		b.Click("#tray li:nth-child(" + tooth + ") .pick")
		b.follow()
		got[b.Value("#cell-CH")+" "+b.Value("#cell-CBL")+" "+b.Value("#cell-CBW")] = true
	}
	// What was typed after the notice went on in the tooth that the other tab left.
	if all := fmt.Sprint(got); !strings.Contains(all, "71.01 41.46") || !strings.Contains(all, "15.15") {
		t.Errorf("the two teeth hold %v", got)
	}
}

// limit sets how many bytes the page may keep; 0 takes the limit away.
func limit(p *Page, bytes float64) {
	p.t.Helper()
	origin := Eval[string](p, `location.origin`)
	do(p, "limiting storage", func(ctx context.Context, t *chromedp.Target) error {
		params := storage.OverrideQuotaForOriginParams{Origin: origin}
		if bytes > 0 {
			params.QuotaSize = &bytes
		}
		_, err := cdp.Call(ctx, t, storage.OverrideQuotaForOrigin, params)
		return err
	})
}

// The disk is full: the page says so, what was saved before stays, what is
// entered meanwhile waits, and it is saved once there is room.
func TestDiskFull(t *testing.T) {
	p := Open(t, Laptop)
	quickTooth(p, "71.01", "", "")
	p.UntilText("#saving", "Saved")
	limit(p, 1)
	// Chromium goes by the room it found up to half a minute ago, so a large
	// photograph, which does not fit, may have to be tried again.
	grain := rand.New(rand.NewPCG(5, 6))
	full := func() bool { return strings.Contains(p.Text(".notices"), "no room left") }
	for start := time.Now(); !full() && time.Since(start) < 2*time.Minute; {
		photo := flatPNG(300, 200, true)
		noise := make([]byte, 8<<20)
		for i := range noise {
			noise[i] = byte(grain.Uint32())
		}
		p.Drop(640, 400, File{Name: "large.png", Bytes: withComment(photo, noise)})
		time.Sleep(5 * time.Second)
	}
	if !full() {
		t.Fatalf("a full disk goes unsaid: %q, %q", p.Text("#saving"), p.Text(".notices"))
	}
	p.Shot("disk-full")
	for p.Visible(".notices button") {
		p.Click(".notices .notice:first-child button")
		p.follow()
	}
	photos := Eval[int](p, `document.querySelectorAll(".photos button").length`)
	p.Fill("#name", "While the disk was full")
	p.Press("Tab")
	p.follow()
	limit(p, 0)
	p.Fill("#name", "After the disk was cleared")
	p.Press("Tab")
	p.follow()
	p.UntilWithin(2*time.Minute, `document.querySelector("#saving").textContent === "Saved"`)
	p.Drop(640, 400, File{Name: "small.png", Bytes: flatPNG(310, 200, true)})
	p.Until(fmt.Sprintf(`document.querySelectorAll(".photos button").length === %d`, max(photos, 1)+1))
	p.UntilText("#saving", "Saved")
	p.Reload()
	p.Until(ready)
	p.UntilText("#tray", "After the disk was cleared")
	untilPhotographs(p, max(photos, 1))
	p.UntilText(`tr[data-reading="CH"] .value`, "71.01")
}

// withComment puts a chunk that nobody needs before the end of a PNG.
func withComment(png, comment []byte) []byte {
	end := len(png) - 12 // of IEND: length, kind and checksum
	return append(append(png[:end:end], pngChunk("crWn", comment)...), png[end:]...)
}
