#!/usr/bin/env bash
# Opens tables in LibreOffice, as a person does, and counts the formulas that it
# makes of their cells; any at all is a fault.
#
#     ./spreadsheet.sh TABLE.csv ...
#
# It needs LibreOffice (Debian: libreoffice-calc-nogui).
set -euo pipefail

folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
found=0
for table in "$@"; do
  # Comma, double quote, UTF-8, formulas evaluated as far as the program ever
  # does when it opens such a file.
  soffice --headless -env:UserInstallation="file://$folder/profile" \
    --infilter='CSV:44,34,76,1,,0,false,true,false,false,false,-1,true' \
    --convert-to fods --outdir "$folder" "$table" >/dev/null 2> >(grep -v javaldx >&2 || true)
  sheet="$folder/$(basename "${table%.csv}").fods"
  n=$(grep -c 'table:formula=' "$sheet" || true)
  cells=$(grep -o '<table:table-cell' "$sheet" | wc -l)
  echo "$(basename "$table"): $cells cells, $n formulas"
  found=$((found + n))
done
[ "$found" -eq 0 ]
