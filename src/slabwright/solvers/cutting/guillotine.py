"""Cutting rectangles from one sheet by straight through-cuts (guillotine cuts), to the proven most value.

Lengths are whole numbers. Without limits on how often a piece may be taken the problem is solved by dynamic programming
over every cut; with limits by building up from single pieces, best promise first.
"""

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numba import njit

from slabwright.errors import NotConverged, OutOfRange
from slabwright.solvers.cutting.knapsack import Ints

Place = tuple[int, int, int, int, int]


@dataclass(frozen=True, slots=True)
class Piece:
    """A rectangle that may be cut from the sheet.

    Attributes
    ----------
    length, width : int
    value : int
        What one is worth.
    limit : int or None
        Most that may be taken; None for as many as fit.
    """

    length: int
    width: int
    value: int
    limit: int | None = None

    def __post_init__(self) -> None:
        if self.length <= 0 or self.width <= 0 or self.value < 0 or (self.limit is not None and self.limit < 0):
            raise OutOfRange(f"a piece needs sides above nought, a value and a limit from nought (got {self}).")


@dataclass(frozen=True, slots=True)
class SheetCut:
    """Pieces cut from one sheet.

    Attributes
    ----------
    value : int
        Sum of their values; no guillotine cutting is worth more.
    places : tuple of (piece, x, y, length, width)
        Which piece lies where, turned ones with their sides exchanged.
    """

    value: int
    places: tuple[Place, ...]


def cut_sheet(length: int, width: int, pieces: Sequence[Piece], *, may_turn: bool = False, most_builds: int = 200_000) -> SheetCut:
    """Most valuable pieces that through-cuts part from one sheet.

    Parameters
    ----------
    length, width : int
        Of the sheet.
    pieces : sequence of Piece
    may_turn : bool
        True where pieces may be turned by a quarter.
    most_builds : int
        Effort allowed where pieces are limited.

    Raises
    ------
    OutOfRange
        For a sheet without size.
    NotConverged
        If the effort does not prove an optimum.

    Notes
    -----
    Without limits: the best of a rectangle is its best single piece or the best two parts of any cut, cuts being tried
    only at sums of piece sides (Gilmore and Gomory 1966; Beasley 1985). With limits: rectangles are built from two
    smaller ones, that with the greatest value plus greatest possible value of the sheet around it first
    (Viswanathan and Bagchi 1993). Basis of the three: MEMORY.
    """
    if length <= 0 or width <= 0:
        raise OutOfRange(f"a sheet needs sides above nought (got {length} by {width}).")
    sides = tuple(_sides(pieces, length, width, may_turn))
    if not sides:
        return SheetCut(0, ())
    if all(piece.limit is None for piece in pieces):
        table = _Table.of(length, width, pieces, sides)
        return SheetCut(table.value(length, width), tuple(table.places(0, 0, length, width)))
    return _build_up(length, width, pieces, sides, most_builds)


def _sides(pieces: Sequence[Piece], length: int, width: int, may_turn: bool) -> Iterator[tuple[int, int, int]]:
    """(piece, length, width) of every piece that fits, in each of its positions."""
    for number, piece in enumerate(pieces):
        shapes = {(piece.length, piece.width), (piece.width, piece.length)} if may_turn else {(piece.length, piece.width)}
        for shape in sorted(shapes):
            if shape[0] <= length and shape[1] <= width and piece.limit != 0:
                yield (number, *shape)


def _sums(sides: Sequence[int], most: int) -> Ints:
    """Every sum of sides up to a length, with the length itself: where cuts need be tried."""
    reached = np.zeros(most + 1, bool)
    reached[0] = True
    for side in sorted(set(sides)):
        for total in range(side, most + 1):
            reached[total] |= reached[total - side]
    reached[most] = True
    return np.flatnonzero(reached).astype(np.int64)


@dataclass(frozen=True, slots=True)
class _Table:
    """Value of every rectangle whose sides are sums of piece sides, and the cut that gives it."""

    xs: Ints
    ys: Ints
    sides: tuple[tuple[int, int, int], ...]
    best: Ints
    cut: Ints

    @classmethod
    def of(cls, length: int, width: int, pieces: Sequence[Piece], sides: tuple[tuple[int, int, int], ...]) -> "_Table":
        xs, ys = _sums([one[1] for one in sides], length), _sums([one[2] for one in sides], width)
        shapes = np.array([(a, b, pieces[number].value) for number, a, b in sides], np.int64)
        best, cut = _values(xs, ys, shapes)
        return cls(xs, ys, sides, best, cut)

    def _at(self, length: int, width: int) -> tuple[int, int]:
        return int(np.searchsorted(self.xs, length, "right")) - 1, int(np.searchsorted(self.ys, width, "right")) - 1

    def value(self, length: int, width: int) -> int:
        return int(self.best[self._at(length, width)])

    def places(self, x: int, y: int, length: int, width: int) -> Iterator[Place]:
        i, j = self._at(length, width)
        kind, where = int(self.cut[i, j, 0]), int(self.cut[i, j, 1])
        if kind == 1:
            number, a, b = self.sides[where]
            yield (number, x, y, a, b)
        elif kind == 2:
            part = int(self.xs[where])
            yield from self.places(x, y, part, width)
            yield from self.places(x + part, y, int(self.xs[i]) - part, width)
        elif kind == 3:
            part = int(self.ys[where])
            yield from self.places(x, y, length, part)
            yield from self.places(x, y + part, length, int(self.ys[j]) - part)


@njit(cache=True)
def _values(xs: Ints, ys: Ints, shapes: Ints) -> tuple[Ints, Ints]:
    """Best value of each rectangle and how: kind 1 a single piece, 2 a cut across the length, 3 across the width."""
    best = np.zeros((xs.size, ys.size), np.int64)
    cut = np.zeros((xs.size, ys.size, 2), np.int64)
    for i in range(xs.size):
        for j in range(ys.size):
            for shape in range(shapes.shape[0]):
                if shapes[shape, 0] <= xs[i] and shapes[shape, 1] <= ys[j] and shapes[shape, 2] > best[i, j]:
                    best[i, j] = shapes[shape, 2]
                    cut[i, j, 0], cut[i, j, 1] = 1, shape
            other = i
            for part in range(1, i):
                if 2 * xs[part] > xs[i]:
                    break
                while xs[other] > xs[i] - xs[part]:
                    other -= 1
                if best[part, j] + best[other, j] > best[i, j]:
                    best[i, j] = best[part, j] + best[other, j]
                    cut[i, j, 0], cut[i, j, 1] = 2, part
            other = j
            for part in range(1, j):
                if 2 * ys[part] > ys[j]:
                    break
                while ys[other] > ys[j] - ys[part]:
                    other -= 1
                if best[i, part] + best[i, other] > best[i, j]:
                    best[i, j] = best[i, part] + best[i, other]
                    cut[i, j, 0], cut[i, j, 1] = 3, part
    return best, cut


@dataclass(frozen=True, slots=True)
class _Build:
    """A rectangle of pieces: one piece, or two builds side by side or one above the other."""

    length: int
    width: int
    value: int
    counts: tuple[int, ...]
    places: tuple[Place, ...]

    def beside(self, other: "_Build") -> "_Build":
        moved = tuple((n, x + self.length, y, a, b) for n, x, y, a, b in other.places)
        return _Build(self.length + other.length, max(self.width, other.width), *self._with(other), self.places + moved)

    def below(self, other: "_Build") -> "_Build":
        moved = tuple((n, x, y + self.width, a, b) for n, x, y, a, b in other.places)
        return _Build(max(self.length, other.length), self.width + other.width, *self._with(other), self.places + moved)

    def _with(self, other: "_Build") -> tuple[int, tuple[int, ...]]:
        return self.value + other.value, tuple(a + b for a, b in zip(self.counts, other.counts, strict=True))


def _build_up(length: int, width: int, pieces: Sequence[Piece], sides: Sequence[tuple[int, int, int]], most_builds: int) -> SheetCut:
    limits = [piece.limit if piece.limit is not None else (length // piece.length) * (width // piece.width) for piece in pieces]
    around = _value_around(length, width, _Table.of(length, width, pieces, tuple(sides)))
    single = [
        _Build(a, b, pieces[number].value, tuple(int(n == number) for n in range(len(pieces))), ((number, 0, 0, a, b),))
        for number, a, b in sides
    ]
    waiting: list[tuple[int, int, _Build]] = []
    known: set[tuple[int, int, tuple[int, ...]]] = set()
    best = max(single, key=lambda build: build.value)

    def offer(build: _Build) -> None:
        nonlocal best
        key = (build.length, build.width, build.counts)
        fits = build.length <= length and build.width <= width
        if fits and key not in known and all(n <= limit for n, limit in zip(build.counts, limits, strict=True)):
            known.add(key)
            best = max(best, build, key=lambda one: one.value)
            heapq.heappush(waiting, (-build.value - int(around[build.length, build.width]), len(known), build))

    for build in single:
        offer(build)
    done: list[_Build] = []
    while waiting and -waiting[0][0] > best.value:
        if len(known) > most_builds:
            raise NotConverged(f"sheet cutting: {most_builds} builds do not prove an optimum; allow more or take fewer kinds of pieces.")
        build = heapq.heappop(waiting)[2]
        done.append(build)
        for other in done:
            offer(build.beside(other))
            offer(build.below(other))
    return SheetCut(best.value, best.places)


def _value_around(length: int, width: int, table: _Table) -> Ints:
    """Most value that the sheet can still give around a rectangle in its corner, for every rectangle; limits ignored."""
    inside = np.array([[table.value(a, b) for b in range(width + 1)] for a in range(length + 1)], np.int64)
    around = np.zeros((length + 1, width + 1), np.int64)
    for a in range(length, -1, -1):
        for b in range(width, -1, -1):
            right = around[a + 1 :, b] + inside[1 : length - a + 1, b] if a < length else np.zeros(1, np.int64)
            above = around[a, b + 1 :] + inside[a, 1 : width - b + 1] if b < width else np.zeros(1, np.int64)
            around[a, b] = max(int(right.max()), int(above.max()))
    return around
