"""The surface of the base as far as it is known: how much deeper than drawn it lies, place by place."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.errors import MissingInput, OutOfRange
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.survey import BaseSurvey, ScanSurface
from slabwright.solvers.gaussian_field import Field, fitted_field
from slabwright.solvers.kriging import Trend
from slabwright.solvers.variogram import Shape, Variogram
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.units import INCH_M

Floats = NDArray[np.float64]

CORE_SURVEYS = Source("ASCC Position Statement 9", "Slab thickness: cores of seven projects, over 2,000 cores, as cited there")
BUMPS = Clause(CORE_SURVEYS, "standard deviation of slab thickness 0.47 to 0.90 in.", Basis.QUOTED)
UNSURVEYED = practice("a base that is not surveyed lies 1/4 in. low on the average, give or take 0.3 in.")

UNSURVEYED_BIAS_M, UNSURVEYED_BIAS_SD_M = 0.25 * INCH_M, 0.30 * INCH_M
BUMP_SD_M = 0.5 * INCH_M
BUMP_LENGTH_M = 1.5
_LEAST_SHOTS = 6
MAP_NODES = 2400
_FEW_NODES, _MANY_NODES = 500, 2000
_MANY_SHOTS = 500
N_DRAWS = 1000


@dataclass(frozen=True, slots=True, eq=False)
class Nodes:
    """Square cells over the floor's own base.

    Attributes
    ----------
    xs, ys : (columns,), (rows,) float
        Middles of the cells. [m]
    mask : (rows, columns) bool
        Cells whose middle lies over the floor's own base.
    cell_m : float
    """

    xs: Floats
    ys: Floats
    mask: NDArray[np.bool_]
    cell_m: float

    @property
    def places(self) -> Floats:
        """Middles of the masked cells, row after row, (g, 2). [m]"""
        x, y = np.meshgrid(self.xs, self.ys)
        return np.column_stack([x[self.mask], y[self.mask]])

    @property
    def all_places(self) -> Floats:
        """Middles of all cells, row after row. [m]"""
        x, y = np.meshgrid(self.xs, self.ys)
        return np.column_stack([x.ravel(), y.ravel()])

    def spread(self, values: Floats) -> Floats:
        """Values of the masked cells as a table with NaN elsewhere."""
        table = np.full(self.mask.shape, np.nan)
        table[self.mask] = values
        return table


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotFound:
    """A shot as thickness.

    Attributes
    ----------
    name : str
    at : (x, y)
        [m]
    thickness_m, design_m : float
    """

    name: str
    at: tuple[float, float]
    thickness_m: float
    design_m: float

    @property
    def deviation_m(self) -> float:
        """Thicker (positive) or thinner than drawn. [m]"""
        return self.thickness_m - self.design_m


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BaseSurface:
    """What is known of the base.

    Attributes
    ----------
    area_m2 : float
        The floor's own base, without edge, strips and pads. [m²]
    nodes : Nodes
        Of the map.
    map_m : (rows, columns) float
        Extra depth of the mean surface at all cells, for contours that reach the edges. [m]
    mean_m, sd_m : (g,) float
        Extra depth against the drawing at the nodes, positive where the concrete gets thicker, and its standard
        deviation. [m]
    draws_m : (n, k) float
        Equally likely surfaces at coarser nodes, the common error of the datum included. [m]
    shots : tuple of ShotFound
        Empty where nothing was measured.
    plane_m : tuple of float
        Level, and rise to the east and to the north across the floor, of the mean surface. [m]
    datum_sd_m : float
    triangulated_m : float or None
        Mean extra depth of the triangulated shots, beside that of the field over the same area. [m]
    field_there_m : float or None
    variogram : Variogram or None
    measured : bool
    """

    area_m2: float
    nodes: Nodes
    map_m: Floats
    mean_m: Floats
    sd_m: Floats
    draws_m: Floats
    shots: tuple[ShotFound, ...]
    plane_m: tuple[float, float, float]
    datum_sd_m: float
    triangulated_m: float | None
    field_there_m: float | None
    variogram: Variogram | None
    measured: bool

    @property
    def bias_m(self) -> float:
        """Mean extra depth. [m]"""
        return float(self.draws_m.mean())

    @property
    def bias_sd_m(self) -> float:
        """Its standard deviation. [m]"""
        return float(self.draws_m.mean(axis=1).std())

    @property
    def bumps_m(self) -> float:
        """Scatter of the surface about its mean. [m]"""
        return float(np.sqrt(self.draws_m.var(axis=1).mean()))


def surface_of(foundation: Foundation, survey: BaseSurvey | None, rng: np.random.Generator, *, n_map_nodes: int = MAP_NODES) -> BaseSurface:
    """Fit the surface to the shots, or state what an unsurveyed base is taken to be.

    Parameters
    ----------
    foundation : Foundation
    survey : BaseSurvey or None
    rng : numpy Generator
    n_map_nodes : int
        How finely the map is drawn.

    Raises
    ------
    MissingInput
        For shots too few or too badly placed to make a surface.
    """
    area = _own_area(foundation)
    nodes = _nodes(foundation, area, n_map_nodes)
    if survey is None or not survey.shots:
        return _assumed(foundation, area, nodes, rng)
    if len(survey.shots) < _LEAST_SHOTS:
        raise MissingInput(
            f"{len(survey.shots)} shots do not make a surface; shoot {_LEAST_SHOTS} or more, no farther apart than 12 ft (3.6 m)."
        )
    found = shots_found(survey, foundation)
    places = np.array([shot.at for shot in found])
    values = np.array([shot.deviation_m for shot in found])
    try:
        field = fitted_field(places, values, noise_sd=survey.instrument.level_sd_m, trend=_trend(len(found)))
    except OutOfRange as error:
        raise MissingInput(f"the shots make no surface: {error}") from None
    looked = field.at(nodes.all_places)
    n_coarse = _MANY_NODES if len(found) > _MANY_SHOTS else _FEW_NODES
    coarse = _nodes(foundation, area, min(n_coarse, n_map_nodes))
    draws = field.at(coarse.places).simulate(N_DRAWS, rng)
    draws += survey.instrument.datum_sd_m * rng.standard_normal(N_DRAWS)[:, None]
    table = looked.mean.reshape(nodes.mask.shape)
    mean = _with_scan(table[nodes.mask], nodes, survey.scan, foundation)
    table[nodes.mask] = mean
    triangulated, there = _triangulated(places, values, nodes, mean)
    return BaseSurface(
        area_m2=area,
        nodes=nodes,
        map_m=table,
        mean_m=mean,
        sd_m=np.hypot(looked.sd.reshape(nodes.mask.shape)[nodes.mask], survey.instrument.datum_sd_m),
        draws_m=draws,
        shots=found,
        plane_m=_plane(field, nodes),
        datum_sd_m=survey.instrument.datum_sd_m,
        triangulated_m=triangulated,
        field_there_m=there,
        variogram=field.variogram,
        measured=True,
    )


def shots_found(survey: BaseSurvey, foundation: Foundation) -> tuple[ShotFound, ...]:
    """Shots as thicknesses, the falls of the top counted."""
    places = np.array([shot.at for shot in survey.shots])
    design, drop = foundation.thickness_m(places), foundation.drop_m(places)
    return tuple(
        ShotFound(name=shot.name, at=shot.at, thickness_m=-shot.level_m - float(fall), design_m=float(thick))
        for shot, thick, fall in zip(survey.shots, design, drop, strict=True)
    )


def _trend(n_shots: int) -> Trend:
    """A plane where there are shots enough to tell it."""
    return Trend.PLANE if n_shots >= 10 else Trend.LEVEL


def _own_area(foundation: Foundation) -> float:
    skirts = [part.skirt for part in foundation.parts if part.kind is not PartKind.FLOOR]
    return float(shapely.difference(foundation.region, shapely.union_all(skirts)).area)


def _nodes(foundation: Foundation, area: float, n: int) -> Nodes:
    """About ``n`` cells over the floor's own base."""
    x1, y1, x2, y2 = foundation.region.bounds
    cell = math.sqrt(area / n)
    n_x, n_y = max(2, round((x2 - x1) / cell)), max(2, round((y2 - y1) / cell))
    xs = x1 + (np.arange(n_x) + 0.5) * (x2 - x1) / n_x
    ys = y1 + (np.arange(n_y) + 0.5) * (y2 - y1) / n_y
    x, y = np.meshgrid(xs, ys)
    part = foundation.part_at(np.column_stack([x.ravel(), y.ravel()]))
    floor = np.array([one.kind is PartKind.FLOOR for one in foundation.parts])
    mask = ((part >= 0) & floor[np.maximum(part, 0)]).reshape(x.shape)
    if not mask.any():
        raise MissingInput("edge, strips and pads leave no base of the floor to grade.")
    return Nodes(xs, ys, mask, cell)


def _assumed(foundation: Foundation, area: float, nodes: Nodes, rng: np.random.Generator) -> BaseSurface:
    """Bias and bumps of bases in general."""
    coarse = _nodes(foundation, area, _FEW_NODES)
    form = Variogram(shape=Shape.MATERN_32, sill=BUMP_SD_M**2, length=BUMP_LENGTH_M)
    places = coarse.places
    root = np.linalg.cholesky(form.covariance(places, places) + 1e-12 * np.eye(len(places)))
    bumps = rng.standard_normal((N_DRAWS, len(places))) @ root.T
    bias = UNSURVEYED_BIAS_M + UNSURVEYED_BIAS_SD_M * rng.standard_normal(N_DRAWS)
    n = int(nodes.mask.sum())
    return BaseSurface(
        area_m2=area,
        nodes=nodes,
        map_m=np.full(nodes.mask.shape, UNSURVEYED_BIAS_M),
        mean_m=np.full(n, UNSURVEYED_BIAS_M),
        sd_m=np.full(n, math.hypot(BUMP_SD_M, UNSURVEYED_BIAS_SD_M)),
        draws_m=bumps + bias[:, None],
        shots=(),
        plane_m=(UNSURVEYED_BIAS_M, 0.0, 0.0),
        datum_sd_m=0.0,
        triangulated_m=None,
        field_there_m=None,
        variogram=None,
        measured=False,
    )


def _with_scan(mean: Floats, nodes: Nodes, scan: ScanSurface | None, foundation: Foundation) -> Floats:
    """Where a scanner saw the base, the map shows what it saw."""
    if scan is None:
        return mean
    places = nodes.places
    column = ((places[:, 0] - scan.corner[0]) / scan.cell_m).astype(int)
    row = ((places[:, 1] - scan.corner[1]) / scan.cell_m).astype(int)
    rows, columns = scan.level_m.shape
    inside = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
    seen = np.full(len(places), np.nan)
    seen[inside] = scan.level_m[row[inside], column[inside]]
    extra = -seen - foundation.drop_m(places) - foundation.thickness_m(places)
    return np.where(np.isfinite(extra), extra, mean)


def _triangulated(places: Floats, values: Floats, nodes: Nodes, mean: Floats) -> tuple[float, float]:
    """Mean over the triangles between the shots, and the mean of the field over the same area, as a cross-check."""
    from scipy.interpolate import LinearNDInterpolator, NearestNDInterpolator

    there = LinearNDInterpolator(places, values)(nodes.places)
    known = np.isfinite(there)
    if not known.any():
        nearest = NearestNDInterpolator(places, values)(nodes.places)
        return float(np.mean(nearest)), float(mean.mean())
    return float(there[known].mean()), float(mean[known].mean())


def _plane(field: Field, nodes: Nodes) -> tuple[float, float, float]:
    """Level in the middle and rise across the floor of the fitted trend."""
    places = nodes.places
    level, along, north = [*_coefficients(field), 0.0, 0.0][:3]
    centre = places.mean(axis=0)
    span: Sequence[float] = np.ptp(places, axis=0).tolist()
    return level + along * float(centre[0]) + north * float(centre[1]), along * span[0], north * span[1]


def _coefficients(field: Field) -> list[float]:
    return [float(value) for value in field.weights @ np.array([one.trend for one in field.candidates])]
