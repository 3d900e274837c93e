package site

import (
	"strconv"
	"strings"
)

// accepts reports whether the value of an Accept-Encoding header allows the
// content coding, by the rules of RFC 9110, section 12.5.3: a weight of zero
// refuses, an asterisk stands for every coding that is not named, and no
// header at all means that only the plain file is sent.
func accepts(header, coding string) bool {
	star := false
	for item := range strings.SplitSeq(header, ",") {
		name, params, _ := strings.Cut(item, ";")
		name = strings.TrimSpace(name)
		switch {
		case strings.EqualFold(name, coding):
			return weight(params) > 0
		case name == "*":
			star = weight(params) > 0
		}
	}
	return star
}

// weight reads the q parameter; a missing one weighs 1 and one that cannot be
// read weighs nothing, so that a garbled header gets the plain file.
func weight(params string) float64 {
	for p := range strings.SplitSeq(params, ";") {
		name, value, ok := strings.Cut(strings.TrimSpace(p), "=")
		if !ok || !strings.EqualFold(strings.TrimSpace(name), "q") {
			continue
		}
		q, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
		if err != nil || !(q >= 0 && q <= 1) {
			return 0
		}
		return q
	}
	return 1
}
