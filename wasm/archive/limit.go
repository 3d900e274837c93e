package archive

import (
	"crownbench/wasm/photo"
	"crownbench/wasm/sheet"
)

// Limits of an own archive; Write makes none beyond them, and Read refuses, or
// passes over, what is.
const (
	MaxBytes         = 32 << 30 // of the zip file, and of all in it once unpacked
	MaxFiles         = 200_000  // in it
	MaxManifestBytes = 64 << 20 // of archive.json
	MaxRecordBytes   = sheet.MaxRecordBytes
	MaxPhotoBytes    = photo.MaxFileBytes
)
