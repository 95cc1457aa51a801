"""Air and water by general-purpose libraries: IAPWS-95, CoolProp, fluids.

Usage: air_references.py < questions.json > answers.json

saturation  [K]           pressure over liquid water, Pa        (iapws, IAPWS-95)
liquid      [K]           density of water at 101325 Pa, kg/m3  (iapws, IAPWS-95)
humid       [K, Pa, RH]   density of moist air, kg/m3           (CoolProp, ASHRAE RP-1485)
dry         [K, Pa]       density, sound speed and viscosity    (CoolProp, Lemmon et al.)
standard    [m]           T, p, density, sound speed, viscosity (fluids, US Standard Atmosphere 1976)
"""

import json
import sys

from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from fluids.atmosphere import ATMOSPHERE_1976
from iapws import IAPWS95

EARTH = 6356766.0  # m, radius of the standard


def standard(h):
    # fluids takes geometric height; ours is geopotential.
    a = ATMOSPHERE_1976(EARTH * h / (EARTH - h))
    return [a.T, a.P, a.rho, a.v_sonic, a.mu]


answers = {
    "saturation": lambda t: IAPWS95(T=t, x=0).P * 1e6,
    "liquid": lambda t: IAPWS95(T=t, P=0.101325).rho,
    "humid": lambda q: 1 / HAPropsSI("Vha", "T", q[0], "P", q[1], "R", q[2]),
    "dry": lambda q: [PropsSI(k, "T", q[0], "P", q[1], "Air") for k in "DAV"],
    "standard": standard,
}
questions = json.load(sys.stdin)
json.dump({name: [answers[name](q) for q in questions[name]] for name in questions}, sys.stdout)
