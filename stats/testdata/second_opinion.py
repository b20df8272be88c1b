"""Answers the cases on standard input with SciPy, one JSON object a line."""
import json
import sys

import numpy as np
from scipy import stats


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
    raise ValueError(kind)


for line in sys.stdin:
    print(json.dumps([float(v) for v in answer(json.loads(line))]))
