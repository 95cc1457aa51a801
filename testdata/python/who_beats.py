"""Try all pairs of designs of two runs: which is better in a goal and worse in none.

Reads {"path": FILE, "goals": [COLUMN, …]} from standard input, all goals being
the higher the better, and prints how many designs are beaten, how many rows of
the file say otherwise or name one that does not beat them, and the chamber
pressures of each run.
"""

import json
import sys

import pandas


def main(path, goals):
    table = pandas.read_parquet(path)
    beaten = wrong = 0
    for _, row in table.iterrows():
        better = [
            (other["run"], other["design"])
            for _, other in table[(table["run"] != row["run"]) & table["feasible"]].iterrows()
            if all(other[g] >= row[g] for g in goals) and any(other[g] > row[g] for g in goals)
        ]
        beaten += bool(better)
        if better:
            wrong += (row["beaten_by"], row["beaten_by_design"]) not in better
        else:
            wrong += row["beaten_by"] != "" or not pandas.isna(row["beaten_by_design"])
    pressures = {run: rows["chamber_pressure_pa"].unique().tolist() for run, rows in table.groupby("run")}
    json.dump({"beaten": beaten, "wrong": wrong, "pressures": pressures}, sys.stdout)


main(**json.load(sys.stdin))
