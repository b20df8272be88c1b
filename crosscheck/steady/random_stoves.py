#!/usr/bin/python3
"""Fifty random but sensible stoves for the comparison of the two steady solvers.

    random_stoves.py [count] [seed] > stoves.json      input of steady.py (defaults 50, 20)

Invented designs: none of them is a stove that exists. Each is drawn as a maker would size one
(pot, chamber a share of it, gaps near the rule of constant flow area, fire to the chamber's
area, draft height to its diameter) and then disturbed. A draw that has no natural-draft
solution, or less air than the fuel needs (lambda < 1.05), is drawn again, since the heat
balance closes only where all fuel burns; how many were redrawn is told on standard error.
Numbers are rounded to what a tape shows, so that both solvers read the same digits.
"""
import json
import math
import random
import sys

from steady import NoNaturalDraft, solve

# Dry mass %: C, H, O, N, S, ash. Presets of the project's fuel table.
FUELS = {
    "hardwood": (49.0, 6.0, 43.9, 0.3, 0.0, 0.8), "softwood": (51.0, 6.1, 42.3, 0.1, 0.0, 0.5),
    "eucalyptus": (48.33, 5.89, 45.13, 0.15, 0.01, 0.49), "black locust": (50.73, 5.71, 41.93, 0.57, 0.01, 1.05),
    "ponderosa pine": (49.25, 5.99, 44.36, 0.06, 0.03, 0.31), "casuarina": (48.50, 6.04, 43.32, 0.31, 0.00, 1.83),
    "maize cob": (46.58, 5.87, 45.46, 0.47, 0.01, 1.61), "charcoal": (82.0, 3.0, 11.0, 0.5, 0.0, 3.5),
    "fire char": (93.0, 1.5, 3.0, 0.5, 0.0, 2.0), "dung": (36.0, 4.9, 30.5, 1.9, 0.3, 26.4),
}


def boiling_point(p):
    """K at p in Pa, Antoine's equation for water (within 0.1 K of the standard, 60 to 100 C)."""
    return 273.15 + 1730.63 / (8.07131 - math.log10(p / 133.322368)) - 233.426


def draw(rng, name):
    U = rng.uniform
    altitude = U(0, 4000)
    p = round(101325 * (1 - 2.25577e-5 * altitude) ** 5.25588)
    D = round(U(0.09, 0.22), 3)
    A = math.pi * D * D / 4
    # A bigger chamber goes under a bigger pot, within 18 to 60 cm.
    Dp = round(min(0.60, max(0.18, D * U(1.6, 3.2))), 3)
    power = round(min(15000.0, max(1500.0, A * U(150e3, 520e3))), -1)
    gap = round(D / 4 * U(0.35, 0.95), 3)
    s = {"name": name, "firepower": power, "altitude_m": round(altitude)}
    fuel = rng.choice(sorted(FUELS))
    s["fuel"] = dict(zip(("C", "H", "O", "N", "S", "ash"), FUELS[fuel]))
    s["moisture"] = round(U(0.02, 0.06) if "char" in fuel else U(0.06, 0.28), 3)
    s["hhv_dry"] = round(U(18.5e6, 20.5e6), -4) if fuel == "hardwood" and rng.random() < 0.5 else None
    s["ambient_temperature"] = round(288.15 - 0.0065 * altitude + U(0, 18), 2)
    s["pressure"] = float(p)
    s["pot_temperature"] = round(boiling_point(p) + U(-45, 12), 2)
    s["chamber_diameter"], s["chamber_height"], s["pot_diameter"] = D, round(D * U(1.7, 3.2), 3), Dp
    s["bottom_gap"] = gap
    if rng.random() < 0.75:
        s["skirt_gap"] = round((math.sqrt(Dp * Dp / 4 + U(0.35, 1.2) * A / math.pi) - Dp / 2), 4)
        s["skirt_height"] = round(U(0.05, 0.22), 3)
        s["skirt_emissivity"], s["skirt_U"] = round(U(0.3, 0.95), 2), round(U(3, 20), 1)
    s["feed_area"], s["blockage"] = round(A * U(0.8, 1.3), 5), round(U(0.2, 0.65), 2)
    for k, low, high in (("inlet", 1, 3), ("elbow", 1, 1.5), ("pot_turn", 1, 2), ("skirt_turn", .5, 1.5)):
        s["K_" + k] = round(U(low, high), 2)
    if rng.random() < 0.5:
        s["K_grate"], s["grate_area"] = round(U(0.2, 2), 2), round(A * U(0.6, 1.0), 5)
    s["K_exit"], s["K_multiplier"] = 1.0, round(U(0.6, 1.6), 2)
    s["combustion_efficiency"] = round(U(0.93, 0.99), 3)
    s["bed_emissivity"], s["flame_emissivity"] = round(U(0.8, 0.95), 2), round(U(0.05, 0.30), 3)
    if rng.random() < 0.5:
        s["bed_temperature"] = round(U(900, 1150), 1)
    else:
        s["nominal_firepower"] = round(power / U(0.4, 1.2), -1)
    s["wall_UA"] = round(26 * A * U(0.4, 2.0), 3)
    s["wall_temperature"] = round(s["ambient_temperature"] + U(0, 350), 1) if rng.random() < 0.5 else None
    s["rings"] = s["cells"] = rng.choice((10, 20, 40))
    s["max_flow"] = 0.2
    return s


def stoves(count=50, seed=20):
    rng = random.Random(seed)
    kept, redrawn = [], 0
    while len(kept) < count:
        s = draw(rng, "random %d" % (len(kept) + 1))
        del s["altitude_m"]  # told by pressure; not an input
        try:
            if solve(s)["lambda"] >= 1.05:
                kept.append(s)
                continue
        except NoNaturalDraft:
            pass
        redrawn += 1
    return kept, redrawn


if __name__ == "__main__":
    kept, redrawn = stoves(*(int(a) for a in sys.argv[1:3]))
    print("%d stoves, %d redrawn" % (len(kept), redrawn), file=sys.stderr)
    json.dump(kept, sys.stdout, indent=1)
    print()
