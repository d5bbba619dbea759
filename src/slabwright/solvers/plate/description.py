"""A plate as a person describes it: outline, thickness, soil, regions that differ, lines where it folds."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.errors import Mechanism, OutOfRange
from slabwright.solvers.plate.reference import Floats

Points = Sequence[tuple[float, float]]
Field = float | Callable[[Floats], Floats]
_PROBES = 24
_TINY = float(np.finfo(float).tiny)


@dataclass(frozen=True, kw_only=True)
class Region:
    """A part of the plate that differs from the rest; what is not given stays as it was.

    Attributes
    ----------
    within : sequence of points, or shapely.Polygon
    thickness : float or callable or None
    spring, layer : float or None
        Soil under it.
    """

    within: Points | shapely.Polygon
    thickness: Field | None = None
    spring: float | None = None
    layer: float | None = None

    @property
    def polygon(self) -> shapely.Polygon:
        return polygon_of(self.within)


@dataclass(frozen=True, kw_only=True)
class Fold:
    """A line along an axis where the plate may fold and, within limits, step: a joint that carries shear only.

    Attributes
    ----------
    start, end : point
        Both on one line parallel to an axis.
    shear : float
        Shear force per length for a step of one, the stiffness of the interlock; 0 for a clean break.
    width : float or None
        Of the strip of soft cells that stands for the line; 1/200 of the thickness where not given.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    shear: float = 0.0
    width: float | None = None

    def __post_init__(self) -> None:
        if (self.start[0] == self.end[0]) == (self.start[1] == self.end[1]):
            raise OutOfRange(f"fold from {self.start} to {self.end}: it must run along an axis and have a length.")

    @property
    def across(self) -> int:
        """Axis that it cuts: 0 for a fold along y."""
        return 0 if self.start[0] == self.end[0] else 1


@dataclass(frozen=True, kw_only=True)
class Plate:
    """A plate on springs, in any one system of units (SI in this house: m, Pa, Pa/m, N).

    Deflection and the z axis point down. Where a thickness varies the tops are level: the middle surfaces lie at
    different depths and the plate stretches as it bends.

    Attributes
    ----------
    outline : sequence of points, or shapely.Polygon
        Any simple polygon; holes with shapely.
    thickness : float or callable
        Constant, or a function of points (n, 2); see also ``regions``.
    modulus, poisson : float
        Elastic.
    spring : float or callable
        Soil pressure per deflection, k. Pressure only: it never pulls, unless a solve asks for bonded soil.
    layer : float or callable
        Stiffness of a shear layer on the springs, force per length (second parameter of Pasternak's soil); it ends
        with the plate.
    regions : sequence of Region
        Later ones go before earlier ones.
    folds : sequence of Fold
    flush : bool
        False puts all middle surfaces in one plane: three unknowns a node instead of five, quicker and rougher.
    shear_correction : float
        kappa of the transverse shear stiffness kappa G h.
    lines : sequence of shapely geometry
        Where a thickness or spring given by a function jumps or kinks; the grid follows them.
    """

    outline: Points | shapely.Polygon
    thickness: Field
    modulus: float
    poisson: float
    spring: Field
    layer: Field = 0.0
    regions: Sequence[Region] = ()
    folds: Sequence[Fold] = ()
    flush: bool = True
    shear_correction: float = 5.0 / 6.0
    lines: Sequence[BaseGeometry] = field(default=())

    def __post_init__(self) -> None:
        for name, value, low, high in (
            ("modulus", self.modulus, 0.0, np.inf),
            ("poisson", self.poisson, -1.0, 0.5),
            ("shear_correction", self.shear_correction, 0.0, 1.0 + 1e-12),
        ):
            if not (np.isfinite(value) and low < value < high):
                raise OutOfRange(f"{name} must lie between {low} and {high} (got {value!r}).")

    @cached_property
    def polygon(self) -> shapely.Polygon:
        """The outline as a polygon."""
        return polygon_of(self.outline)

    def thickness_at(self, points: Floats) -> Floats:
        """Thickness at points (n, 2)."""
        return self._at(points, "thickness", "thickness", least=_TINY, least_in_region=_TINY)

    def spring_at(self, points: Floats) -> Floats:
        """Spring constant of the soil at points (n, 2); nought in regions that say so, where the soil is missing."""
        return self._at(points, "spring", "the spring constant k of the soil", least=_TINY, least_in_region=0.0)

    def layer_at(self, points: Floats) -> Floats:
        """Shear layer of the soil at points (n, 2)."""
        return self._at(points, "layer", "the shear layer of the soil", least=0.0, least_in_region=0.0)

    def _at(self, points: Floats, name: str, words: str, *, least: float, least_in_region: float) -> Floats:
        values = _checked(getattr(self, name), points, words, least)
        for region in self.regions:
            own = getattr(region, name)
            if own is not None:
                inside = shapely.contains_xy(region.polygon, points[:, 0], points[:, 1])
                values[inside] = _checked(own, points[inside], words, least_in_region)
        return values

    def fold_width(self, fold: Fold) -> float:
        """Width of the strip of cells that stands for a fold."""
        if fold.width is not None:
            return fold.width
        middle = np.array([[(fold.start[0] + fold.end[0]) / 2.0, (fold.start[1] + fold.end[1]) / 2.0]])
        return float(self.thickness_at(middle)[0]) / 200.0

    def length(self) -> float:
        """Radius of relative stiffness of the thinnest part of the plate on its middling soil."""
        low_x, low_y, high_x, high_y = self.polygon.bounds
        steps = (np.arange(_PROBES) + 0.5) / _PROBES
        grid = np.meshgrid(low_x + steps * (high_x - low_x), low_y + steps * (high_y - low_y))
        probes = np.stack([axis.ravel() for axis in grid], axis=1)
        inside = probes[shapely.contains_xy(self.polygon, probes[:, 0], probes[:, 1])]
        if not len(inside):
            inside = np.array(self.polygon.representative_point().coords)
        thickness, springs = self.thickness_at(inside).min(), self.spring_at(inside)
        if not springs.any():
            raise Mechanism("no soil under the plate: the spring constant is nought everywhere.")
        spring = float(np.median(springs[springs > 0.0]))
        return float((self.modulus * thickness**3 / (12.0 * (1.0 - self.poisson**2) * spring)) ** 0.25)


def polygon_of(shape: Points | shapely.Polygon) -> shapely.Polygon:
    return shape if isinstance(shape, shapely.Polygon) else shapely.Polygon(shape)


def evaluated(value: Field, points: Floats) -> Floats:
    if callable(value):
        return np.array(value(points), dtype=float)
    return np.full(len(points), float(value))


def _checked(value: Field, points: Floats, words: str, least: float) -> Floats:
    """Values at points, none of them below the least that makes sense."""
    values = evaluated(value, points)
    wrong = ~(np.isfinite(values) & (values >= least))
    if wrong.any():
        x, y = points[np.argmax(wrong)]
        rule = "must be above nought" if least > 0.0 else "must not be negative"
        raise OutOfRange(f"at ({x:.4g}, {y:.4g}): {words} {rule} (got {values[np.argmax(wrong)]:.4g}).")
    return values
