"""Cholesky factor of a plate's stiffness by nested dissection, front by front.

No sparse matrix is ever formed: the leaves of the tree sum up their elements in small dense fronts, each front
eliminates its own unknowns and hands the rest to its parent. Subtrees are worked side by side in threads.
"""

from collections.abc import Callable
from typing import TypeVar

import numpy as np
from numba import njit

from slabwright.errors import Mechanism
from slabwright.pause import pause
from slabwright.solvers.plate.dissection import Tree
from slabwright.solvers.plate.element import Elements, element_matrix
from slabwright.solvers.plate.lapack import backward, eliminate, forward, one_thread_a_call
from slabwright.solvers.plate.reference import Flags, Floats, Ints, Longs
from slabwright.solvers.plate.workers import side_by_side

_COLUMNS_AT_ONCE = 32
T = TypeVar("T")


class Layout:
    """Where everything lies: made once for a mesh, used by every factor of it.

    Parameters
    ----------
    tree : Tree
    n_fields : int
        Unknowns per node.
    """

    def __init__(self, tree: Tree, n_fields: int) -> None:
        self.tree, self.n_fields = tree, n_fields
        n_own = np.diff(tree.own).astype(np.int64) * n_fields
        n_rest = np.diff(tree.border_start).astype(np.int64) * n_fields
        self.panel_start = np.concatenate([[0], np.cumsum(n_own * (n_own + n_rest))])
        self.update_start, self.n_updates, bounds = _stacked(tree.children, tree.depth, tree.top_depth, n_rest)
        self.tasks = list(zip(bounds[:-1].tolist(), bounds[1:].tolist(), strict=True))
        self.top = int(bounds[-1])
        self.n_blocks = len(tree.depth)
        self.widest = int(n_rest.max(initial=1))
        self.n = int(tree.own[-1]) * n_fields
        self.n_below = int(tree.own[self.top]) * n_fields

    def side_by_side(self, work: Callable[[int, int], T]) -> list[T]:
        """Run ``work(first, last)`` on each subtree below the top, in threads."""
        return side_by_side(lambda task: work(*task), self.tasks)


class Factor:
    """The factor; solves for any number of right-hand sides.

    Parameters
    ----------
    layout : Layout
    elements : Elements
    contact : (nq,) bool
        Quadrature points whose springs count.
    ground : (n,) float64
        Added to the diagonal.

    Raises
    ------
    Mechanism
        If a pivot is not positive: something is not held.
    """

    def __init__(self, layout: Layout, elements: Elements, contact: Flags, ground: Floats) -> None:
        pause()
        self.layout = layout
        self._panels = np.empty(int(layout.panel_start[-1]))
        updates = np.empty(int(layout.n_updates))

        def work(first: int, last: int) -> int:
            return int(
                _factor(first, last, layout.tree, elements, contact, ground, layout.panel_start, self._panels, layout.update_start, updates)
            )

        with one_thread_a_call():
            failed = any(layout.side_by_side(work)) or work(layout.top, layout.n_blocks)
        if failed:
            raise Mechanism("the stiffness is not positive: a part of the plate is held by nothing.")

    def solve(self, loads: Floats) -> Floats:
        """Displacements for loads of shape (n,) or (m, n), m cases."""
        pause()
        found = np.array(np.atleast_2d(loads), dtype=float, order="C")
        with one_thread_a_call():
            for first in range(0, len(found), _COLUMNS_AT_ONCE):
                self._solve_in_place(found[first : first + _COLUMNS_AT_ONCE])
        return found.reshape(np.shape(loads))

    def _solve_in_place(self, columns: Floats) -> None:
        lay, flat, m = self.layout, columns.reshape(-1), len(columns)

        def down(first: int, last: int, below: int = lay.n_below) -> Floats:
            above = np.zeros((m, lay.n - below))
            _forward(first, last, lay.tree, lay.n_fields, lay.panel_start, self._panels, flat, m, lay.n, below, above, lay.widest)
            return above

        def up(first: int, last: int) -> None:
            _backward(first, last, lay.tree, lay.n_fields, lay.panel_start, self._panels, flat, m, lay.n, lay.widest)

        for share in lay.side_by_side(down):
            columns[:, lay.n_below :] += share
        down(lay.top, lay.n_blocks, lay.n)
        up(lay.top, lay.n_blocks)
        lay.side_by_side(up)


@njit(cache=True)
def _stacked(children: Ints, depth: Ints, top_depth: int, n_rest: Longs) -> tuple[Longs, int, Longs]:
    """Where each block's update matrix lies, so that no live two overlap; and the bounds of the subtrees.

    Blocks of even and odd depth use two stacks: a parent's update never lies in the stack of its children.
    """
    n_blocks = len(depth)
    start = np.zeros(n_blocks, np.int64)
    bounds = [0]
    base = 0
    used = np.zeros(2, np.int64)
    peak = np.zeros(2, np.int64)
    first = 0
    for run in range(2):
        for b in range(first, n_blocks):
            if run == 0 and depth[b] < top_depth:
                break
            kind = depth[b] % 2
            for side in range(2):
                child = children[b, side]
                if child >= 0 and (run == 0 or depth[child] < top_depth):
                    used[1 - kind] -= n_rest[child] ** 2
            start[b] = used[kind] * 2 + kind
            used[kind] += n_rest[b] ** 2
            peak[kind] = max(peak[kind], used[kind])
            if run == 0 and depth[b] == top_depth:
                for k in range(first, b + 1):
                    start[k] = base + start[k] // 2 + (peak[0] if start[k] % 2 else 0)
                base += peak.sum()
                used[:] = 0
                peak[:] = 0
                first = b + 1
                bounds.append(first)
        if run == 1:
            for k in range(first, n_blocks):
                start[k] = base + start[k] // 2 + (peak[0] if start[k] % 2 else 0)
            base += peak.sum()
    return start, base, np.array(bounds)


@njit(cache=True, nogil=True)
def _factor(
    first: int, last: int, tree: Tree, elements: Elements, contact: Flags, ground: Floats, panel_start: Longs, panels: Floats,
    update_start: Longs, updates: Floats,
) -> int:  # fmt: skip
    """Factor the blocks first to last; the number of the first block that fails plus one, or 0."""
    m = elements.n_fields
    per_element = elements.nodes.shape[1]
    stiffness = np.empty((per_element * m, per_element * m))
    spots = np.empty(per_element, np.int64)
    for b in range(first, last):
        begin = tree.own[b]
        n_own = (tree.own[b + 1] - begin) * m
        n_rest = (tree.border_start[b + 1] - tree.border_start[b]) * m
        n_front = n_own + n_rest
        if n_front == 0:
            continue
        panel = panels[panel_start[b] : panel_start[b + 1]]
        update = updates[update_start[b] : update_start[b] + n_rest * n_rest]
        panel[:] = 0.0
        update[:] = 0.0
        border = tree.border[tree.border_start[b] : tree.border_start[b + 1]]
        for k in range(n_own):
            panel[k * n_front + k] = ground[begin * m + k]
        for c in range(tree.cell_start[b], tree.cell_start[b + 1]):
            e = tree.cells[c]
            element_matrix(elements, e, contact, stiffness)
            for a in range(per_element):
                node = elements.nodes[e, a]
                spots[a] = node - begin if node < tree.own[b + 1] else n_own // m + np.searchsorted(border, node)
            _add_element(stiffness, spots, m, n_own, n_front, n_rest, panel, update)
        for side in range(2):
            child = tree.children[b, side]
            if child >= 0:
                n_child = (tree.border_start[child + 1] - tree.border_start[child]) * m
                given = updates[update_start[child] : update_start[child] + n_child * n_child]
                place = tree.place[tree.border_start[child] : tree.border_start[child + 1]]
                _add_child(given, place, m, n_child, n_own, n_front, n_rest, panel, update)
        if n_own > 0 and eliminate(panel, n_own, n_front, update) != 0:
            return b + 1
    return 0


@njit(cache=True, nogil=True)
def _add_element(stiffness: Floats, spots: Longs, m: int, n_own: int, n_front: int, n_rest: int, panel: Floats, update: Floats) -> None:
    """Lower part of an element's matrix into the front."""
    for a in range(len(spots)):
        for b in range(a + 1):
            upright = spots[a] >= spots[b]
            row = (spots[a] if upright else spots[b]) * m
            column = (spots[b] if upright else spots[a]) * m
            for i in range(m):
                for k in range(m):
                    value = stiffness[a * m + i, b * m + k] if upright else stiffness[a * m + k, b * m + i]
                    if row + i < column + k:
                        continue
                    if column < n_own:
                        panel[(column + k) * n_front + row + i] += value
                    else:
                        update[(column + k - n_own) * n_rest + row + i - n_own] += value


@njit(cache=True, nogil=True)
def _add_child(
    given: Floats, place: Ints, m: int, n_child: int, n_own: int, n_front: int, n_rest: int, panel: Floats, update: Floats
) -> None:
    """Lower part of a child's update into the front; places ascend, so lower stays lower."""
    n = len(place)
    for c in range(n):
        for k in range(m):
            column = place[c] * m + k
            source = (c * m + k) * n_child
            for r in range(c, n):
                row = place[r] * m
                if column < n_own:
                    target = column * n_front + row
                    for i in range(m):
                        panel[target + i] += given[source + r * m + i]
                else:
                    target = (column - n_own) * n_rest + row - n_own
                    for i in range(m):
                        update[target + i] += given[source + r * m + i]


@njit(cache=True, nogil=True)
def _any(flat: Floats, begin: int, n_own: int, n_columns: int, stride: int) -> bool:
    """Whether some own row holds something: far from a load nothing is to be done."""
    for column in range(n_columns):
        for k in range(column * stride + begin, column * stride + begin + n_own):
            if flat[k] != 0.0:
                return True
    return False


@njit(cache=True, nogil=True)
def _forward(
    first: int, last: int, tree: Tree, m: int, panel_start: Longs, panels: Floats, flat: Floats, n_columns: int, stride: int,
    below: int, above: Floats, widest: int,
) -> None:  # fmt: skip
    """L y = b on the blocks first to last; what goes to unknowns from ``below`` on is summed in ``above``."""
    rest = np.empty(widest * n_columns)
    for b in range(first, last):
        begin, n_own = tree.own[b] * m, (tree.own[b + 1] - tree.own[b]) * m
        border = tree.border[tree.border_start[b] : tree.border_start[b + 1]]
        n_rest = len(border) * m
        if not _any(flat, begin, n_own, n_columns, stride):
            continue
        forward(panels[panel_start[b] :], n_own, n_own + n_rest, flat[begin:], n_columns, stride, rest)
        for column in range(n_columns):
            for k in range(len(border)):
                target = border[k] * m
                for i in range(m):
                    share = rest[column * n_rest + k * m + i]
                    if target < below:
                        flat[column * stride + target + i] -= share
                    else:
                        above[column, target - below + i] -= share


@njit(cache=True, nogil=True)
def _backward(
    first: int, last: int, tree: Tree, m: int, panel_start: Longs, panels: Floats, flat: Floats, n_columns: int, stride: int,
    widest: int,
) -> None:  # fmt: skip
    """Lᵀ x = y on the blocks last to first."""
    rest = np.empty(widest * n_columns)
    for b in range(last - 1, first - 1, -1):
        begin, n_own = tree.own[b] * m, (tree.own[b + 1] - tree.own[b]) * m
        border = tree.border[tree.border_start[b] : tree.border_start[b + 1]]
        n_rest = len(border) * m
        if n_own == 0:
            continue
        for column in range(n_columns):
            for k in range(len(border)):
                source = column * stride + border[k] * m
                for i in range(m):
                    rest[column * n_rest + k * m + i] = flat[source + i]
        backward(panels[panel_start[b] :], n_own, n_own + n_rest, flat[begin:], n_columns, stride, rest)
