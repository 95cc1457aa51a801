"""Run pymoo's NSGA-II on problems that the caller evaluates.

Standard input holds one JSON object a line. A task has the bounds "low" and
"high" of each variable, "whole" (they are whole numbers), "goals", "limits",
"reference", "evaluations" and "seed". For each generation {"designs": [...]}
is printed and {"goals": [...], "violations": [...]} read back; the end of a
task is {"goals": [...], "volume": ...}, the front found and its hypervolume.
Operators, population and all else are as the library sets them.
"""

import json
import sys

import numpy as np
from pymoo.algorithms.moo.nsga2 import NSGA2
from pymoo.core.problem import Problem
from pymoo.indicators.hv import HV
from pymoo.operators.crossover.sbx import SBX
from pymoo.operators.mutation.pm import PM
from pymoo.operators.repair.rounding import RoundingRepair
from pymoo.operators.sampling.rnd import IntegerRandomSampling
from pymoo.optimize import minimize


def say(answer):
    print(json.dumps(answer), flush=True)


class Served(Problem):
    def __init__(self, task):
        super().__init__(
            n_var=len(task["low"]),
            n_obj=task["goals"],
            n_ieq_constr=task["limits"],
            xl=np.array(task["low"]),
            xu=np.array(task["high"]),
            vtype=int if task["whole"] else float,
        )

    def _evaluate(self, x, out, *args, **kwargs):
        say({"designs": x.tolist()})
        answer = json.loads(sys.stdin.readline())
        out["F"] = np.array(answer["goals"])
        if self.n_ieq_constr:
            out["G"] = np.array(answer["violations"])


# For whole numbers as the library's documentation says: the same operators,
# with their defaults, and rounding behind them.
whole = {
    "sampling": IntegerRandomSampling(),
    "crossover": SBX(prob=0.9, eta=15, vtype=float, repair=RoundingRepair()),
    "mutation": PM(eta=20, vtype=float, repair=RoundingRepair()),
}

for line in sys.stdin:
    task = json.loads(line)
    algorithm = NSGA2(pop_size=100, **(whole if task["whole"] else {}))
    found = minimize(Served(task), algorithm, ("n_eval", task["evaluations"]), seed=task["seed"])
    front = [] if found.F is None else np.atleast_2d(found.F)
    volume = HV(ref_point=np.array(task["reference"]))(front) if len(front) else 0.0
    say({"goals": np.asarray(front).tolist(), "volume": float(volume)})
