"""Densities of the strip in data/box.png by NumPy and SciPy, for tests/published/picture_photometry.rs.

Needs numpy, scipy and pillow. The boxes are those of a layout that `wedgebook read` saved; prints what is kept in
tests/published/data/picture_photometry.csv:

    wedgebook read data/box.png --flat data/box-flat.png --dark data/box-dark.png --tablet data/tablet.csv \\
        --step-mm 6.35 --out read.csv --save-layout tests/published/data/picture_layout.toml
    python3 tests/support/picture_photometry.py > tests/published/data/picture_photometry.csv
"""

import csv
import tomllib

import numpy
import scipy
from PIL import Image
from scipy.optimize import least_squares

STEP_MM, INNER, BESIDE = 6.35, 0.55, (2.0, 3.5)
VALUE = 1 / 65535


def frame(name):
    return numpy.asarray(Image.open(f"data/{name}.png"), dtype=float) / 65535


picture, flat, dark = frame("box"), frame("box-flat"), frame("box-dark")
with open("tests/published/data/picture_layout.toml", "rb") as file:
    layout = tomllib.load(file)
with open("data/tablet.csv") as file:
    tablet = [(float(row["tablet_density"]), float(row["sigma"])) for row in csv.DictReader(file)]


def place(box, s, t):
    """The point at shares s along and t across: the corners are beginning-near, beginning-far, end-far, end-near."""
    a, b, c, d = (numpy.array(corner) for corner in box)
    return (1 - s) * ((1 - t) * a + t * b) + s * ((1 - t) * d + t * c)


def part(box, s, t):
    return [place(box, s[0], t[0]), place(box, s[0], t[1]), place(box, s[1], t[1]), place(box, s[1], t[0])]


def mean(image, corners):
    """Mean of the pixels inside, within four standard deviations of the median; and its standard error."""
    rows, columns = numpy.indices(image.shape)
    sides = []
    for k in range(4):
        (px, py), (qx, qy) = corners[k], corners[(k + 1) % 4]
        sides.append((qx - px) * (rows - py) - (qy - py) * (columns - px))
    sides = numpy.array(sides)
    inside = (sides >= 0).all(axis=0) | (sides <= 0).all(axis=0)
    values = (image - dark)[inside]
    share = len(values)
    middle = numpy.sort(values)[len(values) // 2]
    off = numpy.sort(numpy.abs(values - middle))[len(values) // 2]
    values = values[numpy.abs(values - middle) <= 4 * max(1.4826 * off, VALUE)]
    error = numpy.sqrt((values.var(ddof=1) + VALUE**2 / 12) / len(values))
    return values.mean(), error, 1 - len(values) / share, error * numpy.sqrt(len(values))


def length(box):
    return numpy.hypot(*(place(box, 1, 0.5) - place(box, 0, 0.5)))


def breadth(box):
    return numpy.hypot(*(place(box, 0.5, 1) - place(box, 0.5, 0)))


def black(image, box, per_mm):
    whole = (0.5 - INNER / 2, 0.5 + INNER / 2)
    near, far = (mm * per_mm / breadth(box) for mm in BESIDE)
    sides = [mean(image, part(box, whole, side)) for side in ((-far, -near), (1 + near, 1 + far))]
    (one, one_error, *_), (other, other_error, *_) = sides
    assert max(one, other) <= 1.5 * min(one, other) + 5 * max(one_error, other_error)
    middle = (one + other) / 2
    own = numpy.hypot(one_error, other_error) / 2
    return middle, numpy.sqrt(own**2 + (0.01 * middle) ** 2 + (0.15 * (one - other)) ** 2)


def looks(boxes):
    per_mm = sorted(length(box) for box in boxes)[len(boxes) // 2] / STEP_MM
    whole = (0.5 - INNER / 2, 0.5 + INNER / 2)
    rows = []
    for box in boxes:
        area = part(box, whole, whole)
        light, error, left_out, scatter = mean(picture, area)
        error = numpy.sqrt(error**2 + (0.02 * left_out * light) ** 2 + (0.02 * scatter) ** 2)
        empty, empty_error, *_ = mean(flat, area)
        glare = black(flat, box, per_mm)[0]
        empty -= glare if glare < 0.1 * empty else 0
        rows.append((light, error, empty, empty_error / empty, *black(picture, box, per_mm)))
    return numpy.array(rows).T


light, error, empty, empty_error, glare, glare_error = looks(layout["tablet"]["boxes"])
density, sigma = numpy.array(tablet).T
share = empty * 10**-density
unseen, ln10 = 0.0005 * numpy.log(10), numpy.log(10)


def deviation(c, kappa):
    own = (ln10 * sigma) ** 2 + empty_error**2 + unseen**2
    return numpy.sqrt(own * (c * share) ** 2 + error**2 + (kappa * glare_error) ** 2)


# The uncertainties depend on c and kappa: they are held while both are fitted, until nothing moves.
brightest = share.argmax()
c, kappa = light[brightest] / share[brightest], 1.0
for _ in range(60):
    sd = deviation(c, kappa)
    scale = numpy.array([c, 1.0])

    def residuals(x):
        rows = (light - x[0] * scale[0] * share - x[1] * glare) / sd
        return numpy.append(rows, (x[1] - 1) / 0.25)

    # The three numbers end the search: changes of cost, of the parameters and of the gradient.
    ends = (1e-15, 1e-15, 1e-15)
    anywhere = (-numpy.inf, numpy.inf)
    found = least_squares(residuals, [1.0, kappa], "2-point", anywhere, "trf", *ends, 1.0, "huber", 2.5)
    moved = abs(found.x[0] - 1) + abs(found.x[1] - kappa)
    c, kappa = found.x[0] * c, found.x[1]
    if moved < 1e-12:
        break

light, _, empty, _, glare, _ = looks(layout["strip"]["boxes"])
densities = -numpy.log10((light - kappa * glare) / (c * empty))
print(f"# scipy {scipy.__version__}, numpy {numpy.__version__}; made by tests/support/picture_photometry.py")
print("what,step,value")
print(f"clear,,{c:.12g}")
print(f"kappa,,{kappa:.12g}")
for step, value in enumerate(densities):
    print(f"density,{step + 1},{value:.12g}")
