package site

import "strings"

// directives is the Content-Security-Policy, one directive each.
//
//   - 'wasm-unsafe-eval' lets WebAssembly be compiled and nothing else: text is
//     never run as script.
//   - blob: is where the page keeps the photographs it was given, data: the
//     small pictures inside its own style.
//   - Ebitengine sets the style of its canvas through the CSSOM, which
//     style-src does not govern, so no 'unsafe-inline' is needed.
var directives = []string{
	"default-src 'none'",
	"script-src 'self' 'wasm-unsafe-eval'",
	"style-src 'self'",
	"img-src 'self' blob: data:",
	"connect-src 'self' blob:",
	"worker-src 'self'",
	"manifest-src 'self'",
	"font-src 'self'",
	"base-uri 'none'",
	"form-action 'none'",
}

// Policy is the Content-Security-Policy that the server sends.
var Policy = strings.Join(append(directives[:len(directives):len(directives)], "frame-ancestors 'none'"), "; ")

// MetaPolicy is the policy for the meta element of index.html, which holds on
// hosts that set no headers. It lacks frame-ancestors: a browser ignores that
// directive in a meta element and complains about it in the console (Content
// Security Policy Level 3, section 3.3).
var MetaPolicy = strings.Join(directives, "; ")
