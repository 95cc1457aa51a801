"""Index trajectories by design and sample, with pandas and xarray.

Reads the path of a paths.parquet from standard input, as JSON, and prints the
sizes of both dimensions, whether the index is unique, the copies among the
rows, and the greatest height of each design.
"""

import json
import sys

import pandas


def main(path):
    rows = pandas.read_parquet(path)
    indexed = rows.set_index(["design", "sample"])
    cube = indexed.to_xarray()
    json.dump(
        {
            "sizes": dict(cube.sizes),
            "unique": indexed.index.is_unique,
            "copies": int(rows.drop(columns="sample").duplicated().sum()),
            "heights": cube["z_m"].max("sample").values.tolist(),
        },
        sys.stdout,
    )


main(json.load(sys.stdin))
