//go:build browser

package browsertest

import "testing"

// enlarged is the laptop's page at 200 %, as WCAG 2.2, 1.4.4, asks for.
var enlarged = View{Width: 640, Height: 360, Density: 2}

// Enlarged to 200 % everything is still there: nothing is cut off sideways, and
// whatever can be pressed can be scrolled to and is covered by nothing.
func TestEnlarged(t *testing.T) {
	p := Open(t, enlarged)
	eachState(p, func(state string) {
		p.follow()
		p.Shot(state + "-enlarged")
		for p.Visible(".notice button") { // a notice lies over the page until it is put away
			p.Click(".notice:first-child button")
			p.follow()
		}
		for _, lost := range append(Eval[[]string](p, cutOff), Eval[[]string](p, outOfReach)...) {
			t.Errorf("%s: %s", state, lost)
		}
	})
}

// cutOff lists the texts that reach out of the window sideways, though they lie
// in nothing that scrolls that way.
const cutOff = `[...document.querySelectorAll("#app *")]
	.filter(e => e.checkVisibility({visibilityProperty: true}) && !e.closest(".unseen, svg") && [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()))
	.filter(e => {
		for (let a = e; a; a = a.parentElement) if (/auto|scroll/.test(getComputedStyle(a).overflowX) && a.scrollWidth > a.clientWidth) return false;
		return [...e.getClientRects()].some(r => r.right > innerWidth + 1 || r.left < -1);
	})
	.map(e => "cut off: " + e.outerHTML.slice(0, 120))`

// outOfReach lists what can be pressed in principle but not by anyone.
const outOfReach = `[...document.querySelectorAll("button, input, select, summary")]
	.filter(e => e.checkVisibility({visibilityProperty: true}) && e.getClientRects().length > 0 && !e.closest("[inert]") && e.id !== "file-input")
	.map(e => {
		e.scrollIntoView({block: "center", inline: "center", behavior: "instant"});
		const r = e.getClientRects()[0], hit = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
		const drawer = hit?.closest(".tray, .side"); // may be slid away again
		return drawer && !drawer.contains(e) || hit && (e.contains(hit) || hit.closest("label")?.control === e) ? "" :
			e.outerHTML.slice(0, 100) + " at " + [r.x, r.y, r.width, r.height].map(Math.round) + " is behind " + (hit?.outerHTML.slice(0, 60) ?? "the edge of the window");
	})
	.filter(Boolean)`

// What moves, moves only for those who did not ask for less of it.
func TestStillMotion(t *testing.T) {
	const moving = `[...document.querySelectorAll("*")].filter(e => {
		const s = getComputedStyle(e);
		return [s.transitionDuration, s.animationDuration].some(d => d.split(",").some(x => parseFloat(x) > 0));
	}).length`
	still := Tablet
	still.StillMotion = true
	p := Open(t, still)
	eachState(p, func(state string) {
		if n := Eval[int](p, moving); n > 0 {
			t.Errorf("%s: %d elements move", state, n)
		}
	})
	other := Open(t, Tablet)
	openDemo(other)
	if Eval[int](other, moving) == 0 {
		t.Error("nothing moves for those who have asked for nothing: the test sees no motion")
	}
}

// In the few colours that a person has chosen, what is chosen, wrong or measured
// as a bar can still be told from the rest.
func TestFewColours(t *testing.T) {
	v := Laptop
	v.FewColours = true
	p := Open(t, v)
	eachState(p, func(state string) { p.Shot(state + "-few-colours") })
	if Eval[string](p, `getComputedStyle(document.querySelector(".tools button.chosen")).borderTopColor + getComputedStyle(document.querySelector(".tools button.chosen")).borderTopWidth`) ==
		Eval[string](p, `getComputedStyle(document.querySelector(".tools button:not(.chosen):not(:disabled)")).borderTopColor + getComputedStyle(document.querySelector(".tools button:not(.chosen):not(:disabled)")).borderTopWidth`) {
		t.Error("the chosen tool looks like the others")
	}
	if Eval[string](p, `getComputedStyle(document.querySelector(".bar > *")).backgroundColor`) ==
		Eval[string](p, `getComputedStyle(document.querySelector(".bar")).backgroundColor`) {
		t.Error("a bar cannot be told from its ground")
	}
}
