#!/usr/bin/env python3
"""Every figure of docs/speed.md, in one run:  python3 benches/compare.py > docs/speed.md

Needs NumPy, SciPy and cargo. pyGAM is timed where it is installed. With `--builds` clean builds are timed too
(about six minutes on two cores).
"""

import argparse
import csv
import os
import platform
import shutil
import subprocess
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

import numpy as np
import scipy
from scipy.interpolate import UnivariateSpline
from scipy.linalg import cho_factor, cho_solve
from scipy.optimize import minimize_scalar

sys.path.insert(0, str(Path(__file__).resolve().parent))
import compare_scipy as six

ROOT = Path(__file__).resolve().parent.parent
PROGRAM = ROOT / "target/release/wedgebook"


def best(work, times=5):
    """The least of several times of `work`, in seconds."""
    return min(timed(work)[0] for _ in range(times))


def timed(work):
    begin = time.perf_counter()
    result = work()
    return time.perf_counter() - begin, result


# A process of its own starts the program and watches it: what this one holds would be counted with it.
WATCH = """
import os, subprocess, sys, time
begin = time.perf_counter()
process = subprocess.Popen(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
_, status, usage = os.wait4(process.pid, 0)
print(time.perf_counter() - begin, usage.ru_maxrss / 1024, os.waitstatus_to_exitcode(status))
"""


def run(*arguments, folder, threads=None):
    """One run of the program: seconds, and the most memory it had, in MB."""
    environment = dict(os.environ)
    if threads:
        environment["RAYON_NUM_THREADS"] = str(threads)
    command = [sys.executable, "-S", "-c", WATCH, str(PROGRAM), *map(str, arguments)]
    seconds, memory, status = subprocess.run(
        command, cwd=folder, env=environment, stdout=subprocess.PIPE, text=True, check=True
    ).stdout.split()
    if status not in ("0", "1"):
        raise RuntimeError(f"{arguments} ended with {status}")
    return float(seconds), float(memory)


def least(*arguments, folder, written=(), times=9, threads=None):
    """The least time of several runs in milliseconds, each without what the one before wrote."""
    found = []
    for _ in range(times):
        for name in written:
            (folder / name).unlink(missing_ok=True)
        found.append(run(*arguments, folder=folder, threads=threads)[0])
    return 1e3 * min(found)


# --- What else one could fit with ---------------------------------------------------------------


def fitpack(x, density):
    """A general smoothing spline: neither intervals nor a rising curve."""
    exposed = np.isfinite(x)
    return UnivariateSpline(x[exposed], density[exposed], w=np.full(exposed.sum(), 1 / six.SIGMA))


def basis(x, low, high, segments=16):
    from scipy.interpolate import BSpline

    width = (high - low) / segments
    knots = low + width * np.arange(-3, segments + 4)
    return BSpline.design_matrix(np.clip(x, low, high - 1e-9), knots, 3).toarray()


def p_spline(x, density):
    """A penalised spline of the density, its weight by restricted likelihood, with standard errors: not a
    rising curve."""
    exposed = np.isfinite(x)
    x, y = x[exposed], density[exposed]
    b = basis(x, x[0], x[-1]) / six.SIGMA
    y = y / six.SIGMA
    d = np.diff(np.eye(b.shape[1]), n=3, axis=0)
    penalty, normal, right = d.T @ d, b.T @ b, b.T @ y
    rank = d.shape[0]

    def cost(log_weight):
        weight = np.exp(log_weight)
        factor = cho_factor(normal + weight * penalty + 1e-9 * np.eye(len(right)))
        p = cho_solve(factor, right)
        r = y - b @ p
        rough = d @ p
        determinant = 2 * np.log(np.diag(factor[0])).sum()
        return r @ r + weight * rough @ rough + determinant - rank * log_weight

    weight = np.exp(minimize_scalar(cost, bounds=(-10, 15), method="bounded", options={"xatol": 0.1}).x)
    factor = cho_factor(normal + weight * penalty + 1e-9 * np.eye(len(right)))
    covariance = cho_solve(factor, np.eye(len(right)))
    return b @ cho_solve(factor, right), np.sqrt(np.einsum("ij,jk,ik->i", b, covariance, b))


def py_gam(x, density):
    """A general additive model, rising, with intervals."""
    from pygam import LinearGAM, s

    exposed = np.isfinite(x)
    model = LinearGAM(s(0, n_splines=19, constraints="monotonic_inc"), verbose=False)
    model.fit(x[exposed, None], density[exposed])
    return model.confidence_intervals(x[exposed, None])


def microseconds(fit, data, passes=3):
    def all_strips():
        for x, density, _ in data:
            fit(x, density)

    return 1e6 * best(all_strips, passes) / len(data)


# --- Files to work on ----------------------------------------------------------------------------


def write_strips(path, count, rng):
    with path.open("w", newline="") as file:
        out = csv.writer(file)
        out.writerow(["strip", "log_exposure", "density"])
        for k, (x, density) in enumerate(six.strips(count, rng)):
            for at, d in zip(x, density):
                out.writerow([k, f"{at:.4f}" if np.isfinite(at) else "", f"{d:.2f}"])


def write_long_strip(path, readings, rng):
    x = np.linspace(-3.0, 0.5, readings)
    density = 0.2 + 0.65 * 0.2 * np.log1p(np.exp((x + 2.2) / 0.2)) + rng.normal(0, 0.01, readings)
    with path.open("w", newline="") as file:
        file.write("log_exposure,density\n,0.20\n")
        file.writelines(f"{a:.5f},{max(d, 0):.3f}\n" for a, d in zip(x, density))


def write_frames(path, frames, rng):
    with path.open("w", newline="") as file:
        file.write("frame,x_mm,y_mm,density\n")
        for frame in range(frames):
            for i in range(5):
                for j in range(3):
                    x, y = 2 + 8 * i, 2 + 10 * j
                    density = 0.9 + 0.01 * (y - 12) / 10 + rng.normal(0, 0.008) + 0.02 * np.sin(frame)
                    file.write(f"{frame},{x},{y},{density:.3f}\n")


def write_journal(path, entries):
    from datetime import timedelta

    head = (ROOT / "data/bath.csv").read_text(encoding="utf-8-sig").splitlines()
    columns = head[0].split(",")
    day = date(1990, 1, 1)
    with path.open("w", newline="") as file:
        out = csv.writer(file)
        out.writerow(columns)

        def row(when, **cells):
            out.writerow([{"date": when.isoformat(), **cells}.get(c, "") for c in columns])

        row(day, act="mix", litres=5, what="Quillback 1+6", dilution="1+6")
        for k in range(entries - 1):
            when = day + timedelta(days=k * 12000 // entries)
            if k % 2:
                row(when, act="replenish", added_ml=50, removed_ml=50)
            else:
                row(when, act="film", films="1 × 135-36", area_m2=0.056)


# --- The table -----------------------------------------------------------------------------------


def row(*cells):
    print("| " + " | ".join(str(c) for c in cells) + " |", flush=True)


def number(value):
    return f"{value:,.0f}" if value >= 100 else f"{value:.3g}"


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--builds", action="store_true", help="time clean builds as well")
    options = parser.parse_args()
    subprocess.run(["cargo", "build", "--release", "--locked", "--quiet"], cwd=ROOT, check=True)
    rng = np.random.default_rng(20_240_601)
    data = [(x, d, six.start(x, d)) for x, d in six.strips(400, rng)]
    times, _, _ = six.product(data)

    cores = os.cpu_count()
    model = next((l.split(":")[1].strip() for l in open("/proc/cpuinfo") if l.startswith("model name")), platform.machine())
    rust = subprocess.run(["rustc", "--version"], capture_output=True, text=True).stdout.split()[1]
    print(f"""# Speed

Measured on {date.today()} by one command, on {cores} cores of {model}, with Rust {rust}, Python {platform.python_version()}, NumPy {np.__version__} and SciPy {scipy.__version__}:

    python3 benches/compare.py --builds > docs/speed.md

## Fits

Microseconds a strip of 21 steps and one unexposed patch, noise 0.010, one core. What is compared sees the same strips.
""")
    row("work", "this program", "what else one could use", "times as fast", "aim")
    row("---", "--:", "---", "--:", "---")
    curve_fit = microseconds(lambda x, d: six.by_curve_fit(x, d, six.start(x, d)), data[:100])
    row("shoulder model, six parameters, misread steps found", number(times["shoulder_us"]), f"SciPy `curve_fit` {number(curve_fit)}", number(curve_fit / times["shoulder_us"]), "80 times")
    default = times["auto_us"]
    pairs = [
        ("FITPACK spline, no intervals, may fall", fitpack),
        ("penalised spline with restricted likelihood in NumPy, may fall", p_spline),
    ]
    try:
        import pygam  # noqa: F401

        pairs.append(("pyGAM, rising, intervals", py_gam))
    except ImportError:
        print("pyGAM is not installed and not timed", file=sys.stderr)
    what = "the default fit: rising, intervals, misread steps found, two forms weighed"
    for name, fit in pairs:
        other = microseconds(fit, data[:100])
        row(what, number(default), f"{name} {number(other)}", number(other / default), "45 µs")
    row("the same, one step misread", number(times["one_misread_us"]), "", f"{times['one_misread_us'] / default:.2f} × the above", "1.3 ×")
    row("the same, two steps misread", number(times["two_misread_us"]), "", f"{times['two_misread_us'] / default:.2f} × the above", "1.5 ×")

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(ROOT / "data", folder / "data")
        run("calibrate", "data/family.csv", "--log-exposure-clear", "0", "--out", "pairing.toml", folder=folder)
        shutil.copy(folder / "pairing.toml", folder / "data/pairing.toml")
        print("\n## The whole program\n\nMilliseconds from the start to the end of the process, the least of nine.\n")
        row("command", "SVG", "PNG", "aim")
        row("---", "--:", "--:", "---")
        for what, command, aim in [
            ("`curve`", ["curve", "data/strip.csv", "--plot", "out.{}"], "2 and 10"),
            ("`calibrate`", ["calibrate", "data/family.csv", "--log-exposure-clear", "0", "--out", "out.toml", "--plot", "out.{}"], "25 with PNG"),
            ("`bath chart`", ["bath", "chart", "data/bath.csv", "--plot", "out.{}"], "25 with PNG"),
            ("`session`", ["session", "data/session.toml", "--page", "out.{}"], "25 with PNG"),
            ("`evenness`", ["evenness", "data/evenness.csv", "--plot", "out.{}"], ""),
        ]:
            made = [
                least(*[a.format(e) for a in command], folder=folder, written=[f"out.{e}", f"out-2.{e}", "out.toml"])
                for e in ("svg", "png")
            ]
            row(what, *map(number, made), aim)

        print("\n## Much at once\n")
        row("work", "seconds", "most memory, MB", "aim")
        row("---", "--:", "--:", "---")
        write_strips(folder / "many.csv", 10_000, rng)
        write_long_strip(folder / "long.csv", 100_000, rng)
        write_frames(folder / "frames.csv", 1_000, rng)
        write_frames(folder / "frames10.csv", 10_000, rng)
        write_journal(folder / "short.csv", 100)
        write_journal(folder / "journal.csv", 100_000)
        for what, command, threads, aim in [
            ("10,000 strips, one core, JSON", ["curve", "many.csv", "--json"], 1, "1.2 s, 60 MB"),
            ("10,000 strips, one core, CSV of curves", ["curve", "many.csv", "--csv", "out.csv"], 1, "2 s, 60 MB"),
            (f"10,000 strips, {cores} cores, JSON", ["curve", "many.csv", "--json"], None, ""),
            ("one strip of 100,000 readings", ["curve", "long.csv"], None, "2 s"),
            ("evenness of 1,000 frames", ["evenness", "frames.csv"], None, "1 s"),
            ("evenness of 10,000 frames", ["evenness", "frames10.csv"], None, "in proportion"),
            ("`bath status`, journal of 100,000 entries", ["bath", "status", "journal.csv"], None, ""),
            ("`bath note`, journal of 100 entries", ["bath", "note", "short.csv", "looked at", "--date", "2026-11-01"], None, ""),
            ("`bath note`, journal of 100,000 entries", ["bath", "note", "journal.csv", "looked at", "--date", "2026-11-01"], None, "not growing"),
        ]:
            (folder / "out.csv").unlink(missing_ok=True)
            seconds, memory = run(*command, folder=folder, threads=threads)
            row(what, f"{seconds:.2f}" if seconds >= 0.1 else f"{seconds:.3f}", f"{memory:.0f}", aim)

    if options.builds:
        print("\n## Builds\n\nFrom nothing, with all packages fetched.\n")
        row("build", "seconds", "processor seconds", "aim")
        row("---", "--:", "--:", "---")
        for what, command, aim in [
            ("`cargo build --release`", ["build", "--release"], "70 s"),
            ("all tests", ["test", "--no-run"], "250 processor seconds"),
        ]:
            with tempfile.TemporaryDirectory() as target:
                before = os.times()
                seconds, _ = timed(
                    lambda: subprocess.run(
                        ["cargo", *command, "--locked", "--quiet"], cwd=ROOT, check=True, env={**os.environ, "CARGO_TARGET_DIR": target}
                    )
                )
                after = os.times()
                spent = after.children_user + after.children_system - before.children_user - before.children_system
                row(what, f"{seconds:.0f}", f"{spent:.0f}", aim)

    print("""
## What misses its aim

- The default fit is two fits since films with a straight line have a form of their own, each with its weight of the penalty; that is where the time goes, a third of it for factors of matrices, a third for the exponentials of the forms. The normal equations instead of QR were counted out and not tried: with 22 readings, whose zeros QR leaves out, they save a third of the operations of a third of the time. Tried: coarser steps of the search (answers move by half of their standard error), fewer fits of the coefficients by foretelling where the minimum goes (kept: a tenth, and answers three times as close to the optimum), the curve asked once at its readings and from the nearest of its pieces (kept: the analysis of a strip takes two thirds of the time). A spline that may fall, finds no misread step and has one form takes as long.
- Elementary functions are those of the package libm since digits are the same on every machine: `exp` takes half as long again as that of the system, the shoulder model with it, and the default fit a tenth.
- A misread step is left out, and the curve fitted again without it, toe and shoulder before: once for each.
- PNG: half of it is drawing, a third packing. Without filters figures are an eighth smaller and a fifth sooner there (kept).
- Ten thousand strips: the answer has all curves with their covariances at once, 30 kB each, and as much again for its text. Strips are read and grouped before the first is fitted, so memory would grow with them in any case.
- A strip of 100,000 readings: its matrices have 100,000 rows. Time grows with readings in proportion.
- A clean build: the greater part is packages, workbooks, figures and the command line; without thin optimisation across packages it takes 74 s, and every fit half as long again.
""", end="")


if __name__ == "__main__":
    main()
