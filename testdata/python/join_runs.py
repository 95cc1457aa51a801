"""Put the fronts of runs below each other, with three readers.

Reads {"fronts": [FILE, …], "column": NAME} from standard input and prints what
the column holds then, by reader.
"""

import json
import sys

import duckdb
import polars
import pyarrow
import pyarrow.parquet


def main(fronts, column):
    tables = [pyarrow.parquet.read_table(f) for f in fronts]
    found = {
        "pyarrow": pyarrow.concat_tables(tables, promote_options="default")[column].to_pylist(),
        "polars": polars.concat([polars.read_parquet(f) for f in fronts], how="diagonal")[column].to_list(),
        "duckdb": [
            row[0]
            for row in duckdb.sql(f'select "{column}" from read_parquet({fronts}, union_by_name = true)').fetchall()
        ],
    }
    json.dump(found, sys.stdout)


main(**json.load(sys.stdin))
