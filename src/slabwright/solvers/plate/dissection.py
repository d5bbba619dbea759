"""The order of elimination: a rectilinear grid cut in halves again and again.

Cells lie in a lattice of ``nx`` by ``ny``; nodes in a lattice ``order`` times finer. A block of cells is cut along a
grid line into two; the nodes on the line that touch cells on both sides are eliminated after both halves. A leaf
holds a few cells. The blocks come out in postorder, so that a subtree is a run of blocks and its nodes a run of
elimination numbers; only the blocks of the first cuts come last of all, so that the subtrees below them, which can be
worked side by side, lie together.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

from slabwright.solvers.plate.reference import Flags, Ints


class Tree(NamedTuple):
    """Blocks in order of work, each with the nodes it eliminates and the nodes it passes on.

    Attributes
    ----------
    children : (n, 2) int32
        Numbers of the halves, -1 where there is none.
    depth : (n,) int32
        Cuts above the block.
    top_depth : int
        Blocks with fewer cuts above them come last.
    own : (n + 1,) int32
        Block b eliminates the nodes numbered own[b] to own[b + 1].
    border : int32
        Node numbers passed on, block after block, ascending.
    border_start : (n + 1,) int32
    place : int32
        Beside ``border``: position of that node in the parent's front, counted in nodes.
    cells : int32
        Cells of the leaves, as ``i * ny + j``.
    cell_start : (n + 1,) int32
    """

    children: Ints
    depth: Ints
    top_depth: int
    own: Ints
    border: Ints
    border_start: Ints
    place: Ints
    cells: Ints
    cell_start: Ints


def dissect(active: Flags, order: int, leaf_cells: int = 4, top_depth: int = 1) -> tuple[Tree, Ints]:
    """Cut a lattice of cells down to its leaves.

    Parameters
    ----------
    active : (nx, ny) bool
        Cells that exist.
    order : int
        Node intervals per cell side.
    leaf_cells : int
        Largest number of cells in a leaf.
    top_depth : int
        First cuts whose blocks come last; leaves 2**top_depth subtrees to be worked side by side.

    Returns
    -------
    Tree
    (order*nx + 1, order*ny + 1) int32
        Elimination number of each lattice node, -1 where no cell touches it.
    """
    children, depth, boxes, owner = _cut(active, order, leaf_cells, top_depth)
    number, own = _numbered(owner, len(children))
    border, border_start, place, cells, cell_start = _borders(active, order, boxes, children, own, number)
    return Tree(children, depth, top_depth, own, border, border_start, place, cells, cell_start), number


@njit(cache=True)
def _median(active: Flags, i0: int, i1: int, j0: int, j1: int, along_x: bool) -> tuple[int, int]:
    """Grid line that halves the active cells of a box, strictly inside it."""
    n = i1 - i0 if along_x else j1 - j0
    counts = np.zeros(n, np.int64)
    for i in range(i0, i1):
        for j in range(j0, j1):
            if active[i, j]:
                counts[(i - i0) if along_x else (j - j0)] += 1
    total, below = counts.sum(), 0
    best, best_gap = 1, total + 1
    for cut in range(1, n):
        below += counts[cut - 1]
        gap = abs(total - 2 * below)
        if gap < best_gap:
            best, best_gap = cut, gap
    return best, total


@njit(cache=True)
def _cut(active: Flags, order: int, leaf_cells: int, top_depth: int) -> tuple[Ints, Ints, Ints, Ints]:
    """All blocks in order of work, and the owner of each lattice node."""
    nx, ny = active.shape
    most = 2 * nx * ny + 1
    boxes = np.empty((most, 4), np.int32)
    children = np.full((most, 2), -1, np.int32)
    depth = np.zeros(most, np.int32)
    owner = np.full((order * nx + 1, order * ny + 1), -1, np.int32)
    boxes[0] = (0, nx, 0, ny)
    n = 1
    stack = [0]
    while len(stack) > 0:
        b = stack.pop()
        i0, i1, j0, j1 = boxes[b]
        along_x = (i1 - i0) >= (j1 - j0)
        cut, total = _median(active, i0, i1, j0, j1, along_x)
        if total <= leaf_cells or (i1 - i0) * (j1 - j0) == 1:
            _claim_leaf(active, order, owner, b, i0, i1, j0, j1)
            continue
        _claim_line(active, order, owner, b, i0, i1, j0, j1, along_x, cut)
        for side in range(2):
            if along_x:
                half = (i0, i0 + cut, j0, j1) if side == 0 else (i0 + cut, i1, j0, j1)
            else:
                half = (i0, i1, j0, j0 + cut) if side == 0 else (i0, i1, j0 + cut, j1)
            boxes[n, 0], boxes[n, 1], boxes[n, 2], boxes[n, 3] = half
            children[b, side] = n
            depth[n] = depth[b] + 1
            stack.append(n)
            n += 1
    rank = _order_of_work(children, depth, n, top_depth)
    sorted_children = np.full((n, 2), -1, np.int32)
    sorted_depth = np.empty(n, np.int32)
    sorted_boxes = np.empty((n, 4), np.int32)
    for b in range(n):
        sorted_depth[rank[b]] = depth[b]
        sorted_boxes[rank[b]] = boxes[b]
        for side in range(2):
            if children[b, side] >= 0:
                sorted_children[rank[b], side] = rank[children[b, side]]
    for i in range(owner.shape[0]):
        for j in range(owner.shape[1]):
            if owner[i, j] >= 0:
                owner[i, j] = rank[owner[i, j]]
    return sorted_children, sorted_depth, sorted_boxes, owner


@njit(cache=True)
def _order_of_work(children: Ints, depth: Ints, n: int, top_depth: int) -> Ints:
    rank = np.empty(n, np.int32)
    count, last = 0, n - (depth[:n] < top_depth).sum()
    stack, seen = [0], np.zeros(n, np.uint8)
    while len(stack) > 0:
        b = stack[-1]
        if seen[b] or children[b, 0] < 0:
            stack.pop()
            if depth[b] < top_depth:
                rank[b] = last
                last += 1
            else:
                rank[b] = count
                count += 1
        else:
            seen[b] = 1
            stack.append(children[b, 1])
            stack.append(children[b, 0])
    return rank


@njit(cache=True)
def _claim_leaf(active: Flags, order: int, owner: Ints, b: int, i0: int, i1: int, j0: int, j1: int) -> None:
    for i in range(i0, i1):
        for j in range(j0, j1):
            if active[i, j]:
                for a in range(order * i, order * (i + 1) + 1):
                    for c in range(order * j, order * (j + 1) + 1):
                        if owner[a, c] < 0:
                            owner[a, c] = b


@njit(cache=True)
def _claim_line(active: Flags, order: int, owner: Ints, b: int, i0: int, i1: int, j0: int, j1: int, along_x: bool, cut: int) -> None:
    """Nodes of the cutting line that touch active cells of the block on both sides."""
    first, last = (j0, j1) if along_x else (i0, i1)
    for c in range(order * first, order * last + 1):
        low = max(first, (c - 1) // order) if c % order == 0 else c // order
        high = min(last - 1, c // order)
        before, after = False, False
        for k in range(low, high + 1):
            if along_x:
                before = before or active[i0 + cut - 1, k]
                after = after or active[i0 + cut, k]
            else:
                before = before or active[k, j0 + cut - 1]
                after = after or active[k, j0 + cut]
        if before and after:
            a = order * (i0 + cut) if along_x else c
            d = c if along_x else order * (j0 + cut)
            if owner[a, d] < 0:
                owner[a, d] = b


@njit(cache=True)
def _numbered(owner: Ints, n_blocks: int) -> tuple[Ints, Ints]:
    """Elimination numbers, block after block, and where each block begins."""
    own = np.zeros(n_blocks + 1, np.int32)
    for i in range(owner.shape[0]):
        for j in range(owner.shape[1]):
            if owner[i, j] >= 0:
                own[owner[i, j] + 1] += 1
    for b in range(n_blocks):
        own[b + 1] += own[b]
    following = own.copy()
    number = np.full(owner.shape, -1, np.int32)
    for i in range(owner.shape[0]):
        for j in range(owner.shape[1]):
            b = owner[i, j]
            if b >= 0:
                number[i, j] = following[b]
                following[b] += 1
    return number, own


@njit(cache=True)
def _borders(active: Flags, order: int, boxes: Ints, children: Ints, own: Ints, number: Ints) -> tuple[Ints, Ints, Ints, Ints, Ints]:
    """What each block passes on, and the place of each of those nodes in the parent's front."""
    n_blocks, ny = len(children), active.shape[1]
    n_nodes = own[-1]
    border, place = [np.int32(0)], [np.int32(0)]
    border.pop()
    place.pop()
    border_start = np.zeros(n_blocks + 1, np.int32)
    cells = np.empty(active.sum(), np.int32)
    cell_start = np.zeros(n_blocks + 1, np.int32)
    n_cells = 0
    mark = np.full(n_nodes, -1, np.int32)
    spot = np.empty(n_nodes, np.int32)
    found = np.empty(n_nodes, np.int32)
    for b in range(n_blocks):
        count = 0
        if children[b, 0] < 0:
            for i in range(boxes[b, 0], boxes[b, 1]):
                for j in range(boxes[b, 2], boxes[b, 3]):
                    if active[i, j]:
                        cells[n_cells] = i * ny + j
                        n_cells += 1
                        for a in range(order * i, order * (i + 1) + 1):
                            for c in range(order * j, order * (j + 1) + 1):
                                node = number[a, c]
                                if node >= own[b + 1] and mark[node] != b:
                                    mark[node] = b
                                    found[count] = node
                                    count += 1
        else:
            for side in range(2):
                child = children[b, side]
                for k in range(border_start[child], border_start[child + 1]):
                    node = border[k]
                    if node >= own[b + 1] and mark[node] != b:
                        mark[node] = b
                        found[count] = node
                        count += 1
        passed = np.sort(found[:count])
        n_own = own[b + 1] - own[b]
        for k in range(count):
            spot[passed[k]] = n_own + k
        for side in range(2):
            child = children[b, side]
            if child >= 0:
                for k in range(border_start[child], border_start[child + 1]):
                    node = border[k]
                    place[k] = node - own[b] if node < own[b + 1] else spot[node]
        for k in range(count):
            border.append(passed[k])
            place.append(np.int32(-1))
        border_start[b + 1] = len(border)
        cell_start[b + 1] = n_cells
    return np.array(border, dtype=np.int32), border_start, np.array(place, dtype=np.int32), cells, cell_start
