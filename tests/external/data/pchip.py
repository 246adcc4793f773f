"""Writes pchip.csv: the monotone cubic through a cam lift table by another program, scipy's PchipInterpolator."""

import sys

import numpy as np
import scipy
from scipy.interpolate import PchipInterpolator

DEG = [0, 4, 9, 13, 20, 24, 31, 40, 47, 55]
MM = [0, 0.12, 0.71, 1.52, 3.4, 4.43, 5.9, 7.2, 7.2, 6.1]
curve = PchipInterpolator(DEG, MM)
out = sys.stdout
out.write(f"# scipy {scipy.__version__}, numpy {np.__version__}: python3 pchip.py > pchip.csv\n")
out.write("# table deg: " + " ".join(map(str, DEG)) + "\n# table mm: " + " ".join(map(str, MM)) + "\n")
out.write("deg,mm,mm_per_deg\n")
for deg in np.linspace(0, 55, 45):
    out.write(f"{deg!r},{float(curve(deg))!r},{float(curve(deg, 1))!r}\n".replace("np.float64(", "").replace(")", ""))
