"""Join the flights of a sweep with its constants, and skip groups of rows.

Reads {"run": FOLDER, "quantity": COLUMN} from standard input and prints: the
flights of all parts in rising order, those that are feasible, the values of the
chamber's proof pressure in the join, the groups of rows there are and those that
may hold the quantity's largest value, by their statistics.
"""

import glob
import json
import sys

import duckdb
import pyarrow.parquet


def main(run, quantity):
    parts = sorted(glob.glob(f"{run}/flights/*.parquet"))
    joined = duckdb.sql(
        f"""select flight, feasible, chamber_proof_pa
        from read_parquet({parts}) join '{run}/constants.parquet' using (run_id) order by flight"""
    ).fetchall()
    largest = duckdb.sql(f"select max({quantity}) from read_parquet({parts})").fetchall()[0][0]
    ranges = []
    for part in parts:
        metadata = pyarrow.parquet.ParquetFile(part).metadata
        for group in range(metadata.num_row_groups):
            column = metadata.row_group(group).column(metadata.schema.names.index(quantity))
            ranges.append((column.statistics.min, column.statistics.max))
    json.dump(
        {
            "flights": [row[0] for row in joined],
            "feasible": [row[0] for row in joined if row[1]],
            "proofs": sorted({row[2] for row in joined}),
            "groups": len(ranges),
            "needed": sum(low <= largest <= high for low, high in ranges),
        },
        sys.stdout,
    )


main(**json.load(sys.stdin))
