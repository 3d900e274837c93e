#!/usr/bin/env bash
# Writes a tray of hostile texts in every format and has R, Python, LibreOffice, a
# JSON Schema validator and an XML parser read it; any fault ends it with 1.
#
#     testdata/tables/others.sh FOLDER
#
# FOLDER is emptied. Debian: r-base-core, libreoffice-calc-nogui, python3,
# python3-jsonschema, libxml2-utils.
set -euo pipefail

here=$(dirname "${BASH_SOURCE[0]}")
out=$1
rm -rf "$out"
go run "./$here/hostiletray" -out "$out"
tables=("$out"/tray.csv "$out"/*/*.csv)
Rscript "$here/cells.R" "${tables[@]}" >"$out/r.tsv"
python3 "$here/cells.py" "${tables[@]}" >"$out/python.json"
python3 "$here/compare.py" "$out/r.tsv" "$out/python.json"
"$here/spreadsheet.sh" "${tables[@]}"
python=python3 # a second Python may stand before Debian's, without its packages
"$python" -c 'import jsonschema' 2>/dev/null || python=/usr/bin/python3
"$python" -W ignore -m jsonschema -i "$out/own/record.json" "$out/own/record.schema.json"
xmllint --noout "$out"/darwincore/*.xml
echo "no faults"
