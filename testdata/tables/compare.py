"""Compares the numbers that R read with those that Python read.

    python3 compare.py R.tsv PYTHON.json

The first is what cells.R prints, the second what cells.py does. Both must have
read the same numbers from the same cells, to within two units in the last
place, which is as well as R reads decimals. Ends with 1 when they did not.
"""

import json
import math
import os
import sys


def same(a, b):
    return a is not None and b is not None and abs(a - b) <= 2 * math.ulp(a)


def main(r_file, python_file):
    python = {}
    with open(python_file, encoding="utf-8") as f:
        for name, rows in json.load(f).items():
            heads = [text for text, _, _ in rows[0]]
            for i, row in enumerate(rows[1:]):
                for head, (_, number, _) in zip(heads, row):
                    if number is not None:
                        python[os.path.basename(name), head, i + 1] = float.fromhex(number)
    r = {}
    with open(r_file, encoding="utf-8") as f:
        for line in f:
            name, head, row, number = line.rstrip("\n").split("\t")
            r[name, head, int(row)] = float(number)
    differ = [k for k in python.keys() | r.keys() if not same(python.get(k), r.get(k))]
    for key in sorted(differ)[:20]:
        print(key, "Python:", python.get(key), "R:", r.get(key))
    print(f"{len(python)} numbers by Python, {len(r)} by R, {len(differ)} differ")
    return 1 if differ or not python else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
