"""Count by DuckDB what the flights of a sweep keep and miss.

Reads {"run": FOLDER, "limits": {NAME: SQL}, "low": SQL, "quantity": COLUMN,
"number": COLUMN, "groups": N, "from": X, "to": Y} from standard input and prints
the share of flights that are feasible, of each limit the shares that miss it
and that miss it alone, the share feasible among the flights for which low holds,
and the correlation ratio of the number over so many equal groups of the quantity.
"""

import json
import sys

import duckdb


def main(run, limits, low, quantity, number, groups, **ends):
    flights = f"read_parquet('{run}/flights/*.parquet')"

    def one(sql):
        return duckdb.sql(f"select {sql} from {flights}").fetchall()[0][0]

    missed = {name: f"(not coalesce({kept}, false))" for name, kept in limits.items()}
    count = " + ".join(f"{sql}::int" for sql in missed.values())
    width = (ends["to"] - ends["from"]) / groups
    group = f"least(greatest(floor(({quantity} - {ends['from']}) / {width}), 0), {groups - 1})"
    [(within, of)] = duckdb.sql(
        f"""select sum(n * v), sum(n) from
        (select count(*) - 1 as n, var_samp({number}) as v from {flights} group by {group})"""
    ).fetchall()
    json.dump(
        {
            "feasible": one("avg(feasible::int)"),
            "missed": {name: one(f"avg({sql}::int)") for name, sql in missed.items()},
            "alone": {name: one(f"avg(({sql} and {count} = 1)::int)") for name, sql in missed.items()},
            "low": one(f"avg(feasible::int) filter ({low})"),
            "ratio": 1 - within / of / one(f"var_samp({number})"),
        },
        sys.stdout,
    )


main(**json.load(sys.stdin))
