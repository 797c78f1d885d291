"""Lines, planes and curved surfaces through weighted readings, by numpy alone.

python3 tests/support/plane_fit.py > tests/published/data/plane_fit.csv

Prints the readings that it makes (a linear congruence, no random numbers), and for each design the
coefficients and standard errors of numpy.linalg.lstsq on rows scaled by the root of their weights.
"""

import numpy as np


def readings():
    state, rows = 7, []
    for k in range(24):
        state = (1103515245 * state + 12345) % 2**31
        noise = state / 2**31 - 0.5
        x, y = 2.0 + 6.4 * (k % 6), 2.0 + 6.6 * (k // 6)
        weight = [1.0, 4.0, 2.5][k % 3]
        rows.append((x, y, round(0.85 + 0.0021 * x - 0.0034 * y + 0.02 * noise, 4), weight))
    return np.array(rows)


def fit(columns, d, w):
    root = np.sqrt(w)
    a = np.column_stack(columns) * root[:, None]
    beta = np.linalg.lstsq(a, d * root, rcond=None)[0]
    covariance = np.linalg.inv(a.T @ a)
    rest = float(np.sum((d * root - a @ beta) ** 2))
    return beta, np.sqrt(np.diag(covariance)), rest


def main():
    r = readings()
    x, y, d, w = r.T
    one = np.ones_like(x)
    print(f"# computed by tests/support/plane_fit.py with numpy {np.__version__}")
    print("design,kind,index,first,second,third,fourth")
    for k, row in enumerate(r):
        print(f"readings,reading,{k},{row[0]!r},{row[1]!r},{row[2]!r},{row[3]!r}".replace("np.float64(", "").replace(")", ""))
    designs = {
        "line": [one, x],
        "plane": [one, x, y],
        "curved": [one, x, y, x * x, x * y, y * y],
    }
    for name, columns in designs.items():
        beta, error, rest = fit(columns, d, w)
        for k, (b, e) in enumerate(zip(beta, error)):
            print(f"{name},coefficient,{k},{b:.15e},{e:.15e},,")
        print(f"{name},sum_of_squares,0,{rest:.15e},,,")


main()
