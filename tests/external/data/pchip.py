"""Writes pchip.csv: the monotone cubic through two lift tables by another program, scipy's PchipInterpolator."""

import numpy as np
import scipy
from scipy.interpolate import PchipInterpolator

TABLES = {
    "cam": ([0, 4, 9, 13, 20, 24, 31, 40, 47, 55], [0, 0.12, 0.71, 1.52, 3.4, 4.43, 5.9, 7.2, 7.2, 6.1]),
    "steep": ([0, 2, 3, 5], [6, 7, 2, 2.5]),
}
print(f"# scipy {scipy.__version__}, numpy {np.__version__}: python3 pchip.py > pchip.csv")
print("table,deg,mm,mm_per_deg")
for name, (deg, mm) in TABLES.items():
    curve = PchipInterpolator(deg, mm)
    for at in np.linspace(deg[0], deg[-1], 45).tolist():
        print(f"{name},{at!r},{float(curve(at))!r},{float(curve(at, 1))!r}")
