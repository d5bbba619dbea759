"""Counting bars by hand, as estimating courses teach it, and the cut plan that beats the hand count."""

from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.standards.take_off import pieces_lapped

EXERCISES = Source("bar exercises", "Exercises of an estimating-fundamentals course: bars in a slab both ways")
BAR_COUNT = Clause(EXERCISES, "No.4 at 12 in. both ways, 2 in. cover", Basis.QUOTED)
LAPPED_RUN = arithmetic("lapped run: whole lengths less one lap each")
CUTTING = arithmetic("cutting stock solved to a proven bound")


@dataclass(frozen=True, slots=True)
class BarSpacing:
    """Bars across a width.

    Attributes
    ----------
    n_spaces, n_bars : int
    spacing_m : float
        As laid, evenly. [m]
    """

    n_spaces: int
    n_bars: int
    spacing_m: float


@published("bar-spacing", BAR_COUNT)
def bar_spacing(*, width_m: float, cover_m: float, largest_spacing_m: float, working: Working | None = None) -> BarSpacing:
    """Bars across a width at no more than a spacing: one more than there are spaces.

    Parameters
    ----------
    width_m : float
        Of the concrete. [m]
    cover_m : float
        To the first and the last bar. [m]
    largest_spacing_m : float
        [m]

    Returns
    -------
    BarSpacing
        [m]
    """
    clear = width_m - 2 * cover_m
    if largest_spacing_m <= 0 or cover_m < 0 or clear < 0:
        raise OutOfRange("the cover is larger than half the width, or the spacing is nought; check both.")
    working = working or Working()
    spaces = round(
        working.line(
            "n = ceil((W - 2*c)/s - 0.000001)",
            W=(width_m, "m"),
            c=(cover_m, "m"),
            s=(largest_spacing_m, "m"),
            note="spaces; bars are one more",
        )
    )
    return BarSpacing(spaces, spaces + 1, clear / spaces if spaces else 0.0)


@dataclass(frozen=True, slots=True)
class LappedRun:
    """Bars of one run.

    Attributes
    ----------
    n_bars : int
    steel_m : float
        Length of run and least laps together. [m]
    closing_m : float
        Length of the last bar when the others are whole. [m]
    """

    n_bars: int
    steel_m: float
    closing_m: float


@published("lapped-run", LAPPED_RUN)
def lapped_run(*, length_m: float, stock_length_m: float, lap_m: float, closed: bool = False, working: Working | None = None) -> LappedRun:
    """Bars of one stock length in a run, each lapping the one before.

    Parameters
    ----------
    length_m : float
        Of the run, or round the ring. [m]
    stock_length_m, lap_m : float
        [m]
    closed : bool
        True for a ring, which laps once more where it closes.

    Returns
    -------
    LappedRun
        [m]
    """
    length = length_m + lap_m if closed else length_m
    n = pieces_lapped(length_m=length, piece_m=stock_length_m, lap_m=lap_m, working=working)
    steel = length + (n - 1) * lap_m
    return LappedRun(n, steel, steel - (n - 1) * stock_length_m)


@dataclass(frozen=True, slots=True)
class StockCutting:
    """A proven cut plan.

    Attributes
    ----------
    n_stock : int
        Stock lengths to buy.
    cost, least_cost : float
        In the unit of the prices; stock lengths where none are given. [-]
    wasted : float
        Fraction of the stock length that is no piece. [-]
    patterns : str
        How often each way of cutting is used, and how many of each piece it cuts.
    """

    n_stock: int
    cost: float
    least_cost: float
    wasted: float
    patterns: str


@published("stock-cutting", CUTTING)
def stock_cutting(
    *, lengths_m: Sequence[float], counts: Sequence[int], stock_m: Sequence[float], prices: Sequence[float] = (), kerf_m: float = 0.0
) -> StockCutting:
    """Cheapest stock from which pieces can be cut, with the proof of how cheap it can be.

    Parameters
    ----------
    lengths_m : sequence of float
        Pieces. [m]
    counts : sequence of int
        How many of each.
    stock_m : sequence of float
        Lengths that can be bought. [m]
    prices : sequence of float
        Of each stock length, to the hundredth; none to count lengths. [-]
    kerf_m : float
        Lost in each cut. [m]

    Returns
    -------
    StockCutting

    Raises
    ------
    OutOfRange, Infeasible
        For lists of different size, or a piece longer than every stock length.
    """
    from slabwright.solvers.cutting.plan import Stock, whole_units
    from slabwright.solvers.cutting.stock import cut_stock

    if not stock_m or (prices and len(prices) != len(stock_m)):
        raise OutOfRange("give one price for each stock length, or none.")
    whole, unit = whole_units([*lengths_m, *stock_m, *([kerf_m] if kerf_m else [])])
    hundredths = [round(100 * price) for price in prices] or [1] * len(stock_m)
    stock = [Stock(length, price) for length, price in zip(whole[len(lengths_m) :], hundredths, strict=False)]
    plan = cut_stock(whole[: len(lengths_m)], counts, stock, kerf=whole[-1] if kerf_m else 0)
    bought = sum(stock[one.stock].length * unit * one.times for one in plan.patterns)
    used = sum(length * count for length, count in zip(lengths_m, counts, strict=True))
    money = 100.0 if prices else 1.0
    told = "; ".join(f"{one.times} x ({', '.join(str(n) for n in one.counts)}) from stock {one.stock + 1}" for one in plan.patterns)
    return StockCutting(plan.n_stock, plan.cost / money, plan.bound / money, 1.0 - used / bought if bought else 0.0, told)
