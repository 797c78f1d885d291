#!/usr/bin/env python3
"""What a general-purpose statistics package makes of constructed series of control strips.

    pip install statsmodels
    python3 tests/support/local_level_likelihood.py > tests/published/data/local_level.csv

The activity of a bath is a local level with a known drift: ln a falls by the loss expected from use
and age, its variance grows by dispersion times that loss, and each strip sees it with a standard deviation
of its own. Of every strip the table has what was expected before it, what was known after it, and its
log-likelihood. tests/published/local_level.rs holds the product's filter to it.

- `even`: equal steps and standard deviations, by UnobservedComponents: a local level whose regressors
  are film and days summed up, the coefficients of loss with a minus being given;
- `uneven`, `long`, `sharp`: steps and standard deviations that vary, by the package's KalmanFilter
  with matrices that change with time; `long` loses little, `sharp` has very exact strips.
"""

import csv
import sys

import numpy as np
import statsmodels
from statsmodels.tsa.statespace.kalman_filter import KalmanFilter
from statsmodels.tsa.statespace.structural import UnobservedComponents

COLUMNS = [
    "series", "mixing_sd", "by_use", "by_age", "dispersion", "day", "m2_per_litre", "ln_activity", "sd",
    "expected", "expected_sd", "filtered", "filtered_sd", "log_likelihood",
]  # fmt: skip


def simulated(rng, mixing_sd, by_use, by_age, dispersion, days, use, sd):
    """ln a as the strips see it, at the end of steps of `days` with `use` m² of film a litre."""
    loss = by_use * use + by_age * days
    x = rng.normal(0.0, mixing_sd) - np.cumsum(loss + np.sqrt(dispersion * loss) * rng.normal(size=loss.size))
    return loss, np.round(x + sd * rng.normal(size=loss.size), 4)


def even(rng):
    mixing_sd, by_use, by_age, dispersion, n = 0.03, 0.9, 0.002, 0.003, 40
    days, use, sd = np.full(n, 3.0), np.full(n, 0.028), np.full(n, 0.012)
    loss, y = simulated(rng, mixing_sd, by_use, by_age, dispersion, days, use, sd)
    summed = np.column_stack([np.cumsum(use), np.cumsum(days)])
    model = UnobservedComponents(y, level="local level", exog=summed, mle_regression=True)
    model.ssm.initialize_known(np.zeros(1), np.array([[mixing_sd**2 + dispersion * loss[0]]]))
    beta = np.array([-by_use, -by_age])
    result = model.smooth([sd[0] ** 2, dispersion * loss[0], *beta])
    given = dict(series="even", mixing_sd=mixing_sd, by_use=by_use, by_age=by_age, dispersion=dispersion)
    return rows(given, days, use, sd, y, result, summed @ beta)


def uneven(name, rng, n, sds, dispersion, slower=1.0):
    mixing_sd, by_use, by_age = 0.02, 0.7 / slower, 0.0031 / slower
    days = np.round(rng.exponential(9.0, n), 2)
    use = np.round(0.056 / 0.75 * rng.integers(0, 4, n), 6)
    # A second strip at once, with nothing in between.
    days[3], use[3] = 0.0, 0.0
    sd = np.round(rng.uniform(*sds, n), 6)
    loss, y = simulated(rng, mixing_sd, by_use, by_age, dispersion, days, use, sd)
    # The state is ln a as it is seen: its change to the next strip belongs to this strip's row.
    after = np.append(loss[1:], 0.0)
    kf = KalmanFilter(k_endog=1, k_states=1)
    kf.bind(y)
    kf["design"] = np.ones((1, 1))
    kf["transition"] = np.ones((1, 1))
    kf["selection"] = np.ones((1, 1))
    kf["state_intercept"] = -after[None, :]
    kf["state_cov"] = dispersion * after[None, None, :]
    kf["obs_cov"] = (sd**2)[None, None, :]
    kf.initialize_known(np.array([-loss[0]]), np.array([[mixing_sd**2 + dispersion * loss[0]]]))
    given = dict(series=name, mixing_sd=mixing_sd, by_use=by_use, by_age=by_age, dispersion=dispersion)
    return rows(given, days, use, sd, y, kf.filter(), np.zeros(n))


def rows(given, days, use, sd, y, result, drift):
    day = np.cumsum(days)
    for i in range(y.size):
        yield given | {
            "day": day[i],
            "m2_per_litre": use[i],
            "ln_activity": y[i],
            "sd": sd[i],
            "expected": result.forecasts[0, i],
            "expected_sd": np.sqrt(result.forecasts_error_cov[0, 0, i]),
            "filtered": result.filtered_state[0, i] + drift[i],
            "filtered_sd": np.sqrt(result.filtered_state_cov[0, 0, i]),
            "log_likelihood": result.llf_obs[i],
        }


def main():
    rng = np.random.default_rng(20_260_301)
    print(f"# Control strips of constructed baths, filtered by statsmodels {statsmodels.__version__} on NumPy")
    print(f"# {np.__version__}; made by tests/support/local_level_likelihood.py, which says what the columns are.")
    out = csv.DictWriter(sys.stdout, COLUMNS, lineterminator="\n")
    out.writeheader()
    series = [
        even(rng),
        uneven("uneven", rng, 30, (0.005, 0.02), 0.004),
        uneven("long", rng, 230, (0.005, 0.02), 0.001, slower=20.0),
        uneven("sharp", rng, 25, (0.0005, 0.001), 0.02),
    ]
    for row in (row for one in series for row in one):
        out.writerow({k: v if isinstance(v, str) else repr(float(v)) for k, v in row.items()})


if __name__ == "__main__":
    main()
