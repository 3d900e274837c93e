//go:build browser

package browsertest

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// kills is how often the page is killed in one long edit.
const kills = 200

// In a long edit the page is killed again and again, at moments taken at random.
// What comes back each time is a state that the person had, no older than what
// had come back before, and the photograph is whole.
func TestKilledAgainAndAgain(t *testing.T) {
	p := Open(t, Laptop)
	p.Drop(640, 400, File{Name: "flat.png", Bytes: flatPNG(300, 200, true)})
	untilPhotographs(p, 1)
	p.UntilText("#saving", "Saved")
	p.ClickRole("button", "Quick check")
	cells := []string{"CH", "CBL", "CBW"}
	p.Until(`document.activeElement?.id === "cell-CH"`)
	r := rand.New(rand.NewPCG(11, 28))
	now := make([]string, len(cells)) // what the person sees
	kept := 0                         // rounds of which something new came back
	for round := range kills {
		states := []string{strings.Join(now, " ")}
		for range 1 + r.IntN(3) {
			c := r.IntN(len(cells))
			p.Click("#cell-" + cells[c])
			p.Press("Control+a")
			// Ten to ninety-nine, key by key: each key is a change.
			for i, digit := range strconv.Itoa(10 + r.IntN(90)) {
				p.Type(string(digit))
				if i == 0 {
					now[c] = ""
				}
				now[c] += string(digit)
				states = append(states, strings.Join(now, " "))
			}
		}
		time.Sleep(time.Duration(r.IntN(60)) * time.Millisecond)
		p.Kill()
		p.Goto(appURL + "/")
		p.Until(ready + ` && document.querySelector("#cell-CH")`)
		for i, name := range cells {
			now[i] = p.Value("#cell-" + name)
		}
		back := slices.Index(states, strings.Join(now, " "))
		if back < 0 {
			t.Fatalf("round %d: %q came back; the states had been %q", round, now, states)
		}
		if back > 0 {
			kept++
		}
		if said := p.Text(".notices"); said != "" {
			t.Fatalf("round %d: the page complains: %q", round, said)
		}
	}
	if kept < kills/2 {
		t.Errorf("in %d of %d rounds everything typed was lost", kills-kept, kills)
	}
	p.Click("#tray li:nth-child(1) .pick")
	untilPhotographs(p, 1)
	t.Logf("something new was kept in %d of %d rounds", kept, kills)
}
