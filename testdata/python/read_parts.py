"""Count the flights of a sweep that goes on, with three readers in turn.

Usage: read_parts.py FOLDER TIMES

Prints one JSON object: of each reader, the flights in all parts at each time.
Every value is read, not only the row counts of the files.
"""

import glob
import json
import sys

import duckdb
import polars
import pyarrow.dataset


def with_pyarrow(folder):
    table = pyarrow.dataset.dataset(folder, format="parquet").to_table()
    table.validate(full=True)
    return table.num_rows


def with_polars(folder):
    return polars.read_parquet(sorted(glob.glob(f"{folder}/*.parquet"))).height


def with_duckdb(folder):
    columns = duckdb.sql(f"select * from '{folder}/*.parquet' limit 0").columns
    counts = ", ".join(f'count("{c}")' for c in columns)
    return duckdb.sql(f"select count(*), {counts} from '{folder}/*.parquet'").fetchall()[0][0]


def main(folder, times):
    readers = {"pyarrow": with_pyarrow, "polars": with_polars, "duckdb": with_duckdb}
    found = {name: [] for name in readers}
    for _ in range(times):
        for name, read in readers.items():
            found[name].append(read(folder))
    json.dump(found, sys.stdout)


main(sys.argv[1], int(sys.argv[2]))
