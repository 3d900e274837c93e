//go:build browser

package browsertest

import (
	"context"
	_ "embed"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// axe is axe-core 4.10.3 (MPL 2.0): its rules are the outside standard that the
// page is held to.
//
//go:embed testdata/axe/axe.min.js
var axe string

// auditor is a world of scripts beside the page's own. The page's policy lets no
// foreign script in, and stays as it is.
func (p *Page) auditor() runtime.ExecutionContextID {
	p.t.Helper()
	return run(p, "preparing the audit", func(ctx context.Context, t *chromedp.Target) (runtime.ExecutionContextID, error) {
		tree, err := cdp.Call(ctx, t, page.GetFrameTree, cdp.Empty{})
		if err != nil {
			return 0, err
		}
		world, err := cdp.Call(ctx, t, page.CreateIsolatedWorld, page.CreateIsolatedWorldParams{FrameID: tree.FrameTree.Frame.ID, WorldName: "audit"})
		if err != nil {
			return 0, err
		}
		_, err = chromedp.Evaluate[chromedp.Void](axe, inWorld(world.ExecutionContextID))(ctx, t)
		return world.ExecutionContextID, err
	})
}

func inWorld(id runtime.ExecutionContextID) chromedp.EvaluateOption {
	return func(e *runtime.EvaluateParams) { e.ContextID = id }
}

// A violation is a rule of WCAG that the page breaks, and where.
type violation struct {
	ID, Help string
	Nodes    []struct{ Target, HTML, Why string }
}

// audit gives what breaks WCAG 2.2, levels A and AA, in the page as it stands.
func (p *Page) audit(world runtime.ExecutionContextID) []violation {
	p.t.Helper()
	return run(p, "auditing", chromedp.Evaluate[[]violation](`axe.run(document, {
		runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], resultTypes: ["violations"],
	}).then(r => r.violations.map(v => ({ID: v.id, Help: v.help, Nodes: v.nodes.map(n => ({
		Target: n.target.flat().join(" "), HTML: n.html.slice(0, 200), Why: n.failureSummary,
	}))})))`, inWorld(world), chromedp.EvalAwaitPromise))
}

// Every state of the page keeps WCAG 2.2 at level AA, as far as axe-core can
// tell, in both schemes and on a tablet.
func TestAccessible(t *testing.T) {
	for name, view := range views {
		if strings.HasPrefix(name, "desk") {
			continue // the laptop's page with more room about it
		}
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			world := p.auditor()
			eachState(p, func(state string) {
				for _, v := range p.audit(world) {
					for _, n := range v.Nodes {
						t.Errorf("%s: %s (%s)\n\t%s\n\t%s\n\t%s", state, v.Help, v.ID, n.Target, n.HTML, strings.ReplaceAll(n.Why, "\n", "\n\t"))
					}
				}
			})
		})
	}
}

// The audit finds what it is there for.
func TestAuditFinds(t *testing.T) {
	p := Open(t, Laptop)
	world := p.auditor()
	p.Exec(`document.querySelector("h1").insertAdjacentHTML("beforebegin", "<img src='icon.svg'>")`)
	if found := fmt.Sprint(p.audit(world)); !strings.Contains(found, "image-alt") {
		t.Errorf("a picture without a text was not found, but %s", found)
	}
}

// WCAG 2.2, 2.5.8 (level AA): whatever is pressed is 24 CSS px wide and high.
// The label beside a tick box presses it too. A link within a sentence may be
// smaller.
func TestTargetsAreLarge(t *testing.T) {
	for _, name := range []string{"laptop", "tablet"} {
		t.Run(name, func(t *testing.T) {
			p := Open(t, views[name])
			eachState(p, func(state string) {
				for _, small := range Eval[[]string](p, smallTargets) {
					t.Errorf("%s: %s", state, small)
				}
			})
		})
	}
}

const smallTargets = `[...document.querySelectorAll("button, input, select, textarea, summary, a[href], [role=button], [tabindex='0']")]
	.filter(e => e.checkVisibility({visibilityProperty: true}) && e.getClientRects().length > 0 && !e.closest("[inert]") && !e.classList.contains("unseen"))
	.filter(e => !(e.localName === "a" && e.closest("p, li, dd")))
	.map(e => {
		const boxes = [e, ...(e.labels ?? [])].map(b => b.getBoundingClientRect());
		const wide = /checkbox|radio/.test(e.type) ? boxes.reduce((sum, b) => sum + b.width, 0) : boxes[0].width;
		const high = /checkbox|radio/.test(e.type) ? Math.max(...boxes.map(b => b.height)) : boxes[0].height;
		return {e, wide, high};
	})
	.filter(({wide, high}) => wide < 24 || high < 24)
	.map(({e, wide, high}) => e.outerHTML.slice(0, 120) + " is " + wide.toFixed(1) + " by " + high.toFixed(1) + " px")`
