"""The whole-number programme over pieces of four-sided grids: faults first, then lost length, length and evenness.

As on floors with sides along the axes, a piece is a block of cells of one grid, every cell lies in one chosen piece, and a
stretch between two cells is cut unless one piece holds both. The stretches of one line, through all grids of its sheaf, are one
unknown. The two levels are two programmes: the second may have no more faults than the first needs at least.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array, eye_array, hstack, vstack
from scipy.sparse.csgraph import connected_components
from shapely.geometry.base import BaseGeometry

from slabwright.errors import NotConverged
from slabwright.solvers.highs import WholeAnswer, solve_whole
from slabwright.solvers.partition.islands import Islands
from slabwright.solvers.partition.layout import LOST_WEIGHT, CutRules, Floats, SizeAt, lost_lengths
from slabwright.solvers.partition.patch import Patch
from slabwright.solvers.partition.patch_grid import PatchGrid, Whole
from slabwright.solvers.partition.sheaves import Sheaf, forbids

_SPOT = 1e-4
"""Distance within which two ends are one place."""
_ONWARD = -0.5
"""Cosine between two lines from one place, at or below which the one goes on where the other ends: a bend of 60 degrees or less."""
_WIDER = 1.25
"""How much longer than a piece the block may be that the rim of a wing clips to it."""


@dataclass(frozen=True, slots=True)
class WingCuts:
    """Answer of the programme.

    Attributes
    ----------
    starts, ends : (n, 2) array
        Stretches that are cut.
    lost : (n,) array
    faults, least_faults : int, float
        Of the answer, and fewer than which no choice of the lines has.
    cost, bound : float
        Of the second level.
    tees : int
    """

    starts: Floats
    ends: Floats
    lost: Floats
    faults: int
    least_faults: float
    cost: float
    bound: float
    tees: int


@dataclass(frozen=True, slots=True)
class Programme:
    """Cells, pieces and lines of all patches of one parting.

    Attributes
    ----------
    cover, swallowed : sparse arrays
        Cells in pieces; stretches inside pieces.
    faults : (n,) array
        Of each piece.
    unevenness : (n,) array
    line : (m,) array
        The unknown that each stretch belongs to.
    weight, lost : (m,) array
        What each stretch costs, its loss and the corners of islands it meets included; the loss.
    tees : (k,) array
        Ends of each line that die against another.
    meeting : (m, 2) array
        Pairs of lines that end at one point from either side: each dies there unless the other is drawn too.
    low, high : (k,) array
        Lines that must, and that may, be drawn.
    """

    cover: csr_array
    swallowed: csr_array
    faults: Floats
    unevenness: Floats
    starts: Floats
    ends: Floats
    line: Whole
    weight: Floats
    lost: Floats
    tees: Whole
    meeting: Whole
    low: Floats
    high: Floats

    def solve(self, beat: tuple[int, float] | None, tee_faults: bool, tee_cost: float, time_limit_s: float) -> WingCuts | None:
        """The best choice; None where there is none, or none better.

        Parameters
        ----------
        beat : tuple or None
            Faults and cost of a choice known from elsewhere.
        tee_faults : bool
            Whether a line that dies against another is a fault.
        tee_cost : float
            What it costs besides, as a length.
        time_limit_s : float

        Raises
        ------
        NotConverged
            If there may be one that was not found in the time given.
        """
        n_pieces, n_lines, n_meeting = len(self.faults), len(self.tees), len(self.meeting)
        tee = np.concatenate([self.tees, np.ones(n_meeting)])
        weight = np.bincount(self.line, self.weight, minlength=n_lines)
        cost = np.concatenate([self.unevenness, weight, np.zeros(n_meeting)])
        cost[n_pieces:] += tee_cost * tee
        faults = np.concatenate([self.faults, tee if tee_faults else np.zeros(len(tee))])
        kept = np.concatenate([np.zeros(n_pieces), self.low, np.zeros(n_meeting)])
        least, allowed, top = float(faults @ kept), float(faults @ kept), np.inf
        if beat is not None and allowed >= beat[0]:
            top = beat[1]
        answer = self._answer(cost, (faults == 0) | (kept > 0), time_limit_s, cost, top)
        if answer is None and (beat is None or beat[0] > allowed):
            fewest = self._answer(faults, np.ones(len(faults), dtype=bool), time_limit_s, faults, np.inf if beat is None else beat[0])
            if fewest is None:
                return None
            least, allowed = fewest.bound, float(round(fewest.cost))
            top = np.inf if beat is None or allowed < beat[0] else beat[1]
            answer = self._answer(cost, faults <= allowed, time_limit_s, faults, allowed, top)
        if answer is None or answer.values is None:
            return None
        drawn = answer.values[n_pieces : n_pieces + n_lines] > 0.5
        cut = drawn[self.line]
        n_tees = self.tees[drawn].sum() + np.sum(drawn[self.meeting[:, 0]] != drawn[self.meeting[:, 1]])
        return WingCuts(
            self.starts[cut], self.ends[cut], self.lost[cut], int(allowed), least, answer.cost, answer.bound, int(n_tees)
        )  # fmt: skip

    def _answer(
        self, cost: Floats, usable: NDArray[np.bool_], time_limit_s: float, limited: Floats, most: float, dearest: float = np.inf
    ) -> WholeAnswer | None:
        """Least cost with a limit on another sum, and on the cost itself; None where there is none."""
        n_pieces, n_lines, n_meeting = len(self.faults), len(self.tees), len(self.meeting)
        pieces = np.flatnonzero(usable[:n_pieces])
        cover, swallowed = self.cover[:, pieces], self.swallowed[:, pieces]
        if np.any(cover.sum(axis=1) < 1):
            return None
        n_cells, n_stretches = cover.shape[0], len(self.line)
        of_line, meeting = _choice(self.line, n_lines), _choice(self.meeting[:, 0], n_lines) - _choice(self.meeting[:, 1], n_lines)
        rows = [
            hstack([cover, csr_array((n_cells, n_lines + n_meeting))]),
            hstack([swallowed, of_line, csr_array((n_stretches, n_meeting))]),
            *(hstack([csr_array((n_meeting, len(pieces))), sign * meeting, -eye_array(n_meeting)]) for sign in (1, -1) if n_meeting),
        ]
        n_exact = n_cells + n_stretches
        least = np.concatenate([np.ones(n_exact), np.full(2 * n_meeting, -np.inf)])
        top = np.concatenate([np.ones(n_exact), np.zeros(2 * n_meeting)])
        kept = np.concatenate([pieces, np.arange(n_pieces, len(cost))])
        for weights, limit in ((limited, most), (cost, dearest)):
            if np.isfinite(limit):
                rows.append(csr_array(weights[kept][None, :]))
                least, top = np.append(least, -np.inf), np.append(top, limit + 1e-6)
        low = np.concatenate([np.zeros(len(pieces)), self.low, np.zeros(n_meeting)])
        high = np.concatenate([np.ones(len(pieces)), self.high, np.ones(n_meeting)]) * usable[kept]
        whole = (np.arange(len(kept)) >= len(pieces)) & (np.arange(len(kept)) < len(pieces) + n_lines)
        answer = solve_whole(
            cost[kept], vstack(rows), least, top, low=low, high=np.maximum(high, low), whole=whole, time_limit_s=time_limit_s
        )
        if answer.values is None:
            if not answer.is_settled:
                raise NotConverged("the programme found no layout in the time given, and did not prove that there is none.")
            return None
        values = np.zeros(len(cost))
        values[kept] = answer.values
        return WholeAnswer(values, answer.cost, answer.bound, answer.is_settled)


def _choice(numbers: Whole, n: int) -> csr_array:
    """1 in the column of its number for every row."""
    return csr_array(coo_array((np.ones(len(numbers)), (np.arange(len(numbers)), numbers)), shape=(len(numbers), n)))


def programme(
    patches: Sequence[Patch], sheaves: Sequence[Sheaf], region: shapely.Polygon, rules: CutRules, dead: BaseGeometry,
    islands: Islands, barred: Sequence[shapely.LineString], size_at: SizeAt | None, least_share: float,
) -> Programme:  # fmt: skip
    """State the programme of patches crossed by sheaves."""
    way_of = {(p, way): (number, flipped) for number, sheaf in enumerate(sheaves) for p, way, flipped in sheaf.members}
    grids, offset_cells, offset_stretches = [], 0, 0
    for p, patch in enumerate(patches):
        shares = []
        for way in (0, 1):
            number, flipped = way_of[p, way]
            shares.append(1.0 - sheaves[number].shares[::-1] if flipped else sheaves[number].shares)
        grids.append(PatchGrid.of(patch, shares[0], shares[1], offset_cells, offset_stretches))
        offset_cells += grids[-1].n_cells
        offset_stretches += len(grids[-1].starts)
    found = [grid.pieces(rules, region, size_at, least_share) for grid in grids]
    cover = _incidence([cells for one in found for cells in one.cells], offset_cells)
    swallowed = _incidence([stretches for one in found for stretches in one.stretches], offset_stretches)
    starts, ends = np.concatenate([grid.starts for grid in grids]), np.concatenate([grid.ends for grid in grids])
    names = np.concatenate([_names(grid, p, way_of, sheaves) for p, grid in enumerate(grids)])
    line, tees, meeting = _lines(starts, ends, names, region)
    n_lines = len(tees)
    must = np.array([sheaves[number].kept[k] for number, k in names], dtype=float)
    bar = np.array([forbids(barred, a, b) for a, b in zip(starts, ends, strict=True)], dtype=float) if barred else np.zeros(len(line))
    low, banned = np.zeros(n_lines), np.zeros(n_lines)
    np.maximum.at(low, line, must)
    np.maximum.at(banned, line, bar)
    lost = lost_lengths(dead, starts, ends)
    weights = np.hypot(*(ends - starts).T) + LOST_WEIGHT * lost + islands.charge(starts, ends)
    return Programme(
        cover, swallowed, np.concatenate([one.faults for one in found]), np.concatenate([one.unevenness for one in found]),
        starts, ends, line, weights, lost, tees, meeting, low, 1.0 - banned,
    )  # fmt: skip


def _incidence(columns: list[Whole], n_rows: int) -> csr_array:
    numbers = np.concatenate(columns) if columns else np.empty(0, np.int64)
    of_column = np.repeat(np.arange(len(columns)), [len(one) for one in columns])
    return csr_array(coo_array((np.ones(len(numbers)), (numbers, of_column)), shape=(n_rows, len(columns))))


def _names(grid: "PatchGrid", p: int, way_of: dict[tuple[int, int], tuple[int, bool]], sheaves: Sequence[Sheaf]) -> Whole:
    """Sheaf and number in it of the line each stretch lies on."""
    named = []
    for way, k in grid.on_line:
        number, flipped = way_of[p, int(way)]
        named.append((number, len(sheaves[number].shares) - 1 - k if flipped else k))
    return np.array(named, dtype=np.int64).reshape(-1, 2)


def _lines(starts: Floats, ends: Floats, names: Whole, region: shapely.Polygon) -> tuple[Whole, Whole, Whole]:
    """Stretches that follow one another on a line of a sheaf are one unknown; how many ends of each die; and which meet another's.

    Returns
    -------
    line, tees, meeting
        See :class:`Programme`.
    """
    n = len(starts)
    places = np.concatenate([starts, ends])
    _, spot = np.unique(np.round(places / _SPOT).astype(np.int64), axis=0, return_inverse=True)
    _, node = np.unique(np.column_stack([np.concatenate([names, names]), spot.ravel()]), axis=0, return_inverse=True)
    node = node.ravel()
    stretch = np.tile(np.arange(n), 2)
    graph = coo_array((np.ones(2 * n), (stretch, n + node)), shape=(n + node.max(initial=-1) + 1,) * 2)
    _, label = connected_components(graph, directed=False)
    _, line = np.unique(label[:n], return_inverse=True)
    line = line.ravel()
    lone = np.flatnonzero(np.bincount(node)[node] == 1)
    dying = lone[shapely.distance(shapely.points(places[lone]), region.boundary) > _SPOT]
    away = np.concatenate([ends - starts, starts - ends])[dying]
    away /= np.hypot(*away.T)[:, None] if len(away) else 1.0
    near = np.abs(places[dying][:, None] - places[dying][None]).max(axis=-1) < _SPOT
    turn = np.where(near & (line[stretch[dying]][:, None] != line[stretch[dying]][None]), away @ away.T, 0.0)
    alone, pairs = np.ones(len(dying), dtype=bool), []
    for first in range(len(dying)):
        second = int(np.argmin(turn[first]))
        if turn[first, second] < _ONWARD and alone[first] and alone[second]:
            alone[[first, second]] = False
            pairs.append((line[stretch[dying[first]]], line[stretch[dying[second]]]))
    tees = np.bincount(line[stretch[dying[alone]]], minlength=int(line.max(initial=-1)) + 1)
    return line, tees, np.array(pairs, dtype=np.int64).reshape(-1, 2)
