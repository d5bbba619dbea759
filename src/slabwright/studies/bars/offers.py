"""Lengths in which bars of one size can be bought, and at what price."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from slabwright.errors import MissingInput
from slabwright.model.job import Job
from slabwright.model.supply import Prices
from slabwright.results.notes import Notes
from slabwright.solvers.cutting.plan import Stock
from slabwright.solvers.cutting.runs import Extras
from slabwright.sources import practice
from slabwright.studies.bars.windows import units_down
from slabwright.units import LENGTH, Family, format_quantity

PRICED = "steel.bars."
PRICES = practice("bars priced by the piece, by size and stock length")
_LEAST_STOCK_M = 0.3
"""Below it a stock length is a slip of the pen; a choice, no source. [m]"""
_STOCK = 100_000
_LAPS_WORTH_A_BAR, _CUTS_WORTH_A_BAR = 500, 5000
"""Laps, and cuts, that weigh as much as the dearest bar: they decide between plans that cost the same; a choice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What the yard sells of one size.

    Attributes
    ----------
    size : str
    stock_m : tuple of float
        [m]
    prices : tuple of Decimal
        Of a bar of each length; empty where the job does not price them all.
    """

    size: str
    stock_m: tuple[float, ...]
    prices: tuple[Decimal, ...] = ()

    @classmethod
    def of(cls, size: str, stock_m: tuple[float, ...], family: Family, prices: Prices | None) -> "Offer":
        """With the prices that the job has.

        Raises
        ------
        MissingInput
            For a stock length that is no bar.
        """
        if min(stock_m) < _LEAST_STOCK_M:
            raise MissingInput(
                f"{size}: a stock length of {length_text(min(stock_m), family)} is no bar; write in [[bars]] stock what the yard sells."
            )
        known = {} if prices is None else prices.per_unit
        found = [known.get(price_key(size, length, family)) for length in stock_m]
        return cls(size=size, stock_m=stock_m, prices=tuple(price for price in found if price) if all(found) else ())

    def stock(self, unit_m: float) -> tuple[Stock, ...]:
        """In whole units, at whole-number prices in exact proportion to the money; to the length where there are no prices."""
        longest = max(self.stock_m)
        rates = [round(_STOCK * length / longest) for length in self.stock_m]
        if self.prices:
            fine = [round(price * 10_000) for price in self.prices]
            money = [one // math.gcd(*fine) for one in fine]
            rates = [one * max(1, _STOCK // max(money)) for one in money]
        return tuple(Stock(units_down(length, unit_m), max(1, rate)) for length, rate in zip(self.stock_m, rates, strict=True))

    def bill(self, n_stock: dict[float, int]) -> Decimal | None:
        """What bars of each length cost together; None where the job does not price them."""
        if not self.prices:
            return None
        return sum((n * self.prices[self.stock_m.index(length)] for length, n in n_stock.items()), Decimal(0))


def say_prices(offers: Sequence[Offer], job: Job, notes: Notes) -> None:
    """Prices of bars that the job has and that are not used, and sizes of which only some lengths have one."""
    if job.prices is None:
        return
    keys = {price_key(offer.size, length, job.family): offer for offer in offers for length in offer.stock_m}
    stated = [key for key in job.prices.per_unit if key.startswith(PRICED)]
    for key in stated:
        if key not in keys:
            notes.assume(f"prices.{key}", f"No bar goes by this price; those of this job go by {', '.join(keys)}.", PRICES)
    for offer in dict.fromkeys(keys[key] for key in stated if key in keys):
        if not offer.prices:
            notes.assume(
                f"prices.{PRICED}{offer.size}",
                f"Not every stock length of {offer.size} has a price, so its bars are cut for the least length, not the least money.",
                PRICES,
            )


def extras_beside(stock: Iterable[Stock]) -> Extras:
    """What a lap and a cut weigh beside the stock."""
    dearest = max(one.price for one in stock)
    return Extras(lap=dearest // _LAPS_WORTH_A_BAR, cut=dearest // _CUTS_WORTH_A_BAR)


def price_key(size: str, stock_m: float, family: Family) -> str:
    """Name of a stock length in the order list and in the prices of the job.

    >>> price_key("No.4", 6.096, Family.US)
    'steel.bars.No.4.20ft'
    """
    return f"{PRICED}{size}.{length_text(stock_m, family).replace(' ', '')}"


def length_text(length_m: float, family: Family) -> str:
    """A length of bar in feet or metres."""
    return format_quantity(length_m, LENGTH, family, unit="ft" if family is Family.US else "m")
