"""Write the front of a sweep as testdata keeps it.

Usage: write_csv.py RUN >field-day-front.csv

Numbers have the digits that bring them back exactly.
"""

import sys
from pathlib import Path

import polars as pl

columns = [
    "fins_span_m", "chamber_throat_m", "chamber_fill", "payload_mass_kg", "recovery_delay_s",
    "apogee_m", "margin_cal",
]  # fmt: skip
front = pl.read_parquet(Path(sys.argv[1]) / "front.parquet").sort(columns)
sys.stdout.write(front.select(columns).write_csv())
