//go:build js

package page

import (
	"syscall/js"

	"crownbench/wasm/markup"
	"crownbench/wasm/words"
)

const svgSpace = "http://www.w3.org/2000/svg"

// element is a node as it stands in the document.
type element struct {
	node     *markup.Node
	dom      js.Value
	children []*element
	handlers map[string]*handler
	// owed is a value that was not written because a person was typing here.
	owed bool
}

// handler keeps one listener in the document while the function behind it
// changes with every state of the page.
type handler struct {
	call func(markup.Event)
	fn   js.Func
}

// Surface is an element of the document whose content follows a node.
type Surface struct {
	Language *words.Language // that the words are shown in; nil for English
	doc      js.Value
	root     *element
}

// NewSurface takes over the content of an existing element.
func NewSurface(host js.Value) *Surface {
	doc := js.Global().Get("document")
	host.Set("textContent", "")
	return &Surface{doc: doc, root: &element{node: &markup.Node{Tag: host.Get("localName").String()}, dom: host}}
}

// Show makes the document match the children given. Elements that stay keep
// their focus, selection and scroll position. The value of a form control is
// written only when the page's own idea of it changed, and never under the
// hands of the person typing there: it is owed until they have left. Nodes of a
// drawing that are given again are taken to be as they were.
func (s *Surface) Show(children ...*markup.Node) {
	s.reconcile(s.root, s.Language.Nodes(children), false)
}

type identity struct {
	tag, key string
}

func idOf(n *markup.Node) identity { return identity{n.Tag, n.Key} }

func (s *Surface) reconcile(parent *element, want []*markup.Node, svg bool) {
	old := parent.children
	// Old children by what tells them apart, in order.
	pool := map[identity][]*element{}
	for _, e := range old {
		pool[idOf(e.node)] = append(pool[idOf(e.node)], e)
	}
	next := make([]*element, 0, len(want))
	for _, n := range want {
		if n == nil {
			continue
		}
		id := idOf(n)
		if q := pool[id]; len(q) > 0 {
			e := q[0]
			pool[id] = q[1:]
			s.update(e, n, svg)
			next = append(next, e)
		} else {
			next = append(next, s.create(n, svg))
		}
	}
	for _, q := range pool {
		for _, e := range q {
			e.release()
			e.dom.Call("remove")
		}
	}
	// Put them in order, touching only what is out of place: moving an element
	// in the document would take its focus away.
	at := parent.dom.Get("firstChild")
	for _, e := range next {
		if at.Equal(e.dom) {
			at = at.Get("nextSibling")
			continue
		}
		parent.dom.Call("insertBefore", e.dom, at)
	}
	parent.children = next
}

func (s *Surface) create(n *markup.Node, svg bool) *element {
	e := &element{node: &markup.Node{Tag: n.Tag, Key: n.Key}}
	switch {
	case n.Tag == "":
		e.dom = s.doc.Call("createTextNode", n.Text)
		e.node = n
		return e
	case n.Tag == "svg" || svg:
		e.dom = s.doc.Call("createElementNS", svgSpace, n.Tag)
	default:
		e.dom = s.doc.Call("createElement", n.Tag)
	}
	s.update(e, n, svg)
	return e
}

func (s *Surface) update(e *element, n *markup.Node, svg bool) {
	was := e.node
	if svg && was == n {
		return // a drawing that was kept; it holds no form controls
	}
	e.node = n
	if n.Tag == "" {
		if was.Text != n.Text {
			e.dom.Set("data", n.Text)
		}
		return
	}
	for name := range was.Attrs {
		if _, stays := n.Attrs[name]; !stays {
			e.unset(name)
		}
	}
	// A select's value means something only once its options are there.
	var value *string
	for name, v := range n.Attrs {
		if old, had := was.Attrs[name]; had && old == v {
			continue
		}
		if name == "value" {
			value = &v
			continue
		}
		e.set(name, v)
	}
	style := e.dom.Get("style")
	for p := range was.Style {
		if _, stays := n.Style[p]; !stays {
			style.Call("removeProperty", p)
		}
	}
	for p, v := range n.Style {
		if old, had := was.Style[p]; !had || old != v {
			style.Call("setProperty", p, v)
		}
	}
	e.listen(n.On)
	s.reconcile(e, n.Children, svg || n.Tag == "svg")
	if value == nil && e.owed {
		v := n.Attrs["value"]
		value = &v
	}
	if value != nil {
		if n.Tag != "select" && s.doc.Get("activeElement").Equal(e.dom) {
			e.owed = true
			return
		}
		e.owed = false
		e.set("value", *value)
	}
}

// Attributes that a form control copies once and then keeps as a property of
// its own.
func (e *element) set(name, value string) {
	switch name {
	case "value":
		switch e.node.Tag {
		case "input", "textarea", "select":
			e.dom.Set("value", value)
			return
		}
	case "checked", "open":
		e.dom.Set(name, true)
		return
	}
	e.dom.Call("setAttribute", name, value)
}

func (e *element) unset(name string) {
	switch name {
	case "value":
		e.dom.Set("value", "")
	case "checked", "open":
		e.dom.Set(name, false)
	default:
		e.dom.Call("removeAttribute", name)
	}
}

func (e *element) listen(on map[string]func(markup.Event)) {
	for event, h := range e.handlers {
		if on[event] == nil {
			h.call = nil
		}
	}
	for event, f := range on {
		if h := e.handlers[event]; h != nil {
			h.call = f
			continue
		}
		h := &handler{call: f}
		h.fn = js.FuncOf(func(_ js.Value, args []js.Value) any {
			if h.call != nil {
				h.call(eventOf(args[0]))
			}
			return nil
		})
		if e.handlers == nil {
			e.handlers = map[string]*handler{}
		}
		e.handlers[event] = h
		e.dom.Call("addEventListener", event, h.fn)
	}
}

// release frees the listeners of the element and all below it.
func (e *element) release() {
	for event, h := range e.handlers {
		e.dom.Call("removeEventListener", event, h.fn)
		h.fn.Release()
	}
	e.handlers = nil
	for _, c := range e.children {
		c.release()
	}
}

func eventOf(v js.Value) markup.Event {
	ev := markup.Event{PreventDefault: func() { v.Call("preventDefault") }}
	target := v.Get("target")
	if x := target.Get("value"); x.Type() == js.TypeString {
		ev.Value = x.String()
	}
	if x := target.Get("checked"); x.Type() == js.TypeBoolean {
		ev.Checked = x.Bool()
	}
	if x := v.Get("key"); x.Type() == js.TypeString {
		ev.Key = x.String()
	}
	if v.Get("type").String() == "scroll" {
		ev.Top, ev.Height = target.Get("scrollTop").Float(), target.Get("clientHeight").Float()
	}
	flag := func(name string) bool {
		x := v.Get(name)
		return x.Type() == js.TypeBoolean && x.Bool()
	}
	if v.Get("clientX").Type() == js.TypeNumber {
		ev.X, ev.Y = placeIn(v.Get("currentTarget"), v.Get("clientX").Float(), v.Get("clientY").Float())
	}
	ev.Shift, ev.Alt, ev.Ctrl = flag("shiftKey"), flag("altKey"), flag("ctrlKey") || flag("metaKey")
	return ev
}

// placeIn turns a place in the window into one in an element.
func placeIn(element js.Value, x, y float64) (float64, float64) {
	if element.Get("getScreenCTM").Type() == js.TypeFunction {
		if ctm := element.Call("getScreenCTM"); !ctm.IsNull() {
			to := ctm.Call("inverse")
			at := func(name string) float64 { return to.Get(name).Float() }
			return at("a")*x + at("c")*y + at("e"), at("b")*x + at("d")*y + at("f")
		}
	}
	box := element.Call("getBoundingClientRect")
	return x - box.Get("left").Float(), y - box.Get("top").Float()
}
