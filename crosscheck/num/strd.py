#!/usr/bin/python3
"""Second opinions on NIST's reference problems of nonlinear regression, by SciPy.

Takes the folder of NIST's files. Writes one JSON object for each: its name, and for
the far and the near start what scipy.optimize.curve_fit finds: parameters, their
standard deviations and the sum of squares, or null where it finds nothing. The
models are written anew from the files; nothing is shared with the Go code.
"""
import json
import pathlib
import sys
import warnings

import numpy as np
from numpy import arctan, cos, exp, pi, sin
from scipy.optimize import curve_fit


def gauss(x, b1, b2, b3, b4, b5, b6, b7, b8):
    return b1 * exp(-b2 * x) + b3 * exp(-(x - b4) ** 2 / b5 ** 2) + b6 * exp(-(x - b7) ** 2 / b8 ** 2)


def lanczos(x, b1, b2, b3, b4, b5, b6):
    return b1 * exp(-b2 * x) + b3 * exp(-b4 * x) + b5 * exp(-b6 * x)


def cubics(x, b1, b2, b3, b4, b5, b6, b7):
    return (b1 + b2 * x + b3 * x ** 2 + b4 * x ** 3) / (1 + b5 * x + b6 * x ** 2 + b7 * x ** 3)


def chwirut(x, b1, b2, b3):
    return exp(-b1 * x) / (b2 + b3 * x)


def enso(x, b1, b2, b3, b4, b5, b6, b7, b8, b9):
    w = 2 * pi * x
    return b1 + b2 * cos(w / 12) + b3 * sin(w / 12) + b5 * cos(w / b4) + b6 * sin(w / b4) + b8 * cos(w / b7) + b9 * sin(w / b7)


MODELS = {
    "Bennett5": lambda x, b1, b2, b3: b1 * (b2 + x) ** (-1 / b3),
    "BoxBOD": lambda x, b1, b2: b1 * (1 - exp(-b2 * x)),
    "Chwirut1": chwirut, "Chwirut2": chwirut,
    "DanWood": lambda x, b1, b2: b1 * x ** b2,
    "ENSO": enso,
    "Eckerle4": lambda x, b1, b2, b3: b1 / b2 * exp(-0.5 * ((x - b3) / b2) ** 2),
    "Gauss1": gauss, "Gauss2": gauss, "Gauss3": gauss,
    "Hahn1": cubics, "Thurber": cubics,
    "Kirby2": lambda x, b1, b2, b3, b4, b5: (b1 + b2 * x + b3 * x ** 2) / (1 + b4 * x + b5 * x ** 2),
    "Lanczos1": lanczos, "Lanczos2": lanczos, "Lanczos3": lanczos,
    "MGH09": lambda x, b1, b2, b3, b4: b1 * (x ** 2 + x * b2) / (x ** 2 + x * b3 + b4),
    "MGH10": lambda x, b1, b2, b3: b1 * exp(b2 / (x + b3)),
    "MGH17": lambda x, b1, b2, b3, b4, b5: b1 + b2 * exp(-x * b4) + b3 * exp(-x * b5),
    "Misra1a": lambda x, b1, b2: b1 * (1 - exp(-b2 * x)),
    "Misra1b": lambda x, b1, b2: b1 * (1 - (1 + b2 * x / 2) ** -2),
    "Misra1c": lambda x, b1, b2: b1 * (1 - (1 + 2 * b2 * x) ** -0.5),
    "Misra1d": lambda x, b1, b2: b1 * b2 * x / (1 + b2 * x),
    "Nelson": lambda x, b1, b2, b3: b1 - b2 * x[0] * exp(-b3 * x[1]),
    "Rat42": lambda x, b1, b2, b3: b1 / (1 + exp(b2 - b3 * x)),
    "Rat43": lambda x, b1, b2, b3, b4: b1 / (1 + exp(b2 - b3 * x)) ** (1 / b4),
    "Roszman1": lambda x, b1, b2, b3, b4: b1 - b2 * x - arctan(b3 / (x - b4)) / pi,
}

warnings.simplefilter("ignore")
for path in sorted(pathlib.Path(sys.argv[1]).glob("*.dat")):
    lines = path.read_text().splitlines()
    table = np.array([[float(v) for v in line.split()] for line in lines[60:] if line.strip()])
    y, x = table[:, 0], table[:, 1:].T
    x = x[0] if len(x) == 1 else x
    if path.stem == "Nelson":
        y = np.log(y)
    rows = [line.split() for line in lines[40:] if line.lstrip().startswith("b") and " = " in line]
    model, fits = MODELS[path.stem], []
    for start in (2, 3):
        try:
            p, cov = curve_fit(model, x, y, p0=[float(row[start]) for row in rows], ftol=1e-15, xtol=1e-15, gtol=1e-15, maxfev=100000)
            fits.append({"p": list(p), "sd": list(np.sqrt(np.diag(cov))), "rss": float(np.sum((y - model(x, *p)) ** 2))})
        except (RuntimeError, ValueError):
            fits.append(None)
        if fits[-1] and not all(np.isfinite(fits[-1]["p"] + fits[-1]["sd"])):
            fits[-1] = None
    print(json.dumps({"name": path.stem, "fits": fits}))
