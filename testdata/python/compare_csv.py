"""Compare CSV files with the Parquet files that they were made of, in pandas.

Reads [[FILE.csv, FILE.parquet], …] from standard input and prints the number of
rows of each, once every name and every value is found equal.
"""

import json
import sys

import pandas


def main(pairs):
    rows = []
    for csv, parquet in pairs:
        got = pandas.read_csv(csv, float_precision="round_trip", keep_default_na=False, na_values={})
        want = pandas.read_parquet(parquet)
        for name in want.columns:
            kind = str(want[name].dtype)
            if want[name].map(lambda v: hasattr(v, "tolist") and not isinstance(v, float)).all() and kind == "object":
                want[name] = want[name].map(";".join)
            elif kind == "float64":
                got[name] = pandas.to_numeric(got[name])
        pandas.testing.assert_frame_equal(got, want, check_dtype=False, check_exact=True)
        rows.append(len(got))
    json.dump(rows, sys.stdout)


main(json.load(sys.stdin))
