// Package intake takes in tables of teeth that were measured with callipers.
//
// A [Table] is opened from a file or from pasted cells, and proposes what each
// of its columns holds: a reading, a text of the record, or nothing of use. A
// person looks at the first rows and changes what was not understood; [Survey]
// reads the whole table by those columns and lists the cells that cannot be
// right. Then the rows become specimens of a tray ([Table.Specimens]), or the
// table goes out again with every row sorted ([Table.Sort]).
//
// It stands between packages typed, which reads the cells, and tray; it knows
// nothing of the browser. What takes long calls back after every row, so that a
// page can live on meanwhile.
package intake
