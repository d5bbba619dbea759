"""Sheets in their rows: fewest sheets, then fewest cuts, laps of neighbouring rows apart, offcuts used again."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from shapely import Polygon, box

from slabwright.errors import Infeasible
from slabwright.geometry.bands import Interval, turned
from slabwright.geometry.lapped import laps_of
from slabwright.geometry.overlay import Area
from slabwright.solvers.cutting.plan import Stock
from slabwright.solvers.cutting.runs import Extras, Run, RunPlan, lay_runs
from slabwright.studies.mesh.rows import Row, SheetSize, rows_for

CUTS_WORTH_A_SHEET = 10
"""A sheet more is laid rather than ten sheets cut; common practice, no source."""
RIPS_WORTH_CUTS = 3
"""A sheet ripped along its length is as much work as three cuts across; common practice, no source."""
Line = tuple[tuple[int, int], ...]
Span = tuple[int, Line]
_SHEET = 12_000
_PHASES = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One sheet, or part of one, in its place.

    Attributes
    ----------
    mark : str
        ``3.2`` is the second of the third row.
    row : int
    outline : Polygon
        Where it lies, trimmed parts still on. [m]
    length_m, width_m : float
        To cut. [m]
    sheet : int
        Number of the sheet it comes from, from 1.
    is_cut, is_trimmed : bool
        Not a whole sheet; sticks out of the region and is trimmed in place.
    """

    mark: str
    row: int
    outline: Polygon
    length_m: float
    width_m: float
    sheet: int
    is_cut: bool
    is_trimmed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MeshLayout:
    """Sheets as laid.

    Attributes
    ----------
    placed : tuple of Placed
    along_y : bool
        True where the sheets lie along y.
    n_sheets : int
        To order.
    n_cuts, n_rips, n_trimmed : int
        Cuts across sheets; sheets ripped along their length; sheets trimmed in place.
    least_sheets : int
        Fewest sheets in straight rows this way, laps free to stretch; proven.
    is_staggered : bool
        True where no more than three sheets lie over one another anywhere; read off the outlines.
    """

    placed: tuple[Placed, ...]
    along_y: bool
    n_sheets: int
    n_cuts: int
    n_rips: int
    n_trimmed: int
    least_sheets: int
    is_staggered: bool

    @property
    def worth(self) -> float:
        """Sheets and cutting in one number, in sheets."""
        return self.n_sheets + self.work / CUTS_WORTH_A_SHEET

    @property
    def rank(self) -> tuple[bool, float]:
        """Layouts are compared by this, the lower the better."""
        return not self.is_staggered, self.worth

    @property
    def work(self) -> int:
        """Cutting of all kinds, in cuts across a sheet."""
        return self.n_cuts + self.n_trimmed + RIPS_WORTH_CUTS * self.n_rips


def layouts(region: Area, size: SheetSize) -> tuple[MeshLayout, ...]:
    """The best layout, the best the other way, and one of fewer cuts where a sheet for each cut saved buys it.

    Parameters
    ----------
    region : Polygon or MultiPolygon
        What is to be covered. [m]
    size : SheetSize

    Raises
    ------
    OutOfRange
        If a sheet is not wider or longer than its lap.
    """
    cut = _SHEET // CUTS_WORTH_A_SHEET
    best, other = sorted((_laid(region, size, along_y, cut) for along_y in (False, True)), key=lambda one: (*one.rank, one.along_y))
    whole = _laid(region, size, best.along_y, _SHEET)
    turned_whole = _laid(region, size, other.along_y, _SHEET, below=_SHEET * (whole.n_sheets + whole.n_cuts))
    whole = min(whole, turned_whole, key=lambda one: one.n_sheets + one.n_cuts)
    if whole.work >= min(best.work, other.work):
        return best, other
    if best.rank <= whole.rank:
        return best, other, whole
    return whole, other if whole.along_y == best.along_y else best


def _laid(region: Area, size: SheetSize, along_y: bool, cut: int, *, below: float = math.inf) -> MeshLayout:
    """The best layout one way, at a price for each cut; ripped rows are weighed against whole ones as they come out.

    Where even the bound is not below a cost, the layout is of no use and its laps are left as they fall.
    """
    shape = turned(region) if along_y else region
    found = _in_rows(shape, rows_for(shape, size, may_rip=cut < _SHEET), size, along_y, cut, below)
    if found.n_rips and cut < _SHEET:
        whole = _in_rows(shape, rows_for(shape, size, may_rip=False), size, along_y, cut, below)
        found = min(found, whole, key=lambda one: one.rank)
    return found


def _in_rows(shape: Area, rows: Sequence[Row], size: SheetSize, along_y: bool, cut: int, below: float) -> MeshLayout:
    grid = _Grid.of(size, cut)
    groups, least = _solved(rows, grid, below)
    placed = _placed(shape, rows, size, grid, groups)
    stack = laps_of([one.outline for one in placed], [one.row for one in placed], shape, along_y=False).most_over_another
    narrow = {one.sheet for one in placed if one.width_m < size.width_m - 1e-6}
    if along_y:
        placed = [replace(one, outline=_upright(one.outline)) for one in placed]
    return MeshLayout(
        placed=tuple(placed),
        along_y=along_y,
        n_sheets=max(one.sheet for one in placed),
        n_cuts=sum(group.n_cuts(grid) for group in groups),
        n_rips=len(narrow),
        n_trimmed=sum(one.is_trimmed for one in placed),
        least_sheets=least,
        is_staggered=stack <= 3,
    )


def sticks_out(outline: Polygon, shape: Area) -> bool:
    """Whether a piece reaches beyond a shape by more than crumbs."""
    return bool(outline.difference(shape).area > 1e-3 * outline.area)


def _upright(outline: Polygon) -> Polygon:
    """A rectangle with x and y exchanged."""
    x0, y0, x1, y1 = outline.bounds
    return box(y0, x0, y1, x1)


@dataclass(frozen=True, slots=True)
class _Grid:
    """Whole-number unit along a row that divides sheet, lap and wire spacing, 2 in. or less; and the price of a cut."""

    unit_m: float
    sheet: int
    lap: int
    pitch: int
    cut: int

    @classmethod
    def of(cls, size: SheetSize, cut: int) -> "_Grid":
        microns = [round(length * 1e6) for length in (size.length_m, size.lap_m, size.pitch_m)]
        common = math.gcd(*microns) * 1e-6
        coarse = common if common > 0.005 else size.pitch_m / 6
        unit = coarse / math.ceil(coarse / 0.051)
        return cls(unit, int(size.length_m / unit + 1e-6), round_up(size.lap_m / unit), round_up(size.pitch_m / unit), cut)

    def units(self, length_m: float) -> int:
        return round_up(length_m / self.unit_m)


def round_up(number: float) -> int:
    """The next whole number, a float's last digits aside."""
    return math.ceil(number - 1e-6)


@dataclass(frozen=True, slots=True)
class _Group:
    """Rows of one width, laid and cut.

    Attributes
    ----------
    strips : int
        Strips ripped from a sheet.
    plan : RunPlan
    lines : Mapping of (row, span) to pieces
        (start, end) of every piece along its span, in units.
    """

    strips: int
    plan: RunPlan
    lines: Mapping[tuple[int, Interval], Line]

    @property
    def cost(self) -> int:
        return self.plan.cost

    @property
    def least_sheets(self) -> int:
        strips = -(-self.plan.cut.bound // (_SHEET // self.strips))
        return -(-strips // self.strips)

    @property
    def is_single(self) -> bool:
        return all(len(line) == 1 for line in self.lines.values())

    def n_cuts(self, grid: _Grid) -> int:
        """Cuts across sheets or strips."""
        cuts = 0
        for one in self.plan.cut.patterns:
            used = sum(n * length for n, length in zip(one.counts, self.plan.lengths, strict=True))
            cuts += one.times * (sum(one.counts) - (used == grid.sheet))
        return cuts

    def strips_of(self) -> dict[int, list[int]]:
        """For each piece length the strips, numbered from 0, that it is cut from."""
        found: dict[int, list[int]] = {}
        strip = 0
        for pattern in self.plan.cut.patterns:
            for _ in range(pattern.times):
                for n, length in zip(pattern.counts, self.plan.lengths, strict=True):
                    found.setdefault(length, []).extend([strip] * n)
                strip += 1
        return found


def _solved(rows: Sequence[Row], grid: _Grid, below: float) -> tuple[list[_Group], int]:
    """Rows laid by width, laps of neighbouring rows apart where that can be, and the proven least number of sheets."""
    kinds = sorted({row.strips for row in rows})
    best = [_lay(_lines(rows, strips, grid, None), strips, grid) for strips in kinds]
    least = sum(group.least_sheets for group in best)
    if len(rows) == 1 or all(group.is_single for group in best) or sum(group.plan.bound for group in best) >= below:
        return best, least
    target = 1.002 * (_cost(best) + grid.cut * (len(rows) // 4))
    staggered: list[_Group] = []
    asked: list[list[dict[Span, int]]] = []
    for phase in range(_PHASES):
        lines = [_lines(rows, group.strips, grid, phase) for group in best]
        question = [{span: len(members) for span, members in one.items()} for one in lines]
        if question in asked:
            continue
        asked.append(question)
        try:
            tried = [_lay(one, group.strips, grid, group.plan.cut.bound) for one, group in zip(lines, best, strict=True)]
        except Infeasible:
            continue
        if not staggered or _cost(tried) < _cost(staggered):
            staggered = tried
        if _cost(staggered) <= target:
            break
    return staggered or best, least


def _cost(groups: Sequence[_Group]) -> int:
    return sum(group.cost for group in groups)


def _lines(rows: Sequence[Row], strips: int, grid: _Grid, phase: int | None) -> dict[Span, list[tuple[int, Interval]]]:
    """Spans of the rows of one width; those alike, in rows of one parity, are lines of one run."""
    members: dict[Span, list[tuple[int, Interval]]] = {}
    for number, row in enumerate(rows):
        for span in row.spans if row.strips == strips else ():
            members.setdefault((grid.units(span[1] - span[0]), _windows(number, span, grid, phase)), []).append((number, span))
    return members


def _lay(members: Mapping[Span, list[tuple[int, Interval]]], strips: int, grid: _Grid, least_stock: int | None = None) -> _Group:
    """Lay the rows of one width."""
    runs = [Run(length=length, lap=grid.lap, count=len(lines), windows=windows) for (length, windows), lines in members.items()]
    shortest = max(grid.lap + 2 * grid.pitch, grid.sheet // 5)
    offered = {cut for cut in range(grid.pitch, grid.sheet, grid.pitch) if cut >= shortest} | {grid.sheet}
    offered |= {run.length for run in runs if run.length <= grid.sheet}
    stock = [Stock(grid.sheet, _SHEET // strips)]
    extras = Extras(lap=1, cut=grid.cut)
    plan = lay_runs(runs, stock, sorted(offered), extras=extras, least_stock=least_stock, gap=0.005, node_limit=0)
    lines = {
        member: line for found, mine in zip(plan.rows, members.values(), strict=True) for member, line in zip(mine, found, strict=True)
    }
    return _Group(strips, plan, lines)


def _windows(number: int, span: Interval, grid: _Grid, phase: int | None) -> Line:
    """Where laps of a row may lie: every other half period, the halves of the next row being the ones between."""
    length = grid.units(span[1] - span[0])
    if phase is None or length <= grid.sheet:
        return ()
    period = grid.sheet - grid.lap
    shift = (period * phase // _PHASES + (number % 2) * (period // 2) - round(span[0] / grid.unit_m)) % period - period
    lows = range(shift, length, period)
    return tuple((low, low + period // 2 - 2) for low in lows if low + period // 2 - 2 > 0)


def _placed(shape: Area, rows: Sequence[Row], size: SheetSize, grid: _Grid, groups: Sequence[_Group]) -> list[Placed]:
    """Every piece in its row; sheets are numbered as they are first needed."""
    strips_of = {group.strips: group.strips_of() for group in groups}
    lines = {key: line for group in groups for key, line in group.lines.items()}
    numbers: dict[tuple[int, int], int] = {}
    placed = []
    for number, row in enumerate(rows):
        pieces = [(span, piece) for span in row.spans for piece in lines[number, span]]
        for part, (span, (start, end)) in enumerate(pieces, start=1):
            strip = strips_of[row.strips][end - start].pop(0)
            sheet = numbers.setdefault((row.strips, strip // row.strips), len(numbers) + 1)
            left = span[0] + start * grid.unit_m - max(0.0, span[0] + end * grid.unit_m - span[1])
            outline = box(max(left, span[0]), row.low_m, min(span[0] + end * grid.unit_m, span[1]), row.high_m)
            placed.append(
                Placed(
                    mark=f"{number + 1}.{part}",
                    row=number,
                    outline=outline,
                    length_m=(end - start) * grid.unit_m,
                    width_m=row.high_m - row.low_m,
                    sheet=sheet,
                    is_cut=end - start < grid.sheet or row.high_m - row.low_m < size.width_m - 1e-6,
                    is_trimmed=sticks_out(outline, shape),
                )
            )
    return placed
