"""Jets and moist expansion by general-purpose libraries: fluids, CoolProp.

Usage: gas_references.py < questions.json > answers.json

gas         [p, T, p_a, area, C]        mass flow (API 520), thrust    (fluids)
water       [bore, throat, dp, rho, C]  mass flow of a pipe nozzle     (fluids, ISO 5167)
nozzle      [bore, throat, rho, mu, m]  C of a long-radius nozzle      (fluids, ISO 5167)
expansion   [p, T, V2/V1]               adiabatic end state of air over water:
            p and T of the gas by four mixtures, see mixtures
"""

import json
import sys
from math import exp, sqrt

import fluids
from CoolProp.CoolProp import AbstractState, DmassT_INPUTS, QT_INPUTS
from scipy.integrate import solve_ivp

R, K = 287.05287, 1.4
MOLAR = 8314.462618 / R  # g/mol
CP = K / (K - 1) * R


def gas(q):
    p, t, ambient, area, c = q
    flow = area / fluids.API520_A_g(m=1, T=t, Z=1, MW=MOLAR, k=K, P1=p, P2=ambient, Kd=c)
    throat = fluids.P_critical_flow(p, K)
    if throat >= ambient:
        speed = fluids.core.c_ideal_gas(fluids.T_critical_flow(t, K), K, MOLAR)
        return [flow, flow * speed + (throat - ambient) * area]
    cold = fluids.isentropic_T_rise_compression(t, p, ambient, K)
    speed = sqrt(2 * CP * (t - cold))
    assert abs(fluids.T_stagnation_ideal(cold, speed, CP) - t) < 1e-9 * t
    return [flow, flow * speed]


def water(q):
    bore, throat, dp, rho, c = q
    return fluids.flow_meter.flow_meter_discharge(D=bore, Do=throat, P1=dp + 1e5, P2=1e5, rho=rho, C=c)


def nozzle(q):
    bore, throat, rho, mu, m = q
    return fluids.flow_meter.C_long_radius_nozzle(D=bore, Do=throat, rho=rho, mu=mu, m=m)


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
answers = {
    "gas": gas,
    "water": water,
    "nozzle": nozzle,
    "expansion": lambda q: [expand(q, *mixture) for mixture in mixtures],
}
questions = json.load(sys.stdin)
json.dump({name: [answers[name](q) for q in questions[name]] for name in questions}, sys.stdout)
