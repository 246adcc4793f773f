"""Writes tolerance.json: tolerance factors, shares between order statistics, intervals of Cp and tails of chi-square, all by scipy.
Debian 12: python3 tests/external/data/make_tolerance.py; npx prettier --write tests/external/data/tolerance.json"""

import json
import sys

import numpy as np
import scipy
from scipy import integrate, optimize, stats


def one_sided(n, share, confidence):
    return stats.nct.ppf(confidence, n - 1, stats.norm.ppf(share) * np.sqrt(n)) / np.sqrt(n)


def two_sided(n, share, confidence):
    def held(k):
        def given(x):
            # The reach is the root of a noncentral chi-square quantile with one degree of freedom.
            reach = stats.ncx2.ppf(share, 1, x * x) if x > 0 else stats.chi2.ppf(share, 1)
            return stats.chi2.sf((n - 1) * reach / k**2, n - 1) * stats.norm.pdf(x, scale=1 / np.sqrt(n))

        return 2 * integrate.quad(given, 0, 8 / np.sqrt(n), epsabs=1e-10, limit=200)[0]

    return optimize.brentq(lambda k: held(k) - confidence, 0.5, 100, xtol=1e-9)


cases = [(2, 0.9, 0.95), (5, 0.95, 0.9), (10, 0.99, 0.99), (25, 0.95, 0.95), (43, 0.9, 0.99), (160, 0.95, 0.95), (2500, 0.95, 0.95)]
factors = [
    {"n": n, "share": p, "confidence": c, "upper": one_sided(n, p, c), "two": two_sided(n, p, c)} for n, p, c in cases
]
covered = [
    {"n": n, "confidence": c, "two": stats.beta.ppf(1 - c, n - 1, 2), "upper": stats.beta.ppf(1 - c, n, 1)}
    for n, c in ((2, 0.9), (10, 0.95), (93, 0.95), (460, 0.99))
]
cps = [
    {
        "n": n, "sd": sd, "confidence": c,
        "low": 2 / (6 * sd) * np.sqrt(stats.chi2.ppf((1 - c) / 2, n - 1) / (n - 1)),
        "high": 2 / (6 * sd) * np.sqrt(stats.chi2.ppf((1 + c) / 2, n - 1) / (n - 1)),
    }
    for n, sd, c in ((2, 0.4, 0.9), (25, 0.3, 0.95), (500, 0.55, 0.99))
]
chi = [
    {"freedom": v, "x": x, "below": stats.chi2.cdf(x, v)}
    for v in (1, 24, 1500, 1501, 2499, 19999)
    for x in (v - 1.5 * np.sqrt(2 * v) if v > 10 else v / 4, float(v), v + 2 * np.sqrt(2 * v))
]
json.dump(
    {"versions": {"python": sys.version.split()[0], "scipy": scipy.__version__, "numpy": np.__version__},
     "factors": factors, "covered": covered, "cps": cps, "chi": chi},
    open("tests/external/data/tolerance.json", "w"),
    indent=1,
)
