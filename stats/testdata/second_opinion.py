"""Answers the cases on standard input with SciPy, one JSON object a line."""
import json
import sys

import numpy as np
from scipy import optimize, special, stats


def answer(c):
    x, y = np.array(c.get("x") or []), np.array(c.get("y") or [])
    kind = c["kind"]
    if kind == "two":
        w = stats.ttest_ind(x, y, equal_var=False)
        p = stats.ttest_ind(x, y)
        d = stats.ttest_rel(x[: len(y)], y[: len(x)])
        a, b = stats.sem(x) ** 2, stats.sem(y) ** 2
        df = (a + b) ** 2 / (a * a / (len(x) - 1) + b * b / (len(y) - 1))
        low, high = stats.t.interval(0.9, df, x.mean() - y.mean(), np.sqrt(a + b))
        return [w.statistic, df, w.pvalue, low, high, p.pvalue, d.pvalue,
                stats.levene(x, y, center="median").pvalue, stats.fligner(x, y).pvalue,
                stats.f_oneway(x, y).pvalue,
                stats.mannwhitneyu(x, y, alternative="less", method="asymptotic").pvalue,
                stats.mannwhitneyu(x, y, method="asymptotic").pvalue]
    if kind == "exact":
        return [stats.mannwhitneyu(x, y, alternative="greater", method="exact").pvalue,
                stats.wilcoxon(x[: len(y)], y[: len(x)], alternative="less", method="exact").pvalue,
                stats.wilcoxon(x[: len(y)], y[: len(x)], method="approx", correction=True).pvalue]
    if kind == "ties":
        r = stats.permutation_test(
            (x, y), lambda a, b: stats.rankdata(np.concatenate([a, b]))[: len(a)].sum(),
            n_resamples=np.inf, alternative="greater")
        return [r.pvalue]
    if kind == "dist":
        t, df, ncp, p = c["t"], c["df"], c["ncp"], c["p"]
        return [stats.t.ppf(p, df), stats.t.cdf(t, df), stats.nct.cdf(t, df, ncp), stats.norm.ppf(p)]
    if kind == "count":
        k, n, lot, bad = c["k"], c["n"], c["lot"], c["bad"]
        ci = stats.binomtest(k, n).proportion_ci(0.95, method="exact")
        return [ci.low, ci.high, stats.binom.cdf(k, n, 0.07), stats.hypergeom.cdf(k, lot, bad, n)]
    if kind == "adjust":
        # the definition, value by value: the least over all q >= p of q*m/#{<=q}
        return [min(min(1, q * len(x) / (x <= q).sum()) for q in x if q >= p) for p in x]
    if kind == "bootstrap":
        r = stats.bootstrap((x, y), lambda a, b: np.mean(b) / np.mean(a), vectorized=False,
                            n_resamples=20000, confidence_level=0.9, method="BCa",
                            random_state=np.random.default_rng(1))
        return [r.confidence_interval.low, r.confidence_interval.high, r.standard_error]
    if kind == "fit":
        a = np.column_stack([np.ones_like(x), x, x * x])
        b, left, _, _ = np.linalg.lstsq(a, y, rcond=None)
        s2 = float(left[0]) / (len(y) - 3)
        return list(b) + list(np.sqrt(np.diag(s2 * np.linalg.inv(a.T @ a))))
    if kind == "power":
        n, d, sd, alpha = c["t"], c["df"], c["ncp"], c["p"]

        def two(n):
            df, ncp = 2 * (n - 1), d / sd * np.sqrt(n / 2)
            t = stats.t.ppf(1 - alpha / 2, df)
            return stats.nct.sf(t, df, ncp) + stats.nct.cdf(-t, df, ncp)
        df, ncp = n - 1, d / sd * np.sqrt(n)
        t = stats.t.ppf(1 - alpha / 2, df)
        return [two(n), stats.nct.sf(t, df, ncp) + stats.nct.cdf(-t, df, ncp), two(x[0])]
    if kind == "ratio":
        # two one-sided Welch tests against the limits
        p = max(stats.ttest_ind(y, x + c["t"], equal_var=False, alternative="greater").pvalue,
                stats.ttest_ind(y, x + c["df"], equal_var=False, alternative="less").pvalue)
        cx, cy = stats.variation(x, ddof=1) ** 2 / len(x), stats.variation(y, ddof=1) ** 2 / len(y)
        df = (cx + cy) ** 2 / (cx ** 2 / (len(x) - 1) + cy ** 2 / (len(y) - 1))
        t = stats.t.ppf(0.975, df)
        r, half = y.mean() / x.mean(), t * np.sqrt(cx + cy)
        # Fieller: the ratios q at which (mean y - q mean x)^2 = t^2 (vy + q^2 vx)
        vx, vy = stats.sem(x) ** 2, stats.sem(y) ** 2
        q = np.sort(np.roots([x.mean() ** 2 - t * t * vx, -2 * x.mean() * y.mean(), y.mean() ** 2 - t * t * vy]))
        return [p, r * np.exp(-half), r * np.exp(half), q[0], q[1]]
    if kind == "pairs":
        d = np.log(y / x)
        low, high = stats.t.interval(0.9, len(d) - 1, d.mean(), stats.sem(d))
        return [np.exp(d.mean()), np.exp(low), np.exp(high),
                stats.wilcoxon(x, y, method="exact").pvalue, stats.wilcoxon(x, y, alternative="greater", method="exact").pvalue]
    if kind == "outlier":
        z, n = np.abs(stats.zscore(x, ddof=1)), len(x)
        t = stats.t.ppf(1 - 0.05 / (2 * n), n - 2)
        return [z.max(), (n - 1) / np.sqrt(n) * np.sqrt(t * t / (n - 2 + t * t)), int(z.argmax())]
    if kind == "agree":
        # quadratic weights: 1 - sum w O / sum w E over the table of both scorers
        o = np.zeros((4, 4))
        for i, j in zip(x.astype(int) - 1, y.astype(int) - 1):
            o[i, j] += 1 / len(x)
        w = (np.arange(4)[:, None] - np.arange(4)[None, :]) ** 2
        return [1 - (w * o).sum() / (w * np.outer(o.sum(1), o.sum(0))).sum()]
    if kind == "alike":
        g = x.reshape(-1, c["k"])
        between = c["k"] * g.mean(1).var(ddof=1)
        within = g.var(axis=1, ddof=1).mean()
        return [(between - within) / (between + (c["k"] - 1) * within)]
    if kind == "sample":
        one = stats.ttest_1samp(x, 95)
        low, high = one.confidence_interval(0.95)
        line = stats.linregress(x, y)
        return [np.mean(x), np.std(x, ddof=1), np.median(x), np.quantile(x, c["p"]), stats.pearsonr(x, y)[0],
                one.pvalue, low, high, np.median(np.subtract.outer(x, y)), line.slope, line.stderr, line.pvalue]
    if kind == "holm":
        # the closed test with Bonferroni: the largest p over all sets that hold the value
        sets = [[j for j in range(len(x)) if m >> j & 1] for m in range(1, 1 << len(x))]
        return [min(1, max(len(s) * x[s].min() for s in sets if i in s)) for i in range(len(x))]
    if kind == "size":
        n, cv, e, power = c["n"], c["t"], c["df"], c["p"]

        def missing(df, ncp):
            t = stats.t.ppf(0.975, df)
            return stats.nct.sf(t, df, ncp) + stats.nct.cdf(-t, df, ncp) - power
        z = stats.norm.ppf(0.975) + stats.norm.ppf(power)
        least = next(m for m in range(2, 100000) if stats.t.ppf(0.975, m - 1) / np.sqrt(m) * cv <= e)
        pairs = optimize.brentq(lambda m: missing(m - 1, e / cv * np.sqrt(m)), 1.01, 1e5, xtol=1e-12, rtol=1e-14)
        return [optimize.brentq(lambda d: missing(2 * (n - 1), d * np.sqrt(n / 2)), 1e-6, 50, xtol=1e-12, rtol=1e-14),
                pairs, 2 * (z * cv / e) ** 2, (z * cv / e) ** 2, least, stats.t.ppf(0.975, n - 1) / np.sqrt(n),
                stats.binomtest(0, n, alternative="less").proportion_ci(0.95, method="exact").high,
                min(1, 2 / special.comb(2 * n + 2, n, exact=True))]
    if kind == "law":
        slopes = x[0] * x[1] / x[2] * np.array([1 / x[0], 1 / x[1], -1 / x[2]])
        v = np.diag(y ** 2)
        v[0, 1] = v[1, 0] = c["p"] * y[0] * y[1]
        return [x[0] * x[1] / x[2], np.sqrt(slopes @ v @ slopes)]
    raise ValueError(kind)


for line in sys.stdin:
    print(json.dumps([float(v) for v in answer(json.loads(line))]))
