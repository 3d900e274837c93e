package markup_test

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	. "crownbench/wasm/markup"
)

// parse reads what Render wrote with the standard library's XML reader: it
// knows nothing of how Render escapes. Texts that follow each other are one.
func parse(t interface{ Fatalf(string, ...any) }, doc string) *Node {
	d := xml.NewDecoder(strings.NewReader(doc))
	top := &Node{}
	stack := []*Node{top}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("%q is not well-formed: %v", doc, err)
		}
		parent := stack[len(stack)-1]
		switch token := token.(type) {
		case xml.StartElement:
			n := &Node{Tag: token.Name.Local, Attrs: map[string]string{}}
			for _, a := range token.Attr {
				n.Attrs[a.Name.Local] = a.Value
			}
			parent.Children = append(parent.Children, n)
			stack = append(stack, n)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			parent.Children = append(parent.Children, Text(string(token)))
		default:
			t.Fatalf("%q holds %T, which no node is", doc, token)
		}
	}
	if len(stack) != 1 {
		t.Fatalf("%q leaves an element open", doc)
	}
	return joined(top)
}

// joined puts neighbouring texts together and leaves out empty ones.
func joined(n *Node) *Node {
	out := &Node{Tag: n.Tag, Text: n.Text, Attrs: n.Attrs}
	for _, c := range n.Children {
		c = joined(c)
		if last := len(out.Children) - 1; c.Tag == "" && last >= 0 && out.Children[last].Tag == "" {
			out.Children[last].Text += c.Text
		} else if c.Tag != "" || c.Text != "" {
			out.Children = append(out.Children, c)
		}
	}
	return out
}

// readable is s as an XML reader may give it back.
func readable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r < 0x20 && r != '\t' && r != '\n' && r != '\r', r == 0xfffe, r == 0xffff:
			return utf8.RuneError
		}
		return r
	}, s)
}

func hostile() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.String(),
		rapid.StringOf(rapid.SampledFrom([]rune("<>&\"'/=;!-[]`\t\n\r\x00\x1b\u202e\ufffe a"))),
		rapid.SampledFrom([]string{
			"<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "</style>", "&lt;", "&amp;amp;", "]]>", "<!--", "\xff\xfe",
		}),
	)
}

func node() *rapid.Generator[*Node] {
	tag := rapid.SampledFrom([]string{"p", "td", "b", "svg", "path", "option"})
	attr := rapid.SampledFrom([]string{"title", "data-x", "value", "aria-label", "viewBox"})
	var draw func(t *rapid.T, depth int) *Node
	draw = func(t *rapid.T, depth int) *Node {
		n := El(tag.Draw(t, "tag"))
		for range rapid.IntRange(0, 2).Draw(t, "attrs") {
			n.Attrs[attr.Draw(t, "attr")] = readable(hostile().Draw(t, "value"))
		}
		for range rapid.IntRange(0, 3).Draw(t, "children") {
			if depth > 0 && rapid.Bool().Draw(t, "element") {
				n.Children = append(n.Children, draw(t, depth-1))
			} else {
				n.Children = append(n.Children, Text(readable(hostile().Draw(t, "text"))))
			}
		}
		return n
	}
	return rapid.Custom(func(t *rapid.T) *Node { return draw(t, 3) })
}

// What a reader of the rendered text sees is the node.
func TestRenderIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := node().Draw(t, "node")
		doc := n.String()
		got := parse(t, doc)
		if diff := cmp.Diff(&Node{Children: []*Node{joined(n)}}, got); diff != "" {
			t.Fatalf("%q reads as (-want +got):\n%s", doc, diff)
		}
		if again := n.String(); again != doc {
			t.Fatalf("rendered once as %q and once as %q", doc, again)
		}
		if n.PlainText() != got.Children[0].PlainText() {
			t.Fatalf("plain text %q, read back %q", n.PlainText(), got.PlainText())
		}
	})
}

func FuzzRender(f *testing.F) {
	for _, s := range []string{"", "<script>", "a\r\nb", "\x00", "&lt;", "\xff", "\u202e"} {
		f.Add(s, s)
	}
	f.Fuzz(func(t *testing.T, text, value string) {
		got := parse(t, El("p", Attr("title", value), Text(text)).String())
		want := El("p", Attr("title", readable(value)), Text(readable(text)))
		if diff := cmp.Diff(&Node{Children: []*Node{joined(want)}}, got); diff != "" {
			t.Fatalf("reads as (-want +got):\n%s", diff)
		}
	})
}

func TestRender(t *testing.T) {
	for _, tt := range []struct {
		name string
		node *Node
		want string
	}{
		{"an element", El("p", Text("a < b")), `<p>a &lt; b</p>`},
		{"classes and an id", El("button.primary.big#save"), `<button class="primary big" id="save"></button>`},
		{"a class that is set", El("p.a", Class("b", true), Class("c", false)), `<p class="a b"></p>`},
		{"a class alone", El("p", Class("b", true)), `<p class="b"></p>`},
		{"attributes in order", El("p", Attr("title", "z"), Attr("lang", "a")), `<p lang="a" title="z"></p>`},
		{"a quoted attribute", El("p", Attr("title", `"><b onclick="`)), `<p title="&#34;&gt;&lt;b onclick=&#34;"></p>`},
		{"a flag", El("input", Flag("disabled", true), Flag("checked", false)), `<input disabled=""/>`},
		{"handlers stay behind", El("p", OnClick(func() {}), On("input", func(Event) {})), `<p></p>`},
		{"styles", El("p", Style("--x", "2"), Style("color", "red")), `<p style="--x:2;color:red"></p>`},
		{"a style that reaches out", El("p", Style("--x", "2;background:url(x)"), Style("color", "red}")), `<p style=""></p>`},
		{"nothing", El("p", nil, If(false, Text("x")), If(true, (*Node)(nil)), List([]*Node{nil, Text("y")})), `<p>y</p>`},
		{"a key", El("p", Key("k")), `<p></p>`},
		{"formats", El("p", Attrf("title", "%d", 3), Textf("%.1f", 2.25)), `<p title="3">2.2</p>`},
		{"a first line break", El("textarea", Text("\na")), "<textarea>\n\na</textarea>"},
		{"a line break within", El("pre", Text("a\nb")), "<pre>a\nb</pre>"},
		{"a bare text", Text("<"), "&lt;"},
	} {
		if got := tt.node.String(); got != tt.want {
			t.Errorf("%s: %s, want %s", tt.name, got, tt.want)
		}
	}
}

// The void elements of the HTML standard, as of its section "Elements" (from
// memory): no content, no closing tag.
func TestVoidElements(t *testing.T) {
	for _, tag := range strings.Fields("area base br col embed hr img input link meta source track wbr") {
		n := El(tag, Attr("title", "x"), Text("never shown"))
		if got, want := n.String(), "<"+tag+` title="x"/>`; got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
	for _, tag := range []string{"p", "td", "textarea", "path", "image"} {
		if got, want := El(tag).String(), "<"+tag+"></"+tag+">"; got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

func TestRefusals(t *testing.T) {
	for name, make := range map[string]func(){
		"a handler as text":          func() { Attr("onclick", "x") },
		"a handler in capitals":      func() { Attr("ONLOAD", "x") },
		"a handler by format":        func() { Attrf("onerror", "%d", 1) },
		"a handler as a flag":        func() { Flag("onfocus", true) },
		"a style":                    func() { Attr("style", "color:red") },
		"a style in capitals":        func() { Attr("Style", "color:red") },
		"an attribute with a space":  func() { Attr("title onclick", "x") },
		"an attribute with a quote":  func() { Attr(`a"`, "x") },
		"an attribute without name":  func() { Attr("", "x") },
		"an element with attributes": func() { El("p onclick=x") },
		"an element with a bracket":  func() { El("p><b") },
		"an element without name":    func() { El(".quiet") },
		"a script":                   func() { El("script") },
		"a script in capitals":       func() { El("SCRIPT#x") },
		"a style sheet":              func() { El("style") },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s is allowed", name)
				}
			}()
			make()
		}()
	}
}

func TestHandlersReachTheNode(t *testing.T) {
	clicked, typed := 0, ""
	n := El("input", OnClick(func() { clicked++ }), On("input", func(e Event) { typed = e.Value }))
	n.On["click"](Event{})
	n.On["input"](Event{Value: "22.6"})
	if clicked != 1 || typed != "22.6" {
		t.Errorf("clicked %d times, typed %q", clicked, typed)
	}
}
