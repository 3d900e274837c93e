package markup

import (
	"fmt"
	"strings"
)

// Node is an element, or a text node when Tag is empty.
type Node struct {
	Tag  string
	Text string // of a text node
	// Name tells that the text is a name: it is the same in every language.
	Name bool
	// Key tells siblings of the same tag apart between two states of a page,
	// so that an element keeps its focus and scroll position when others are
	// put before it.
	Key      string
	Attrs    map[string]string
	Style    map[string]string // custom properties and positions, set one by one
	On       map[string]func(Event)
	Children []*Node
}

// Event is what happened to an element, in plain values.
type Event struct {
	Value   string // of a form control
	Checked bool   // of a checkbox or radio button
	Key     string // of a keyboard event, as the DOM names it
	Shift   bool
	Ctrl    bool // or the command key
	Alt     bool
	// X and Y are where a pointer event happened, in CSS px from the element's
	// top left; on an svg element in its own units, those of its viewBox.
	X, Y float64
	// Top is how far an element that scrolls is scrolled down, Height how much
	// of it shows, in CSS px.
	Top, Height float64
	// PreventDefault stops the browser's own reaction; nil outside one.
	PreventDefault func()
}

// Item is what an element is made of: an Attr, a handler, a child.
type Item interface{ addTo(*Node) }

type itemFunc func(*Node)

func (f itemFunc) addTo(n *Node) { f(n) }

func (n *Node) addTo(parent *Node) {
	if n != nil {
		parent.Children = append(parent.Children, n)
	}
}

// El makes an element. The name may carry classes and an id in the manner of
// a selector: "button.primary#save". It panics for a tag that is no name, and
// for script and style, whose content cannot be escaped.
func El(name string, items ...Item) *Node {
	n := &Node{Attrs: map[string]string{}}
	rest := name
	if i := strings.IndexByte(rest, '#'); i >= 0 {
		n.Attrs["id"] = rest[i+1:]
		rest = rest[:i]
	}
	parts := strings.Split(rest, ".")
	n.Tag = parts[0]
	if t := strings.ToLower(n.Tag); !isName(t) || t == "script" || t == "style" {
		panic("markup: element " + name + " is not allowed")
	}
	if len(parts) > 1 {
		n.Attrs["class"] = strings.Join(parts[1:], " ")
	}
	return n.With(items...)
}

// With gives an element more items and returns it.
func (n *Node) With(items ...Item) *Node {
	for _, it := range items {
		if it != nil {
			it.addTo(n)
		}
	}
	return n
}

// Text makes a text node.
func Text(s string) *Node { return &Node{Text: s} }

// Name makes a text node of a name: what a person typed, a file is called, or
// a specimen or taxon of a published table.
func Name(s string) *Node { return &Node{Text: s, Name: true} }

// Textf makes a text node from a format.
func Textf(format string, args ...any) *Node { return Text(fmt.Sprintf(format, args...)) }

// Attr gives an element an attribute. Names that begin with "on" and the name
// "style" are programming mistakes and panic, as does what is no name at all:
// handlers go through On, styles through Style.
func Attr(name, value string) Item {
	if !isName(name) || strings.HasPrefix(strings.ToLower(name), "on") || strings.EqualFold(name, "style") {
		panic("markup: attribute " + name + " is not allowed")
	}
	return itemFunc(func(n *Node) { n.Attrs[name] = value })
}

// isName tells whether s is a name that needs no escaping: letters first, then
// letters, digits, '-', '_' and ':'.
func isName(s string) bool {
	for i, r := range s {
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
		if !letter && (i == 0 || !(r >= '0' && r <= '9' || r == '-' || r == '_' || r == ':')) {
			return false
		}
	}
	return s != ""
}

// Attrf gives an element an attribute from a format.
func Attrf(name, format string, args ...any) Item { return Attr(name, fmt.Sprintf(format, args...)) }

// Flag gives an element an attribute without a value ("disabled", "checked")
// when set, and none otherwise.
func Flag(name string, set bool) Item {
	if !set {
		return nil
	}
	return Attr(name, "")
}

// Class adds a class when set.
func Class(class string, set bool) Item {
	if !set {
		return nil
	}
	return itemFunc(func(n *Node) {
		n.Attrs["class"] = strings.TrimSpace(n.Attrs["class"] + " " + class)
	})
}

// Key sets the node's key.
func Key(key string) Item { return itemFunc(func(n *Node) { n.Key = key }) }

// Style sets one CSS property.
func Style(property, value string) Item {
	return itemFunc(func(n *Node) {
		if n.Style == nil {
			n.Style = map[string]string{}
		}
		n.Style[property] = value
	})
}

// On calls f when the event of that DOM name reaches the element.
func On(event string, f func(Event)) Item {
	return itemFunc(func(n *Node) {
		if n.On == nil {
			n.On = map[string]func(Event){}
		}
		n.On[event] = f
	})
}

// OnClick calls f when the element is clicked, tapped or triggered by a key.
func OnClick(f func()) Item { return On("click", func(Event) { f() }) }

// List puts several children into an element.
func List(children []*Node) Item {
	return itemFunc(func(n *Node) {
		for _, c := range children {
			c.addTo(n)
		}
	})
}

// If gives the item when set, and nothing otherwise. The item is made either
// way: guard with a Go if where making it is costly or needs the condition.
func If(set bool, item Item) Item {
	if !set {
		return nil
	}
	return item
}
