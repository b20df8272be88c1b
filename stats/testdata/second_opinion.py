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
    raise ValueError(kind)


for line in sys.stdin:
    print(json.dumps([float(v) for v in answer(json.loads(line))]))
