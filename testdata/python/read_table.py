"""Print what three readers find in a table file, as one JSON object.

Usage: read_table.py FILE.parquet|FILE.arrow

Each reader gives names, types and rows; pyarrow gives the metadata of schema
and fields as well, and for Parquet so do polars and DuckDB for the schema.
"""

import json
import sys

import duckdb
import polars
import pyarrow
import pyarrow.ipc
import pyarrow.parquet


def text(metadata):
    return {k.decode(): v.decode() for k, v in (metadata or {}).items()}


def with_pyarrow(table):
    return {
        "names": table.schema.names,
        "types": [str(f.type) for f in table.schema],
        "nullable": [f.nullable for f in table.schema],
        "nulls": [c.null_count for c in table.columns],
        "rows": [list(row.values()) for row in table.to_pylist()],
        "schema": text(table.schema.metadata),
        "fields": [text(f.metadata) for f in table.schema],
    }


def with_polars(frame, metadata):
    return {
        "names": frame.columns,
        "types": [str(t) for t in frame.dtypes],
        "nulls": [frame[c].null_count() for c in frame.columns],
        "rows": [list(row) for row in frame.rows()],
        "schema": metadata,
    }


def with_duckdb(connection, source, metadata):
    result = connection.sql(f"select * from {source}")
    counts = ", ".join(f'count(*) - count("{c}")' for c in result.columns)
    return {
        "names": result.columns,
        "types": [str(t) for t in result.types],
        "nulls": list(connection.sql(f"select {counts} from {source}").fetchall()[0]),
        "rows": [list(row) for row in result.fetchall()],
        "schema": metadata,
    }


def main(path):
    connection = duckdb.connect()
    if path.endswith(".parquet"):
        found = {
            "pyarrow": with_pyarrow(pyarrow.parquet.read_table(path)),
            "polars": with_polars(polars.read_parquet(path), polars.read_parquet_metadata(path)),
            "duckdb": with_duckdb(
                connection,
                f"'{path}'",
                text(dict(connection.sql(f"select key, value from parquet_kv_metadata('{path}')").fetchall())),
            ),
        }
    else:
        with pyarrow.ipc.open_file(path) as reader:
            table = reader.read_all()
        connection.register("arrow_file", table)
        found = {
            "pyarrow": with_pyarrow(table),
            "polars": with_polars(polars.read_ipc(path), None),
            "duckdb": with_duckdb(connection, "arrow_file", None),
        }
    json.dump(found, sys.stdout, allow_nan=False)


main(sys.argv[1])
