//go:build js

package page

import (
	"context"
	"strings"
	"syscall/js"

	"crownbench/wasm/words"
)

// wordsFolder holds the translations beside the page, one file a language.
const wordsFolder = "words/"

// chooseLanguage fetches the first of the browser's languages that the page
// has, or the one that the address names (?lang=de). Those it has stand in
// <meta name="languages">: nothing is fetched, or asked for in vain, for
// English. A translation that cannot be read leaves the page in English and
// says why in the console: the person has lost nothing.
func chooseLanguage(ctx context.Context) *words.Language {
	doc := js.Global().Get("document")
	meta := doc.Call("querySelector", `meta[name="languages"]`)
	if meta.IsNull() {
		return nil
	}
	has := strings.Fields(meta.Call("getAttribute", "content").String())
	if len(has) == 0 {
		return nil
	}
	var wanted []string
	address := js.Global().Get("URLSearchParams").New(js.Global().Get("location").Get("search"))
	if named := address.Call("get", "lang"); named.Type() == js.TypeString {
		wanted = append(wanted, named.String())
	} else {
		browsers := js.Global().Get("navigator").Get("languages")
		for i := range browsers.Length() {
			wanted = append(wanted, browsers.Index(i).String())
		}
	}
	name := words.Choose(wanted, has)
	if name == "" {
		return nil
	}
	file, err := fetch(ctx, wordsFolder+name+".json")
	var l *words.Language
	if err == nil {
		l, err = words.Read(file)
	}
	if err != nil {
		js.Global().Get("console").Call("warn", sentence(err))
		return nil
	}
	doc.Get("documentElement").Set("lang", l.Name())
	return l
}
