"""Shave and fill: the least work that brings the base within its band, marks to paint, and what raising the floor would do."""

import math
from dataclasses import dataclass

import numpy as np

from slabwright.standards.aci_117_10 import FINE_GRADE_M
from slabwright.studies.grade.surface import BaseSurface, Floats
from slabwright.units import INCH_M

EIGHTH_M = INCH_M / 8
MILLIMETRES_M = 0.003
_HAIR_M = 0.0005
_SHIFTS = range(-6, 7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A patch to shave (positive amounts) or to fill (negative).

    Attributes
    ----------
    at : (x, y)
        Its worst place. [m]
    depth_m : float
        To take off there; negative to bring on. [m]
    area_m2, volume_m3 : float
        [m², m³]
    """

    at: tuple[float, float]
    depth_m: float
    area_m2: float
    volume_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What to paint at a shot: so many steps to cut (positive) or to fill (negative); nought is right as it is."""

    name: str
    at: tuple[float, float]
    steps: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """The whole floor raised (positive) or lowered.

    Attributes
    ----------
    by_m : float
    shave_m3, fill_m3 : float
        Work left on the base. [m³]
    concrete_m3 : float
        More (positive) or less concrete than at the drawn level. [m³]
    """

    by_m: float
    shave_m3: float
    fill_m3: float
    concrete_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """The work on the base.

    Attributes
    ----------
    high_limit_m, low_limit_m : float
        The base may lie so much above and below its drawn level. [m]
    spots : tuple of Spot
        Largest volume first.
    marks : tuple of Mark
    step_m : float
        One step of the marks: 1/8 in., or 3 mm. [m]
    shave_m3, fill_m3 : float
        In place. [m³]
    shifts : tuple of Shift
        The drawn level is among them.
    shave_map_m : (g,) float
        What to take off (positive) or bring on at the nodes of the map. [m]
    """

    high_limit_m: float
    low_limit_m: float
    spots: tuple[Spot, ...]
    marks: tuple[Mark, ...]
    step_m: float
    shave_m3: float
    fill_m3: float
    shifts: tuple[Shift, ...]
    shave_map_m: Floats

    @property
    def least_work(self) -> Shift:
        """The level of the floor that leaves the least to move."""
        return min(self.shifts, key=lambda shift: (round(shift.shave_m3 + shift.fill_m3, 6), abs(shift.by_m)))


def trim(surface: BaseSurface, high_limit_m: float, step_m: float, low_limit_m: float = FINE_GRADE_M) -> Trim:
    """Least work to bring the base within its band: each place is moved to the nearer limit and no farther.

    Parameters
    ----------
    surface : BaseSurface
        Measured.
    high_limit_m : float
        How much the base may lie too high, the floor too thin. [m]
    step_m : float
        Of the paint marks. [m]
    low_limit_m : float
        How much it may lie too low. [m]
    """
    cell = surface.area_m2 / len(surface.mean_m)
    work = _work(surface.mean_m, high_limit_m, low_limit_m)
    at_shots = _work(np.array([shot.deviation_m for shot in surface.shots]), high_limit_m, low_limit_m)
    marks = tuple(
        Mark(name=shot.name, at=shot.at, steps=int(math.copysign(math.ceil(abs(amount) / step_m - 1e-6), amount)) if amount else 0)
        for shot, amount in zip(surface.shots, at_shots.tolist(), strict=True)
    )
    return Trim(
        high_limit_m=high_limit_m,
        low_limit_m=low_limit_m,
        spots=_spots(surface, work, at_shots, cell),
        marks=marks,
        step_m=step_m,
        shave_m3=float(np.maximum(work, 0.0).sum() * cell),
        fill_m3=float(np.maximum(-work, 0.0).sum() * cell),
        shifts=tuple(_shift(surface, number * EIGHTH_M, high_limit_m, low_limit_m, cell) for number in _SHIFTS),
        shave_map_m=work,
    )


def _work(extra_depth: Floats, high_limit_m: float, low_limit_m: float) -> Floats:
    """To take off where the base stands too high, to bring on (negative) where it lies too low; a hair is left alone."""
    amount = np.maximum(-high_limit_m - extra_depth, 0.0) - np.maximum(extra_depth - low_limit_m, 0.0)
    return np.asarray(np.where(np.abs(amount) < _HAIR_M, 0.0, amount))


def _shift(surface: BaseSurface, by_m: float, high_limit_m: float, low_limit_m: float, cell: float) -> Shift:
    work = _work(surface.mean_m + by_m, high_limit_m, low_limit_m)
    return Shift(
        by_m=by_m,
        shave_m3=float(np.maximum(work, 0.0).sum() * cell),
        fill_m3=float(np.maximum(-work, 0.0).sum() * cell),
        concrete_m3=by_m * surface.area_m2,
    )


def _spots(surface: BaseSurface, work: Floats, at_shots: Floats, cell: float) -> tuple[Spot, ...]:
    """Patches of the map, each with the worst of its shots, and shots that no patch of the map shows."""
    from scipy.ndimage import label

    table = surface.nodes.spread(work)
    shots = {shot.at: amount for shot, amount in zip(surface.shots, at_shots.tolist(), strict=True) if amount}
    spots = []
    for sign in (1.0, -1.0):
        patches, count = label(np.nan_to_num(sign * table, nan=-1.0) > 0.0, structure=np.ones((3, 3)))
        for number in range(1, count + 1):
            rows, columns = np.nonzero(patches == number)
            amounts, xs, ys = table[rows, columns], surface.nodes.xs[columns], surface.nodes.ys[rows]
            worst = int(np.argmax(sign * amounts))
            at, depth = (float(xs[worst]), float(ys[worst])), float(amounts[worst])
            near = [
                place
                for place in shots
                if sign * shots[place] > 0 and np.hypot(xs - place[0], ys - place[1]).min() < 1.5 * surface.nodes.cell_m
            ]
            for place in near:
                amount = shots.pop(place)
                at, depth = (place, amount) if sign * amount > sign * depth else (at, depth)
            spots.append(Spot(at=at, depth_m=depth, area_m2=len(rows) * cell, volume_m3=float(abs(amounts).sum() * cell)))
    for place, amount in shots.items():
        spots.append(Spot(at=place, depth_m=amount, area_m2=cell, volume_m3=abs(amount) * cell / 3.0))
    return tuple(sorted(spots, key=lambda spot: -spot.volume_m3))
