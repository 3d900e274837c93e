package markup_test

import (
	"fmt"

	"crownbench/wasm/markup"
)

// A row of a table, with text that came from a person.
func Example() {
	name := `<b>KB-014</b> & "friends"`
	row := markup.El("tr.specimen",
		markup.El("th", markup.Attr("scope", "row"), markup.Text(name)),
		markup.El("td", markup.Textf("%.1f mm", 22.6)),
		markup.If(false, markup.El("td", markup.Text("not shown"))),
	)
	fmt.Println(row)
	fmt.Println(row.Children[0].PlainText())
	// Output:
	// <tr class="specimen"><th scope="row">&lt;b&gt;KB-014&lt;/b&gt; &amp; &#34;friends&#34;</th><td>22.6 mm</td></tr>
	// <b>KB-014</b> & "friends"
}
