#!/usr/bin/env python3
"""Time and agreement of the shoulder fit against SciPy, both in one run.

Needs NumPy, SciPy and cargo:  python3 benches/compare_scipy.py [strips]

Makes strips with seeded noise (a tablet of 21 steps of 0.15 and one reading of the unexposed film,
standard deviation 0.010), fits to each the six-parameter model of src/curve/shoulder.rs with its two
weak priors as two more rows, from the same start, and prints microseconds a strip for

- curve_fit, no Jacobian: what most scripts do;
- least_squares(method="lm"), analytic Jacobian;
- leastsq, analytic Jacobian: SciPy's leanest way;
- the product's solver on the same rows, alone;
- the product's fit of the shoulder and of the smooth model, with the search for misread steps.

One core each. The product is timed over nine passes (median), SciPy over three (best).
"""

import csv
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(threads, "1")

import numpy as np
import scipy
from scipy.optimize import curve_fit, least_squares, leastsq

SIGMA = 0.010
STEP = 0.15
STEPS = 21
# ln w is ln 0.2 +- 1.5 and ln s is ln 0.15 +- 1.5, as in the product.
PRIORS = ((3, -1.609), (5, -1.897))
PRIOR_SD = 1.5


def softplus_logistic(u):
    e = np.exp(-np.abs(u))
    log, share = np.log1p(e), 1.0 / (1.0 + e)
    return np.where(u > 0, u + log, log), np.where(u > 0, share, e * share)


def model(x, b, ln_gamma, a, ln_w, ln_cap, ln_s):
    """Density at x; the unexposed film stands at -inf."""
    gamma, w, cap, s = np.exp([ln_gamma, ln_w, ln_cap, ln_s])
    line = gamma * w * softplus_logistic((x - a) / w)[0]
    whole = softplus_logistic(np.array(1.0 / s))[0]
    return b + s * cap * (whole - softplus_logistic((cap - line) / (s * cap))[0])


def jacobian(x, b, ln_gamma, a, ln_w, ln_cap, ln_s):
    """Derivatives of `model`, one column a parameter."""
    gamma, w, cap, s = np.exp([ln_gamma, ln_w, ln_cap, ln_s])
    soft, share = softplus_logistic((x - a) / w)
    line, slope = gamma * w * soft, gamma * share
    distance = np.where(np.isfinite(x), x - a, 0.0)
    whole, whole_share = softplus_logistic(np.array(1.0 / s))
    v = (1.0 - line / cap) / s
    rest, bend = softplus_logistic(v)
    value = s * cap * (whole - rest)
    return np.column_stack(
        [
            np.ones_like(x),
            bend * line,
            -bend * slope,
            bend * (line - slope * distance),
            value - bend * line,
            value - cap * whole_share + s * cap * bend * v,
        ]
    )


def strips(count, rng):
    """Strips of the model's own shape, so that all parties look for the same minimum."""
    for _ in range(count):
        truth = [
            rng.uniform(0.08, 0.36),
            np.log(rng.uniform(0.45, 0.80)),
            rng.uniform(-2.5, -2.1),
            np.log(rng.uniform(0.12, 0.30)),
            np.log(rng.uniform(1.0, 1.5)),
            np.log(rng.uniform(0.10, 0.30)),
        ]
        x = np.concatenate([[-np.inf], truth[2] - 0.7 + STEP * np.arange(STEPS)])
        yield x, model(x, *truth) + rng.normal(0.0, SIGMA, x.size)


def start(x, density):
    """The same start for all: base, steepest chord over a fifth of the strip, usual widths."""
    base, span = density.min(), (x.size - 1) // 5
    run, rise = x[1 + span :] - x[1:-span], density[1 + span :] - density[1:-span]
    k = np.argmax(rise / run)
    slope = rise[k] / run[k]
    middle = 0.5 * (x[1 + k] + x[1 + k + span])
    level = 0.5 * (density[1 + k] + density[1 + k + span])
    cap = max(density.max() - base, 0.2)
    return np.array(
        [base, np.log(slope), middle - (level - base) / slope, np.log(0.2), np.log(cap), np.log(0.15)]
    )


def rows(x, density):
    """Residuals and Jacobian of the readings and the two priors, each over its standard deviation."""
    at = [k for k, _ in PRIORS]
    centre = np.array([c for _, c in PRIORS])
    prior_rows = np.zeros((2, 6))
    prior_rows[[0, 1], at] = 1.0 / PRIOR_SD

    def residuals(p):
        return np.concatenate([(model(x, *p) - density) / SIGMA, (p[at] - centre) / PRIOR_SD])

    def derivatives(p):
        return np.vstack([jacobian(x, *p) / SIGMA, prior_rows])

    return residuals, derivatives


def by_curve_fit(x, density, p0):
    at = [k for k, _ in PRIORS]
    sigma = np.concatenate([np.full(x.size, SIGMA), [PRIOR_SD, PRIOR_SD]])
    wanted = np.concatenate([density, [c for _, c in PRIORS]])

    def f(_, *p):
        return np.concatenate([model(x, *p), [p[k] for k in at]])

    return curve_fit(f, x, wanted, p0=p0, sigma=sigma, absolute_sigma=True, maxfev=4000, check_finite=False)[0]


def by_least_squares(x, density, p0):
    residuals, derivatives = rows(x, density)
    return least_squares(residuals, p0, jac=derivatives, method="lm").x


def by_leastsq(x, density, p0):
    residuals, derivatives = rows(x, density)
    return leastsq(residuals, p0, Dfun=derivatives)[0]


def timed(fit, data):
    best = np.inf
    for _ in range(3):
        begin = time.perf_counter()
        found = [fit(x, density, p0) for x, density, p0 in data]
        best = min(best, time.perf_counter() - begin)
    return 1e6 * best / len(data), np.array(found)


def product(data):
    """Times in microseconds a strip, the solver's parameters, and those of the fit (NaN where it
    chose another model or set a reading aside)."""
    root = Path(__file__).resolve().parent.parent
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "strips.csv"
        with path.open("w", newline="") as file:
            out = csv.writer(file)
            out.writerow(["strip", "log_exposure", "density", "sigma", "b", "ln_gamma", "a", "ln_w", "ln_cap", "ln_s"])
            for k, (x, density, p0) in enumerate(data):
                for at, d in zip(x, density):
                    out.writerow([k, repr(float(at)) if np.isfinite(at) else "", repr(float(d)), SIGMA, *map(float, p0)])
        run = subprocess.run(
            ["cargo", "bench", "--quiet", "--bench", "speed"],
            cwd=root,
            env={**os.environ, "WEDGEBOOK_COMPARE": str(path)},
            stdout=subprocess.PIPE,
            text=True,
            check=True,
        )
    times, bare, fitted = {}, [], []
    for line in run.stdout.splitlines():
        head, _, numbers = line.partition("[")
        words = head.split()
        values = np.array([float(v) for v in numbers.rstrip("]").split(",")]) if numbers else None
        if words and words[0].endswith("_us"):
            times[words[0]] = float(words[1])
        elif words and words[0] == "bare":
            bare.append(values)
        elif words and words[0] == "fit":
            usable = words[2] == "shoulder" and words[3] == "0"
            fitted.append(values if usable else np.full(6, np.nan))
    return times, np.array(bare), np.array(fitted)


def check_jacobian(x, p):
    """The analytic Jacobian against central differences."""
    h = 1e-6
    for j in range(6):
        up, down = p.copy(), p.copy()
        up[j] += h
        down[j] -= h
        difference = (model(x, *up) - model(x, *down)) / (2 * h)
        assert np.allclose(jacobian(x, *p)[:, j], difference, atol=1e-7), f"parameter {j}"


def agreement(name, found, reference, data):
    used = np.isfinite(found).all(axis=1)
    parameter = np.abs(found[used] - reference[used]).max(axis=1)
    curve = np.array(
        [
            np.abs(model(x, *found[k]) - model(x, *reference[k])).max()
            for k, (x, _, _) in enumerate(data)
            if used[k]
        ]
    )
    print(
        f"{name:44} {used.sum():5} strips   parameters median {np.median(parameter):.1e}, "
        f"99 % {np.quantile(parameter, 0.99):.1e}, worst {parameter.max():.1e}   "
        f"density worst {curve.max():.1e}"
    )


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    rng = np.random.default_rng(20_240_601)
    data = [(x, density, start(x, density)) for x, density in strips(count, rng)]
    check_jacobian(data[0][0], data[0][2])
    print(f"NumPy {np.__version__}, SciPy {scipy.__version__}, {count} strips of {STEPS + 1} readings")

    times, bare, fitted = product(data)
    scipy_fits = {
        "SciPy curve_fit, no Jacobian": timed(by_curve_fit, data),
        'SciPy least_squares "lm", analytic Jacobian': timed(by_least_squares, data),
        "SciPy leastsq, analytic Jacobian": timed(by_leastsq, data),
    }
    table = {name: found[0] for name, found in scipy_fits.items()}
    table["product, solver alone on the same rows"] = times["bare_us"]
    table["product, shoulder fit with misread steps"] = times["shoulder_us"]
    table["product, smooth fit with misread steps"] = times["smooth_us"]

    print(f"\n{'microseconds a strip':44} {'time':>9} {'over solver':>12} {'over shoulder fit':>18}")
    for name, value in table.items():
        print(f"{name:44} {value:9.1f} {value / times['bare_us']:12.1f} {value / times['shoulder_us']:18.1f}")

    print("\nagreement with SciPy leastsq (ln gamma, ln w, ln A, ln s; b and a in density and log exposure)")
    reference = scipy_fits["SciPy leastsq, analytic Jacobian"][1]
    for name, (_, found) in scipy_fits.items():
        if found is not reference:
            agreement(name, found, reference, data)
    agreement("product, solver alone", bare, reference, data)
    agreement("product, shoulder fit", fitted, reference, data)


if __name__ == "__main__":
    main()
