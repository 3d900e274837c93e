package site_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing/fstest"

	"crownbench/web/site"
)

func ExampleHandler() {
	page := fstest.MapFS{
		"crownbench.wasm":    {Data: []byte("the program, 9.8 MB")},
		"crownbench.wasm.br": {Data: []byte("the same, 2 MB")},
	}
	r := httptest.NewRequest(http.MethodGet, "/crownbench.wasm", nil)
	r.Header.Set("Accept-Encoding", "gzip, br")
	w := httptest.NewRecorder()
	site.Handler(page).ServeHTTP(w, r)
	fmt.Println(w.Code, w.Header().Get("Content-Type"), w.Header().Get("Content-Encoding"))
	fmt.Println(w.Body)
	// Output:
	// 200 application/wasm br
	// the same, 2 MB
}

func ExampleKindOf() {
	kind, known := site.KindOf("demo/lateral.JPG")
	fmt.Println(known, kind.Type, kind.Compressible)
	// Output:
	// true image/jpeg false
}
