#!/usr/bin/python3
"""Second opinions on the numerics of package explore, with numpy and SciPy.

Reads one JSON object a line from standard input and writes one JSON list a line.
Nothing here is shared with the Go code: other estimators, other samplers, brute
force where the Go code is clever.

kinds
  sobol        indices of the g-function by numerical integration of conditional
               means over the unit interval (the function is a product, so that
               E[f | x_i] needs one dimension only): first order, then total;
               Debian's SciPy 1.10 has no sobol_indices yet
  hypervolume  volume up to a reference by inclusion and exclusion
  shapley      mean over all permutations of a game given as a list of values by set
  posterior    mean and standard deviation of a two-parameter posterior on a grid,
               prior standard normal, y = exp(z0/2) (1 - exp(-x exp(0.3 z1))) + noise
  fit          scipy.optimize.least_squares on exp(b0) (1 - exp(-exp(b1) x))
  conditional  mean and sd of one component of a normal vector given the others
  mixing       rank-normalised split R-hat, and effective sample sizes of middle and
               ends by the variogram, of chains
"""
import itertools
import json
import sys

import numpy as np
from scipy import integrate, optimize, stats


def sobol(case):
    a = case["a"]
    one = lambda u, ai: (abs(4 * u - 2) + ai) / (1 + ai)
    mean = [integrate.quad(one, 0, 1, args=(ai,), points=[0.5])[0] for ai in a]
    square = [integrate.quad(lambda u, ai=ai: one(u, ai) ** 2, 0, 1, points=[0.5])[0] for ai in a]
    total = np.prod(square) - np.prod(mean) ** 2
    first, every = [], []
    for i in range(len(a)):
        others_mean = np.prod([m for k, m in enumerate(mean) if k != i])
        others_square = np.prod([s for k, s in enumerate(square) if k != i])
        first.append((square[i] - mean[i] ** 2) * others_mean ** 2 / total)
        every.append((square[i] - mean[i] ** 2) * others_square / total)
    return first + every


def hypervolume(case):
    reference = np.array(case["reference"])
    points = [np.array(p) for p in case["points"]]
    volume = 0.0
    for k in range(1, len(points) + 1):
        for subset in itertools.combinations(points, k):
            corner = np.max(subset, axis=0)
            if np.all(corner < reference):
                volume += (-1) ** (k + 1) * np.prod(reference - corner)
    return [volume]


def shapley(case):
    players, values = case["players"], case["values"]
    split, orders = np.zeros(players), 0
    for order in itertools.permutations(range(players)):
        orders += 1
        inside = 0
        for i in order:
            split[i] += values[inside | 1 << i] - values[inside]
            inside |= 1 << i
    return list(split / orders)


def posterior(case):
    x, y, sd = np.array(case["x"]), np.array(case["y"]), case["sd"]
    z = np.linspace(-5, 5, 601)
    a, b = np.meshgrid(z, z, indexing="ij")
    logp = -(a ** 2 + b ** 2) / 2
    for xi, yi in zip(x, y):
        logp -= ((yi - np.exp(a / 2) * (1 - np.exp(-xi * np.exp(0.3 * b)))) / sd) ** 2 / 2
    p = np.exp(logp - logp.max())
    p /= p.sum()
    means = [(p * a).sum(), (p * b).sum()]
    return means + [np.sqrt((p * (a - means[0]) ** 2).sum()), np.sqrt((p * (b - means[1]) ** 2).sum())]


def fit(case):
    x, y = np.array(case["x"]), np.array(case["y"])
    r = optimize.least_squares(lambda b: np.exp(b[0]) * (1 - np.exp(-np.exp(b[1]) * x)) - y, [0.0, 0.0], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    return [r.x[0], r.x[1], float(2 * r.cost)]


def conditional(case):
    cov, known = np.array(case["cov"]), np.array(case["known"])
    rest = cov[:-1, :-1]
    k = cov[:-1, -1]
    mean = k @ np.linalg.solve(rest, known)
    variance = cov[-1, -1] - k @ np.linalg.solve(rest, k)
    density = stats.multivariate_normal(np.zeros(len(known)), rest).logpdf(known) + len(known) * np.log(2 * np.pi) / 2
    return [mean, np.sqrt(variance), density]


def mixing(case):
    x = np.array(case["chains"])
    h = x.shape[1] // 2
    x = np.vstack([x[:, :h], x[:, -h:]])

    def scores(v):
        ranks = stats.rankdata(v, method="average").reshape(v.shape)
        return stats.norm.ppf((ranks - 0.375) / (v.size + 0.25))

    def variances(v):
        n = v.shape[1]
        within = v.var(axis=1, ddof=1).mean()
        return within, (n - 1) / n * within + v.mean(axis=1).var(ddof=1)

    def rhat(v):
        within, whole = variances(v)
        return np.sqrt(whole / within)

    def ess(v):
        n = v.shape[1]
        whole = variances(v)[1]
        rho = [1.0] + [1 - np.mean((v[:, t:] - v[:, :-t]) ** 2) / (2 * whole) for t in range(1, n)]
        pairs = [rho[t] + rho[t + 1] for t in range(0, n - 1, 2)]
        kept = list(itertools.takewhile(lambda p: p > 0, pairs))
        tau = -1 + 2 * np.minimum.accumulate(kept).sum()
        return v.size / max(tau, 1 / np.log10(v.size))

    low, high = np.quantile(x, [0.05, 0.95])
    ends = [ess((x <= limit).astype(float)) for limit in (low, high)]
    return [max(rhat(scores(x)), rhat(scores(abs(x - np.median(x))))), ess(scores(x)), min(ends)]


KINDS = {"mixing": mixing, "sobol": sobol, "hypervolume": hypervolume, "shapley": shapley, "posterior": posterior, "fit": fit, "conditional": conditional}

for line in sys.stdin:
    case = json.loads(line)
    print(json.dumps([float(v) for v in KINDS[case["kind"]](case)]))
