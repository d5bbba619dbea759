"""The balance of :mod:`slabwright.solvers.contact` for one rectangle, in plain Python: one answer, with nothing to load first.

The part in contact is the square cut by the line where the pressure ends, a polygon whose moments are known exactly.
For a given polygon the plane follows from three linear equations; Newton's method is to solve them again for the polygon
of the plane just found, with shorter steps where that would not lower the energy. All is counted from the corner nearest
the load, so that nothing cancels where little of the rectangle bears.
"""

from itertools import pairwise

from slabwright.errors import NotConverged, OutOfRange

Plane = tuple[float, float, float]
Point = tuple[float, float]

_SQUARE: tuple[Point, ...] = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
_CLOSE = 1e-12


def balanced_plane(u: float, v: float) -> Plane:
    """Plane of pressure over the unit square whose part above nought balances a unit load.

    Parameters
    ----------
    u, v : float
        Place of the load from the middle, as parts of the sides, within ±1/2.

    Returns
    -------
    tuple
        Pressure in the middle and its slopes along both axes, for a unit load on a unit square.

    Raises
    ------
    OutOfRange
        If the load acts on or outside a side.
    NotConverged
        If the balance is not found.
    """
    if max(abs(u), abs(v)) >= 0.5:
        raise OutOfRange("the load acts outside the footing, so it tips; move the post or widen the footing.")
    corner, fall_x, fall_y = _from_corner((1.0, 0.5 - abs(u), 0.5 - abs(v)))
    return corner + (fall_x + fall_y) / 2, -fall_x if u >= 0 else fall_x, -fall_y if v >= 0 else fall_y


def contact_share(plane: Plane) -> float:
    """Part of the unit square on which a plane, given from its middle, is above nought."""
    mean, along_x, along_y = plane
    return _moments((mean - (along_x + along_y) / 2, along_x, along_y))[0][0]


def _from_corner(target: Plane) -> Plane:
    """Pressure at the corner nearest the load and its slopes away from it; the target is force and moments about there."""
    plane = _first_plane(*target[1:])
    matrix = _moments(plane)
    for _ in range(60):
        excess = [sum(m * p for m, p in zip(row, plane, strict=True)) - t for row, t in zip(matrix, target, strict=True)]
        if all(abs(one) < _CLOSE * t for one, t in zip(excess, target, strict=True)):
            return plane
        step = _solved(matrix, excess)
        energy, slope = _energy(plane, matrix, target), -sum(g * s for g, s in zip(excess, step, strict=True))
        length = 1.0
        while True:
            trial = (plane[0] - length * step[0], plane[1] - length * step[1], plane[2] - length * step[2])
            new = _moments(trial)
            if length < 1e-6 or _energy(trial, new, target) <= energy + 1e-4 * length * slope + 1e-13 * abs(energy):
                break
            length /= 2
        plane, matrix = trial, new
    raise NotConverged(_LOST)


def _moments(plane: Plane) -> tuple[Plane, Plane, Plane]:
    """Area, first and second moments about the corner of the part on which a plane is above nought, as a matrix."""
    area = x1 = y1 = xx = xy = yy = 0.0
    corners = _in_contact(plane)
    for (xa, ya), (xb, yb) in pairwise((*corners, *corners[:1])):
        cross = xa * yb - xb * ya
        area += cross / 2
        x1 += cross * (xa + xb) / 6
        y1 += cross * (ya + yb) / 6
        xx += cross * (xa * xa + xa * xb + xb * xb) / 12
        yy += cross * (ya * ya + ya * yb + yb * yb) / 12
        xy += cross * (xa * yb + 2 * xa * ya + 2 * xb * yb + xb * ya) / 24
    return (area, x1, y1), (x1, xx, xy), (y1, xy, yy)


def _in_contact(plane: Plane) -> list[Point]:
    """The square cut by the line on which a plane is nought."""
    height, along_x, along_y = plane
    heights = [height + along_x * x + along_y * y for x, y in _SQUARE]
    found: list[Point] = []
    for k, (x, y) in enumerate(_SQUARE):
        (xn, yn), here, there = _SQUARE[(k + 1) % 4], heights[k], heights[(k + 1) % 4]
        if here >= 0:
            found.append((x, y))
        if (here < 0) != (there < 0):
            part = here / (here - there)
            found.append((x + part * (xn - x), y + part * (yn - y)))
    return found


def _energy(plane: Plane, matrix: tuple[Plane, Plane, Plane], target: Plane) -> float:
    """Half the integral of the squared pressure less the work of the load."""
    squared = sum(p * m * q for p, row in zip(plane, matrix, strict=True) for m, q in zip(row, plane, strict=True))
    return squared / 2 - sum(p * t for p, t in zip(plane, target, strict=True))


def _first_plane(x: float, y: float) -> Plane:
    """For a load that far from the corner: the pyramid, exact where it ends within both sides, else the one-way wedge."""
    if max(x, y) <= 0.25:
        peak = 6 / (16 * x * y)
        return peak, -peak / (4 * x), -peak / (4 * y)
    reach = min(1.0, 3 * min(x, y))
    steep, gentle = 2 / reach**2, 12 * (0.5 - max(x, y))
    along_x, along_y = (steep, gentle) if x <= y else (gentle, steep)
    return 2 / reach + gentle / 2, -along_x, -along_y


def _solved(matrix: tuple[Plane, Plane, Plane], right: list[float]) -> Plane:
    """Three linear equations by Cramer's rule."""
    (a, b, c), (d, e, f), (g, h, i) = matrix
    whole = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    if whole == 0:
        raise NotConverged(_LOST)
    p, q, r = right
    return (
        (p * (e * i - f * h) - b * (q * i - f * r) + c * (q * h - e * r)) / whole,
        (a * (q * i - f * r) - p * (d * i - f * g) + c * (d * r - q * g)) / whole,
        (a * (e * r - q * h) - b * (d * r - q * g) + p * (d * h - e * g)) / whole,
    )


_LOST = "the pressure under a footing was not found; the load acts almost on its side."
