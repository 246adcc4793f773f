"""Writes charts.json: lines, analyses of variance, Welch's tests, tails, range factors and EWMA by other programs, on random data."""

import json
import sys

import numpy as np
import pandas as pd
import scipy
import statsmodels
import statsmodels.api as sm
from scipy import integrate, stats
from statsmodels.formula.api import ols
from statsmodels.stats.oneway import anova_oneway
from statsmodels.stats.weightstats import CompareMeans, DescrStatsW

rng = np.random.default_rng(20260101)


def rounded(values):
    return [round(float(v), 4) for v in values]


def lines():
    for n, slope in ((8, 0.3), (25, -1.5), (60, 0.0)):
        x = rounded(rng.uniform(-5, 40, n))
        y = rounded(7 + slope * np.array(x) + rng.normal(0, 2, n))
        fit = sm.OLS(y, sm.add_constant(x)).fit()
        low, high = fit.conf_int(0.05)[1]
        yield {
            "x": x, "y": y, "intercept": fit.params[0], "slope": fit.params[1], "interceptError": fit.bse[0],
            "slopeError": fit.bse[1], "residualSd": fit.mse_resid**0.5, "r2": fit.rsquared, "low": low, "high": high,
        }


def one_ways():
    for sizes, shift in (((4, 7, 5), 0.5), ((6, 6, 6, 6), 2.0), ((3, 12, 9, 5, 20), 0.2)):
        groups = [rounded(rng.normal(60 + shift * k, 1 + 0.5 * k, n)) for k, n in enumerate(sizes)]
        plain = stats.f_oneway(*groups)
        welch = anova_oneway(groups, use_var="unequal", welch_correction=True)
        yield {
            "groups": groups, "f": plain.statistic, "p": plain.pvalue, "welchF": welch.statistic,
            "welchAbove": welch.df_num, "welchBelow": welch.df_denom, "welchP": welch.pvalue,
        }


def two_samples():
    for n, m in ((5, 9), (20, 4), (30, 30)):
        a, b = rounded(rng.normal(50, 1, n)), rounded(rng.normal(50.8, 3, m))
        means = CompareMeans(DescrStatsW(a), DescrStatsW(b))
        t, p, freedom = means.ttest_ind(usevar="unequal")
        low, high = means.tconfint_diff(0.05, usevar="unequal")
        yield {"first": a, "second": b, "t": t, "p": p, "freedom": freedom, "low": low, "high": high}


def two_ways():
    for a, b, r in ((5, 3, 2), (8, 2, 4)):
        part, operator = rng.normal(0, 3, a), rng.normal(0, 0.7, b)
        both = rng.normal(0, 0.5, (a, b))
        rows = [
            (p, o, round(float(60 + part[p] + operator[o] + both[p, o] + rng.normal(0, 0.4)), 4))
            for p in range(a) for o in range(b) for _ in range(r)
        ]
        frame = pd.DataFrame(rows, columns=["part", "operator", "value"])
        table = sm.stats.anova_lm(ols("value ~ C(part) * C(operator)", data=frame).fit(), typ=2)
        squares = [float(v) for v in table["sum_sq"]]
        yield {
            "readings": frame.to_dict("records"), "part": squares[0], "operator": squares[1],
            "interaction": squares[2], "error": squares[3],
        }


def range_factors():
    for n in (2, 3, 5, 10, 25):
        mean = integrate.quad(
            lambda x: 1 - stats.norm.cdf(x) ** n - stats.norm.sf(x) ** n, -np.inf, np.inf, epsabs=1e-12
        )[0]

        def exceeding(r):
            inner = lambda x: stats.norm.pdf(x) * (stats.norm.cdf(x + r) - stats.norm.cdf(x)) ** (n - 1)
            return 1 - n * integrate.quad(inner, -9, 9, epsabs=1e-12, limit=200)[0]

        square = integrate.quad(lambda r: 2 * r * exceeding(r), 0, 16, epsabs=1e-10, limit=200)[0]
        yield {"n": n, "d2": mean, "d3": (square - mean**2) ** 0.5}


def tails():
    for f, above, below in ((0.2, 3, 9), (4.5, 2, 40), (60, 4, 30), (2.5, 1, 7.3)):
        yield {"kind": "f", "at": f, "above": above, "below": below, "p": stats.f.sf(f, above, below)}
    for t, freedom in ((0.4, 3), (-2.5, 8.6), (12, 15)):
        yield {"kind": "t", "at": t, "above": 1, "below": freedom, "p": 2 * stats.t.sf(abs(t), freedom)}


def averages():
    values = rounded(rng.normal(10, 1, 30))
    start = 10.0
    frame = pd.Series([start, *values]).ewm(alpha=0.2, adjust=False).mean()
    yield {"values": values, "centre": start, "lambda": 0.2, "average": list(frame[1:])}


print(json.dumps({
    "made": f"python {sys.version.split()[0]}, numpy {np.__version__}, scipy {scipy.__version__}, statsmodels "
    f"{statsmodels.__version__}, pandas {pd.__version__}: python3 make_charts.py > charts.json, then prettier",
    "lines": list(lines()), "oneWays": list(one_ways()), "twoSamples": list(two_samples()),
    "twoWays": list(two_ways()), "rangeFactors": list(range_factors()), "tails": list(tails()),
    "averages": list(averages()),
}))
