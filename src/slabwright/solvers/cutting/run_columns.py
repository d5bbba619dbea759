"""Columns of the program that lays lapped runs: ways of cutting a stock length, ways of covering a run.

Both speak of the same pieces: a way of cutting makes them, a way of covering takes them. At any worth of the pieces a
knapsack finds the best ways of cutting, a cheapest path the best ways of covering, and the two prove a bound.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from slabwright.errors import Infeasible, NotConverged, OutOfRange
from slabwright.solvers.cutting.knapsack import Ints, best_counts, best_values
from slabwright.solvers.cutting.lapping import NEVER, cheapest_row, row_of, windows_as_arrays
from slabwright.solvers.cutting.plan import Stock, checked, rounded_up
from slabwright.solvers.highs import Floats, GrowingProgram

Row = tuple[tuple[int, int], ...]
Cut = tuple[int, tuple[int, ...]]

_SCALE = 2**40
_MOST_ROUNDS = 1_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A line to be covered by pieces that lap.

    Attributes
    ----------
    length : int
        In the whole-number unit of the problem. A closed ring is a run that is one lap longer than its circumference.
    lap : int
        Least lap of two pieces that follow each other.
    count : int
        How many such lines there are.
    windows : tuple of (first, last)
        Where laps may lie; empty for anywhere.
    """

    length: int
    lap: int
    count: int = 1
    windows: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        if self.length <= 0 or self.lap < 0 or self.count < 1:
            raise OutOfRange(
                f"a run needs a length above nought, a lap from nought and a count from 1 (got {self.length}, {self.lap}, {self.count})."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Extras:
    """What is charged beside the stock, in the same whole-number money."""

    lap: int = 0
    cut: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Runs, stock and every piece length in play, shortest first; ``loose`` counts the pieces of fixed length."""

    runs: tuple[Run, ...]
    stock: tuple[Stock, ...]
    lengths: Ints
    loose: Ints
    offered: Ints
    windows: tuple[tuple[Ints, Ints], ...]

    @classmethod
    def of(cls, runs: Sequence[Run], stock: Sequence[Stock], offered: Sequence[int], loose: Sequence[tuple[int, int]]) -> "Problem":
        checked([length for length, _ in loose], [count for _, count in loose], stock)
        longest = max(one.length for one in stock)
        usable = {length for length in offered if 0 < length <= longest} if runs else set()
        wanted: dict[int, int] = {}
        for length, count in loose:
            wanted[length] = wanted.get(length, 0) + count
        lengths = sorted(usable | {length for length, count in wanted.items() if count})
        return cls(
            runs=tuple(runs),
            stock=tuple(stock),
            lengths=np.array(lengths, np.int64),
            loose=np.array([wanted.get(length, 0) for length in lengths], np.int64),
            offered=np.array([place for place, length in enumerate(lengths) if length in usable], np.int64),
            windows=tuple(windows_as_arrays(run.length, run.windows or ((0, run.length),)) for run in runs),
        )

    @property
    def needs(self) -> Floats:
        """Right-hand sides: loose pieces of each length, then the lines of each run."""
        return np.array([*self.loose, *(run.count for run in self.runs)], np.float64)

    @property
    def longest(self) -> int:
        return max(one.length for one in self.stock)

    def n_cuts(self, cut: Cut) -> int:
        """Cuts that part a stock length into these pieces and what is left."""
        stock, counts = cut
        return sum(counts) - (int(np.dot(counts, self.lengths)) == self.stock[stock].length)

    def pieces_of(self, row: Row) -> Ints:
        """How many pieces of each length a row takes."""
        ends = np.array(row, np.int64)
        return np.bincount(np.searchsorted(self.lengths, ends[:, 1] - ends[:, 0]), minlength=self.lengths.size)

    def fewest_laps(self) -> int:
        """Laps that no plan can do without."""
        ones = np.ones_like(self.lengths)
        return sum(run.count * (Paths.of(self, number, ones).cost - 1) for number, run in enumerate(self.runs))


@dataclass(frozen=True, slots=True)
class Column:
    """A way of cutting one stock length (``cut``) or of covering one line of a run (``row``).

    ``vector`` counts the pieces made (taken, where negative) and then the lines covered; ``charges`` are the price of
    the stock, the laps and the cuts.
    """

    owner: int
    cut: tuple[int, ...]
    row: Row
    vector: Ints
    charges: tuple[int, int, int]


def charged(columns: Sequence[Column], extras: Extras) -> Floats:
    """What columns cost: stock, laps and cuts."""
    return np.array([column.charges for column in columns], np.float64).reshape(-1, 3) @ np.array([1.0, extras.lap, extras.cut])


class Columns:
    """The columns found so far, in order, each once."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.all: list[Column] = []
        self._known: set[tuple[int, tuple[int, ...], Row]] = set()
        ones = np.ones_like(problem.lengths)
        for kind, length in enumerate(problem.lengths.tolist()):
            for stock, one in enumerate(problem.stock):
                if length <= one.length:
                    self.add_cut(stock, (np.arange(ones.size) == kind) * (one.length // length))
        for number in range(len(problem.runs)):
            for costs in (ones, problem.lengths):
                self.add_row(number, Paths.of(problem, number, costs).best())

    def __len__(self) -> int:
        return len(self.all)

    def add_cut(self, stock: int, counts: Ints) -> None:
        cut = tuple(counts.tolist())
        if (stock, cut, ()) not in self._known:
            self._known.add((stock, cut, ()))
            vector = np.concatenate((counts, np.zeros(len(self.problem.runs), np.int64)))
            charges = (self.problem.stock[stock].price, 0, self.problem.n_cuts((stock, cut)))
            self.all.append(Column(stock, cut, (), vector, charges))

    def add_row(self, run: int, row: Row) -> None:
        if (run, (), row) not in self._known:
            self._known.add((run, (), row))
            vector = np.concatenate((-self.problem.pieces_of(row), np.arange(len(self.problem.runs)) == run))
            self.all.append(Column(run, (), row, vector, (0, len(row) - 1, 0)))

    def costs(self, extras: Extras, first: int = 0) -> Floats:
        """Of the columns from ``first`` on: stock, laps and cuts."""
        return charged(self.all[first:], extras)

    def matrix(self, first: int = 0) -> Floats:
        """Pieces made and lines covered by the columns from ``first`` on, and below them what stock they take."""
        fresh = self.all[first:]
        return np.array([(*column.vector, column.charges[0]) for column in fresh], np.float64).reshape(len(fresh), -1).T


@dataclass(frozen=True, slots=True)
class Fractions:
    """Answer of the linear program.

    Attributes
    ----------
    uses : (n,) array
        How often each of the first ``n`` columns is used; columns found last, when that no longer mattered, are left out.
    beyond : (n,) array
        How much dearer each column is than what it yields is worth.
    bound : int
        No plan costs less; proven.
    """

    uses: Floats
    beyond: Floats
    bound: int


def generate(
    problem: Problem, columns: Columns, extras: Extras, gap: float, *, least_stock: int = 0, needs: Floats | None = None
) -> Fractions:
    """Add columns until they hold an optimum of the linear program, or one proven within the gap.

    Parameters
    ----------
    problem : Problem
    columns : Columns
        Grows.
    extras : Extras
    gap : float
    least_stock : int
        What the stock of any plan costs at least, where that is known: keeps fractions of a stock length from being
        traded for cuts.
    needs : (m,) array, optional
        Pieces and lines still needed, where some rows are fixed already; the bound then is one on the rest.

    Raises
    ------
    NotConverged
        If the columns still improve after very many rounds.
    """
    step = tuple(one.price for one in problem.stock) + tuple(price for price in (extras.lap, extras.cut) if price)
    needs = problem.needs if needs is None else needs
    proof = Fraction(0)
    program, n_given = GrowingProgram(np.append(needs, least_stock)), 0
    for _ in range(_MOST_ROUNDS):
        program.add(columns.costs(extras, n_given), columns.matrix(n_given))
        n_given = len(columns)
        uses, worth = program.solve()
        dual = _Dual.of(problem, worth, needs, least_stock)
        proof = max(proof, _price(problem, columns, extras, dual))
        bound = rounded_up(proof, step)
        if len(columns) == n_given or bound >= float(worth @ np.append(needs, least_stock)) * (1.0 - max(1e-7, 0.2 * gap)):
            return Fractions(uses, (columns.costs(extras) - worth @ columns.matrix())[:n_given], bound)
    raise NotConverged(f"laps and cuts: the linear program still improves after {_MOST_ROUNDS} rounds; offer fewer piece lengths.")


@dataclass(frozen=True, slots=True)
class _Dual:
    """Dual prices as whole numbers of 1/_SCALE: of pieces, of lines, and of the stock that is needed in any case.

    ``loose`` and ``counts`` are the pieces and lines still needed; ``rates`` are the prices of the stock less the
    share that its least total already accounts for.
    """

    pieces: Ints
    lines: Ints
    loose: Ints
    counts: Ints
    rates: tuple[int, ...]
    assured: Fraction

    @classmethod
    def of(cls, problem: Problem, worth: Floats, needs: Floats, least_stock: int) -> "_Dual":
        n = problem.lengths.size
        scaled = np.floor(np.maximum(worth, 0.0) * _SCALE).astype(np.int64)
        rounded = np.round(needs).astype(np.int64)
        share = min(int(scaled[-1]), _SCALE)
        rates = tuple(one.price * (_SCALE - share) for one in problem.stock)
        return cls(scaled[:n], scaled[n:-1], rounded[:n], rounded[n:], rates, Fraction(share * least_stock, _SCALE))


def _price(problem: Problem, columns: Columns, extras: Extras, dual: _Dual) -> Fraction:
    """Add the columns that pay at these dual prices; return the bound that they prove.

    Where some way of cutting is worth more than it costs, all worths are scaled down until none is: laps and cuts stay
    as dear as before, so that the scaled rows cost at least the scaled share of what they cost now. One part of the
    scale is charged for each piece, so that of equal rows the one of fewest pieces is found; the proof forgoes it.
    """
    excess = _add_cuts(problem, columns, dual, extras.cut * _SCALE)
    proof = sum(int(value) * int(count) for value, count in zip(dual.pieces, dual.loose, strict=True))
    for number, run in enumerate(problem.runs):
        if not dual.counts[number]:
            continue
        paths = Paths.of(problem, number, dual.pieces + extras.lap * _SCALE + 1)
        proof += int(dual.counts[number]) * (paths.cost - extras.lap * _SCALE - run.length)
        for row in paths.rows_below(int(dual.lines[number]) * (1.0 - 1e-9) + extras.lap * _SCALE):
            columns.add_row(number, row)
    return dual.assured if excess is None else dual.assured + Fraction(proof, _SCALE) / excess


def _add_cuts(problem: Problem, columns: Columns, dual: _Dual, cut: int) -> Fraction | None:
    """Add the ways of cutting that are worth more than they cost.

    Besides the best way for each stock length, the best way around each single piece length is offered. A stock length
    used to its end saves one cut, so it is priced apart.

    Returns
    -------
    Fraction or None
        How many times its cost some way of cutting is worth, at least 1; None where one costs nothing.
    """
    values = dual.pieces - cut
    limits = problem.longest // problem.lengths
    excess: Fraction | None = Fraction(1)
    for is_exact in (False, True) if cut else (False,):
        best, *tables = best_values(problem.lengths, values, limits, problem.longest, is_exact)
        for stock, (one, rate) in enumerate(zip(problem.stock, dual.rates, strict=True)):
            worth = int(best[one.length]) + cut * is_exact
            if worth > 0:
                excess = None if excess is None or rate == 0 else max(excess, Fraction(worth, rate))
            for kind, length in enumerate((0, *problem.lengths.tolist())):
                if length > one.length or best[one.length - length] < 0:
                    continue
                counts = best_counts(problem.lengths, *tables, one.length - length)
                counts[kind - 1] += kind > 0
                if int(counts @ values) + cut * is_exact > rate * (1.0 + 1e-9):
                    columns.add_cut(stock, counts)
    return excess


@dataclass(frozen=True, slots=True)
class Paths:
    """Cheapest rows of one run at a cost for each piece length."""

    run: Run
    pieces: Ints
    costs: Ints
    last: Ints
    least: Ints
    piece: Ints
    before: Ints

    @classmethod
    def of(cls, problem: Problem, number: int, costs: Ints) -> "Paths":
        """Solve one run.

        Raises
        ------
        Infeasible
            If no row covers it.
        """
        run = problem.runs[number]
        pieces, costs = problem.lengths[problem.offered], costs[problem.offered]
        first, last = problem.windows[number]
        tables = cheapest_row(run.length, run.lap, pieces, costs, first, last)
        if tables[0][run.length] >= NEVER:
            raise Infeasible(
                f"a run of {run.length} units cannot be covered by pieces up to {problem.longest} units with laps of {run.lap}; "
                "use a longer stock length, a shorter lap or wider windows for the laps."
            )
        return cls(run, pieces, costs, last, *tables)

    @property
    def cost(self) -> int:
        """Of the cheapest row."""
        return int(self.least[self.run.length])

    def best(self) -> Row:
        """The cheapest row."""
        return row_of(self.run.length, self.pieces, self.piece, self.before)

    def rows_below(self, cost: float) -> list[Row]:
        """The cheapest row for each choice of the last piece, where it costs less."""
        rows: list[Row] = []
        for length, price in zip(self.pieces.tolist(), self.costs.tolist(), strict=True):
            start = self.run.length - length
            if start == 0 and price < cost:
                rows.append(((0, length),))
            elif start > 0 and self.last[start] >= start + self.run.lap:
                ends = self.least[start + self.run.lap : min(int(self.last[start]), self.run.length - 1) + 1]
                if ends.size and int(ends.min()) + price < cost:
                    follows = start + self.run.lap + int(ends.argmin())
                    rows.append((*row_of(follows, self.pieces, self.piece, self.before), (start, self.run.length)))
        return rows
