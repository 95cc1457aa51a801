"""Jets by a general-purpose library, fluids.

Usage: jet_references.py < questions.json > answers.json

gas         [p, T, p_a, area, C]        mass flow (API 520) and thrust
water       [bore, throat, dp, rho, C]  mass flow of a pipe nozzle (ISO 5167)
nozzle      [bore, throat, rho, mu, m]  C of a long-radius nozzle (ISO 5167)
"""

import json
import sys
from math import sqrt

import fluids

R, K = 287.05287, 1.4
MOLAR = 8314.462618 / R  # g/mol
CP = K / (K - 1) * R


def gas(q):
    p, t, ambient, area, c = q
    flow = area / fluids.API520_A_g(m=1, T=t, Z=1, MW=MOLAR, k=K, P1=p, P2=ambient, Kd=c)
    throat = fluids.P_critical_flow(p, K)
    if throat >= ambient:
        speed = fluids.core.c_ideal_gas(fluids.T_critical_flow(t, K), K, MOLAR)
        return [flow, flow * speed + (throat - ambient) * c * area]
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


answers = {"gas": gas, "water": water, "nozzle": nozzle}
questions = json.load(sys.stdin)
json.dump({name: [answers[name](q) for q in questions[name]] for name in questions}, sys.stdout)
