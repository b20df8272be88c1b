"""Second implementation of the steady stove: the published equations of the
engineering note (fuel, flue gas, zones, draft against losses), with SciPy.

Reads a JSON list of stoves on standard input and writes a JSON list of results:
flow in kg/s, air ratio, heats in W, efficiency, and the seconds spent; or
{"choked": true} where no flow gives enough air. Units are SI throughout.
It shares no code and no data file with the program it checks.
"""
import json
import math
import sys
import time

from scipy.optimize import brentq

R, SIGMA, G = 8.314462618, 5.670374419e-8, 9.80665
# NASA polynomials, low and high, a1 to a6
NASA = {
    'N2': (28.0134, [3.298677, 1.4082404e-03, -3.963222e-06, 5.641515e-09, -2.444854e-12, -1020.8999],
           [2.92664, 1.4879768e-03, -5.68476e-07, 1.0097038e-10, -6.753351e-15, -922.7977]),
    'O2': (31.9988, [3.78245636, -2.99673416e-03, 9.84730201e-06, -9.68129509e-09, 3.24372837e-12, -1063.94356],
           [3.28253784, 1.48308754e-03, -7.57966669e-07, 2.09470555e-10, -2.16717794e-14, -1088.45772]),
    'CO2': (44.0095, [2.35677352, 8.98459677e-03, -7.12356269e-06, 2.45919022e-09, -1.43699548e-13, -4.83719697e+04],
            [3.85746029, 4.41437026e-03, -2.21481404e-06, 5.23490188e-10, -4.72084164e-14, -4.8759166e+04]),
    'H2O': (18.01528, [4.19864056, -2.0364341e-03, 6.52040211e-06, -5.48797062e-09, 1.77197817e-12, -3.02937267e+04],
            [3.03399249, 2.17691804e-03, -1.64072518e-07, -9.7041987e-11, 1.68200992e-14, -3.00042971e+04]),
    'Ar': (39.948, [2.5, 0, 0, 0, 0, -745.375], [2.5, 0, 0, 0, 0, -745.375]),
}
AIR = {'N2': 0.780840, 'O2': 0.209460, 'Ar': 0.009340, 'CO2': 0.000360}
M_AIR = sum(x * NASA[s][0] for s, x in AIR.items()) / 1000


class Gas:
    """A mixture, per kilogram."""

    def __init__(self, moles):
        total = sum(moles.values())
        self.M = sum(n * NASA[s][0] for s, n in moles.items()) / total / 1000
        self.low = [sum(n / total * NASA[s][1][k] for s, n in moles.items()) for k in range(6)]
        self.high = [sum(n / total * NASA[s][2][k] for s, n in moles.items()) for k in range(6)]
        self.zero = 0.0
        self.zero = self.h(298.15)

    def cp(self, t):
        a = self.low if t < 1000 else self.high
        return R / self.M * sum(a[k] * t ** k for k in range(5))

    def h(self, t):
        a = self.low if t < 1000 else self.high
        return R / self.M * (sum(a[k] * t ** (k + 1) / (k + 1) for k in range(5)) + a[5]) - self.zero

    def t(self, h):
        return brentq(lambda t: self.h(t) - h, 200, 3500, xtol=1e-8)


def mu(t):
    return 1.716e-5 * (t / 273.15) ** 1.5 * 383.55 / (t + 110.4)


def k(t):
    return 2.6482e-3 * math.sqrt(t) / (1 + 245.4 * 10 ** (-12 / t) / t)


def burn(fuel, w, lam):
    """Stoichiometric air in kg per kg wet fuel, and flue gas in kmol per kg."""
    C, H, O, N, S = (fuel[x] for x in 'CHONS')
    d = 1 - w
    o2 = d * (C / 12.011 + H / (4 * 1.008) + S / 32.06 - O / (2 * 15.999))
    n = max(lam, 1) * o2 / AIR['O2']
    flue = {'CO2': d * C / 12.011 + AIR['CO2'] * n, 'H2O': d * H / 2.016 + w / 18.01528, 'O2': AIR['O2'] * n - o2,
            'N2': AIR['N2'] * n + d * N / 28.014, 'Ar': AIR['Ar'] * n}
    return o2 / AIR['O2'] * M_AIR * 1000, flue


def lhv(fuel, w):
    f = {x: 100 * v for x, v in fuel.items()}
    hhv = 0.3491 * f['C'] + 1.1783 * f['H'] + 0.1005 * f['S'] - 0.1034 * f['O'] - 0.0151 * f['N'] - 0.0211 * f['ash']
    dry = hhv - 2.442 * 18.01528 / (2 * 1.008) * f['H'] / 100
    return 1e6 * ((1 - w) * dry - 2.442 * w)


def nu_mean(x, pr=0.7):
    return 4.86 + 0.0606 * x ** -1.2 / (1 + 0.0909 * x ** -0.7 * pr ** 0.17)


def nu_cell(x1, x2):
    first = 0 if x1 <= 0 else x1 * nu_mean(x1)
    return (x2 * nu_mean(x2) - first) / (x2 - x1)


CELLS = 80


def march(s, m):
    """Follow the gas for a flow m: (draft - losses, results)."""
    c, ta, p, tp = s['coefficients'], s['air'], s['pressure'], s['pot']
    mf = s['power'] / lhv(s['fuel'], s['moisture'])
    air_st, _ = burn(s['fuel'], s['moisture'], 1)
    ash = (1 - s['moisture']) * s['fuel']['ash']
    lam = (m / mf - 1 + ash) / air_st
    _, flue = burn(s['fuel'], s['moisture'], lam)
    g = Gas(flue)
    h0 = g.h(ta)
    rho_a = p * M_AIR / (R * ta)
    rho = lambda t: p * g.M / (R * t)
    head = lambda area, density: m * m / (2 * density * area * area)
    area, rc = s['area'], math.sqrt(s['area'] / math.pi)
    q = c['combustion'] * s['power'] * min(1, lam)
    tb = c['bed-cool'] + min(1, s['power'] / (c['bed-loading'] * area)) * (c['bed-hot'] - c['bed-cool'])
    x = 1 + (1 + (rc / s['height']) ** 2) / (rc / s['height']) ** 2
    f12 = (x - math.sqrt(x * x - 4)) / 2
    bed = min(c['bed-emissivity'] * SIGMA * area * (1 + f12) / 2 * (tb ** 4 - tp ** 4), c['bed-share'] * q)
    h = h0 + (q - bed) / m
    t2 = g.t(h)
    wall = s['wall'] * (t2 - ta)
    h -= wall / m
    t3 = g.t(h)
    tr = (t2 + t3) / 2
    draft = (rho_a - rho(tr)) * G * s['height']
    d = 4 * area / s['perimeter']
    re = 4 * m / (s['perimeter'] * mu(tr))
    free = s['feed'] * (1 - c['blockage'])
    lost = c['loss-scale'] * (c['loss-inlet'] + (c['loss-grate'] if s['grate'] else 0)) * head(free, rho_a)
    lost += (c['loss-scale'] * c['loss-elbow'] + max(s['poiseuille'] / re, c['friction-floor']) * s['height'] / d) * head(area, rho(tr))
    lost += m * m / area ** 2 * (1 / rho(tr) - 1 / rho_a)
    # under the middle of the pot
    film = (t3 + tp) / 2
    gb = s['gap']
    u = m / (rho(t3) * area)
    hs = 0.763 * k(film) * math.sqrt(u / (2 * gb) / (mu(film) / rho(film))) * 0.7 ** 0.4
    mcp = m * g.cp(t3)
    q1 = mcp * (t3 - tp) * (1 - math.exp(-hs * area / mcp))
    q1 += c['flame-emissivity'] * c['pot-absorptivity'] * SIGMA * (t3 ** 4 - tp ** 4) * area
    h -= q1 / m
    t = g.t(h)
    # ring
    rp = s['pot_radius']
    q2 = 0.0
    for i in range(CELLS):
        a, b = rc + (rp - rc) * i / CELLS, rc + (rp - rc) * (i + 1) / CELLS
        r = (a + b) / 2
        film = (t + tp) / 2
        flow = 2 * math.pi * r * gb
        re = 2 * gb * m / (flow * mu(film))
        scale = 2 * gb * re * 0.7
        hc = nu_cell((a - rc) / scale, (b - rc) / scale) * k(film) / (2 * gb)
        mcp = m * g.cp(t)
        dq = mcp * (t - tp) * (1 - math.exp(-hc * math.pi * (b * b - a * a) / mcp))
        lost += max(96 / re, c['friction-floor']) * (b - a) / (2 * gb) * head(flow, rho(t))
        q2 += dq
        h -= dq / m
        t = g.t(h)
    t4 = t
    lost += 1.5 * c['loss-turn'] * c['loss-scale'] * head(2 * math.pi * min(rc, rp) * gb, rho(t4))
    q3 = qs = 0.0
    out = 2 * math.pi * rp * gb
    if s['skirt'] > 0:
        gs, length = s['skirt_gap'], s['skirt'] / CELLS
        out = math.pi * ((rp + gs) ** 2 - rp ** 2)
        for i in range(CELLS):
            film = (t + tp) / 2
            re = 2 * gs * m / (out * mu(film))
            scale = 2 * gs * re * 0.7
            hc = nu_cell(i * length / scale, (i + 1) * length / scale) * k(film) / (2 * gs)
            mcp = m * g.cp(t)
            pot = 2 * math.pi * rp * length
            conv = mcp * (t - tp) * (1 - math.exp(-hc * pot / mcp))
            mean = t - conv / (2 * mcp)
            es = c['skirt-emissivity'] * SIGMA
            ts = brentq(lambda x: hc * (mean - x) - es * (x ** 4 - tp ** 4) - s['outer'] * (x - ta), 150, 3500, xtol=1e-9)
            skirt = 2 * math.pi * (rp + gs) * length
            rad, gone = skirt * es * (ts ** 4 - tp ** 4), skirt * s['outer'] * (ts - ta)
            draft += (rho_a - rho(t)) * G * length
            lost += max(96 / re, c['friction-floor']) * length / (2 * gs) * head(out, rho(t))
            q3 += conv + rad
            qs += gone
            h -= (conv + rad + gone) / m
            t = g.t(h)
        lost += c['loss-skirt'] * c['loss-scale'] * head(out, rho(t))
    lost += c['loss-exit'] * c['loss-scale'] * head(out, rho(t))
    return draft - lost, {'flow': m, 'lambda': lam, 'bed': bed, 'centre': q1, 'ring': q2, 'side': q3, 'skirt': qs, 'wall': wall,
                          'exhaust': m * (h - h0), 'efficiency': (bed + q1 + q2 + q3) / s['power']}


def solve(s):
    start = time.process_time()
    mf = s['power'] / lhv(s['fuel'], s['moisture'])
    air_st, _ = burn(s['fuel'], s['moisture'], 1)
    least = mf * (1 - (1 - s['moisture']) * s['fuel']['ash'] + air_st)
    while True:  # at low power and little air the flame would radiate more than there is
        try:
            surplus = march(s, least)[0]
            break
        except ValueError:
            least *= 1.02
    if surplus < 0:
        return {'choked': True}
    m = brentq(lambda x: march(s, x)[0], least, 100 * least, xtol=1e-12, rtol=1e-10)
    result = march(s, m)[1]
    result['seconds'] = time.process_time() - start
    return result


if __name__ == '__main__':
    json.dump([solve(s) for s in json.load(sys.stdin)], sys.stdout)
