"""Independent figures for tests/external/conformal.test.ts: numpy's least squares, and ends of intervals told in fractions by definition."""

import json
from fractions import Fraction

import numpy as np
import scipy
from scipy import stats

rng = np.random.default_rng(20260101)


def plane(n, columns):
    x = rng.normal(1000, 3, (n, columns)).round(3)
    y = (x @ rng.normal(0, 1, columns) + rng.normal(0, 1, n)).round(3)
    w = rng.uniform(0.1, 2, n).round(3)
    root = np.sqrt(w)[:, None]
    centred = np.column_stack([np.ones(n), x - np.average(x, axis=0, weights=w)])
    slopes = np.linalg.lstsq(root * centred, root[:, 0] * y, rcond=None)[0][1:]
    return {"x": x.tolist(), "y": y.tolist(), "w": w.tolist(), "slopes": slopes.tolist()}


def midmean(values, weights):
    """What is left of the weights when a quarter is cut off at each end, one value after the other."""
    total, done, sum_ = Fraction(0), Fraction(0), Fraction(0)
    quarter = sum(weights) / 4
    for value, weight in sorted(zip(values, weights)):
        kept = max(Fraction(0), min(done + weight, 3 * quarter) - max(done, quarter))
        done += weight
        total += kept
        sum_ += kept * value
    return sum_ / total


def trimmed(n):
    values = rng.normal(10, 3, n).round(2)
    return {"values": values.tolist(), "mean": float(stats.trim_mean(values, 0.25))}


def interval(n):
    values = rng.lognormal(1, 0.6, n).round(1)
    tenths = rng.integers(1, 20, n)
    coverage = Fraction(int(rng.choice([50, 80, 90, 95])), 100)
    side = (1 + coverage) / 2
    weights = [Fraction(int(t), 10) for t in tenths]
    needed = side * (sum(weights) + 1)
    # By definition: an end is the first value, from its far side, up to which (itself taken in) the weights are enough.
    ups = [v for v in values if sum(w for u, w in zip(values, weights) if u <= v) >= needed]
    downs = [v for v in values if sum(w for u, w in zip(values, weights) if u >= v) >= needed]
    half = sum(weights) / 2
    at = min(v for v in values if sum(w for u, w in zip(values, weights) if u <= v) >= half)
    past = min(v for v in values if sum(w for u, w in zip(values, weights) if u <= v) > half)
    return {
        "values": values.tolist(),
        "weights": [float(w) for w in weights],
        "coverage": float(coverage),
        "low": float(max(downs)) if downs else None,
        "high": float(min(ups)) if ups else None,
        "median": float((at + past) / 2),
        "midmean": float(midmean([Fraction(str(v)) for v in values], weights)),
    }


print(
    json.dumps(
        {
            "made_by": f"make_quote.py, numpy {np.__version__}, scipy {scipy.__version__}",
            "planes": [plane(n, c) for n, c in [(8, 1), (12, 2), (30, 3), (60, 4)]],
            "trimmed": [trimmed(n) for n in (4, 8, 40, 100)],
            "intervals": [interval(int(n)) for n in rng.integers(1, 60, 60)],
        }
    )
)
