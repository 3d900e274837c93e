package desk

import (
	"errors"
	"fmt"
	"io"

	"crownbench/wasm/tray"
)

// Job is work that a person waits for and may stop.
type Job struct {
	Words    string // what is being done
	Done, Of int    // steps; Of is 0 where nobody knows how many there are
	stopped  bool
}

// Stopped tells whether the person has stopped it.
func (j *Job) Stopped() bool { return j.stopped }

// Job is what the program is at work on, nil when nothing.
func (d *Desk) Job() *Job { return d.job }

// StopJob ends the work at its next step; what it made so far is thrown away.
func (d *Desk) StopJob() {
	if d.job != nil {
		d.job.stopped = true
		d.outside.Refresh()
	}
}

// errStopped ends work that the person stopped.
var errStopped = errors.New("it was stopped")

// startJob starts work beside the page, one at a time.
func (d *Desk) startJob(words string, of int, work func(j *Job, step func())) {
	if d.job != nil {
		d.Remark(fmt.Sprintf("One thing at a time: %s is still under way.", d.job.Words))
		return
	}
	j := &Job{Words: words, Of: of}
	d.job = j
	d.outside.Refresh()
	d.outside.Beside(func(turn func() bool) {
		defer func() {
			d.job = nil
			d.outside.Refresh()
		}()
		work(j, func() {
			j.Done++
			if turn() {
				d.outside.Refresh()
			}
		})
	})
}

// stoppable is a writer that refuses once its work was stopped.
type stoppable struct {
	w io.Writer
	j *Job
}

func (s stoppable) Write(b []byte) (int, error) {
	if s.j.stopped {
		return 0, errStopped
	}
	return s.w.Write(b)
}

// findSteps finds for a writer, a step of the work for each specimen it asks
// about first. What is no longer wanted is not found.
func (d *Desk) findSteps(j *Job, step func()) func(*tray.Specimen) tray.Finding {
	seen := map[*tray.Specimen]bool{}
	return func(s *tray.Specimen) tray.Finding {
		if j.stopped {
			return tray.Finding{}
		}
		if !seen[s] {
			seen[s] = true
			defer step()
		}
		return d.finder.Find(s)
	}
}
