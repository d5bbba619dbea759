"""From a plate as described to the arrays the compiled kernels need."""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any, TypeVar

import numpy as np
import shapely
from scipy.sparse import csr_array
from shapely.geometry.base import BaseGeometry

from slabwright.solvers.plate.cholesky import Layout
from slabwright.solvers.plate.description import Field, Plate, evaluated
from slabwright.solvers.plate.dissection import dissect
from slabwright.solvers.plate.element import CUT, PLAIN, VARIED, Elements
from slabwright.solvers.plate.grid import Focus, Grid, graded_lines
from slabwright.solvers.plate.reference import Floats, Ints, Longs, reference, shape_values, tensor_points

T = TypeVar("T")
_STIFFEST_FOLD = 1e3
"""In D / l**3: passes on 99.9 % of a deflection."""
_LOOSEST = 1e-10
_NODES_OF_A_LEAF = 9
"""Of its cells, each counted with its inner nodes and one side of each pair: larger leaves are slower, measured."""
_EVEN = 1e-9


@dataclass(frozen=True, eq=False)
class Mesh:
    """A plate cut into elements, ready to be factored.

    Attributes
    ----------
    plate : Plate
    grid : Grid
    order : int
    elements : Elements
    layout : Layout
    number : (order*nx + 1, order*ny + 1) int32
        Node numbers on the node lattice.
    ground : (n,) float64
        Springs that hold the rigid motions in plane, which no load moves.
    """

    plate: Plate
    grid: Grid
    order: int
    elements: Elements
    layout: Layout
    number: Ints
    ground: Floats

    @property
    def n_unknowns(self) -> int:
        return self.layout.n

    @cached_property
    def points(self) -> Floats:
        """Plan position of every quadrature point, (nq, 2)."""
        i, j = self.grid.cells()
        cell = np.repeat(np.arange(len(i)), np.diff(self.elements.start))
        corner = np.stack([self.grid.x[i], self.grid.y[j]], axis=1)
        return corner[cell] + self.elements.at * self.elements.side[cell]

    @cached_property
    def interpolation(self) -> csr_array:
        """Deflection at the quadrature points from all unknowns, (nq, n); its transpose takes forces to the nodes."""
        elements = self.elements
        cell = np.repeat(np.arange(len(elements.side)), np.diff(elements.start))
        values = shape_values(self.order, elements.at)
        columns = elements.nodes[cell].astype(np.int64) * elements.n_fields
        ends = np.arange(len(cell) + 1) * values.shape[1]
        return csr_array((values.ravel(), columns.ravel(), ends), shape=(len(cell), self.n_unknowns))

    def known(self, field: Field) -> Floats:
        """A field at the quadrature points; asked of a function once."""
        return self.kept(("field", field), lambda: evaluated(field, self.points))

    def kept(self, key: Hashable, make: Callable[[], T]) -> T:
        """What is made of this mesh alone and wanted again, load after load."""
        if key not in self._kept:
            self._kept[key] = make()
        found: T = self._kept[key]
        return found

    @cached_property
    def _kept(self) -> dict[Hashable, Any]:
        return {}

    def deflections(self, x: Floats) -> Floats:
        """Deflection at every quadrature point."""
        return np.asarray(self.interpolation @ x)

    def nodal_forces(self, force: Floats) -> Floats:
        """Nodal forces of a force at every quadrature point."""
        return np.asarray(self.interpolation.T @ force)

    @cached_property
    def node_points(self) -> Floats:
        """Plan position of every node, (n_nodes, 2)."""
        steps = np.linspace(0.0, 1.0, self.order + 1)
        found = np.empty((self.n_unknowns // self.elements.n_fields, 2))
        found[self.elements.nodes] = self.places(np.array([(s, t) for s in steps for t in steps]))
        return found

    def places(self, at: Floats) -> Floats:
        """Plan positions of the same places of the unit square in every element: (ne, len(at), 2)."""
        i, j = self.grid.cells()
        corner = np.stack([self.grid.x[i], self.grid.y[j]], axis=1)
        return corner[:, None] + at * self.elements.side[:, None]


def grid_lines(
    plate: Plate, size: float, foci: Sequence[Focus] = (), extra: Sequence[BaseGeometry] = (), coarser: float = 1.0
) -> tuple[Floats, Floats]:
    """Lines of both axes that follow the plate's own edges and a wanted fineness.

    Parameters
    ----------
    plate : Plate
    size : float
        Largest cell.
    foci : sequence of Focus
    extra : sequence of geometry
        Outlines of loads, to be followed too.
    coarser : float
        Factor on every cell size.
    """
    shapes = [plate.polygon, *(region.polygon for region in plate.regions), *plate.lines, *extra]
    fixed: tuple[list[float], list[float]] = ([], [])
    straight = 1e-9 * size
    for shape in shapes:
        for part in shapely.get_parts(shape.boundary if shape.geom_type.endswith("Polygon") else shape):
            corners = shapely.get_coordinates(part)
            for start, end in pairwise(corners):
                for axis in (0, 1):
                    if abs(start[axis] - end[axis]) <= straight:
                        fixed[axis].append(float(start[axis]))
    low_x, low_y, high_x, high_y = plate.polygon.bounds
    exact = ([low_x, high_x], [low_y, high_y])
    for fold in plate.folds:
        half = plate.fold_width(fold) / 2.0
        exact[fold.across].extend([fold.start[fold.across] - half, fold.start[fold.across] + half])
    x, y = (
        graded_lines(exact[axis], fixed[axis], size, [((focus.x, focus.y)[axis], focus.size) for focus in foci], 0.02 * size, coarser)
        for axis in (0, 1)
    )
    return x, y


def build(plate: Plate, x: Floats, y: Floats, *, order: int = 2) -> Mesh:
    """Elements of a plate between given lines.

    Raises
    ------
    GeometryError, OutOfRange
        For an outline or values that make no plate.
    """
    breaks = [region.polygon for region in plate.regions] + list(plate.lines)
    grid = Grid.over(plate.polygon, x, y, breaks, order)
    tree, number = dissect(grid.active, order, max(1, _NODES_OF_A_LEAF // order**2))
    tree = tree._replace(cells=grid.index.ravel()[tree.cells].astype(np.int32))
    start, at, area = _quadrature(grid, order)
    i, j = grid.cells()
    side = np.stack([np.diff(x)[i], np.diff(y)[j]], axis=1)
    cell = np.repeat(np.arange(len(i)), np.diff(start))
    points = np.stack([x[i], y[j]], axis=1)[cell] + at * side[cell]
    thickness = plate.thickness_at(points)
    bend, slip = _folded(plate, grid)
    spread = np.maximum.reduceat(thickness, start[:-1]) - np.minimum.reduceat(thickness, start[:-1])
    full = np.ones(len(i), bool)
    full[np.unique(grid.cut.cell)] = False
    plain = full & (spread <= _EVEN * thickness[start[:-1]]) & (bend == 1.0).all(axis=1) & (slip == 1.0).all(axis=1)
    level = bool(np.ptp(thickness) <= _EVEN * thickness.max())
    elements = Elements(
        reference=reference(order),
        n_fields=5 if plate.flush and not level else 3,
        side=side,
        nodes=_element_nodes(number, i, j, order),
        kind=np.where(plain, PLAIN, np.where(full, VARIED, CUT)).astype(np.uint8),
        bend=bend,
        slip=slip,
        start=start,
        at=at,
        area=area,
        thickness=thickness,
        spring=plate.spring_at(points),
        layer=plate.layer_at(points),
        modulus=plate.modulus / (1.0 - plate.poisson**2),
        poisson=plate.poisson,
        shear_modulus=plate.shear_correction * plate.modulus / (2.0 * (1.0 + plate.poisson)),
        depth=float(np.median(thickness)) / 2.0,
        flush=plate.flush and not level,
    )
    layout = Layout(tree, elements.n_fields)
    return Mesh(plate, grid, order, elements, layout, number, _ground(elements, number, layout.n))


def _quadrature(grid: Grid, order: int) -> tuple[Longs, Floats, Floats]:
    """Quadrature of all cells: tensor Gauss points in full ones, those of the pieces in cut ones."""
    i, j = grid.cells()
    tensor, weight = tensor_points(order)
    sides = np.diff(grid.x)[i] * np.diff(grid.y)[j]
    counts = np.full(len(i), len(tensor))
    own = np.bincount(grid.cut.cell, minlength=len(i))
    counts[own > 0] = own[own > 0]
    start = np.concatenate([[0], np.cumsum(counts)])
    at, area = np.empty((start[-1], 2)), np.empty(start[-1])
    full = np.nonzero(own == 0)[0]
    spots = start[full][:, None] + np.arange(len(tensor))
    at[spots], area[spots] = tensor, sides[full][:, None] * weight
    sorting = np.argsort(grid.cut.cell, kind="stable")
    cell = grid.cut.cell[sorting]
    firsts = np.searchsorted(cell, cell)
    spots = start[cell] + np.arange(len(cell)) - firsts
    at[spots], area[spots] = grid.cut.at[sorting], grid.cut.area[sorting]
    return start, at, area


def _element_nodes(number: Ints, i: Longs, j: Longs, order: int) -> Ints:
    steps = np.arange(order + 1)
    rows = (order * i)[:, None, None] + steps[:, None]
    columns = (order * j)[:, None, None] + steps[None, :]
    return number[rows, columns].reshape(len(i), -1).astype(np.int32)


def _folded(plate: Plate, grid: Grid) -> tuple[Floats, Floats]:
    """Multipliers of bending and shear stiffness in the strips of the folds.

    A strip must turn freely over the plate's own length l, and yet carry its shear from side to side. Of width b and
    bending stiffness f D it adds a turning stiffness f D / b, to be small beside D / l, and a compliance b^3 / 12 f D,
    to be small beside that of the joint, 1 / q: f lies half way, at sqrt(q b^4 / 12 D l), and both errors vanish with b.
    """
    i, j = grid.cells()
    bend, slip = np.ones((len(i), 2)), np.ones((len(i), 2))
    middle = np.stack([(grid.x[i] + grid.x[i + 1]) / 2.0, (grid.y[j] + grid.y[j + 1]) / 2.0], axis=1)
    for fold in plate.folds:
        across, width = fold.across, plate.fold_width(fold)
        low, high = sorted((fold.start[1 - across], fold.end[1 - across]))
        there = np.abs(middle[:, across] - fold.start[across]) < width / 2.0
        there &= (middle[:, 1 - across] > low) & (middle[:, 1 - across] < high)
        thickness = plate.thickness_at(middle[there])
        rigid = plate.modulus * thickness**3 / (12.0 * (1.0 - plate.poisson**2))
        own = plate.shear_correction * plate.modulus / (2.0 * (1.0 + plate.poisson)) * thickness
        length = plate.length()
        shear = np.clip(fold.shear, 0.0, _STIFFEST_FOLD * rigid / length**3)
        bend[there, across] = np.maximum(np.sqrt(shear * width**4 / (12.0 * rigid * length)), _LOOSEST)
        slip[there, across] = np.clip(shear * width / own, _LOOSEST, 1.0)
    return bend, slip


def _ground(elements: Elements, number: Ints, n: int) -> Floats:
    """Three springs of ordinary stiffness that hold the plate in its plane: they feel nothing, as no load pushes there."""
    ground = np.zeros(n)
    if elements.n_fields == 5:
        stiffness = elements.modulus * float(np.median(elements.thickness))
        there = np.argwhere(number >= 0)
        first, last = there[0], there[-1]
        far = 1 if abs(last - first)[0] >= abs(last - first)[1] else 0
        for node, fields in ((first, (3, 4)), (last, (3 + far,))):
            for one in fields:
                ground[int(number[tuple(node)]) * 5 + one] = stiffness
    return ground
