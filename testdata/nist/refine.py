"""Solves the sets of sets.json again with 60 digits.

Reads them as JSON, with the formulas below instead of the file's, and prints
for each the parameters, their standard deviations and the sum of squares, as
text of 20 digits. The method of Gauss and Newton, started at the given values,
with derivatives by central differences of step 1e-15: their error is beyond
the twentieth digit. Shares nothing with the program under test.
"""

import json
import sys
from decimal import Decimal, getcontext

getcontext().prec = 60
D = Decimal
STEP = D("1e-15")

FORMULAS = {
    "Misra1a": lambda b, x: b[0] * (1 - (-b[1] * x).exp()),
    "Misra1b": lambda b, x: b[0] * (1 - 1 / (1 + b[1] * x / 2) ** 2),
    "Thurber": lambda b, x: (b[0] + b[1] * x + b[2] * x**2 + b[3] * x**3)
    / (1 + b[4] * x + b[5] * x**2 + b[6] * x**3),
    "MGH09": lambda b, x: b[0] * (x**2 + b[1] * x) / (x**2 + b[2] * x + b[3]),
    "MGH10": lambda b, x: b[0] * (b[1] / (x + b[2])).exp(),
    "Rat42": lambda b, x: b[0] / (1 + (b[1] - b[2] * x).exp()),
    "Rat43": lambda b, x: b[0] * (-(1 + (b[1] - b[2] * x).exp()).ln() / b[3]).exp(),
    "BoxBOD": lambda b, x: b[0] * (1 - (-b[1] * x).exp()),
    "DanWood": lambda b, x: b[0] * (b[1] * x.ln()).exp(),
}


def solve(a, columns):
    """Gauss-Jordan with pivoting; columns are the right-hand sides."""
    n = len(a)
    rows = [list(a[i]) + [c[i] for c in columns] for i in range(n)]
    for k in range(n):
        best = max(range(k, n), key=lambda i: abs(rows[i][k]))
        rows[k], rows[best] = rows[best], rows[k]
        rows[k] = [v / rows[k][k] for v in rows[k]]
        for i in range(n):
            if i != k:
                f = rows[i][k]
                rows[i] = [v - f * w for v, w in zip(rows[i], rows[k])]
    return [[rows[i][n + c] for i in range(n)] for c in range(len(columns))]


def gradient(f, b):
    out = []
    for k, v in enumerate(b):
        h = STEP * abs(v)
        up, down = list(b), list(b)
        up[k], down[k] = v + h, v - h
        out.append((f(up) - f(down)) / (2 * h))
    return out


def refine(problem):
    f = FORMULAS[problem["name"]]
    x, y = [D(v) for v in problem["x"]], [D(v) for v in problem["y"]]
    b = [D(v) for v in problem["certified"]]
    n = len(b)
    for _ in range(300):
        r = [yi - f(b, xi) for xi, yi in zip(x, y)]
        j = [gradient(lambda c, xi=xi: f(c, xi), b) for xi in x]
        a = [[sum(row[p] * row[q] for row in j) for q in range(n)] for p in range(n)]
        g = [sum(row[p] * ri for row, ri in zip(j, r)) for p in range(n)]
        (step,) = solve(a, [g])
        b = [v + d for v, d in zip(b, step)]
        if all(abs(d) < D("1e-22") * abs(v) for v, d in zip(b, step)):
            break
    else:
        raise SystemExit(problem["name"] + ": no convergence")
    squares = sum((yi - f(b, xi)) ** 2 for xi, yi in zip(x, y))
    unit = [[D(int(i == k)) for i in range(n)] for k in range(n)]
    inverse = solve(a, unit)
    deviations = [(inverse[k][k] * squares / (len(x) - n)).sqrt() for k in range(n)]
    text = lambda v: f"{v:.19e}"
    return {
        "name": problem["name"],
        "certified": [text(v) for v in b],
        "deviations": [text(v) for v in deviations],
        "squares": text(squares),
    }


json.dump([refine(p) for p in json.load(sys.stdin)], sys.stdout)
