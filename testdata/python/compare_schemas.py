"""Compare the schemas of a Parquet file and an Arrow file, as pyarrow sees them.

Reads [FILE.parquet, FILE.arrow] from standard input and prints a JSON array of
the fields that differ, in words; empty where the schemas are equal.
"""

import json
import sys

import pyarrow
import pyarrow.parquet


def main(parquet, arrow):
    a = pyarrow.parquet.read_schema(parquet)
    with pyarrow.ipc.open_file(arrow) as reader:
        b = reader.schema
    differ = [f"{x} and {y}" for x, y in zip(a, b) if not x.equals(y, check_metadata=True)]
    if not differ and not a.equals(b, check_metadata=True):
        differ = [f"{a} and {b}"]
    json.dump(differ, sys.stdout)


main(*json.load(sys.stdin))
