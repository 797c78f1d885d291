"""Weighted fits of planes and edge zones by a general-purpose package, for tests/published/evenness_fit.rs.

Needs numpy and statsmodels; prints what is kept in tests/published/data/evenness_fit.csv:

    python3 tests/support/evenness_fit.py > tests/published/data/evenness_fit.csv
"""

import numpy
import statsmodels
import statsmodels.api as sm

# Twelve places of a frame, none on a common grid, and densities with their standard uncertainties.
x = numpy.array([1.5, 9.0, 17.5, 26.0, 34.5, 3.0, 12.0, 20.0, 33.0, 2.0, 18.5, 30.0])
y = numpy.array([2.0, 1.0, 3.0, 2.5, 1.5, 12.0, 10.5, 13.0, 11.0, 22.0, 23.0, 21.5])
d = numpy.array([0.873, 0.861, 0.859, 0.852, 0.84, 0.812, 0.809, 0.797, 0.788, 0.871, 0.868, 0.85])
s = numpy.array([0.01, 0.01, 0.008, 0.008, 0.01, 0.012, 0.01, 0.01, 0.008, 0.01, 0.012, 0.01])

# scale=1: the standard uncertainties are known, not up to a factor.
def fit(columns):
    model = sm.WLS(d, numpy.column_stack(columns), weights=1 / s**2)
    return model.fit(cov_type="fixed scale")

one = numpy.ones_like(x)
plane = fit([one, x, y])
# Zones of a sixth of what was read, from the outermost readings.
depth = (y.max() - y.min()) / 6
lower, upper = (y <= y.min() + depth).astype(float), (y >= y.max() - depth).astype(float)
edges = fit([one, x, lower, upper])
both = edges.t_test([0, 0, 0.5, 0.5])
mean = fit([one])

print(f"# statsmodels {statsmodels.__version__}, numpy {numpy.__version__}; made by tests/support/evenness_fit.py")
print("kind,name,value,error")
for place in zip(x, y, d, s):
    print("reading,{} {},{},{}".format(*place))
for name, value, error in [
    ("mean", mean.params[0], mean.bse[0]),
    ("along", plane.params[1], plane.bse[1]),
    ("across", plane.params[2], plane.bse[2]),
    ("lower", edges.params[2], edges.bse[2]),
    ("upper", edges.params[3], edges.bse[3]),
    ("long", both.effect[0], both.sd[0, 0]),
]:
    print(f"number,{name},{value:.15g},{error:.15g}")
