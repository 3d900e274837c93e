package grid

// AppendCells appends cells to b as one row has them, parted by delimiter,
// without a line end. Texts are guarded (Guard); quotes stand where a reader
// would otherwise part or trim the cell.
func AppendCells(b []byte, delimiter byte, cells ...string) []byte {
	for i, c := range cells {
		if i > 0 {
			b = append(b, delimiter)
		}
		b = appendCell(b, delimiter, Guard(c))
	}
	return b
}

func appendCell(b []byte, delimiter byte, c string) []byte {
	if !quotable(c, delimiter) {
		return append(b, c...)
	}
	b = append(b, '"')
	for i := range len(c) {
		if c[i] == '"' {
			b = append(b, '"')
		}
		b = append(b, c[i])
	}
	return append(b, '"')
}

// quotable tells whether a cell needs quotes. Cells with any of the three
// delimiters get them, since a reader has to guess which one is meant.
func quotable(c string, delimiter byte) bool {
	if c == "" {
		return false
	}
	if c[0] == ' ' || c[len(c)-1] == ' ' || c[0] == 0xef { // a byte order mark is no part of a file's first cell
		return true
	}
	for i := range len(c) {
		switch c[i] {
		case delimiter, '"', '\n', '\r', ',', ';', '\t':
			return true
		}
	}
	return false
}
