"""Write what polars reads in the Parquet files of a folder beside them as CSV.

Usage: write_csv.py FOLDER

Lists are joined with semicolons, what does not apply is empty, numbers have
the digits that bring them back exactly.
"""

import sys
from pathlib import Path

import polars as pl

for name in ("front", "history"):
    table = pl.read_parquet(Path(sys.argv[1]) / f"{name}.parquet")
    lists = [c for c in table.columns if table[c].dtype == pl.List]
    table.with_columns(pl.col(c).list.join(";") for c in lists).write_csv(Path(sys.argv[1]) / f"{name}.csv")
