package archive

import _ "embed"

// Schema is the JSON Schema (draft 2020-12) of a record, as package sheet
// writes and reads it.
//
//go:embed record.schema.json
var Schema string
