"""What the priced lines cost, and what one more inch of floor would."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from slabwright.model.supply import PlacingMethod, Plant, Prices
from slabwright.results.lines import QuantityLine
from slabwright.studies.quantities.concrete import ConcreteOrder
from slabwright.units import INCH_M, Family

_CENT = Decimal("0.01")
_PUMPS = (PlacingMethod.LINE_PUMP, PlacingMethod.BOOM_PUMP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """One amount.

    Attributes
    ----------
    key : str
        Of the line, or ``fee`` with its name.
    item : str
    amount : Decimal
    """

    key: str
    item: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """Amounts of all that has a price.

    Attributes
    ----------
    currency : str
    costs : tuple of Cost
    thicker_m, thicker_m3 : float
        One more inch, or 25 mm, of floor, and the concrete it takes. [m], [m³]
    thicker_cost : Decimal or None
        None where concrete has no price.
    """

    currency: str
    costs: tuple[Cost, ...]
    thicker_m: float
    thicker_m3: float
    thicker_cost: Decimal | None

    @property
    def total(self) -> Decimal:
        """Sum of what has a price."""
        return sum((one.amount for one in self.costs), Decimal(0))

    def text(self, amount: Decimal) -> str:
        """An amount as printed."""
        return f"{self.currency}{amount.quantize(_CENT, ROUND_HALF_UP):,}"


def costs_of(
    lines: Sequence[QuantityLine], prices: Prices, order: ConcreteOrder, plant: Plant, floor_area_m2: float, family: Family
) -> Costs:
    """Price every line that has a price and is no part of one that has, the fees that apply, and one more inch of floor."""
    costs = [
        Cost(key=line.key, item=line.item, amount=_amount(prices.per_unit[line.key], line.quantity))
        for line in lines
        if line.key in prices.per_unit and line.part_of not in prices.per_unit
    ]
    if order.is_short_load and "short_load" in prices.fees:
        costs.append(Cost(key="fee.short_load", item="Short-load fee for the balance load", amount=prices.fees["short_load"]))
    if plant.method in _PUMPS and "pump" in prices.fees:
        costs.append(Cost(key="fee.pump", item=f"Fee, {plant.method.value}", amount=prices.fees["pump"]))
    thicker = INCH_M if family is Family.US else 0.025
    price = prices.per_unit.get("concrete")
    return Costs(
        currency=prices.currency,
        costs=tuple(costs),
        thicker_m=thicker,
        thicker_m3=floor_area_m2 * thicker,
        thicker_cost=_amount(price, floor_area_m2 * thicker) if price is not None else None,
    )


def _amount(price: Decimal, quantity: float) -> Decimal:
    return (price * Decimal(repr(quantity))).quantize(_CENT, ROUND_HALF_UP)
