package morph_test

import "math"

// reporter is what *testing.T and *rapid.T share.
type reporter interface {
	Helper()
	Errorf(format string, args ...any)
}

// near checks a number against an expected one with an absolute tolerance.
func near(t reporter, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tol)
	}
}

// nearRel checks with a tolerance relative to the expected number.
func nearRel(t reporter, what string, got, want, rel float64) {
	t.Helper()
	near(t, what, got, want, math.Abs(want)*rel)
}
