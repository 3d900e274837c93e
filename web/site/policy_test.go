package site

import (
	"html"
	"os"
	"regexp"
	"strings"
	"testing"
)

var metaPolicy = regexp.MustCompile(`<meta http-equiv="Content-Security-Policy" content="([^"]*)">`)

// The page must be as strict on a host that sends no headers.
func TestPageCarriesThePolicy(t *testing.T) {
	page, err := os.ReadFile("../index.html")
	if err != nil {
		t.Fatal(err)
	}
	found := metaPolicy.FindAllStringSubmatch(string(page), -1)
	if len(found) != 1 {
		t.Fatalf("index.html has %d meta elements with a policy, want 1", len(found))
	}
	if got := html.UnescapeString(found[0][1]); got != MetaPolicy {
		t.Errorf("index.html carries the policy\n\t%s\nwant\n\t%s", got, MetaPolicy)
	}
	// A policy holds only for what comes after it.
	if script := strings.Index(string(page), "<script"); script >= 0 && script < metaPolicy.FindStringIndex(string(page))[0] {
		t.Error("index.html has a script before its policy")
	}
}

func TestPolicyIsStrict(t *testing.T) {
	for _, p := range []string{Policy, MetaPolicy} {
		for _, forbidden := range []string{"'unsafe-inline'", "'unsafe-eval'", "*", "http:", "https:"} {
			for _, source := range strings.FieldsFunc(p, func(r rune) bool { return r == ' ' || r == ';' }) {
				if source == forbidden {
					t.Errorf("the policy allows %s", forbidden)
				}
			}
		}
	}
	if !strings.Contains(Policy, "frame-ancestors 'none'") || strings.Contains(MetaPolicy, "frame-ancestors") {
		t.Error("frame-ancestors belongs in the header and not in the page")
	}
}
