package desk

import (
	"context"

	"crownbench/classify"
	"crownbench/wasm/comparison"
)

// SampleTest is how far the test of the comparison sample has come: every tooth
// is sorted without its own animal, with and without the person's own teeth.
type SampleTest struct {
	Running   bool
	Done, All int                  // teeth
	Result    *classify.Validation // nil until it is finished
}

// SampleTest gives the state of the test.
func (d *Desk) SampleTest() SampleTest { return d.test.SampleTest }

// sampleTest is a test with the way to stop it.
type sampleTest struct {
	SampleTest
	stop context.CancelFunc
}

// TestSample begins the test, of the list as it stands now, in or out of use.
func (d *Desk) TestSample() {
	d.StopTest()
	sample, err := comparison.List{Teeth: d.settings.Own.Teeth}.Sample()
	if err != nil {
		d.Warn(Sentence(err))
		return
	}
	ctx, stop := context.WithCancel(context.Background())
	test := &sampleTest{SampleTest: SampleTest{Running: true}, stop: stop}
	d.test = test
	d.outside.Refresh()
	d.outside.Beside(func(turn func() bool) {
		defer stop()
		v, err := sample.Validate(ctx, func(done, all int) {
			test.Done, test.All = done, all
			if turn() {
				d.outside.Refresh()
			}
		})
		test.Running = false
		if err == nil {
			test.Result = &v
		}
		d.outside.Refresh()
	})
}

// StopTest ends a test that is under way and forgets what it found.
func (d *Desk) StopTest() {
	if d.test != nil && d.test.stop != nil {
		d.test.stop()
	}
	d.test = &sampleTest{}
	d.outside.Refresh()
}
