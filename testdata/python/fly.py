"""Fly rockets and print their figures: a second program of the flight model.

Usage: fly.py < cases.json > flights.json

Reads [{"rocket": …, "site": …, "gust": true or false}, …] in SI, prints a list of {"outcome", "figures",
"warnings"}. Written from the model's equations, not from the Go code, on SciPy's
DOP853 at a relative tolerance of 1e-9. What the equations leave open follows the
Go code: the neck, a measured volume, the gas aboard while on the tube, and that a
jet cut short has no duration. No weighed rocket.
"""

import json
import os
import sys
from math import atan2, cos, degrees, hypot, inf, pi, sin, sqrt
from multiprocessing import Pool

import numpy
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, minimize_scalar

from rocket import G0, GAMMA, R, R_VAPOUR, WATER, Aerodynamics, Air, Chamber, dry, incidence, saturation

TOLERANCE = 1e-9
SUBSTEPS = 6  # samples a step of the integrator, before an extreme is refined
HOUR = 3600.0

X, Z, VX, VZ, THETA, OMEGA, VW, TEMPERATURE, GAS, IMPULSE = range(10)
ABSOLUTE = [1e-8, 1e-8, 1e-9, 1e-9, 1e-10, 1e-9, 1e-12, 1e-7, 1e-11, 1e-8]
TUBE, WATER_JET, GAS_JET, COAST = range(4)


class Ascent:
    """The equations of motion before the canopy opens."""

    def __init__(self, rocket, site):
        self.air, self.chamber, self.aero = Air(site), Chamber(rocket["Chamber"]), Aerodynamics(rocket)
        self.dry = dry(rocket)
        c = rocket["Chamber"]
        self.throat = pi * c["Throat"] ** 2 / 4
        self.jet, self.gas_jet, self.gas_thrust = c["Jet"], self.throat * c["GasJet"], c["GasThrust"]
        self.stream = self.throat * c["Contraction"]
        self.loss = 1 / c["Jet"] ** 2 - (self.stream / self.chamber.area) ** 2
        self.drawn, self.dip, self.spoiled = c["Drawn"], None, False
        self.moist = c["Gas"] == "moist"
        self.tilt, self.guide = site["Tilt"], site["Guide"]
        self.gust_speed, self.gust_length = 0.0, inf
        self.length = rocket["Body"]["Length"]
        self.pole = self.length - c.get("Neck", 0)

        water, t = c["Fill"] * self.chamber.volume, c["GasTemperature"] or self.air.t0
        # Pressure widens the chamber by so much, m3/Pa.
        self.give = c["Growth"] * self.chamber.volume
        room = self.chamber.volume + self.give * c["Pressure"] - water
        steam = self.saturation(t)[0]
        p = self.air.p0 + c["Pressure"]
        dry_air, vapour = (p - steam) * room / (R * t), steam * room / (R_VAPOUR * t)
        self.start = [0, 0, 0, 0, -self.tilt, 0, water, t, dry_air + vapour, 0]
        tube = c.get("Tube") or {"Diameter": 0, "Length": 0}
        self.tube, self.slide = pi * tube["Diameter"] ** 2 / 4, tube["Length"]
        self.charges = {TUBE: (dry_air, vapour), WATER_JET: (dry_air, vapour)}
        self.phase, self.guided = TUBE if self.slide > 0 else WATER_JET, True

    def saturation(self, kelvin):
        return saturation(kelvin) if self.moist else (0.0, 0.0)

    def room(self, y):
        """Volume of the gas, that in the tube included."""
        room = self.chamber.volume - y[VW]
        if self.phase == TUBE:
            room += self.tube * hypot(y[X], y[Z])
        if self.give == 0:
            return room
        if self.phase in self.charges:
            # q V = m R T for the dry air alone, V = room + give (q + steam - p0)
            heat = self.charges[self.phase][0] * R * y[TEMPERATURE]
            c = room + self.give * (self.saturation(y[TEMPERATURE])[0] - self.air.p0)
            return (c + sqrt(c * c + 4 * self.give * heat)) / 2
        return room + self.give * (self.pressure(y) - self.air.p0)

    def pressure(self, y):
        t = y[TEMPERATURE]
        if self.phase in self.charges:
            return self.charges[self.phase][0] * R * t / self.room(y) + self.saturation(t)[0]
        if self.give == 0:
            return y[GAS] * R * t / self.room(y)
        # p (V0 + give (p - p0)) = m R T
        b = self.chamber.volume - self.give * self.air.p0
        return (sqrt(b * b + 4 * self.give * y[GAS] * R * t) - b) / (2 * self.give)

    def swell(self, y, rate):
        """dV/dt of the gas where water or tube make room at a rate: the wall shrinks meanwhile."""
        if self.give == 0:
            return rate
        p, t, room = self.pressure(y), y[TEMPERATURE], self.room(y)
        dry_air = self.charges[self.phase][0]
        dp_dv = -dry_air * R * t / room**2 + (dry_air * R / room + self.saturation(t)[1]) * self.cooling(y, p)
        return rate / (1 - self.give * dp_dv)

    def cooling(self, y, p):
        """dT/dV of the gas on the tube and while water leaves."""
        t, room = y[TEMPERATURE], self.room(y)
        dry_air, start = self.charges[self.phase]
        steam, slope = self.saturation(t)
        vapour = steam * room / (R_VAPOUR * t)
        release = 2.501e6 - 2361 * (t - 273.15) - R_VAPOUR * t if self.moist else 0.0
        per_volume = steam / (R_VAPOUR * t)
        per_kelvin = room / R_VAPOUR * (slope / t - steam / t**2)
        capacity = dry_air * R / 0.4 + vapour * 1410 + max(start - vapour, 0) * 4186
        return -(p + release * per_volume) / (capacity + release * per_kelvin)

    def propulsion(self, y, ambient):
        """Thrust, mass flow, and the rates of water volume, temperature, gas mass."""
        if self.phase == COAST:
            return 0.0, 0.0, 0.0, 0.0, 0.0
        p = self.pressure(y)
        if self.phase == TUBE:
            return (p - ambient) * self.tube, 0.0, 0.0, self.cooling(y, p) * self.swell(y, self.tube * hypot(y[VX], y[VZ])), 0.0
        if self.phase == WATER_JET:
            u2 = 2 * max(p - ambient, 0) / (WATER * self.loss)
            flow = self.stream * sqrt(u2)
            thrust = 0.0 if self.spoiled else WATER * self.stream * u2
            return thrust, WATER * flow, -flow, self.cooling(y, p) * self.swell(y, flow), 0.0
        t, g = y[TEMPERATURE], GAMMA
        if p * (2 / (g + 1)) ** (g / (g - 1)) >= ambient:
            m = self.gas_jet * p * sqrt(g / (R * t)) * (2 / (g + 1)) ** ((g + 1) / (2 * (g - 1)))
            exit_pressure = p * (2 / (g + 1)) ** (g / (g - 1))
            thrust = m * sqrt(2 * g * R * t / (g + 1)) + (exit_pressure - ambient) * self.gas_jet
        else:
            r = min(ambient / p, 1.0)
            u = sqrt(2 * g / (g - 1) * R * t * (1 - r ** ((g - 1) / g)))
            m = self.gas_jet * p / (R * t) * r ** (1 / g) * u
            thrust = m * u
        p_rate = -g * R * t * m / (self.room(y) + g * p * self.give)
        t_rate = (-R * t * m - p * self.give * p_rate) / (y[GAS] * R / 0.4)
        return self.gas_thrust * thrust, m, 0.0, t_rate, -m

    def kept(self, y):
        """Share of the gas that is not in the tube."""
        return 1 - self.tube * hypot(y[X], y[Z]) / self.room(y)

    def gust(self, way):
        """Speed of a 1 - cos gust so far from the guide's end."""
        if self.gust_speed == 0 or not 0 < way < self.gust_length:
            return 0.0
        return self.gust_speed / 2 * (1 - cos(2 * pi * way / self.gust_length))

    def balance(self, y):
        """Mass, centre, pitch inertia and the station of the free surface."""
        dry_mass, dry_x, dry_inertia = self.dry
        v, c = max(y[VW], 0.0), self.chamber
        h = c.surface(v)
        moment = c.moment(h)
        water = WATER * v
        parts = [(dry_mass, dry_x)]
        if v > 0:
            parts.append((water, self.pole - moment / v))
        gas_height = (c.volume * c.height / 2 - moment) / (c.volume - v)
        aboard = y[GAS] * self.kept(y) if self.phase == TUBE else y[GAS]
        parts.append((aboard, self.pole - gas_height))
        mass = sum(m for m, _ in parts)
        cg = sum(m * x for m, x in parts) / mass
        inertia = dry_inertia + sum(m * (x - cg) ** 2 for m, x in parts)
        inertia += water * (h * h / 12 + c.radius**2 / 4)
        return mass, cg, inertia, self.pole - h

    def instant(self, y):
        """Everything at one instant, as a dict; "rates" is the derivative of y."""
        air = self.air.at(y[Z])
        thrust, flow, water_rate, t_rate, gas_rate = self.propulsion(y, air[0])
        mass, cg, inertia, surface = self.balance(y)
        theta = y[THETA]
        bx, bz = sin(theta), cos(theta)
        if self.guided:
            v, alpha = y[VX] * bx + y[VZ] * bz, 0.0
            drag = self.aero.forces(v, 0.0, 0.0, cg, air)[2] if v > 0 else 0.0
            a = (thrust - drag) / mass - G0 * bz
            if v <= 0:
                a = max(a, 0.0)
            along = a + G0 * bz
            ax, az, spin = a * bx, a * bz, 0.0
        else:
            ux, uz = y[VX] - self.air.wind(y[Z]) - self.gust(hypot(y[X], y[Z]) - self.guide), y[VZ]
            v, alpha = hypot(ux, uz), incidence(ux, uz, theta)
            normal, moment, axial = self.aero.forces(v, alpha, y[OMEGA], cg, air)
            along = (thrust - axial) / mass
            ax, az = along * bx - normal / mass * bz, along * bz + normal / mass * bx - G0
            if self.phase == WATER_JET:
                moment -= y[OMEGA] * flow * ((self.length - cg) ** 2 - (surface - cg) ** 2)
            elif self.phase == GAS_JET:
                moment -= y[OMEGA] * flow * (self.length - cg) ** 2
            spin = moment / inertia
        clear = inf
        if self.phase == WATER_JET:
            # Lubin & Springer: air comes through where this falls to 0.
            clear = self.pole - surface - (0.69 * ((flow / WATER) ** 2 / along) ** 0.2 if along > 0 else inf)
        return {
            "clear": clear,
            "rates": [y[VX], y[VZ], ax, az, y[OMEGA], spin, water_rate, t_rate, gas_rate, thrust],
            "speed": hypot(y[VX], y[VZ]),
            "air_speed": v,
            "mach": v / air[2],
            "acceleration": hypot(ax, az + G0),
            "thrust": thrust,
            "incidence": abs(alpha),
            "margin": (self.aero.centre(v / air[2]) - cg) / self.aero.d,
            # V/V_f = V/a sqrt(X/G)
            "flutter": v / air[2] * sqrt(self.aero.flutter * air[0]),
        }


def refined(f, low, high):
    """The largest value of f between two times."""
    return -minimize_scalar(lambda t: -f(t), bounds=(low, high), method="bounded", options={"xatol": 1e-7}).fun


class Segment:
    """A stretch of the ascent in one phase, guided or free, with its solution."""

    def __init__(self, ascent, solution):
        self.phase, self.guided, self.spoiled = ascent.phase, ascent.guided, ascent.spoiled
        self.ascent, self.solution = ascent, solution.sol
        steps = solution.t
        self.times = numpy.unique(
            numpy.concatenate([numpy.linspace(a, b, SUBSTEPS + 1) for a, b in zip(steps[:-1], steps[1:])])
        )
        self.kept = {}

    def at(self, t):
        if t not in self.kept:
            self.ascent.phase, self.ascent.guided, self.ascent.spoiled = self.phase, self.guided, self.spoiled
            self.kept[t] = self.ascent.instant(self.solution(t))
        return self.kept[t]

    def largest(self, name, until=inf, sign=1):
        """The largest value of sign × name up to a time, refined between samples."""
        times = [t for t in self.times if t < until]
        if not times:
            return -inf
        if until <= self.times[-1]:
            times.append(until)
        values = [sign * self.at(t)[name] for t in times]
        best = int(numpy.argmax(values))
        low, high = times[max(best - 1, 0)], times[min(best + 1, len(times) - 1)]
        if high <= low:
            return values[best]
        return max(values[best], refined(lambda t: sign * self.at(t)[name], low, high))

    def unstable(self, until):
        """The time with a margin below 0, up to a time."""
        times = [t for t in self.times if t < until]
        if times and until <= self.times[-1]:
            times.append(until)
        spent = 0.0
        for a, b in zip(times[:-1], times[1:]):
            ma, mb = self.at(a)["margin"], self.at(b)["margin"]
            if ma < 0 and mb < 0:
                spent += b - a
            elif (ma < 0) != (mb < 0):
                root = brentq(lambda t: self.at(t)["margin"], a, b, xtol=1e-9)
                spent += root - a if ma < 0 else b - root
        return spent


def integrate(rates, span, y, absolute, events):
    # The first step must see an event that is microseconds away.
    options = {"rtol": TOLERANCE, "atol": absolute, "dense_output": True, "first_step": min(1e-5, span[1] - span[0])}
    solution = solve_ivp(rates, span, y, method="DOP853", events=events, **options)
    if solution.status < 0:
        raise ArithmeticError(solution.message)
    return solution


def ground(t, y):
    return y[Z]


ground.terminal, ground.direction = True, -1


def summit(t, y):
    return y[VZ]


summit.direction = -1


def empty(t, y):
    return y[VW]


empty.terminal, empty.direction = True, -1


def ascend(ascent, opening):
    """Integrate to opening or ground: segments, marks, last time and state."""

    def rates(t, y):
        return ascent.instant(y)["rates"]

    def leaves(t, y):
        return hypot(y[X], y[Z]) - ascent.guide

    leaves.terminal, leaves.direction = True, 1

    def slid(t, y):
        return hypot(y[X], y[Z]) - ascent.slide

    slid.terminal, slid.direction = True, 1

    def spent(t, y):
        return ascent.pressure(y) - 1.001 * ascent.air.at(y[Z])[0]

    spent.terminal, spent.direction = True, -1

    def dips(t, y):
        return ascent.instant(y)["clear"]

    dips.terminal, dips.direction = True, -1

    def fails(t, y):
        return y[VW] - ascent.drawn * ascent.dip

    fails.terminal, fails.direction = True, -1

    segments, marks, tops = [], {}, []
    t, y = 0.0, list(ascent.start)
    while t < opening:
        if ascent.phase == WATER_JET and ascent.dip is None and dips(t, y) <= 0:
            ascent.dip = y[VW]
        if ascent.dip is not None and y[VW] <= ascent.drawn * ascent.dip + 1e-12:
            ascent.spoiled = ascent.drawn > 0
        events = [ground, summit, leaves, slid, empty, spent, dips, fails]
        active = [
            True,
            not ascent.guided,
            ascent.guided,
            ascent.phase == TUBE,
            ascent.phase == WATER_JET,
            ascent.phase == GAS_JET,
            ascent.phase == WATER_JET and ascent.dip is None,
            ascent.phase == WATER_JET and ascent.dip is not None and not ascent.spoiled and ascent.drawn > 0,
        ]
        used = [e for e, on in zip(events, active) if on]
        solution = integrate(rates, (t, opening), y, ABSOLUTE, used)
        segments.append(Segment(ascent, solution))
        if summit in used:
            i = used.index(summit)
            tops += [(s[Z], when) for s, when in zip(solution.y_events[i], solution.t_events[i])]
            if ascent.phase == COAST and len(solution.t_events[i]):
                marks.setdefault("apex", (solution.t_events[i][0], list(solution.y_events[i][0])))
        t, y = solution.t[-1], list(solution.y[:, -1])
        if solution.status == 0:
            break
        fired = next(e for e, when in zip(used, solution.t_events) if e is not summit and len(when) and when[-1] == t)
        if fired is ground:
            marks["ground"] = t
            break
        # Guide and tube may end together.
        travel = hypot(y[X], y[Z]) + 1e-9
        if ascent.guided and travel >= ascent.guide:
            ascent.guided = False
            marks["guide"] = t, list(y), ascent.phase
        if ascent.phase == TUBE and travel >= ascent.slide:
            # What fills the tube at its end stays there.
            kept = ascent.kept(y)
            y[GAS] *= kept
            ascent.charges[WATER_JET] = tuple(m * kept for m in ascent.charges[TUBE])
            ascent.phase = WATER_JET
            marks["tube"] = t, list(y)
        if fired is empty:
            y[VW] = 0.0
            p = ascent.pressure(y)
            y[GAS] = p * ascent.room(y) / (R * y[TEMPERATURE])
            ascent.phase = GAS_JET
            marks["water"] = t
            # A last drop that leaves below ambient pressure leaves no gas jet.
            if p <= 1.001 * ascent.air.at(y[Z])[0]:
                ascent.phase = COAST
                marks["gas"] = t, list(y)
        elif fired is dips:
            ascent.dip = y[VW]
            h = ascent.pole - ascent.balance(y)[3]
            marks["wide"] = h > ascent.chamber.radius
        elif fired is spent:
            ascent.phase = COAST
            marks["gas"] = t, list(y)
        if ascent.phase == COAST and y[VZ] <= 0:
            marks.setdefault("apex", (t, list(y)))
    return segments, marks, tops, t, y


def plunge(ascent, mass, t, y, opening):
    """A point mass, nose first, to opening or ground: time, state, grounded or not."""
    aero, wind = ascent.aero, ascent.air.wind

    def rates(t, y):
        air = ascent.air.at(y[1])
        ux, uz = y[2] - wind(y[1]), y[3]
        v = hypot(ux, uz)
        k = air[1] * v / 2 * aero.area * aero.drag(v, *air[1:]) / mass
        return [y[2], y[3], -k * ux, -k * uz - G0]

    def touch(t, y):
        return y[1]

    touch.terminal, touch.direction = True, -1
    if opening <= t:
        return t, list(y[:4]), False
    s = integrate(rates, (t, min(opening, t + HOUR)), y[:4], [1e-8, 1e-8, 1e-9, 1e-9], [touch])
    return s.t[-1], list(s.y[:, -1]), len(s.t_events[0]) > 0


def descend(ascent, recovery, mass, t, y):
    """Under the canopy: tops, last state (x z vx vz path), time, peak force, full or not."""
    area0 = pi * recovery["Canopy"] ** 2 / 4 * recovery["Drag"]
    filling = 8 * recovery["Canopy"]
    air_at, wind, aero = ascent.air.at, ascent.air.wind, ascent.aero

    def drag(y):
        air = air_at(y[1])
        ux, uz = y[2] - wind(y[1]), y[3]
        v = hypot(ux, uz)
        canopy = area0 * min(y[4] / filling, 1.0) ** 2
        return air, ux, uz, v, canopy

    def rates(t, y):
        air, ux, uz, v, canopy = drag(y)
        k = air[1] * v / 2 * (canopy + aero.area * aero.drag(v, *air[1:])) / mass
        return [y[2], y[3], -k * ux, -k * uz - G0, v]

    def force(y):
        air, _, _, v, canopy = drag(y)
        return air[1] * v * v / 2 * canopy

    def full(t, y):
        return y[4] - filling

    full.terminal, full.direction = True, 1

    def touch(t, y):
        return y[1]

    touch.terminal, touch.direction = True, -1

    def top(t, y):
        return y[3]

    top.direction = -1

    tops, peak = [], 0.0
    state, filled = [*y[:4], 0.0], False
    while True:
        events = [touch, top] if filled else [touch, top, full]
        s = integrate(rates, (t, t + HOUR), state, [1e-8, 1e-8, 1e-9, 1e-9, 1e-8], events)
        tops += [(e[1], when) for e, when in zip(s.y_events[1], s.t_events[1])]
        times = numpy.concatenate([numpy.linspace(a, b, SUBSTEPS + 1) for a, b in zip(s.t[:-1], s.t[1:])])
        values = [force(s.sol(w)) for w in times]
        best = int(numpy.argmax(values))
        low, high = times[max(best - 2, 0)], times[min(best + 2, len(times) - 1)]
        peak = max(peak, values[best], refined(lambda w: force(s.sol(w)), low, high))
        t, state = s.t[-1], list(s.y[:, -1])
        if len(s.t_events[0]):
            return tops, state, t, peak, filled
        filled, peak = True, max(peak, 1.7 * force(state))


def fly(case):
    rocket, site = case["rocket"], case["site"]
    ascent, recovery = Ascent(rocket, site), rocket["Recovery"]
    opening = recovery["Delay"] + recovery["Latency"]
    aero, chamber = ascent.aero, rocket["Chamber"]
    if ascent.instant(ascent.start)["rates"][VZ] <= 0:
        return {"outcome": "no_lift_off", "figures": {}, "warnings": []}

    segments, marks, tops, t, y = ascend(ascent, opening)
    if "guide" not in marks:
        return {"outcome": "stuck_on_guide", "figures": {}, "warnings": []}
    opened = "ground" not in marks
    open_state = y
    mass = ascent.balance(y)[0]
    f = {}
    if opened:
        more, last, flight_time, peak, full = descend(ascent, recovery, mass, t, y)
        tops += more
        tops.append((y[Z], t))
    else:
        last, flight_time, full = y, t, False
    wind = ascent.air.wind(open_state[Z])
    deploy_speed = hypot(open_state[VX] - wind, open_state[VZ])
    deploy_height, deploy_late = open_state[Z], t - max(tops)[1]
    landing, touchdown, drift = abs(last[3]), hypot(last[2], last[3]), last[0]
    ballistic, broadside = not opened, False
    if "apex" in marks:
        # What follows the top once more, nose first: figure by figure the worse counts.
        dived, state, grounded = plunge(ascent, mass, *marks["apex"], opening)
        speed = hypot(state[2] - ascent.air.wind(state[1]), state[3])
        broadside = (-state[3] if grounded else speed) > 1.5 * (deploy_speed if opened else landing)
        end = None
        if grounded:
            ballistic, full, end = True, False, state
        elif opened:
            if speed > deploy_speed:
                _, end, _, other, other_full = descend(ascent, recovery, mass, dived, state)
                peak, full = max(peak, other), full and other_full
            deploy_speed, deploy_height = max(deploy_speed, speed), min(deploy_height, state[1])
        if end:
            landing, touchdown = max(landing, abs(end[3])), max(touchdown, hypot(end[2], end[3]))
            drift = max(drift, end[0], key=abs)
    f["apogee"], f["apogee_time"] = max(tops)
    f["flight_time"] = flight_time
    top = min(f["apogee_time"], t)
    free = [s for s in segments if not s.guided]
    pushed = [s for s in segments if s.phase != COAST]

    def most(name, among, until=inf, sign=1):
        return max(s.largest(name, until, sign) for s in among)

    f["max_speed"] = most("speed", segments)
    f["max_mach"] = most("mach", segments)
    f["acceleration"] = most("acceleration", segments, top)
    when, state, _ = marks["guide"]
    f["guide_speed"] = hypot(state[VX], state[VZ])
    f["margin"] = -most("margin", free, top, -1)
    f["guide_margin"] = free[0].at(when)["margin"]
    f["unstable_time"] = sum(s.unstable(top) for s in free)
    f["dry_margin"] = (aero.centre(0.0) - ascent.dry[1]) / aero.d
    pushed_free = [s for s in pushed if not s.guided]
    f["peak_incidence"] = most("incidence", pushed_free) if pushed_free else 0.0
    # A jet that the opening cuts short has no duration.
    ended = "gas" in marks
    slid, state = marks.get("tube", (0.0, None))
    f["tube_time"] = slid if state else None
    f["tube_speed"] = hypot(state[VX], state[VZ]) if state else None
    f["water_time"] = marks["water"] - slid if "water" in marks else None
    f["gas_time"] = marks["gas"][0] - marks["water"] if ended else None
    end = marks["gas"][1] if ended else None
    share = ascent.dip / ascent.start[VW] if ascent.dip is not None else 0.0
    f["drawn_share"] = share if ended or ascent.dip is not None else None
    f["thrust_end_lean"] = atan2(end[VX], end[VZ]) if ended else None
    f["thrust_end_speed"] = hypot(end[VX], end[VZ]) if ended else None
    f["thrust_end_height"] = end[Z] if ended else None
    f["impulse"] = y[IMPULSE]
    f["peak_thrust"] = most("thrust", pushed)
    f["deploy_speed"] = None if ballistic else deploy_speed
    f["deploy_height"] = None if ballistic else deploy_height
    f["deploy_late"] = None if ballistic else deploy_late
    f["opening_force"] = None if ballistic else peak
    f["opening_acceleration"] = None if ballistic else peak / mass
    f["landing_speed"] = landing
    f["touchdown_speed"] = touchdown
    f["landing_energy"] = mass * touchdown**2 / 2
    f["drift"] = drift
    f["liftoff_mass"] = ascent.balance(ascent.start)[0]
    f["dry_mass"] = ascent.dry[0]
    f["proof_ratio"] = chamber["Proof"] / chamber["Pressure"]
    f["flutter_factor"] = 1 / most("flutter", segments)
    f["line_factor"] = recovery["Line"] / peak if not ballistic and recovery["Line"] > 0 else None
    f["volume"] = ascent.chamber.volume

    if case.get("gust"):
        f["gust_incidence"] = gust_incidence(case)
    warned = {
        "mach_high": f["max_mach"] > 0.8,
        "incidence_high": degrees(f["peak_incidence"]) > 15,
        "fill_extreme": not 0.05 <= chamber["Fill"] <= 0.80,
        "canopy_not_full": not full,
        "broadside": broadside,
        "outlet_wide": marks.get("wide", False),
    }
    return {"outcome": "landed", "figures": f, "warnings": [k for k, on in warned.items() if on]}


def gust_incidence(case):
    """The largest angle of attack in a gust off the guide, or None."""
    rocket, site = case["rocket"], case["site"]
    opening = rocket["Recovery"]["Delay"] + rocket["Recovery"]["Latency"]
    worst, wave = 0.0, None
    for share in (0.25, 0.5, 1.0):
        for speed in (site["Gust"], -site["Gust"]):
            ascent = Ascent(rocket, site)
            if wave is None:
                _, marks, _, _, _ = ascend(ascent, opening)
                if "guide" not in marks:
                    return None
                state = marks["guide"][1]
                ascent.phase, ascent.guided = marks["guide"][2], False
                _, cg, inertia, _ = ascent.balance(state)
                _, rho, sound, _ = ascent.air.at(state[Z])
                airspeed = hypot(state[VX] - ascent.air.wind(state[Z]), state[VZ])
                slope = sum(cn for cn, _ in ascent.aero.normal(airspeed / sound))
                arm = ascent.aero.centre(airspeed / sound) - cg
                if arm <= 0:
                    return None
                wave = 2 * pi * sqrt(inertia / (rho / 2 * ascent.aero.area * slope * arm))
                ascent = Ascent(rocket, site)
            ascent.gust_speed, ascent.gust_length = speed, share * wave
            segments, marks, tops, last, _ = ascend(ascent, opening)
            top = tops[0][1] if tops else last

            def far(t):
                y = next(s.solution(t) for s in segments if t <= s.times[-1])
                return hypot(y[X], y[Z]) - ascent.guide - 2 * wave

            end = brentq(far, marks["guide"][0], top, xtol=1e-9) if far(top) > 0 else top
            end = min(max(end, marks["gas"][0] if "gas" in marks else end), top)
            worst = max(worst, max(s.largest("incidence", end) for s in segments if not s.guided))
    return worst


NAMES = {
    ("Body", "Nose", "Shape"): [None, "cone", "ogive", "ellipsoid", "parabola"],
    ("Chamber", "Gas"): [None, "moist", "dry"],
    ("Fins", "Edges"): [None, "cut", "radiused", "faired"],
}


def named(case):
    """Replaces the numbers of enumerations by their names."""
    for (*path, last), names in NAMES.items():
        table = case["rocket"]
        for key in path:
            table = table[key]
        table[last] = names[table[last]]
    return case


if __name__ == "__main__":
    cases = [named(c) for c in json.load(sys.stdin)]
    with Pool(os.cpu_count()) as pool:
        json.dump(pool.map(fly, cases, chunksize=1), sys.stdout)
