package classify

import (
	"context"
	"iter"
)

// SortSeries sorts queries one after another and hands each answer to each,
// with its place in the series from 0. It stops when ctx is done and returns
// its error, or when each returns false. Nothing is kept, so a series may be as
// long as it likes; in a browser, each is the place to let the page breathe and
// to show progress. [Options.Brief] saves most of the time.
func (r *Reference) SortSeries(ctx context.Context, queries iter.Seq[Query], o Options, each func(i int, a Answer) bool) error {
	i := 0
	for q := range queries {
		if err := ctx.Err(); err != nil {
			return err
		}
		if !each(i, r.Sort(q, o)) {
			return nil
		}
		i++
	}
	return ctx.Err()
}
