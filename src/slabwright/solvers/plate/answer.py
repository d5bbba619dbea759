"""What a solved plate can be asked."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.errors import NotConverged
from slabwright.solvers.plate.contact import SOLVED, Proof
from slabwright.solvers.plate.description import Points
from slabwright.solvers.plate.loads import Gradient, Load, Resultant, pressure_at_rest, resting_on
from slabwright.solvers.plate.mesh import Mesh
from slabwright.solvers.plate.recovery import M_X, M_XY, M_Y, N_X, N_XY, N_Y, Q_X, Q_Y, Recovery, section_forces
from slabwright.solvers.plate.reference import Flags, Floats, Longs, shape_values

_EQUILIBRIUM = 1e-9


class Quantity(Enum):
    """What can be mapped and searched for extremes; each a number per place."""

    DEFLECTION = "deflection"
    PRESSURE = "soil pressure"
    MOMENT_X = "moment in x"
    MOMENT_Y = "moment in y"
    MOMENT_XY = "twisting moment"
    MOMENT_GREATEST = "greatest principal moment"
    MOMENT_LEAST = "least principal moment"
    SHEAR = "shear"
    TOP_TENSION = "principal tension at the top"
    BOTTOM_TENSION = "principal tension at the bottom"


class Extreme(NamedTuple):
    """A value and where it is."""

    value: float
    x: float
    y: float


@dataclass(frozen=True, eq=False)
class Answer:
    """One load case solved.

    Attributes
    ----------
    mesh : Mesh
    loads : tuple of Load
    x : (n,) float64
        Displacements by node and field.
    contact : (nq,) bool
        Quadrature points where soil and plate touch.
    proof : Proof
    applied : Resultant
        Of all loads.
    gross : float
        Sum of the nodal forces without their signs, and of the nodal moments over the plate's size: what a gradient
        amounts to, which has no resultant.
    coarser : Answer or None
        The same case on cells of twice the size.
    """

    mesh: Mesh
    recovery: Recovery
    loads: tuple[Load, ...]
    x: Floats
    contact: Flags
    proof: Proof
    applied: Resultant
    gross: float
    coarser: "Answer | None" = None

    def __post_init__(self) -> None:
        for what, found, allowed in (
            ("soil reaction and loads", self.imbalance, _EQUILIBRIUM),
            ("forces at a node", self.proof.residual, SOLVED),
        ):
            if not found <= allowed:
                raise NotConverged(
                    f"{what} differ by {found:.1e} of the loads (allowed {allowed:.0e}); "
                    "the plate may be very thin or very stiff for its soil, or cut into very unequal cells."
                )

    @cached_property
    def reaction(self) -> Resultant:
        """What the soil carries."""
        elements = self.mesh.elements
        force = np.where(self.contact, elements.area * self._pressure, 0.0)
        return Resultant(float(force.sum()), *(float(value) for value in force @ self.mesh.points))

    @property
    def imbalance(self) -> float:
        """Difference between loads and reaction, in force and in moments over the plate's size, as a fraction."""
        low_x, low_y, high_x, high_y = self.mesh.plate.polygon.bounds
        elements = self.mesh.elements
        pressed = float((np.abs(self._pressure) * elements.area)[self.contact].sum())
        scale = max(self.gross, pressed)
        middle = ((low_x + high_x) / 2.0, (low_y + high_y) / 2.0)
        gap = [one - other for one, other in zip(self.applied, self.reaction, strict=True)]
        moments = (
            (gap[1] - middle[0] * gap[0]) / (high_x - low_x),
            (gap[2] - middle[1] * gap[0]) / (high_y - low_y),
        )
        return max(abs(gap[0]), *(abs(moment) for moment in moments)) / scale if scale > 0.0 else 0.0

    @cached_property
    def contact_fraction(self) -> float:
        """Part of the plate's area that presses on soil."""
        area = self.mesh.elements.area
        return float(area[self.contact & (self._pressure > 0.0)].sum() / area.sum())

    @cached_property
    def _pressure(self) -> Floats:
        """Soil pressure at the quadrature points, as if the soil could pull."""
        at_rest = resting_on(self.loads, self.mesh)
        return self.mesh.elements.spring * self.mesh.deflections(self.x) + at_rest

    @cached_property
    def forces(self) -> Floats:
        """Nodal section forces of every element, see :func:`section_forces`."""
        gradients = tuple(load for load in self.loads if isinstance(load, Gradient))
        return section_forces(self.mesh, self.recovery, self.x, gradients)

    def deflection(self, points: Points | Floats) -> Floats:
        """Deflection at points (n, 2), positive down; counted from where the plate was cast, if its weight was."""
        cell, at = self.mesh.grid.locate(np.asarray(points))
        at_nodes = self.x[self.mesh.elements.nodes[cell] * self.mesh.elements.n_fields]
        return np.asarray((shape_values(self.mesh.order, at) * at_nodes).sum(axis=1))

    def pressing(self, points: Points | Floats) -> Floats:
        """Soil pressure at points, as if the soil could pull: negative where the plate has lifted off."""
        places = np.atleast_2d(np.asarray(points, dtype=float))
        at_rest = pressure_at_rest(self.loads, places, self.mesh.plate)
        return self.mesh.plate.spring_at(places) * self.deflection(places) + at_rest

    def pressure(self, points: Points | Floats) -> Floats:
        """Soil pressure at points; nought where the plate has lifted off."""
        return np.maximum(self.pressing(points), 0.0)

    def moments(self, points: Points | Floats) -> Floats:
        """Bending moments per width (n, 3): M_x, M_y, M_xy; tension at the bottom is positive."""
        return self._forces_at(points)[:, [M_X, M_Y, M_XY]]

    def shears(self, points: Points | Floats) -> Floats:
        """Shear forces per width (n, 2)."""
        return self._forces_at(points)[:, [Q_X, Q_Y]]

    def normal_forces(self, points: Points | Floats) -> Floats:
        """Forces per width in the plane (n, 3): N_x, N_y, N_xy; nought for a plate with level middle surfaces."""
        return self._forces_at(points)[:, [N_X, N_Y, N_XY]]

    def value(self, quantity: Quantity, points: Points | Floats) -> Floats:
        """Any quantity at points."""
        if quantity is Quantity.DEFLECTION:
            return self.deflection(points)
        if quantity is Quantity.PRESSURE:
            return self.pressure(points)
        places = np.atleast_2d(np.asarray(points, dtype=float))
        return _derived(quantity, self._forces_at(places), self.mesh.plate.thickness_at(places))

    def _forces_at(self, points: Points | Floats) -> Floats:
        """Section forces, from the shape functions through the nodal values; a mean of the cells that meet there."""
        places = np.atleast_2d(np.asarray(points, dtype=float))
        own, at_own = self.mesh.grid.locate(places)
        cells, at = self.mesh.grid.around(places)
        thickness = self.recovery.thickness.mean(axis=1)
        alike = (cells >= 0) & (np.abs(thickness[cells] - thickness[own]) <= 0.05 * thickness[own])
        cells, at = np.where(alike, cells, own), np.where(alike[..., None], at, at_own)
        shape = shape_values(self.mesh.order, at.reshape(-1, 2)).reshape(4, len(places), -1)
        found = np.einsum("kna,knaf->knf", shape, self.forces[cells])
        weight = np.where(alike.any(axis=0), alike, 1.0)
        return np.asarray((found * weight[..., None]).sum(axis=0) / weight.sum(axis=0)[:, None])

    def nodal(self, quantity: Quantity) -> tuple[Floats, Floats, Floats]:
        """A quantity at the nodes, element by element: x, y and value, each (ne, (p+1)**2); NaN off the outline."""
        if quantity not in self._nodal:
            self._nodal[quantity] = self._at_nodes(quantity)
        return self._nodal[quantity]

    @cached_property
    def _nodal(self) -> dict[Quantity, tuple[Floats, Floats, Floats]]:
        return {}

    def _at_nodes(self, quantity: Quantity) -> tuple[Floats, Floats, Floats]:
        elements, p = self.mesh.elements, self.mesh.order
        steps = np.linspace(0.0, 1.0, p + 1)
        places = self.mesh.places(np.array([(s, t) for s in steps for t in steps]))
        if quantity in (Quantity.DEFLECTION, Quantity.PRESSURE):
            values = self.x[elements.nodes * elements.n_fields]
            if quantity is Quantity.PRESSURE:
                at_rest = resting_on(self.loads, self.mesh)
                springs, before = (_element_mean(one, elements.start)[:, None] for one in (elements.spring, at_rest))
                values = np.maximum(springs * values + before, 0.0)
        else:
            values = _derived(quantity, self.forces, self.recovery.nodal_thickness)
        cut = np.unique(self.mesh.grid.cut.cell)
        if len(cut):
            outside = ~shapely.intersects_xy(self.mesh.grid.outline.buffer(1e-9), places[cut, :, 0], places[cut, :, 1])
            values = values.copy()
            values[cut] = np.where(outside, np.nan, values[cut])
        return places[..., 0], places[..., 1], values

    def lattice(self, quantity: Quantity) -> tuple[Floats, Floats, Floats]:
        """A quantity on the rectangular lattice of nodes, for maps: x (nx,), y (ny,), values (nx, ny); NaN off the plate.

        Where a thickness steps the two sides are averaged.
        """
        mesh, p = self.mesh, self.mesh.order
        steps = np.arange(p) / p
        x, y = (np.append((line[:-1, None] + np.diff(line)[:, None] * steps).ravel(), line[-1]) for line in (mesh.grid.x, mesh.grid.y))
        _, _, values = self.nodal(quantity)
        nodes, known = mesh.elements.nodes.ravel(), np.isfinite(values.ravel())
        n_nodes = mesh.n_unknowns // mesh.elements.n_fields
        total = np.bincount(nodes[known], weights=values.ravel()[known], minlength=n_nodes)
        count = np.bincount(nodes[known], minlength=n_nodes)
        means = np.append(np.divide(total, count, out=np.full(n_nodes, np.nan), where=count > 0), np.nan)
        return x, y, means[mesh.number]

    def greatest(self, quantity: Quantity, within: BaseGeometry | None = None) -> Extreme:
        """Largest value and its place, on the whole plate or within a region."""
        return self._extreme(quantity, within, np.nanargmax)

    def least(self, quantity: Quantity, within: BaseGeometry | None = None) -> Extreme:
        """Smallest value and its place."""
        return self._extreme(quantity, within, np.nanargmin)

    def _extreme(self, quantity: Quantity, within: BaseGeometry | None, choose: Callable[[Floats], np.intp]) -> Extreme:
        x, y, values = (array.ravel() for array in self.nodal(quantity))
        if within is not None:
            values = np.where(shapely.intersects_xy(within, x, y), values, np.nan)
        best = choose(values)
        return Extreme(float(values[best]), float(x[best]), float(y[best]))

    def spread(self, measure: Callable[["Answer"], float]) -> float:
        """Mesh uncertainty of a figure, as a fraction of it: its change against the coarser mesh, over three.

        Richardson's estimate for a quantity that converges with the square of the mesh size: cautious here, as
        elements of order 2 and 3 converge faster wherever loads and thickness are smooth.
        """
        if self.coarser is None:
            return 0.0
        fine, coarse = measure(self), measure(self.coarser)
        return abs(fine - coarse) / 3.0 / abs(fine) if fine else 0.0


def _element_mean(values: Floats, start: Longs) -> Floats:
    return np.add.reduceat(values, start[:-1]) / np.diff(start)


def _principal(x: Floats, y: Floats, xy: Floats) -> tuple[Floats, Floats]:
    middle, radius = (x + y) / 2.0, np.hypot((x - y) / 2.0, xy)
    return middle + radius, middle - radius


def _derived(quantity: Quantity, forces: Floats, thickness: Floats) -> Floats:
    """A quantity from section forces (..., 8) and thickness (...)."""
    n = [forces[..., k] / thickness for k in (N_X, N_Y, N_XY)]
    m = [forces[..., k] for k in (M_X, M_Y, M_XY)]
    bending = [6.0 * one / thickness**2 for one in m]
    match quantity:
        case Quantity.MOMENT_X:
            return m[0]
        case Quantity.MOMENT_Y:
            return m[1]
        case Quantity.MOMENT_XY:
            return m[2]
        case Quantity.MOMENT_GREATEST:
            return _principal(*m)[0]
        case Quantity.MOMENT_LEAST:
            return _principal(*m)[1]
        case Quantity.SHEAR:
            return np.hypot(forces[..., Q_X], forces[..., Q_Y])
        case Quantity.TOP_TENSION:
            return _principal(*(a - b for a, b in zip(n, bending, strict=True)))[0]
        case Quantity.BOTTOM_TENSION:
            return _principal(*(a + b for a, b in zip(n, bending, strict=True)))[0]
        case _:
            raise AssertionError(quantity)
