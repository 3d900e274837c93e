package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// folders are the packages whose words reach a person.
var folders = []string{
	"morph", "morph/agreement", "morph/shape", "morph/vision", "morph/vision/ripple", "morph/vision/scalebar",
	"classify", "classify/typed", "classify/typed/grid",
	"wasm/archive", "wasm/bench", "wasm/chart", "wasm/comparison", "wasm/desk", "wasm/intake", "wasm/lesson",
	"wasm/page", "wasm/page/picture", "wasm/panel", "wasm/photo", "wasm/sheet", "wasm/store", "wasm/tray",
}

// Text is a template with the packages that say it.
type Text struct {
	English string   `json:"english"`
	Where   []string `json:"where"`
}

// Gather reads the sources below the project's folder. A template stands for
// every text made from it; its holes are numbered in the order of their
// arguments.
func Gather(root string) ([]Text, error) {
	found := map[string]map[string]bool{}
	for _, folder := range folders {
		entries, err := os.ReadDir(filepath.Join(root, folder))
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			if !strings.HasSuffix(e.Name(), ".go") || strings.HasSuffix(e.Name(), "_test.go") {
				continue
			}
			file, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, folder, e.Name()), nil, parser.SkipObjectResolution)
			if err != nil {
				return nil, err
			}
			r := reader{say: func(s string) {
				if s = open(s); !isText(s) {
					return
				}
				if found[s] == nil {
					found[s] = map[string]bool{}
				}
				found[s][folder] = true
			}}
			ast.Walk(r, file)
		}
	}
	if err := lessons(filepath.Join(root, "wasm/lesson/ready.json"), func(s string) {
		if isText(s) && strings.Contains(s, " ") {
			if found[s] == nil {
				found[s] = map[string]bool{}
			}
			found[s]["wasm/lesson"] = true
		}
	}); err != nil {
		return nil, err
	}
	var texts []Text
	for _, s := range slices.Sorted(maps.Keys(found)) {
		texts = append(texts, Text{s, slices.Sorted(maps.Keys(found[s]))})
	}
	return texts, nil
}

// lessons says every text of the lessons that come with the program.
func lessons(file string, say func(string)) error {
	b, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	var all any
	if err := json.Unmarshal(b, &all); err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case string:
			say(v)
		case []any:
			for _, x := range v {
				walk(x)
			}
		case map[string]any:
			for _, x := range v {
				walk(x)
			}
		}
	}
	walk(all)
	return nil
}

// open gives a text that was written to be put behind or before another one
// the hole for that other one.
func open(s string) string {
	s = strings.Trim(s, "\n\t")
	if strings.HasPrefix(s, " ") || strings.HasPrefix(s, ", ") || strings.HasPrefix(s, "; ") {
		s = "{1}" + shift(s)
	}
	if strings.HasSuffix(s, " ") {
		s += fmt.Sprintf("{%d}", strings.Count(s, "{")+1)
	}
	return s
}

// shift makes room for a first hole.
func shift(s string) string {
	for n := 29; n > 0; n-- {
		s = strings.ReplaceAll(s, fmt.Sprintf("{%d}", n), fmt.Sprintf("{%d}", n+1))
	}
	return s
}

// reader walks a source file and says every template in it.
type reader struct{ say func(string) }

// quiet are functions whose texts are names for machines.
var quiet = map[string]bool{
	"El": true, "Key": true, "Style": true, "On": true, "Flag": true, "Class": true, "panic": true,
	"HasPrefix": true, "HasSuffix": true, "TrimPrefix": true, "TrimSuffix": true, "Contains": true, "ContainsAny": true,
	"Cut": true, "Index": true, "Split": true, "EqualFold": true, "Get": true, "Call": true, "Fields": true, "CutPrefix": true, "CutSuffix": true,
	"Unfold": true, "IndexAny": true, "Trim": true, "TrimLeft": true, "TrimRight": true, "LastIndex": true, "NewReplacer": true, "ReplaceAll": true,
}

// shownAttributes are the attributes that a person reads or hears.
var shownAttributes = map[string]bool{
	"title": true, "aria-label": true, "aria-description": true, "aria-valuetext": true, "aria-roledescription": true, "placeholder": true, "alt": true,
}

func (r reader) Visit(n ast.Node) ast.Visitor {
	switch n := n.(type) {
	case *ast.ImportSpec:
		return nil
	case *ast.Field:
		return nil // types and tags
	case *ast.IndexExpr:
		ast.Walk(r, n.X) // a list of texts, perhaps
		if !isString(n.Index) {
			ast.Walk(r, n.Index)
		}
		return nil
	case *ast.CaseClause:
		for _, s := range n.Body {
			ast.Walk(r, s)
		}
		return nil
	case *ast.BinaryExpr:
		switch n.Op {
		case token.ADD:
			if t, ok := template(n); ok {
				r.say(t)
				r.within(n)
				return nil
			}
		case token.EQL, token.NEQ:
			if isString(n.X) || isString(n.Y) {
				return nil
			}
		}
	case *ast.CallExpr:
		name := called(n)
		if name == "Attr" || name == "Attrf" || name == "setAttribute" {
			if len(n.Args) > 1 {
				if key, ok := literal(n.Args[0]); ok && !shownAttributes[key] {
					return nil
				}
				for _, a := range n.Args[1:] {
					ast.Walk(r, a)
				}
				if name == "Attrf" {
					r.format(n.Args[1])
				}
			}
			return nil
		}
		if quiet[name] {
			for _, a := range n.Args {
				if !isString(a) {
					ast.Walk(r, a)
				}
			}
			return nil
		}
		if at := formatted(name); at >= 0 && len(n.Args) > at && r.format(n.Args[at]) {
			for i, a := range n.Args {
				if i != at {
					ast.Walk(r, a)
				}
			}
			return nil
		}
	case *ast.AssignStmt:
		// "and more" that is put behind what is there.
		if t, ok := template(n.Rhs[0]); ok && n.Tok == token.ADD_ASSIGN {
			r.say("{1}" + shift(t))
			r.within(n.Rhs[0])
			return nil
		}
	case *ast.BasicLit:
		if s, ok := literal(n); ok {
			if verb.MatchString(s) { // given to a function of the package's own
				s = holes(s)
			}
			r.say(s)
		}
	}
	return r
}

// verb is a verb of a format; "90 % of" holds none.
var verb = regexp.MustCompile(`%[-+#]?[0-9.]*[svdqfgw]`)

// within walks what is joined, but not its literals.
func (r reader) within(e ast.Expr) {
	switch e := e.(type) {
	case *ast.BinaryExpr:
		if e.Op == token.ADD {
			r.within(e.X)
			r.within(e.Y)
			return
		}
	case *ast.BasicLit:
		return
	case *ast.ParenExpr:
		r.within(e.X)
		return
	}
	ast.Walk(r, e)
}

// format says a format as a template; false when it is none.
func (r reader) format(e ast.Expr) bool {
	parts, ok := template(e)
	if !ok {
		return false
	}
	r.say(holes(parts))
	return true
}

// formatted gives the place of the format among a function's arguments, -1
// for one without.
func formatted(name string) int {
	switch name {
	case "Sprintf", "Errorf", "Textf", "Printf":
		return 0
	case "Fprintf", "Appendf":
		return 1
	}
	if strings.HasSuffix(name, "f") && len(name) > 3 {
		return 0
	}
	return -1
}

func called(c *ast.CallExpr) string {
	switch f := c.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

func isString(e ast.Expr) bool { _, ok := literal(e); return ok }

func literal(e ast.Expr) (string, bool) {
	b, ok := e.(*ast.BasicLit)
	if !ok || b.Kind != token.STRING {
		return "", false
	}
	s, err := strconv.Unquote(b.Value)
	return s, err == nil
}

// template joins a concatenation; what is no literal becomes a hole. False
// when no literal is in it.
func template(e ast.Expr) (string, bool) {
	var b strings.Builder
	n, any := 0, false
	var join func(ast.Expr)
	join = func(e ast.Expr) {
		if x, ok := e.(*ast.BinaryExpr); ok && x.Op == token.ADD {
			join(x.X)
			join(x.Y)
			return
		}
		if p, ok := e.(*ast.ParenExpr); ok {
			join(p.X)
			return
		}
		if s, ok := literal(e); ok {
			b.WriteString(s)
			any = true
			return
		}
		n++
		fmt.Fprintf(&b, "{%d}", n)
	}
	join(e)
	return b.String(), any
}

// holes turns the verbs of a format into numbered holes.
func holes(format string) string {
	var b strings.Builder
	n := 0
	for i := 0; i < len(format); i++ {
		if format[i] != '%' {
			b.WriteByte(format[i])
			continue
		}
		j := i + 1
		for j < len(format) && strings.IndexByte("+-#0123456789.*", format[j]) >= 0 {
			if format[j] == '*' {
				n++
			}
			j++
		}
		if j < len(format) && format[j] == '[' {
			end := strings.IndexByte(format[j:], ']')
			if end < 0 {
				return format
			}
			k, _ := strconv.Atoi(format[j+1 : j+end])
			n = k - 1
			j += end + 1
		}
		if j >= len(format) {
			return format
		}
		switch {
		case format[j] == '%':
			b.WriteByte('%')
		case format[j] == ' ': // a text after all
			b.WriteString("% ")
		default:
			n++
			fmt.Fprintf(&b, "{%d}", n)
		}
		i = j
	}
	return b.String()
}

// isText tells words for people from names for machines. In doubt it is a
// text: an entry that is never shown costs a translator a glance, a missing
// one leaves the reader with English.
func isText(s string) bool {
	bare := s
	for i := 1; i < 30; i++ {
		bare = strings.ReplaceAll(bare, fmt.Sprintf("{%d}", i), "")
	}
	bare = strings.TrimSpace(bare)
	letters := 0
	for _, r := range bare {
		if unicode.IsLetter(r) {
			letters++
		}
	}
	if letters < 2 {
		return false
	}
	for _, machine := range []string{"{", "}", "</", "/>", "://", "xmlns", "\x00", "application/", "image/", "text/", "url("} {
		if strings.Contains(bare, machine) {
			return false
		}
	}
	if strings.ContainsAny(bare, " \n") {
		return true
	}
	word := strings.TrimFunc(bare, func(r rune) bool {
		return unicode.IsPunct(r) && r != '#' && r != '.' && r != '/' && r != '_' || r == '…'
	})
	if strings.ToUpper(word) == word {
		return false // an abbreviation: CBL, CSV
	}
	for i, r := range word {
		switch {
		case r == '-' && i > 0, r == '’', r == '\'', r == '–':
		case unicode.IsLower(r):
		case unicode.IsUpper(r) && (i == 0 || word[i-1] == '-'):
		default:
			if i < len(word)-len(string(r)) || r != '.' && r != ':' && r != '…' {
				return false
			}
		}
	}
	return !strings.HasPrefix(word, "aria-") && !strings.HasPrefix(word, "data-")
}

// Catalogue writes the texts as english.json.
func Catalogue(texts []Text) []byte {
	var b bytes.Buffer
	b.WriteString("[\n")
	for i, t := range texts {
		b.WriteString("  ")
		b.Write(plainJSON(t))
		if i < len(texts)-1 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
	}
	b.WriteString("]\n")
	return b.Bytes()
}

func plainJSON(v any) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		panic(err) // strings only
	}
	return bytes.TrimSpace(b.Bytes())
}
