package store

import "time"

// newPhoto is how long a photograph is kept that no record shows: it is saved
// before the specimen that will show it, perhaps by another tab just now.
const newPhoto = time.Hour

// stray tells which photographs no specimen needs any more. records are all
// there are, put gives when each photograph was saved (milliseconds since
// 1970). alone tells that no other tab is open that could undo a deletion;
// without it a tombstone's photographs are still needed. As long as there is a
// record that cannot be read, nobody knows what it shows, and none is stray.
func stray(records []*record, put map[string]int64, alone bool, now time.Time) []string {
	needed := map[string]bool{}
	for _, r := range records {
		if r.Deleted && r.Format == recordFormat {
			if !alone {
				for _, h := range r.Photos {
					needed[h] = true
				}
			}
			continue
		}
		s, damaged := r.specimen()
		if damaged != nil || s == nil {
			return nil
		}
		for _, h := range hashes(s) {
			needed[h] = true
		}
	}
	var out []string
	for h, at := range put {
		if !needed[h] && now.Sub(time.UnixMilli(at)) > newPhoto {
			out = append(out, h)
		}
	}
	return out
}

// outlived tells whether a tombstone can go, once no other tab is open: none
// of them has the specimen still.
func outlived(r *record, now time.Time) bool {
	return r.Deleted && r.Format == recordFormat && now.Sub(time.UnixMilli(r.When)) > newPhoto
}
