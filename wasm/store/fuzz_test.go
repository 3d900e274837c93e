//go:build !js

package store

import "testing"

// In a browser there are no files to read a corpus from.
func FuzzRecord(f *testing.F) {
	f.Add(filed(f, tooth("a")).Body, "a", 1)
	f.Add(`{"id":"a","revision":1}`, "a", 1)
	f.Add(`{"id":"a","photos":[{}]}`, "a", 0)
	f.Add(`null`, "", 0)
	f.Fuzz(func(t *testing.T, body, id string, revision int) {
		r := &record{ID: id, Format: recordFormat, Revision: revision, Body: body}
		s, damaged := r.specimen()
		if (s == nil) == (damaged == nil) {
			t.Fatalf("read as %v and damaged as %v", s, damaged)
		}
		if s == nil {
			return
		}
		if err := s.Check(); err != nil {
			t.Fatal(err)
		}
		if !same(r, s) {
			t.Fatal("what was read is not the same as what is stored")
		}
	})
}
