"""Reads tables with Python's own csv module and prints what stands in them.

    python3 cells.py TABLE.csv ...

The output is JSON: for each file a list of rows, for each cell a list of three:
the text that was written, after the rule of package cell has been undone, with
line breaks as LF; the number, in hexadecimal so that no digit is lost, where
the cell is a plain decimal number, else null; and the cell as it stands.
"""

import csv
import json
import re
import sys
import unicodedata

PASSED = ("Zs", "Zl", "Zp", "Cc", "Cf")
START = "=+-@\uff1d\uff0b\uff0d\uff20\t\r\n"
NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?", re.ASCII)


def like_a_formula(text):
    for c in text:
        if c in START:
            return True
        if c != "'" and unicodedata.category(c) not in PASSED:
            return False
    return False


def cell(raw):
    raw = raw.replace("\r\n", "\n")
    text = raw
    if raw.startswith("'") and like_a_formula(raw[1:]):
        text = raw[1:]
    number = float(raw).hex() if NUMBER.fullmatch(raw) else None
    return [text, number, raw]


def table(name):
    with open(name, encoding="utf-8", newline="") as f:
        return [[cell(c) for c in row] for row in csv.reader(f, strict=True)]


if __name__ == "__main__":
    json.dump({name: table(name) for name in sys.argv[1:]}, sys.stdout)
