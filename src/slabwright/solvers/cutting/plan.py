"""What a cutting problem is and what an answer to it looks like, with its proof."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from slabwright.errors import Infeasible, OutOfRange

_MOST_TOTALS = 10_000


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way of cutting one stock length, and how often it is cut so.

    Attributes
    ----------
    stock : int
        Which stock length, by its place in the caller's list.
    counts : tuple of int
        Pieces of each kind, in the caller's order.
    times : int
    """

    stock: int
    counts: tuple[int, ...]
    times: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """A plan that cuts every piece asked for exactly once.

    Attributes
    ----------
    patterns : tuple of Pattern
    cost : int
        Sum of the prices of the stock used.
    bound : int
        No plan costs less: proven with whole numbers from the dual of the cutting problem.
    """

    patterns: tuple[Pattern, ...]
    cost: int
    bound: int

    @property
    def is_optimal(self) -> bool:
        """True where the cost equals the proven bound."""
        return self.cost == self.bound

    @property
    def gap(self) -> float:
        """How far at most the cost is above the least possible, a fraction of the bound."""
        return (self.cost - self.bound) / self.bound if self.bound else 0.0

    @property
    def n_stock(self) -> int:
        """Stock lengths used."""
        return sum(pattern.times for pattern in self.patterns)


@dataclass(frozen=True, slots=True)
class Stock:
    """One length that can be bought.

    Attributes
    ----------
    length : int
        In the whole-number unit of the problem.
    price : int
        In any whole-number unit of money; 1 to count lengths.
    """

    length: int
    price: int = 1

    def __post_init__(self) -> None:
        if self.length <= 0 or self.price <= 0:
            raise OutOfRange(f"a stock length and its price must be above nought (got {self.length}, {self.price}).")


def whole_units(lengths: Sequence[float], *, smallest: float = 1e-7) -> tuple[tuple[int, ...], float]:
    """Lengths as whole numbers of their largest common unit.

    Parameters
    ----------
    lengths : sequence of float
        In any unit, such as feet or metres.
    smallest : float
        Lengths are first rounded to this much of that unit.

    Returns
    -------
    numbers : tuple of int
    unit : float
        Each length is its number times this.
    """
    fine = [round(length / smallest) for length in lengths]
    common = math.gcd(*fine)
    if common == 0:
        raise OutOfRange("lengths must be above nought.")
    return tuple(length // common for length in fine), common * smallest


def checked(lengths: Sequence[int], demands: Sequence[int], stock: Sequence[Stock], *, kerf: int = 0) -> None:
    """Refuse a problem without meaning or without answer.

    Raises
    ------
    OutOfRange
        For a length that is not above nought, a negative count, or lists of different size.
    Infeasible
        For a piece longer than every stock length.
    """
    if len(lengths) != len(demands):
        raise OutOfRange(f"there must be one count for each length (got {len(lengths)} lengths and {len(demands)} counts).")
    if any(length <= 0 for length in lengths) or any(demand < 0 for demand in demands) or kerf < 0:
        raise OutOfRange("piece lengths must be above nought; counts and saw cut from nought.")
    if not stock:
        raise Infeasible("there is no stock length to cut from; name at least one.")
    longest = max(one.length for one in stock)
    for length, demand in zip(lengths, demands, strict=True):
        if demand and length > longest:
            raise Infeasible(
                f"a piece of {length} units is longer than the longest stock length of {longest} units; "
                "allow a lap in it or buy a longer length."
            )


def exact_plan(columns: Sequence[tuple[int, Sequence[int]]], times: Sequence[int], demands: Sequence[int]) -> tuple[Pattern, ...]:
    """A plan that may cut too many pieces, trimmed so that it cuts each exactly as often as wanted.

    Parameters
    ----------
    columns : sequence of (stock, counts)
    times : sequence of int
        How often each column is used.
    demands : sequence of int
    """
    surplus = [sum(n * counts[kind] for (_, counts), n in zip(columns, times, strict=True)) - demand for kind, demand in enumerate(demands)]
    tally: dict[tuple[int, tuple[int, ...]], int] = {}
    for (stock, counts), n in zip(columns, times, strict=True):
        left = n
        while left > 0:
            drop = [min(extra, count) for extra, count in zip(surplus, counts, strict=True)]
            share = min((extra // part for extra, part in zip(surplus, drop, strict=True) if part), default=left)
            now = min(left, share)
            kept = tuple(count - part for count, part in zip(counts, drop, strict=True))
            surplus = [extra - part * now for extra, part in zip(surplus, drop, strict=True)]
            if any(kept):
                tally[stock, kept] = tally.get((stock, kept), 0) + now
            left -= now
    return tuple(Pattern(stock, counts, n) for (stock, counts), n in sorted(tally.items(), key=lambda item: (-item[1], item[0])))


def rounded_up(bound: Fraction, prices: Sequence[int]) -> int:
    """The least cost at or above a bound that these prices can add up to; where there are very many sums, a common divisor of them can."""
    step = math.gcd(*prices)
    least = math.ceil(bound / step) * step
    cheapest, *others = sorted(set(prices))
    counts = [-(-least // price) + 1 for price in others]
    if not others or math.prod(counts) > _MOST_TOTALS:
        return least
    totals = np.zeros(1, np.int64)
    for price, n in zip(others, counts, strict=True):
        totals = np.add.outer(totals, price * np.arange(n)).ravel()
    totals += cheapest * np.maximum(0, -((totals - least) // cheapest))
    return int(totals.min())
