"""Reference figures for tests/external/*.test.ts out of scipy and statsmodels, on random counts and series.
Debian 12: apt-get install python3-scipy python3-statsmodels; /usr/bin/python3 make_statistics.py > statistics.json; npx prettier --write statistics.json
Counts whose exact figures no library gives (mid-p of a 2x2 table) are counted out in whole fractions."""
import json
from fractions import Fraction
from math import comb

import numpy as np
import scipy
import statsmodels
from scipy import stats
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

rng = np.random.default_rng(20260101)
CONFIDENCES = (0.8, 0.9, 0.95, 0.99, 0.998)


def pick():
    return float(rng.choice(CONFIDENCES))


def share(most):
    n = int(rng.integers(1, most))
    return int(rng.binomial(n, rng.random() ** 2)), n


def exact_share():
    k, n = share(4000)
    c = pick()
    low, high = proportion_confint(k, n, alpha=1 - c, method="beta")
    return dict(k=k, n=n, confidence=c, low=0 if k == 0 else low, high=1 if k == n else high)


def difference():
    (k1, n1), (k2, n2), c = share(300), share(300), pick()
    low, high = confint_proportions_2indep(k1, n1, k2, n2, compare="diff", method="newcomb", alpha=1 - c)
    return dict(k1=k1, n1=n1, k2=k2, n2=n2, confidence=c, low=low, high=high)


def fisher():
    (k1, n1), (k2, n2) = share(60), share(60)
    marked = k1 + k2
    weigh = lambda x: comb(n1, x) * comb(n2, marked - x)
    weights = [weigh(x) for x in range(max(0, marked - n2), min(n1, marked) + 1)]
    rarer = sum(w for w in weights if w < weigh(k1))
    alike = sum(w for w in weights if w == weigh(k1))
    p = stats.fisher_exact([[k1, n1 - k1], [k2, n2 - k2]])[1]
    return dict(k1=k1, n1=n1, k2=k2, n2=n2, p=p, mid=float(Fraction(2 * rarer + alike, 2 * sum(weights))))


def against_rate():
    k, n = share(400)
    rate = float(np.clip(k / n + rng.normal() * 0.1, 0.01, 0.99))
    p = min(1, 2 * min(stats.binom.cdf(k, n, rate), stats.binom.sf(k - 1, n, rate)))
    return dict(k=k, n=n, rate=rate, p=p)


def many():
    p = rng.random(int(rng.integers(1, 40))) ** 3
    p[rng.random(len(p)) < 0.2] = p[0]
    return dict(p=p.tolist(), adjusted=multipletests(p, method="fdr_bh")[1].tolist())


def events():
    count, exposure, c = int(rng.poisson(10 ** rng.uniform(-1, 3))), float(rng.uniform(0.1, 50)), pick()
    tail = (1 - c) / 2
    low = stats.gamma.ppf(tail, count) if count else 0
    return dict(events=count, exposure=exposure, confidence=c, low=low / exposure, high=stats.gamma.isf(tail, count + 1) / exposure)


def robust_line():
    n = int(rng.integers(3, 60))
    # x all different: scipy's variance leaves out a term where both x and y are tied.
    x = rng.permutation(200)[:n].astype(float)
    y = np.round(0.1 * rng.normal() * x + 5 * rng.standard_t(2, n), int(rng.integers(0, 3)))
    c = pick()
    slope, intercept, low, high = stats.theilslopes(y, x, alpha=c, method="joint")
    return dict(x=x.tolist(), y=y.tolist(), confidence=c, slope=slope, intercept=intercept, low=low, high=high)


def quantile():
    values = rng.exponential(10, int(rng.integers(1, 120)))
    q, c = float(rng.choice((0.05, 0.1, 0.25, 0.5, 0.8, 0.9))), pick()
    n, tail = len(values), (1 - c) / 2
    low, high = int(stats.binom.ppf(tail, n, q)), int(stats.binom.ppf(1 - tail, n, q)) + 1
    covered = stats.binom.cdf(high - 1, n, q) - stats.binom.cdf(low - 1, n, q)
    return dict(values=values.tolist(), share=q, confidence=c, quantile=float(np.quantile(values, q)), low=low, high=high, coverage=covered)


def count_at(tail, n, rate):
    count = stats.binom.ppf(tail, n, rate)
    return count - (stats.binom.cdf(count, n, rate) - tail) / stats.binom.pmf(count, n, rate)


def funnel():
    groups = [share(200) for _ in range(int(rng.integers(2, 40)))]
    rate, c = float(rng.uniform(0.03, 0.97)), pick()
    z = [(k / n - rate) / np.sqrt(rate * (1 - rate) / n) for k, n in groups]
    measured = float(np.mean(stats.mstats.winsorize(np.array(z), limits=0.1) ** 2))
    n = groups[0][1]
    low = max(0, count_at((1 - c) / 2, n, rate) / n)
    high = min(1, 1 - count_at((1 - c) / 2, n, 1 - rate) / n)
    return dict(groups=groups, rate=rate, confidence=c, measured=measured, low=low, high=high)


def plain(x):
    return x.item() if isinstance(x, np.generic) else x


def rows(make, count):
    return [{name: plain(value) for name, value in make().items()} for _ in range(count)]


print(
    json.dumps(
        dict(
            made_with=f"scipy {scipy.__version__}, statsmodels {statsmodels.__version__}, numpy {np.__version__}",
            shares=rows(exact_share, 40),
            differences=rows(difference, 40),
            tables=rows(fisher, 40),
            rates=rows(against_rate, 40),
            comparisons=rows(many, 12),
            events=rows(events, 40),
            lines=rows(robust_line, 15),
            quantiles=rows(quantile, 15),
            funnels=rows(funnel, 15),
        )
    )
)
