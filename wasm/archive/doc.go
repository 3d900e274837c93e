// Package archive writes a whole tray as files that other people and other
// programs keep: the program's own archive, which Read brings back as it was,
// and archives of open standards.
//
// # The own archive
//
// Write makes a zip file:
//
//	archive.json         what this is, and the SHA-256 of each file
//	record.json          every specimen: the record of package sheet
//	record.schema.json   JSON Schema (2020-12) of record.json
//	photographs/HASH.jpg each photograph's file as it came, named by its SHA-256
//
// archive.json says {"format": "crownbench-archive", "version": 1, "program":
// "…", "files": [{"path": "…", "sha256": "…"}, …]}. The version goes up when an
// older program would misread an archive; this one reads every version up to
// its own. The same tray gives the same bytes: files stand in a fixed order,
// photographs as the specimens name them, and all of them carry the first time
// that a zip file can, 1980-01-01. Photographs are asked for one by one, so
// that a tray need not fit into memory.
//
// # Open standards
//
// DataPackage writes a Data Package (version 2): tables of specimens, readings,
// photographs, answers and neighbours with their keys, types and units.
// DarwinCore writes a Darwin Core Archive: an Occurrence core with measurements
// and media, described by meta.xml and EML. Annotations writes what was marked
// on photographs as Web Annotations. They hold no pictures: they name each by
// its SHA-256.
//
// Coordinates leave only where they are shared (tray.Specimen.Public), but for
// a Private own archive, its owner's backup. Every cell of a table is written
// as package cell has it.
//
// archive stands at the end of the way of the data, beside package sheet. It
// knows nothing of the browser.
package archive
