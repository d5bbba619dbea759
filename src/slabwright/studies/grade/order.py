"""How much concrete the pad will really take, as a distribution, and the order that follows from it."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slabwright.model.supply import Plant, Prices
from slabwright.sources import practice
from slabwright.standards.order_quantity import round_up_m3
from slabwright.studies.grade.surface import BaseSurface
from slabwright.studies.grade.trench import Overdig
from slabwright.studies.quantities.concrete import ConcreteOrder

Floats = NDArray[np.float64]

RISK = 0.05
"""Chance of running short that the recommended order accepts."""
TICKET_SD = 0.006
"""Scatter of what a ticket's cubic yard holds, a fraction."""
BALANCE_SD_M3 = 0.2
"""Standard error of what is left, measured when four fifths are placed: half a yard at most, in nineteen cases of twenty. [m³]"""
CALL_BACK_S = 1800.0
"""Batching and queue of a load that is called for in need, besides its trip. [s]"""
SCATTER = practice("scatter of overdig, bulge and spill half their mean, of losses and pump fill a fifth, of a ticket 0.6 %")

_SCATTERS: Mapping[str, float] = {"overdig": 0.5, "bulge": 0.5, "spill": 0.5, "loss": 0.2, "pump": 0.2}
_MONEY_STEPS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing that makes the volume uncertain.

    Attributes
    ----------
    key, item : str
    mean_m3, sd_m3 : float
        [m³]
    measured : bool
    """

    key: str
    item: str
    mean_m3: float
    sd_m3: float
    measured: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One quantity to order outright, and what either side of it costs.

    Attributes
    ----------
    order_m3 : float
    chance_short : float
    left_m3 : float
        Expected to be left over. [m³]
    short_cost, left_cost : float or None
        Expected cost of running short, and of what is left over; None without a price of concrete.
    """

    order_m3: float
    chance_short: float
    left_m3: float
    short_cost: float | None
    left_cost: float | None

    @property
    def cost(self) -> float | None:
        """Both sides together."""
        return None if self.short_cost is None or self.left_cost is None else self.short_cost + self.left_cost


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OrderOutlook:
    """The volume needed and the order.

    Attributes
    ----------
    needed_m3 : (n,) float
        Draws of what the pad will take. [m³]
    parts : tuple of Part
    neat_m3 : float
    order_m3 : float
        For a chance of running short of :data:`RISK`, rounded up to the plant's step. [m³]
    n_full : int
        Loads ordered outright.
    truck_m3 : float
    balance_low_m3, balance_high_m3 : float
        What is held until the balance is called, in nine cases of ten. [m³]
    choices : tuple of Choice
    cheapest : Choice or None
        Without the balance rule; None without a price of concrete.
    plain_short : float
        Chance that the order of the order list runs short.
    """

    needed_m3: Floats
    parts: tuple[Part, ...]
    neat_m3: float
    order_m3: float
    n_full: int
    truck_m3: float
    balance_low_m3: float
    balance_high_m3: float
    choices: tuple[Choice, ...]
    cheapest: Choice | None
    plain_short: float

    def quantile_m3(self, chance: float) -> float:
        """Volume that is enough with a chance. [m³]"""
        return float(np.quantile(self.needed_m3, chance))


def order_outlook(
    surface: BaseSurface,
    over: Sequence[Overdig],
    plan: ConcreteOrder,
    plant: Plant,
    prices: Prices | None,
    below_m3: Mapping[str, float],
    edge_floor_m2: float,
    step_m3: float,
    rng: np.random.Generator,
) -> OrderOutlook:
    """Draw what the pad takes and read the order off the draws.

    Parameters
    ----------
    surface : BaseSurface
    over : sequence of Overdig
        Measured over-excavation; parts without one keep the allowance of the order list.
    plan : ConcreteOrder
        Neat volume and allowances of the order list.
    plant : Plant
    prices : Prices or None
    below_m3 : Mapping[str, float]
        Concrete below the floor of ``edge`` and of ``pads``. [m³]
    edge_floor_m2 : float
        Floor over edge, strips and pads: its base is taken to lie as the rest unless the trench was measured. [m²]
    step_m3 : float
        What the plant batches to. [m³]
    rng : numpy Generator
    """
    n = len(surface.draws_m)
    bias = surface.draws_m.mean(axis=1)
    area = surface.area_m2 + (0.0 if any(one.part == "edge" for one in over) else edge_floor_m2)
    draws = {"base_bias": bias * area}
    items = {"base_bias": "base higher or lower than drawn"}
    measured = {"base_bias"} if surface.measured else set()
    dug = {one.part: one for one in over}
    for one in plan.allowances:
        if one.key == "base_bias" or (one.key == "overdig" and dug):
            continue
        items[one.key] = one.item
        draws[one.key] = one.volume_m3 * np.maximum(1.0 + _SCATTERS.get(one.key, 0.5) * rng.standard_normal(n), 0.0)
    if dug:
        items["overdig"] = "over-excavation, as dug"
        measured.add("overdig")
        draws["overdig"] = _dug(dug, plan, below_m3, rng, n)
    needed = (plan.neat_m3 + sum(draws.values())) * (1.0 + TICKET_SD * rng.standard_normal(n))
    allowed = {one.key: one.volume_m3 for one in plan.allowances if one.key in items and one.key != "base_bias" and one.key not in measured}
    parts = tuple(
        Part(key=key, item=items[key], mean_m3=allowed.get(key, float(part.mean())), sd_m3=float(part.std()), measured=key in measured)
        for key, part in draws.items()
    )
    return _read_off(np.asarray(needed), parts, plan, plant, prices, step_m3)


def _dug(dug: Mapping[str, Overdig], plan: ConcreteOrder, below_m3: Mapping[str, float], rng: np.random.Generator, n: int) -> Floats:
    """Measured fractions times what edge and pads hold below the floor; a part not measured takes the other's."""
    total = np.zeros(n)
    plain = next((one.volume_m3 for one in plan.allowances if one.key == "overdig"), 0.0) / max(sum(below_m3.values()), 1e-9)
    for part, volume in below_m3.items():
        found = dug.get(part)
        mean, sd = (found.mean, found.sd) if found is not None else (plain, 0.5 * plain)
        total += volume * (mean + sd * rng.standard_normal(n))
    return total


def _read_off(
    needed: Floats, parts: tuple[Part, ...], plan: ConcreteOrder, plant: Plant, prices: Prices | None, step_m3: float
) -> OrderOutlook:
    low, high = (float(value) for value in np.quantile(needed, [RISK, 1.0 - RISK]))
    order = round_up_m3(volume_m3=high, step_m3=step_m3)
    truck = plan.truck_m3
    n_full = max(0, math.floor((low - plant.min_load_m3) / truck))
    costs = _sides(plant, prices)
    first = round_up_m3(volume_m3=float(np.median(needed)), step_m3=step_m3)
    choices = tuple(_choice(first + number * step_m3, needed, costs) for number in range(-_MONEY_STEPS // 2, _MONEY_STEPS + 1))
    dear = [choice for choice in choices if choice.cost is not None]
    return OrderOutlook(
        needed_m3=needed,
        parts=parts,
        neat_m3=plan.neat_m3,
        order_m3=order,
        n_full=n_full,
        truck_m3=truck,
        balance_low_m3=max(0.0, low - n_full * truck),
        balance_high_m3=order - n_full * truck,
        choices=choices,
        cheapest=min(dear, key=lambda choice: (choice.cost or 0.0, choice.order_m3)) if dear else None,
        plain_short=float((needed > plan.order_m3).mean()),
    )


@dataclass(frozen=True, slots=True)
class _Sides:
    """Money: per cubic metre, and for one call-back."""

    price: float
    call_back: float
    min_load_m3: float


def _sides(plant: Plant, prices: Prices | None) -> _Sides | None:
    price = prices.per_unit.get("concrete") if prices is not None else None
    if prices is None or price is None:
        return None
    trip_s = plant.travel_out_s if plant.travel_out_s is not None else CALL_BACK_S
    standby = float(prices.fees.get("standby_per_min", 0)) * (trip_s + CALL_BACK_S) / 60.0
    return _Sides(float(price), float(prices.fees.get("short_load", 0)) + standby, plant.min_load_m3)


def _choice(order: float, needed: Floats, costs: _Sides | None) -> Choice:
    """What is over is paid for; what is short comes in a load that is charged as a small one, with the wait for it."""
    short = needed > order
    left = np.maximum(order - needed, 0.0)
    chance = float(short.mean())
    short_cost = left_cost = None
    if costs is not None:
        lack = np.maximum(needed - order, 0.0)
        unused = np.where(short, np.maximum(np.ceil(lack * 2.0) / 2.0 - lack, 0.0), 0.0)
        short_cost = float(chance * costs.call_back + costs.price * unused.mean())
        left_cost = float(costs.price * left.mean())
    return Choice(order_m3=order, chance_short=chance, left_m3=float(left.mean()), short_cost=short_cost, left_cost=left_cost)
