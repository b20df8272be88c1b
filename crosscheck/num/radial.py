"""The surface through scattered points, by SciPy's RBFInterpolator.

Reads one case a line in JSON, {"points": …, "values": …, "at": …}, and prints the
heights at each place, quantity by quantity, as one list.
"""
import json
import sys

import numpy as np
from scipy.interpolate import RBFInterpolator

for line in sys.stdin:
    case = json.loads(line)
    surface = RBFInterpolator(np.array(case["points"]), np.array(case["values"]), kernel="cubic", degree=1)
    print(json.dumps(surface(np.array(case["at"])).ravel().tolist()))
