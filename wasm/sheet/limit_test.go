package sheet

import (
	"bytes"
	"strings"
	"testing"
)

// The limits in bytes, tried with small ones.
func TestByteLimits(t *testing.T) {
	var b bytes.Buffer
	l := &limited{w: &b, left: 5}
	if _, err := l.Write([]byte("abc")); err != nil {
		t.Fatal(err)
	}
	if _, err := l.Write([]byte("def")); err == nil || !strings.Contains(err.Error(), "larger than 256 MB") {
		t.Errorf("six bytes of five: %v", err)
	}
	if _, err := l.Write([]byte("de")); err != nil || b.String() != "abcde" {
		t.Errorf("wrote %q, %v", b.String(), err)
	}

	text := `{"format":"crownbench-record","version":1,"specimens":[]}`
	if _, err := readRecord(strings.NewReader(text), len(text)); err != nil {
		t.Errorf("a record of just the limit: %v", err)
	}
	if _, err := readRecord(strings.NewReader(text), len(text)-1); err == nil || !strings.Contains(err.Error(), "larger than") {
		t.Errorf("a record above the limit: %v", err)
	}
}

// A round length is 1, 2 or 5 times a power of ten, and the longest such.
func TestRoundLength(t *testing.T) {
	for most, want := range map[float64]string{
		10: "10", 9.99: "5", 49: "20", 50: "50", 1: "1", 0.99: "0.5", 0.3: "0.2", 0.05: "0.05", 0.001: "0.001", 1234: "1000", 999.9999: "500",
	} {
		if got := px(roundLength(most)); got != want {
			t.Errorf("below %v: %s, want %s", most, got, want)
		}
	}
	for _, most := range []float64{0, -1} {
		if got := roundLength(most); got != 0 {
			t.Errorf("below %v: %v", most, got)
		}
	}
}
