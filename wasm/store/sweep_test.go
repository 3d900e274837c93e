package store

import (
	"slices"
	"testing"
	"time"

	"crownbench/wasm/tray"
)

func TestStray(t *testing.T) {
	grave, err := recordOf(tray.Change{Before: tooth("gone")}, "stamp", now)
	if err != nil {
		t.Fatal(err)
	}
	old, fresh := now.Add(-2*newPhoto).UnixMilli(), now.Add(-newPhoto/2).UnixMilli()
	put := map[string]int64{
		hashOf("kept"): old, hashOf("gone"): old, hashOf("stray"): old, hashOf("fresh"): fresh,
	}
	damaged := filed(t, tooth("damaged"))
	damaged.Body = "{"
	newer := record{ID: "newer", Format: recordFormat + 1, Deleted: true}
	for _, c := range []struct {
		name    string
		records []*record
		alone   bool
		want    []string
	}{
		{"alone", []*record{filed(t, tooth("kept")), &grave}, true, []string{hashOf("gone"), hashOf("stray")}},
		{"beside another tab", []*record{filed(t, tooth("kept")), &grave}, false, []string{hashOf("stray")}},
		{"with a damaged record", []*record{filed(t, tooth("kept")), damaged}, true, nil},
		{"with a newer program's record", []*record{filed(t, tooth("kept")), &newer}, true, nil},
		{"with no record", nil, true, []string{hashOf("kept"), hashOf("gone"), hashOf("stray")}},
	} {
		got := stray(c.records, put, c.alone, now)
		slices.Sort(got)
		slices.Sort(c.want)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %d stray, want %d", c.name, len(got), len(c.want))
		}
	}
}

func TestOutlived(t *testing.T) {
	grave := record{ID: "a", Format: recordFormat, Deleted: true, When: now.UnixMilli()}
	if outlived(&grave, now.Add(time.Minute)) {
		t.Error("a fresh tombstone goes")
	}
	if !outlived(&grave, now.Add(2*newPhoto)) {
		t.Error("an old tombstone stays")
	}
	grave.Format++
	if outlived(&grave, now.Add(2*newPhoto)) {
		t.Error("a newer program's tombstone goes")
	}
	if outlived(filed(t, tooth("a")), now.Add(1000*time.Hour)) {
		t.Error("a specimen goes")
	}
}
