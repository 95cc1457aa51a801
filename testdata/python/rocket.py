"""What a rocket and its site are at rest: air, chamber, dry mass, aerodynamics.

Written from the equations of the flight model, not from the Go code. SI units,
radians, stations from the nose tip, positive aft.
"""

from functools import lru_cache
from math import acos, atan, atan2, cos, exp, hypot, log10, pi, sin, sqrt

from numpy import interp
from scipy.integrate import quad

G0 = 9.80665  # m/s2
R = 287.05287  # J/(kg K), dry air
R_VAPOUR = 461.523
LAPSE = 0.0065  # K/m
GAMMA = 1.4
WATER = 998.2  # kg/m3

CONE, OGIVE, ELLIPSOID, PARABOLA = "cone", "ogive", "ellipsoid", "parabola"


def saturation(kelvin):
    """Vapour pressure over water, Pa, and its derivative, Pa/K (Buck)."""
    t = kelvin - 273.15
    p = 611.21 * exp((18.678 - t / 234.5) * t / (257.14 + t))
    slope = (18.678 - 2 * t / 234.5) / (257.14 + t) - (18.678 - t / 234.5) * t / (257.14 + t) ** 2
    return p, p * slope


class Air:
    def __init__(self, site):
        self.t0, self.p0 = site["Temperature"], site["Pressure"]
        self.vapour0 = site["Humidity"] * saturation(self.t0)[0]
        self.w10, self.exponent = site["Wind"], site["WindExponent"]

    def at(self, z):
        """Pressure, density, speed of sound and viscosity at height z."""
        t = self.t0 - LAPSE * z
        p = self.p0 * (t / self.t0) ** (G0 / (R * LAPSE))
        e = self.vapour0 * p / self.p0
        rho = (p - e) / (R * t) + e / (R_VAPOUR * t)
        return p, rho, sqrt(GAMMA * p / rho), 1.458e-6 * t**1.5 / (t + 110.4)

    def wind(self, z):
        return self.w10 * (max(z, 1.0) / 10) ** self.exponent


class Chamber:
    """Ellipsoidal end, cylinder, ellipsoidal end; heights from the lower pole."""

    def __init__(self, chamber):
        self.cylinder, self.end = chamber["Cylinder"], chamber["End"]
        self.area = pi * chamber["Bore"] ** 2 / 4
        if measured := chamber.get("Volume", 0):
            # A measured volume widens every section alike.
            self.area *= measured / (self.area * (self.cylinder + 4 / 3 * self.end))
        self.radius = sqrt(self.area / pi)
        self.end_volume = self.area * self.end * 2 / 3
        self.volume = 2 * self.end_volume + self.area * self.cylinder
        self.height = 2 * self.end + self.cylinder

    def surface(self, v):
        """Height of the surface of a volume v of water."""
        a, b, c = self.area, self.end, self.cylinder
        if v <= 0:
            return 0.0
        if v < self.end_volume:
            # h^2/b - h^3/(3 b^2) = v/a, with h = b (1 + 2 cos phi)
            return b * (1 + 2 * cos((2 * pi - acos(1 - 1.5 * v / (a * b))) / 3))
        if v < self.end_volume + a * c:
            return b + (v - self.end_volume) / a
        # y - y^3/(3 b^2) = rest/a, with y = 2 b cos phi
        rest = min(v - self.end_volume - a * c, self.end_volume)
        return b + c + 2 * b * cos((2 * pi - acos(-1.5 * rest / (a * b))) / 3)

    def moment(self, h):
        """First moment of the water about the pole, for a surface at height h."""
        a, b, c = self.area, self.end, self.cylinder
        low = min(h, b)
        m = a * (2 * low**3 / (3 * b) - low**4 / (4 * b**2)) if b > 0 else 0.0
        if h > b:
            top = min(h, b + c)
            m += a * (top**2 - b**2) / 2
        if h > b + c:
            y = h - b - c
            m += a * ((b + c) * (y - y**3 / (3 * b**2)) + y**2 / 2 - y**4 / (4 * b**2))
        return m


def total(parts):
    """Mass, centre and pitch inertia of (mass, station, length)."""
    mass = sum(m for m, _, _ in parts)
    centre = sum(m * x for m, x, _ in parts) / mass
    return mass, centre, sum(m * (x - centre) ** 2 + m * length**2 / 12 for m, x, length in parts)


def fin_part(fins):
    c_r, c_t, s, sw = fins["Root"], fins["Tip"], fins["Span"], fins["Rake"]
    mass = fins["Count"] * s * (c_r + c_t) / 2 * fins["Thickness"] * fins["Density"] + fins["Fillets"]

    # Centroid of a trapezoid whose leading edge moves aft by sw over the span.
    def chord(u):
        return c_r + (c_t - c_r) * u

    area = quad(chord, 0, 1)[0]
    x = quad(lambda u: chord(u) * (sw * u + chord(u) / 2), 0, 1)[0] / area
    return mass, fins["Station"] + x, (c_r + c_t) / 2


def dry(rocket):
    """Mass, centre and pitch inertia without water and gas."""
    if rocket["Weighed"]["Mass"] != 0:
        raise ValueError("Weighed: not covered")
    parts = [(p["Mass"], p["Station"], p["Length"]) for p in rocket["Parts"]]
    parts += [fin_part(rocket["Fins"])]
    parts += [(rocket[k]["Mass"], rocket[k]["Station"], 0.0) for k in ("Payload", "Ballast")]
    mass, centre, inertia = total(parts)
    return mass, centre, inertia + mass * (rocket["Body"]["Diameter"] / 2) ** 2 / 4


@lru_cache
def nose(shape, r, length):
    """Volume, wetted area, planform and its first moment, of the exact meridian."""
    rho = (r * r + length * length) / (2 * r)

    def meridian(x):  # radius, radius times slope
        u = x / length
        if shape == CONE:
            return r * u, r * u * r / length
        if shape == OGIVE:
            y = sqrt(rho * rho - (length - x) ** 2) + r - rho
            return y, y * (length - x) / sqrt(rho * rho - (length - x) ** 2)
        if shape == ELLIPSOID:
            return r * sqrt(max(1 - (1 - u) ** 2, 0)), r * r * (1 - u) / length
        if shape == PARABOLA:
            y = r * (2 * u - u * u)
            return y, y * r * (2 - 2 * u) / length
        raise ValueError(f"nose shape {shape!r}")

    def integral(f):
        return quad(f, 0, length, epsabs=0, epsrel=1e-11, limit=200)[0]

    return (
        integral(lambda x: pi * meridian(x)[0] ** 2),
        integral(lambda x: 2 * pi * hypot(*meridian(x))),
        integral(lambda x: 2 * meridian(x)[0]),
        integral(lambda x: 2 * meridian(x)[0] * x),
    )


class Aerodynamics:
    def __init__(self, rocket):
        body, fins = rocket["Body"], rocket["Fins"]
        self.d, self.length = body["Diameter"], body["Length"]
        self.area = pi * self.d**2 / 4
        self.roughness, self.scale = body["Roughness"], body["Drag"]
        tail = body["Tail"]["Length"]
        d2 = body["Tail"]["Diameter"] if tail > 0 else self.d
        self._shape(body["Nose"]["Shape"], body["Nose"]["Length"], tail, d2)
        self._fins(fins)

    def _shape(self, shape, front, tail, d2):
        d, r, r2 = self.d, self.d / 2, d2 / 2
        volume, wet, plan, moment = nose(shape, r, front)
        straight, start = self.length - front - tail, self.length - tail
        self.fixed = [(2.0, front - volume / self.area)]
        if tail > 0:
            self.fixed.append((2 * ((d2 / d) ** 2 - 1), start + tail / 3 * (1 + 1 / (1 + d / d2))))
        self.wet = wet + pi * d * straight + pi * (r + r2) * hypot(tail, r - r2)
        self.plan = plan + d * straight + (d + d2) / 2 * tail
        moment += d * straight * (front + straight / 2)
        moment += tail * (d2 * (start + tail / 2) + (d - d2) / 2 * (start + tail / 3))
        self.plan_x = moment / self.plan
        self.base = pi * r2**2
        self.nose_drag = 0.8 * sin(atan(r / front)) ** 2 if shape == CONE else 0.0

    def _fins(self, fins):
        n, c_r, c_t = fins["Count"], fins["Root"], fins["Tip"]
        s, sw, t = fins["Span"], fins["Rake"], fins["Thickness"]
        r = self.d / 2
        a_f = s * (c_r + c_t) / 2
        self.count, self.fin_area = n, a_f
        self.aspect = 2 * s * s / a_f
        self.cos_mid = cos(atan((sw + c_t / 2 - c_r / 2) / s))
        interference = r / (s + r) * (0.5 if n == 6 else 1)
        self.fin_factor = (1 + interference) * n / 2 * 2 * pi * self.aspect * a_f / self.area
        self.fin_x = fins["Station"] + sw / 3 * (c_r + 2 * c_t) / (c_r + c_t)
        self.fin_x += (c_r + c_t - c_r * c_t / (c_r + c_t)) / 6
        self.chord = (c_r + c_t) / 2
        a_fp = a_f + self.d * c_r / 2
        # both sides of the sheet, and the same again for the part hidden in the body
        self.fin_friction = 2 * (1 + 2 * t / self.chord) * n * (a_fp + (a_fp - a_f)) / self.area
        edge = {"cut": 0.9, "radiused": 0.2, "faired": 0.0}[fins["Edges"]]
        self.edge_drag = edge * cos(atan(sw / s)) ** 2 * n * t * s / self.area
        # Flutter: V_f = a sqrt(G/X), X = p times this over G
        ar, lam = s * s / a_f, c_t / c_r
        self.flutter = 24 * 0.25 * GAMMA / pi * ar**3 / ((t / c_r) ** 3 * (ar + 2)) * (lam + 1) / 2
        self.flutter /= fins["ShearModulus"]

    def normal(self, mach):
        """Slopes of normal force and their stations, the fins' last."""
        beta2 = 1 - min(mach, 0.8) ** 2
        cn = self.fin_factor / (2 + sqrt(4 + beta2 * (self.aspect / self.cos_mid) ** 2))
        return [*self.fixed, (cn, self.fin_x)]

    def centre(self, mach):
        parts = self.normal(mach)
        return sum(c * x for c, x in parts) / sum(c for c, _ in parts)

    def friction(self, re, length, mach):
        re = max(re, 1e3)
        turbulent = 0.455 / log10(re) ** 2.58
        if self.roughness > 0:
            turbulent = max(turbulent, (1.89 + 1.62 * log10(length / self.roughness)) ** -2.5)
        return max(1.328 / sqrt(re), turbulent - 1700 / re) * (1 - 0.1 * min(mach, 0.8) ** 2)

    def drag(self, v, rho, sound, mu):
        """C_D at airspeed v."""
        mach, per = v / sound, rho * max(v, 0.1) / mu
        fineness = self.length / self.d
        body = self.friction(per * self.length, self.length, mach)
        body *= (1 + 60 / fineness**3 + 0.0025 * fineness) * self.wet / self.area
        base = 0.029 * (self.base / self.area) ** 1.5 / sqrt(body)
        fins = self.friction(per * self.chord, self.chord, mach) * self.fin_friction
        return self.scale * (body + base + self.nose_drag + fins + self.edge_drag)

    def forces(self, v, alpha, omega, cg, air):
        """Force along -n, its moment that raises theta, and force along -b."""
        _, rho, sound, mu = air
        q = rho * v * v / 2
        sine, cosine = sin(alpha), cos(alpha)
        normal = moment = damping = 0.0
        for cn, x in self.normal(v / sound):
            # |cos|: a rocket that flies tail first must stay unstable
            f = q * self.area * cn * sine * abs(cosine)
            normal, moment = normal + f, moment + f * (x - cg)
            damping += abs(cn) * (x - cg) ** 2
        eta = interp(self.length / self.d, [2, 4, 8, 12, 16, 20], [0.56, 0.60, 0.66, 0.71, 0.74, 0.76])
        panels = 4 / (3 * pi) * self.count * self.fin_area
        for area, x in ((1.2 * eta * self.plan, self.plan_x), (1.17 * panels, self.fin_x)):
            f = q * area * sine * abs(sine)
            normal, moment = normal + f, moment + f * (x - cg)
        moment -= omega * rho * v * self.area / 2 * damping
        axial = q * self.area * self.drag(v, rho, sound, mu) * cosine * abs(cosine)
        return normal, moment, axial


def incidence(ux, uz, theta):
    """Angle of attack: positive where the velocity leans to n."""
    along = ux * sin(theta) + uz * cos(theta)
    across = ux * cos(theta) - uz * sin(theta)
    return atan2(across, along)
