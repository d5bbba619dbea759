"""A region with sides along the axes, cut into rectangles: exact, by an integer programme over candidate pieces.

Candidate lines divide the region into cells. A piece is a block of cells; every cell lies in one chosen piece. A stretch of
line between two cells is cut unless one piece holds both. Where no line may die against another, all stretches of one straight
line are one unknown, so only as many whole numbers are left as there are candidate lines.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array, eye_array, hstack, vstack
from scipy.sparse.csgraph import connected_components
from shapely.geometry.base import BaseGeometry

from slabwright.errors import Infeasible, OutOfRange
from slabwright.solvers.highs import solve_whole
from slabwright.solvers.partition.islands import Islands
from slabwright.solvers.partition.layout import EVENNESS_WEIGHT, LOST_WEIGHT, Cut, CutRules, Floats, Layout, SizeAt, lost_lengths, pieces_of

_SAME_M = 1e-6


def cut_rectilinear(
    region: shapely.Polygon,
    candidates: tuple[Floats, Floats],
    rules: CutRules,
    *,
    dead: BaseGeometry | None = None,
    islands: Islands | None = None,
    keep: tuple[Cut, ...] = (),
    forbid: BaseGeometry | None = None,
    size_at: SizeAt | None = None,
    least_share: float = 0.0,
    tee_cost: float = np.inf,
    time_limit_s: float = 20.0,
    relative_gap: float = 0.0,
) -> Layout:
    """Best rectangles of a region whose sides run along the axes.

    Parameters
    ----------
    region : shapely.Polygon
        With holes; every side along x or y.
    candidates : tuple of ndarray
        Positions at which a line may run, in x and in y; those of the region's own corners are added.
    rules : CutRules
    dead : shapely geometry, optional
        Where length is lost.
    islands : Islands, optional
        Holes at whose corners lines should end.
    keep : tuple of Cut
        Stretches that must be cut.
    forbid : shapely geometry, optional
        Where no line may run; crossing a forbidden line is allowed.
    size_at : callable, optional
        Largest size of a piece that holds a point, where it differs from ``rules.max_size``.
    least_share : float
        Shortest side of a piece, as a share of the largest size there.
    tee_cost : float
        What a line that dies against another costs, as a length; infinite where none may.
    time_limit_s, relative_gap : float
        When to stop short of the proof; the layout tells its bound.

    Raises
    ------
    Infeasible
        If no choice of the candidates meets the rules.
    """
    grid = _Grid.of(region, candidates, dead if dead is not None else shapely.Polygon())
    blocks = _blocks(grid, rules, size_at, least_share)
    line = grid.lines() if np.isinf(tee_cost) else np.arange(len(grid.segment_length))
    n_blocks, n_lines = len(blocks), int(line.max(initial=-1)) + 1
    n_tees = 0 if np.isinf(tee_cost) else len(grid.collinear)
    lowest, highest = np.zeros(n_blocks + n_lines + n_tees), np.ones(n_blocks + n_lines + n_tees)
    lowest[n_blocks + line[grid.touching(keep)]] = 1.0
    if forbid is not None and not forbid.is_empty:
        highest[n_blocks + line[grid.crossing(forbid)]] = 0.0
    islands = islands if islands is not None else Islands.none()
    weight = grid.segment_length + LOST_WEIGHT * grid.segment_lost + islands.charge(grid.segment_start, grid.segment_end)
    cost = np.concatenate(
        [_unevenness(grid, blocks), np.bincount(line, weight, minlength=n_lines), np.full(n_tees, tee_cost if n_tees else 0.0)]
    )
    matrix, least, most = _constraints(grid, blocks, line, n_lines, n_tees)
    # where lines come in pieces, simplifying the programme takes four times as long as solving it as it stands
    answer = solve_whole(
        cost, matrix, least, most,
        low=lowest, high=np.maximum(highest, lowest), whole=_whole(n_blocks, n_lines, n_tees),
        time_limit_s=time_limit_s, relative_gap=relative_gap, presolve=not n_tees,
    )  # fmt: skip
    if answer.values is None:
        reason = "there is none" if answer.is_settled else "none was found in the time given"
        raise Infeasible(f"no choice of the candidate lines meets the rules ({reason}).")
    kept = answer.values[n_blocks : n_blocks + n_lines][line] > 0.5
    cuts = grid.runs(kept)
    missed = islands.all_missed()
    return Layout(
        cuts=cuts, pieces=pieces_of(region, cuts), cost=answer.cost + missed, bound=answer.bound + missed, tees=grid.count_tees(kept)
    )  # fmt: skip


def _whole(n_blocks: int, n_lines: int, n_tees: int) -> NDArray[np.bool_]:
    """Which unknowns are whole numbers: the lines, or where tees are allowed, and lines come in pieces, the blocks."""
    whole = np.zeros(n_blocks + n_lines + n_tees, dtype=np.bool_)
    whole[slice(0, n_blocks) if n_tees else slice(n_blocks, n_blocks + n_lines)] = True
    return whole


def _constraints(
    grid: "_Grid", blocks: NDArray[np.int64], line: NDArray[np.int64], n_lines: int, n_tees: int
) -> tuple[csr_array, Floats, Floats]:
    """Every cell lies in one block; a stretch is cut unless a block swallows it; a tee is a line that goes on at one side only.

    Once lines or blocks are whole numbers, the others are given.

    Returns
    -------
    matrix, least, most
        Rows and their limits.
    """
    n_cells, n_segments = grid.n_cells, len(line)
    of_line = csr_array(coo_array((np.ones(n_segments), (np.arange(n_segments), line)), shape=(n_segments, n_lines)))
    rows = [
        hstack([_cover(grid, blocks), csr_array((n_cells, n_lines + n_tees))]),
        hstack([_swallowed(grid, blocks), of_line, csr_array((n_segments, n_tees))]),
    ]
    if n_tees:
        differing = of_line[grid.collinear[:, 0]] - of_line[grid.collinear[:, 1]]
        blank, ones = csr_array((n_tees, len(blocks))), eye_array(n_tees, format="csr")
        rows += [hstack([blank, sign * differing, -ones]) for sign in (1, -1)]
    n_exact = n_cells + n_segments
    least = np.concatenate([np.ones(n_exact), np.full(2 * n_tees, -np.inf)])
    return csr_array(vstack(rows)), least, np.concatenate([np.ones(n_exact), np.zeros(2 * n_tees)])


def _apart(values: Floats) -> Floats:
    """Of sorted places those that are not the one before again."""
    return values[np.concatenate([[True], np.diff(values) > _SAME_M])]


@dataclass(frozen=True, slots=True)
class _Grid:
    """Cells between candidate lines, and the stretches of line between neighbouring cells."""

    xs: Floats
    ys: Floats
    inside: NDArray[np.bool_]
    cell: NDArray[np.int64]
    segment_cells: NDArray[np.int64]
    segment_start: Floats
    segment_end: Floats
    segment_length: Floats
    segment_lost: Floats
    collinear: NDArray[np.int64]

    @property
    def n_cells(self) -> int:
        return int(self.inside.sum())

    @classmethod
    def of(cls, region: shapely.Polygon, candidates: tuple[Floats, Floats], dead: BaseGeometry) -> "_Grid":
        corners = np.concatenate([shapely.get_coordinates(ring) for ring in (region.exterior, *region.interiors)])
        sides = np.abs(np.diff(shapely.get_coordinates(region.exterior), axis=0))
        if np.any(np.min(sides, axis=1) > 1e-6):
            raise OutOfRange("every side of the region must run along x or y; use cut_skewed for other outlines.")
        low, high = corners.min(axis=0), corners.max(axis=0)
        lines = []
        for axis in (0, 1):
            inner = np.asarray(candidates[axis], float)
            own = _apart(np.sort(corners[:, axis]))
            # beside a corner the corner's own place stands, so that a line ends on the rim
            near = np.abs(inner[:, None] - own).min(axis=1, initial=np.inf) <= _SAME_M
            values = np.concatenate([own, inner[(inner > low[axis]) & (inner < high[axis]) & ~near]])
            lines.append(_apart(np.sort(values)))
        xs, ys = lines
        middle_x, middle_y = np.meshgrid((xs[1:] + xs[:-1]) / 2, (ys[1:] + ys[:-1]) / 2, indexing="ij")
        inside = np.asarray(shapely.contains_xy(region, middle_x, middle_y))
        cell = np.full(inside.shape, -1, dtype=np.int64)
        cell[inside] = np.arange(inside.sum())
        pairs, starts, ends = _segments(xs, ys, inside, cell)
        return cls(
            xs, ys, inside, cell, pairs, starts, ends,
            np.linalg.norm(ends - starts, axis=1), lost_lengths(dead, starts, ends), _collinear(starts, ends),
        )  # fmt: skip

    def touching(self, cuts: tuple[Cut, ...]) -> NDArray[np.int64]:
        """Segments that lie along given cuts."""
        middles = (self.segment_start + self.segment_end) / 2
        found = [shapely.distance(shapely.points(middles), shapely.LineString([cut.start, cut.end])) < 1e-6 for cut in cuts]
        along = [(np.abs(self.segment_end - self.segment_start)[:, 1] > 1e-9) == cut.vertical for cut in cuts]
        return (
            np.flatnonzero(np.any([near & same for near, same in zip(found, along, strict=True)], axis=0))
            if cuts
            else np.empty(0, np.int64)
        )

    def crossing(self, forbid: BaseGeometry) -> NDArray[np.int64]:
        """Segments of which some length lies in the forbidden zone or along a forbidden line."""
        segments = shapely.linestrings(np.stack([self.segment_start, self.segment_end], axis=1))
        return np.flatnonzero(shapely.length(shapely.intersection(segments, forbid)) > 1e-9)

    def runs(self, kept: NDArray[np.bool_]) -> tuple[Cut, ...]:
        """Kept segments joined into lines."""
        cuts: list[Cut] = []
        for axis in (1, 0):
            along = np.flatnonzero(kept & (np.abs(self.segment_end - self.segment_start)[:, axis] > 1e-9))
            order = along[np.lexsort((self.segment_start[along, axis], self.segment_start[along, 1 - axis]))]
            for index in order:
                start, end, lost = tuple(self.segment_start[index]), tuple(self.segment_end[index]), float(self.segment_lost[index])
                if cuts and cuts[-1].vertical == (axis == 1) and np.hypot(cuts[-1].end[0] - start[0], cuts[-1].end[1] - start[1]) < 1e-7:
                    cuts[-1] = Cut(cuts[-1].start, (float(end[0]), float(end[1])), cuts[-1].lost + lost)
                else:
                    cuts.append(Cut((float(start[0]), float(start[1])), (float(end[0]), float(end[1])), lost))
        return tuple(cuts)

    def lines(self) -> NDArray[np.int64]:
        """Number of the straight line from side to side that each segment belongs to."""
        n = len(self.segment_length)
        first, second = self.collinear.T
        _, line = connected_components(coo_array((np.ones(len(first)), (first, second)), shape=(n, n)), directed=False)
        return np.asarray(line, dtype=np.int64)

    def count_tees(self, kept: NDArray[np.bool_]) -> int:
        """Inner points where a line stops though it could go on."""
        return int(np.sum(kept[self.collinear[:, 0]] != kept[self.collinear[:, 1]])) if len(self.collinear) else 0


def _segments(xs: Floats, ys: Floats, inside: NDArray[np.bool_], cell: NDArray[np.int64]) -> tuple[NDArray[np.int64], Floats, Floats]:
    i, j = np.nonzero(inside[:-1] & inside[1:])
    k, m = np.nonzero(inside[:, :-1] & inside[:, 1:])
    pairs = np.concatenate([np.stack([cell[i, j], cell[i + 1, j]], axis=1), np.stack([cell[k, m], cell[k, m + 1]], axis=1)])
    starts = np.concatenate([np.stack([xs[i + 1], ys[j]], axis=1), np.stack([xs[k], ys[m + 1]], axis=1)])
    ends = np.concatenate([np.stack([xs[i + 1], ys[j + 1]], axis=1), np.stack([xs[k + 1], ys[m + 1]], axis=1)])
    return pairs, starts, ends


def _collinear(starts: Floats, ends: Floats) -> NDArray[np.int64]:
    """Pairs of segments that follow one another along a line."""

    def key(point: Floats, upright: bool) -> tuple[float, float, bool]:
        return round(float(point[0]), 6), round(float(point[1]), 6), upright

    upright = np.abs(ends - starts)[:, 1] > 1e-9
    by_start = {key(start, bool(up)): index for index, (start, up) in enumerate(zip(starts, upright, strict=True))}
    pairs = [
        (index, by_start[key(end, bool(up))])
        for index, (end, up) in enumerate(zip(ends, upright, strict=True))
        if key(end, bool(up)) in by_start
    ]
    return np.array(pairs, dtype=np.int64).reshape(-1, 2)


def _blocks(grid: _Grid, rules: CutRules, size_at: SizeAt | None, least_share: float) -> NDArray[np.int64]:
    """Every block of cells that may be a piece, shape (n, 4): first and last cell in x, in y."""
    sizes = np.full(grid.inside.shape, rules.max_size)
    if size_at is not None:
        for i, j in np.argwhere(grid.inside):
            sizes[i, j] = size_at((grid.xs[i] + grid.xs[i + 1]) / 2, (grid.ys[j] + grid.ys[j + 1]) / 2)
    largest = float(sizes.max())
    blocks = []
    for i, j in np.argwhere(grid.inside):
        for i2 in range(i, grid.inside.shape[0]):
            width = grid.xs[i2 + 1] - grid.xs[i]
            if width > largest + 1e-9 or not grid.inside[i2, j]:
                break
            for j2 in range(j, grid.inside.shape[1]):
                height = grid.ys[j2 + 1] - grid.ys[j]
                if height > largest + 1e-9 or not grid.inside[i : i2 + 1, j2].all():
                    break
                size = sizes[i : i2 + 1, j : j2 + 1].min()
                if max(width, height) > size + 1e-9:
                    break
                short, long = min(width, height), max(width, height)
                if short >= max(rules.min_size, least_share * size) - 1e-9 and long <= rules.max_aspect * short + 1e-9:
                    blocks.append((i, i2, j, j2))
    if not blocks:
        raise Infeasible("no piece between the candidate lines meets the rules of size and aspect.")
    return np.array(blocks, dtype=np.int64)


def _cover(grid: _Grid, blocks: NDArray[np.int64]) -> csr_array:
    rows = [grid.cell[i : i2 + 1, j : j2 + 1].ravel() for i, i2, j, j2 in blocks]
    columns = np.repeat(np.arange(len(blocks)), [len(row) for row in rows])
    cells = np.concatenate(rows)
    return csr_array(coo_array((np.ones(len(cells)), (cells, columns)), shape=(grid.n_cells, len(blocks))))


def _swallowed(grid: _Grid, blocks: NDArray[np.int64]) -> csr_array:
    """1 where a block holds both cells beside a segment; shape (segments, blocks)."""
    across, along = (np.full(shape, -1, dtype=np.int64) for shape in _neighbour_shapes(grid))
    n_across = int(np.sum(grid.inside[:-1] & grid.inside[1:]))
    across[grid.inside[:-1] & grid.inside[1:]] = np.arange(n_across)
    along[grid.inside[:, :-1] & grid.inside[:, 1:]] = np.arange(n_across, len(grid.segment_length))
    rows = [np.concatenate([across[i:i2, j : j2 + 1].ravel(), along[i : i2 + 1, j:j2].ravel()]) for i, i2, j, j2 in blocks]
    columns = np.repeat(np.arange(len(blocks)), [len(row) for row in rows])
    segments = np.concatenate(rows)
    return csr_array(coo_array((np.ones(len(segments)), (segments, columns)), shape=(len(grid.segment_length), len(blocks))))


def _neighbour_shapes(grid: _Grid) -> tuple[tuple[int, int], tuple[int, int]]:
    n_x, n_y = grid.inside.shape
    return (n_x - 1, n_y), (n_x, n_y - 1)


def _unevenness(grid: _Grid, blocks: NDArray[np.int64]) -> Floats:
    width = grid.xs[blocks[:, 1] + 1] - grid.xs[blocks[:, 0]]
    height = grid.ys[blocks[:, 3] + 1] - grid.ys[blocks[:, 2]]
    return np.asarray(EVENNESS_WEIGHT * (width * height) ** 1.5)
