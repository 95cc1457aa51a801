"""Adiabatic expansion of air over water by a general-purpose library, CoolProp.

Usage: expansion_references.py < questions.json > answers.json

Reads [[p, T, V2/V1], …] and prints for each the end pressure and temperature of
four mixtures, see mixtures.
"""

import json
import sys
from math import exp

from CoolProp.CoolProp import AbstractState, DmassT_INPUTS, QT_INPUTS
from scipy.integrate import solve_ivp

R, K = 287.05287, 1.4


class RealAir:
    state = AbstractState("HEOS", "Air")

    def at(self, t, rho):
        """Pressure and internal energy per kilogram."""
        self.state.update(DmassT_INPUTS, rho, t)
        return self.state.p(), self.state.umass()


class IdealAir:
    def at(self, t, rho):
        return rho * R * t, R / (K - 1) * t


class RealWater:
    state = AbstractState("HEOS", "Water")

    def at(self, t):
        """Vapour pressure, vapour density, energies of vapour and liquid."""
        self.state.update(QT_INPUTS, 1, t)
        p, rho, vapour = self.state.p(), self.state.rhomass(), self.state.umass()
        self.state.update(QT_INPUTS, 0, t)
        return p, rho, vapour, self.state.umass()


class StatedWater:
    """Constants and formulas of the flight model."""

    def at(self, t):
        c = t - 273.15
        p = 611.21 * exp((18.678 - c / 234.5) * c / (257.14 + c))
        liquid = 4186 * c
        return p, p / (461.523 * t), liquid + 2.501e6 - 2361 * c - 461.523 * t, liquid


def expand(question, air, water):
    """Pressure and temperature after U fell by the work done; 1 m3 at first."""
    p1, t1, ratio = question
    steam, rho_vapour, _, _ = water.at(t1)
    low, high = 0.9 * (p1 - steam) / (R * t1), 1.1 * (p1 - steam) / (R * t1)
    for _ in range(100):  # density of the air alone at its share of p1
        middle = (low + high) / 2
        low, high = (middle, high) if air.at(t1, middle)[0] < p1 - steam else (low, middle)
    dry, wet = middle, rho_vapour

    def energy(v, t):
        _, rho, u_vapour, u_liquid = water.at(t)
        return dry * air.at(t, dry / v)[1] + rho * v * u_vapour + (wet - rho * v) * u_liquid

    def pressure(v, t):
        return air.at(t, dry / v)[0] + water.at(t)[0]

    def slope(v, y):
        h, t = 1e-4, y[0]
        by_volume = (energy(v + h, t) - energy(v - h, t)) / (2 * h)
        by_kelvin = (energy(v, t + 10 * h) - energy(v, t - 10 * h)) / (20 * h)
        return [-(pressure(v, t) + by_volume) / by_kelvin]

    t2 = solve_ivp(slope, (1, ratio), [t1], method="DOP853", rtol=1e-9, atol=1e-7).y[0, -1]
    return [pressure(ratio, t2), t2]


mixtures = [
    (RealAir(), RealWater()),
    (IdealAir(), RealWater()),
    (RealAir(), StatedWater()),
    (IdealAir(), StatedWater()),
]
json.dump([[expand(q, *mixture) for mixture in mixtures] for q in json.load(sys.stdin)], sys.stdout)
