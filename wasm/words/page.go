package words

import (
	"maps"

	"crownbench/wasm/markup"
)

// shown are the attributes that a person reads or hears.
var shown = []string{"title", "aria-label", "aria-description", "aria-valuetext", "aria-roledescription", "placeholder", "alt"}

// Nodes gives the pieces of a page in the language: copies, with the same
// handlers, keys and values. Names, and what stands in an element with
// translate="no", HTML's own mark for them, stay as they are. A nil language
// gives the nodes themselves.
func (l *Language) Nodes(nodes []*markup.Node) []*markup.Node {
	if l == nil {
		return nodes
	}
	said := make([]*markup.Node, len(nodes))
	for i, n := range nodes {
		said[i] = l.node(n)
	}
	return said
}

func (l *Language) node(n *markup.Node) *markup.Node {
	if n == nil || n.Name || n.Attrs["translate"] == "no" || n.Tag == "textarea" {
		return n
	}
	c := *n
	if n.Tag == "" {
		c.Text = l.Say(n.Text)
		return &c
	}
	copied := false
	for _, name := range shown {
		if v, ok := n.Attrs[name]; ok {
			if !copied {
				c.Attrs, copied = maps.Clone(n.Attrs), true
			}
			c.Attrs[name] = l.Say(v)
		}
	}
	c.Children = l.Nodes(n.Children)
	return &c
}
