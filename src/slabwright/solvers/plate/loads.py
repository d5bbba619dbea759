"""Loads on a plate, and the nodal forces that stand for them.

A force is positive down. ``moment_x`` tilts towards +x: it presses harder on the +x side. Every load knows its own
resultant, so that a solution can be held against it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.errors import OutOfRange
from slabwright.solvers.plate.description import Field, Plate, Points, evaluated, polygon_of
from slabwright.solvers.plate.grid import Focus, Pieces
from slabwright.solvers.plate.mesh import Mesh
from slabwright.solvers.plate.reference import Floats, Longs, gauss_points, shape_slopes, shape_values


class Resultant(NamedTuple):
    """Sum of forces and their moments about the origin: force, force·x, force·y."""

    force: float
    force_x: float
    force_y: float


@dataclass(frozen=True, kw_only=True)
class Patch:
    """A force spread over a rectangle, such as a post's base, with moments if it has any.

    Attributes
    ----------
    at : point
        Its centre.
    force : float
    size_x, size_y : float
        Sides before rotation.
    rotation : float
        Counter-clockwise, in radians.
    moment_x, moment_y : float
        About the centre: pressure grows linearly towards +x, +y of the plan.
    name : str
    """

    at: tuple[float, float]
    force: float
    size_x: float
    size_y: float
    rotation: float = 0.0
    moment_x: float = 0.0
    moment_y: float = 0.0
    name: str = "patch"

    @property
    def shape(self) -> shapely.Polygon:
        x, y = self.at
        box = shapely.box(x - self.size_x / 2, y - self.size_y / 2, x + self.size_x / 2, y + self.size_y / 2)
        return shapely.affinity.rotate(box, self.rotation, origin=self.at, use_radians=True) if self.rotation else box

    @property
    def focus(self) -> tuple[Focus, ...]:
        return (Focus(*self.at, min(self.size_x, self.size_y) / 2.0),)


@dataclass(frozen=True, kw_only=True)
class LineLoad:
    """A force per length along a run of straight lines.

    ``fineness`` is the cell size wanted along it; 0 leaves the grid as it is.
    """

    line: Points
    force: float
    fineness: float = 0.0
    name: str = "line load"

    @property
    def shape(self) -> shapely.LineString:
        return shapely.LineString(self.line)

    @property
    def focus(self) -> tuple[Focus, ...]:
        if self.fineness <= 0.0:
            return ()
        return tuple(Focus(x, y, self.fineness) for x, y in self.line)


@dataclass(frozen=True, kw_only=True)
class Pressure:
    """A pressure on all of the plate, or on the part of it within a polygon."""

    pressure: float
    within: Points | BaseGeometry | None = None
    name: str = "pressure"


@dataclass(frozen=True, kw_only=True)
class Weight:
    """The plate's own weight: force per volume times its thickness, or times another depth than the stiffness has.

    ``cast_on_soil`` says that the soil carried it before the plate was stiff, as it does a slab that is cast on it: it
    presses on the soil and holds the plate down, but bends nothing as long as the plate does not lift.
    """

    unit_weight: float
    depth: Field | None = None
    cast_on_soil: bool = False
    name: str = "weight"

    def pressure_at(self, points: Floats, plate: Plate) -> Floats:
        """Weight per area at points (n, 2)."""
        depth = plate.thickness_at(points) if self.depth is None else evaluated(self.depth, points)
        return self.unit_weight * depth

    def pressure_on(self, mesh: Mesh) -> Floats:
        """Weight per area at the quadrature points of a mesh."""
        return self.unit_weight * (mesh.elements.thickness if self.depth is None else mesh.known(self.depth))


@dataclass(frozen=True, kw_only=True)
class Gradient:
    """A strain that the plate would take freely, linear over its upper ``depth`` and nought below.

    It is counted from the middle of that layer: a mean shortening has no place here, as nothing holds it back.

    Attributes
    ----------
    curvature : float
        Free strain per depth, for warmth the expansion coefficient times the gradient. Positive where the bottom is
        the warmer or the top the drier: the edges curl up.
    depth : float or None
        Depth of the layer that feels it; None for the whole of every thickness. Thickenings are not to be curled
        by the floor's own gradient: give the floor's thickness, and they feel no more than the couple of that layer.
    """

    curvature: float
    depth: float | None = None
    name: str = "gradient"


Load = Patch | LineLoad | Pressure | Weight | Gradient


def forces_of(load: Load, mesh: Mesh) -> tuple[Floats, Resultant]:
    """Nodal forces and the resultant of one load.

    Raises
    ------
    OutOfRange
        If a patch or line lies off the plate.
    """
    match load:
        case LineLoad():
            key = ("line", *((float(x), float(y)) for x, y in load.line))
            return _times(load.force, mesh.kept(key, lambda: _spread(*_line_points(load, mesh), mesh)))
        case Weight():
            unit = replace(load, unit_weight=1.0)
            return _times(load.unit_weight, mesh.kept(("weight", load.depth), lambda: _spread(*_weight_points(unit, mesh), mesh)))
        case Patch():
            return _spread(*_patch_points(load, mesh), mesh)
        case Pressure():
            cell, at, area = _area_points(load.within, mesh)
            return _spread(cell, at, load.pressure * area, mesh)
        case Gradient():
            return _gradient_forces(load, mesh), Resultant(0.0, 0.0, 0.0)


def _times(strength: float, unit: tuple[Floats, Resultant]) -> tuple[Floats, Resultant]:
    """A load of one shape and another strength."""
    return strength * unit[0], Resultant(*(strength * one for one in unit[1]))


def _spread(cell: Longs, at: Floats, force: Floats, mesh: Mesh) -> tuple[Floats, Resultant]:
    """Nodal forces and resultant of forces at places in cells."""
    nodes = mesh.elements.nodes[cell].astype(np.int64) * mesh.elements.n_fields
    shares = (force[:, None] * shape_values(mesh.order, at)).ravel()
    out: Floats = np.bincount(nodes.ravel(), weights=shares, minlength=mesh.n_unknowns).astype(float)
    i, j = mesh.grid.cells()
    x = mesh.grid.x[i[cell]] + at[:, 0] * mesh.elements.side[cell, 0]
    y = mesh.grid.y[j[cell]] + at[:, 1] * mesh.elements.side[cell, 1]
    return out, Resultant(float(force.sum()), float(force @ x), float(force @ y))


def moved_forces(patch: Patch, places: Floats, mesh: Mesh) -> Floats:
    """Nodal forces (m, n) of a patch moved by each of some places (m, 2).

    Raises
    ------
    OutOfRange
        If the patch is off the plate at some place.
    """
    size, middles = np.array([patch.size_x, patch.size_y]), places + patch.at
    if patch.rotation or patch.moment_x or patch.moment_y or not (size > 0.0).all():
        return np.stack([forces_of(moved(patch, place), mesh)[0] for place in places])
    low, high = middles - size / 2.0, middles + size / 2.0
    within = np.asarray(shapely.covers(mesh.grid.outline, shapely.box(*low.T, *high.T)))
    along = [mesh.grid.shares_along(axis, low[:, axis], high[:, axis], mesh.order) for axis in (0, 1)]
    forces = np.zeros((len(places), mesh.n_unknowns))
    for row, place, on_plate, in_x, in_y in zip(forces, places, within, *along, strict=True):
        i, j = np.nonzero(in_x)[0], np.nonzero(in_y)[0]
        nodes = mesh.number[i[:, None], j]
        if on_plate and (nodes >= 0).all():
            row[nodes * mesh.elements.n_fields] = patch.force * np.outer(in_x[i], in_y[j])
        else:
            row += forces_of(moved(patch, place), mesh)[0]
    return forces


def moved(patch: Patch, place: Floats) -> Patch:
    """A patch of a group whose origin stands at a place."""
    return replace(patch, at=(patch.at[0] + float(place[0]), patch.at[1] + float(place[1])))


def pressure_at_rest(loads: Sequence[Load], points: Floats, plate: Plate) -> Floats:
    """Soil pressure at points (n, 2) before the plate was stiff."""
    found = np.zeros(len(points))
    for load in loads:
        if isinstance(load, Weight) and load.cast_on_soil:
            found += load.pressure_at(points, plate)
    return np.where(plate.spring_at(points) > 0.0, found, 0.0) if found.any() else found


def resting_on(loads: Sequence[Load], mesh: Mesh) -> Floats:
    """The same at the quadrature points of a mesh."""
    found = np.zeros(len(mesh.elements.area))
    for load in loads:
        if isinstance(load, Weight) and load.cast_on_soil:
            found += load.pressure_on(mesh)
    return np.where(mesh.elements.spring > 0.0, found, 0.0)


def _patch_points(load: Patch, mesh: Mesh) -> tuple[Longs, Floats, Floats]:
    """Cells, places in them and forces of the quadrature points of a patch."""
    pieces, along = mesh.kept(("patch", load.at, load.size_x, load.size_y, load.rotation), lambda: _patch_pieces(load, mesh))
    c, s = math.cos(load.rotation), math.sin(load.rotation)
    towards = (c * load.moment_x + s * load.moment_y, -s * load.moment_x + c * load.moment_y)
    sides = (load.size_x, load.size_y)
    share = np.full(len(along), float(load.force))
    for axis in (0, 1):
        share += 12.0 * towards[axis] / sides[axis] ** 2 * along[:, axis]
    return pieces.cell, pieces.at, share * pieces.area / pieces.area.sum()


def _patch_pieces(load: Patch, mesh: Mesh) -> tuple[Pieces, Floats]:
    """Quadrature over a patch, and where its points lie along its own axes."""
    shape = load.shape
    if load.size_x <= 0.0 or load.size_y <= 0.0:
        raise OutOfRange(f"{load.name}: a patch needs two sides above nought (got {load.size_x!r} by {load.size_y!r}).")
    off = shapely.Polygon() if mesh.grid.outline.covers(shape) else shape.difference(mesh.grid.outline)
    if off.area > 1e-6 * shape.area:
        x, y = off.representative_point().coords[0]
        raise OutOfRange(
            f"{load.name} at ({load.at[0]:.4g}, {load.at[1]:.4g}): {off.area / shape.area:.0%} of it lies off the plate, "
            f"about ({x:.4g}, {y:.4g})."
        )
    pieces = mesh.grid.pieces_of(shape, mesh.order) if load.rotation else mesh.grid.rectangle(shape.bounds, mesh.order)
    i, j = mesh.grid.cells()
    spot = np.stack([mesh.grid.x[i], mesh.grid.y[j]], axis=1)[pieces.cell] + pieces.at * mesh.elements.side[pieces.cell]
    c, s = math.cos(load.rotation), math.sin(load.rotation)
    return pieces, (spot - load.at) @ np.array([[c, -s], [s, c]])


def _line_points(load: LineLoad, mesh: Mesh) -> tuple[Longs, Floats, Floats]:
    """The same of a line with a force of one per length."""
    points, weights = gauss_points(mesh.order + 1)
    ends = mesh.grid.along(load.line)
    spots = (ends[:, :1] + points[:, None] * (ends[:, 1:] - ends[:, :1])).reshape(-1, 2)
    force = (np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)[:, None] * weights).ravel()
    try:
        cell, at = mesh.grid.locate(spots)
    except OutOfRange as error:
        raise OutOfRange(f"{load.name}: {error}") from None
    return cell, at, force


def _weight_points(load: Weight, mesh: Mesh) -> tuple[Longs, Floats, Floats]:
    cell, at, area = _area_points(None, mesh)
    return cell, at, load.pressure_on(mesh) * area


def _area_points(within: Points | BaseGeometry | None, mesh: Mesh) -> tuple[Longs, Floats, Floats]:
    if within is not None:
        region = within if isinstance(within, BaseGeometry) else polygon_of(within)
        pieces = mesh.grid.pieces_of(region, mesh.order)
        return pieces.cell, pieces.at, pieces.area
    cell = np.repeat(np.arange(len(mesh.elements.side)), np.diff(mesh.elements.start))
    return cell, mesh.elements.at, mesh.elements.area


def free_moment(thickness: Floats, load: Gradient) -> Floats:
    """Moment per width and unit modulus of a free strain in given thicknesses."""
    layer = thickness if load.depth is None else np.minimum(load.depth, thickness)
    return load.curvature * layer**3 / 12.0


def _gradient_forces(load: Gradient, mesh: Mesh) -> Floats:
    """Nodal forces of a free strain, the same in x and y."""
    elements, m = mesh.elements, mesh.elements.n_fields
    cell = np.repeat(np.arange(len(elements.side)), np.diff(elements.start))
    moment = elements.modulus * (1.0 + elements.poisson) * elements.area * free_moment(elements.thickness, load)
    first = elements.nodes[cell].astype(np.int64) * m
    out = np.zeros(mesh.n_unknowns)
    for axis, slopes in enumerate(shape_slopes(mesh.order, elements.at, elements.side[cell])):
        strength = moment * elements.bend[cell, axis]
        out += np.bincount((first + 1 + axis).ravel(), weights=(strength[:, None] * slopes).ravel(), minlength=mesh.n_unknowns)
    return out
