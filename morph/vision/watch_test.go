package vision_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph/vision"
	"crownbench/testdata/toothtrial"
)

// A watched search finds what one finds that nobody watches; and wherever it is
// stopped, it ends with ErrStopped and asks no more.
func TestWatchedSearch(t *testing.T) {
	img, truth, err := toothtrial.Lateral(26, 900).Draw()
	if err != nil {
		t.Fatal(err)
	}
	p, err := vision.PictureOf(img)
	if err != nil {
		t.Fatal(err)
	}
	find := func(p *vision.Picture) (vision.Lateral, error) {
		o, err := vision.Silhouette(p, toothtrial.Middle(truth))
		if err != nil {
			return vision.Lateral{}, err
		}
		return vision.Landmarks(p, o)
	}
	want, err := find(p)
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	got, err := find(p.Watched(func() bool { asked++; return true }))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got, cmpopts.IgnoreUnexported(vision.Lateral{}), cmp.Comparer(func(a, b r2.Vec) bool { return a == b })); diff != "" {
		t.Errorf("watched, it finds something else (-want +got):\n%s", diff)
	}
	// An overview of 120,000 px is gone through more than twenty times, row by row.
	if asked < 1000 {
		t.Errorf("it asked %d times whether to go on", asked)
	}
	for _, last := range []int{1, 2, 7, asked / 3, asked / 2, asked - 1, asked} {
		left := last
		_, err := find(p.Watched(func() bool { left--; return left > 0 }))
		if !errors.Is(err, vision.ErrStopped) {
			t.Errorf("stopped at the %dth time of %d: %v", last, asked, err)
		}
		if left != 0 {
			t.Errorf("stopped at the %dth time, it asked %d times more", last, -left)
		}
	}
}

// A search that is at fault is not taken for one that was stopped.
func TestWatchedSearchAtFault(t *testing.T) {
	img, truth, err := toothtrial.Lateral(26, 300).Draw()
	if err != nil {
		t.Fatal(err)
	}
	p, err := vision.PictureOf(img)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if recover() != "a fault" {
			t.Error("the fault was hidden")
		}
	}()
	_, err = vision.Silhouette(p.Watched(func() bool { panic("a fault") }), toothtrial.Middle(truth))
	t.Errorf("it ended with %v", err)
}
