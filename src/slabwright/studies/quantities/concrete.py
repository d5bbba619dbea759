"""Concrete: neat by part, each allowance by itself, the order in truck loads."""

from collections.abc import Iterator
from dataclasses import dataclass

from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.geometry.takeoff import contact_areas, form_faces, upright_m2
from slabwright.model.supply import PlacingMethod, Plant
from slabwright.results.lines import QuantityLine, Trade
from slabwright.sources import Clause, arithmetic, practice
from slabwright.standards.order_quantity import BATCH_STEP, STEP_M3, round_up_m3
from slabwright.standards.ready_mix import HARDENED_LOSS, HARDENED_LOSS_SHARE, LOADS, ORDER_RANGE, TruckCount, truck_count
from slabwright.studies.quantities.words import Words
from slabwright.studies.shape import ShapeResult
from slabwright.units import INCH_M

OVERDIG_M = (0.5 * INCH_M, 0.013)
BULGE_M = (0.25 * INCH_M, 0.006)
BIAS_M = (0.25 * INCH_M, 0.006)
SPILL_SHARE = 0.01
OVERDIG = practice("cuts come out 1/2 in. (13 mm) over their lines, the aim of careful fine grading")
BULGE = practice("forms give 1/4 in. (6 mm) over their height on the average")
BIAS = practice("a base that is not surveyed lies 1/4 in. (6 mm) low on the average; bumps even out, this does not")
SPILL = practice("what is spilt, or stays in chutes, barrows and drums: 1 %")
PUMPED = practice("what stays in the hopper and the line of a pump")
SOLID = arithmetic("volume of the shape, overlaps counted once")

_HOPPER_M3 = {PlacingMethod.LINE_PUMP: 0.2, PlacingMethod.BOOM_PUMP: 0.4}
_LINE_M3 = {PlacingMethod.LINE_PUMP: 0.27, PlacingMethod.BOOM_PUMP: 0.44}
_LINE_WORDS = {PlacingMethod.LINE_PUMP: "200 ft (60 m) of 3 in. hose", PlacingMethod.BOOM_PUMP: "120 ft (36 m) of 5 in. pipe"}
_PARTS = {PartKind.FLOOR: "floor", PartKind.STRIP: "strips", PartKind.EDGE: "edge", PartKind.PAD: "pads"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowance:
    """Concrete that the drawing does not show.

    Attributes
    ----------
    key : str
        Last word of its line's key.
    item, basis : str
    volume_m3 : float
        [m³]
    clause : Clause
    """

    key: str
    item: str
    basis: str
    volume_m3: float
    clause: Clause


@dataclass(frozen=True, slots=True, kw_only=True)
class ConcreteOrder:
    """From the neat volume to the loads.

    Attributes
    ----------
    neat_m3, order_m3 : float
        As shaped, and as ordered, rounded to the plant's step. [m³]
    allowances : tuple of Allowance
    truck_m3 : float
        [m³]
    loads : TruckCount
    min_load_m3 : float
        Below which a short-load fee applies. [m³]
    """

    neat_m3: float
    order_m3: float
    allowances: tuple[Allowance, ...]
    truck_m3: float
    loads: TruckCount
    min_load_m3: float

    @property
    def allowance_m3(self) -> float:
        """All allowances, without the rounding. [m³]"""
        return sum(one.volume_m3 for one in self.allowances)

    @property
    def is_short_load(self) -> bool:
        """True where the balance load is small enough to cost a fee."""
        return 0.0 < self.loads.balance_m3 < self.min_load_m3 - 1e-9


def order_of(shape: ShapeResult, plant: Plant, words: Words) -> ConcreteOrder:
    """Neat volume, allowances, rounding and loads."""
    neat = shape.volumes.total_m3
    allowances = tuple(_allowances(shape.foundation, neat, plant.method, words))
    step = STEP_M3 if words.is_us else 0.25
    order = round_up_m3(volume_m3=neat + sum(one.volume_m3 for one in allowances), step_m3=step)
    truck = min(plant.truck_m3, plant.site_load_limit_m3 or plant.truck_m3)
    loads = truck_count(volume_m3=order, truck_m3=truck)
    return ConcreteOrder(neat_m3=neat, order_m3=order, allowances=allowances, truck_m3=truck, loads=loads, min_load_m3=plant.min_load_m3)


def _allowances(foundation: Foundation, neat_m3: float, method: PlacingMethod, words: Words) -> Iterator[Allowance]:
    contact = contact_areas(foundation)
    cut = sum(one.level_m2 + one.sloped_m2 for one in contact if one.part.kind is not PartKind.FLOOR) + upright_m2(foundation)
    floor = sum(one.level_m2 + one.sloped_m2 for one in contact if one.part.kind is PartKind.FLOOR)
    formed = sum(face.area_m2 for face in form_faces(foundation))
    if cut > 0.0:
        basis = f"{words.area(cut)} of cut faces under edge, strips and pads x {words.size(words.either(*OVERDIG_M))}"
        yield Allowance(key="overdig", item="over-excavation", basis=basis, volume_m3=cut * words.either(*OVERDIG_M), clause=OVERDIG)
    basis = f"{words.area(formed)} of form face x {words.size(words.either(*BULGE_M))}"
    yield Allowance(key="bulge", item="form bulge", basis=basis, volume_m3=formed * words.either(*BULGE_M), clause=BULGE)
    basis = f"{words.area(floor)} of base x {words.size(words.either(*BIAS_M))} low on the average"
    yield Allowance(key="base_bias", item="low base", basis=basis, volume_m3=floor * words.either(*BIAS_M), clause=BIAS)
    basis = f"{100 * HARDENED_LOSS_SHARE:g} % of {words.volume(neat_m3)}: air and water that go out of it"
    loss = HARDENED_LOSS_SHARE * neat_m3
    yield Allowance(key="loss", item="loss from fresh to hardened", basis=basis, volume_m3=loss, clause=HARDENED_LOSS)
    if method in _HOPPER_M3:
        basis = f"{words.volume(_HOPPER_M3[method], 2)} in the hopper, {words.volume(_LINE_M3[method], 2)} in {_LINE_WORDS[method]}"
        held = _HOPPER_M3[method] + _LINE_M3[method]
        yield Allowance(key="pump", item="pump hopper and line", basis=basis, volume_m3=held, clause=PUMPED)
    basis = f"{100 * SPILL_SHARE:g} % of {words.volume(neat_m3)}"
    yield Allowance(key="spill", item="spill and what stays behind", basis=basis, volume_m3=SPILL_SHARE * neat_m3, clause=SPILL)


def concrete_lines(shape: ShapeResult, order: ConcreteOrder, words: Words) -> Iterator[QuantityLine]:
    """The order, its parts and allowances, which add up to it, and the loads."""
    rounding = order.order_m3 - order.neat_m3 - order.allowance_m3
    sum_basis = f"{words.volume(order.neat_m3, 4)} neat + {words.volume(order.allowance_m3)} of allowances, rounded up to the plant's step"
    yield QuantityLine(
        key="concrete", item="Concrete to order", quantity=order.order_m3, suffix="m3", trade=Trade.CONCRETE, basis=sum_basis,
        waste=order.order_m3 / order.neat_m3 - 1.0, waste_reason="each allowance below, and the rounding", clause=ORDER_RANGE,
    )  # fmt: skip
    volumes, contact = shape.volumes, contact_areas(shape.foundation)
    for kind, name in _PARTS.items():
        if (part_m3 := volumes.of_kind_m3(kind)) > 0.0:
            under = sum(one.level_m2 for one in contact if one.part.kind is kind)
            slopes = sum(one.sloped_m2 for one in contact if one.part.kind is kind)
            sloped = f" and {words.area(slopes)} of slopes" if slopes > 0.0 else ""
            below = "" if kind is PartKind.FLOOR else " below the floor and the parts above in this list,"
            yield _part(name, f"neat, {name}", part_m3, f"as shaped:{below} {words.area(under)} level{sloped}", SOLID)
    if volumes.outside_m3 > 0.0:
        yield _part("outside", "neat, pads outside the forms", volumes.outside_m3, "as shaped, up to its top outside the form line", SOLID)
    for one in order.allowances:
        yield _part(one.key, f"allowance, {one.item}", one.volume_m3, one.basis, one.clause)
    yield _part("rounding", "rounding up", rounding, "to the plant's step", BATCH_STEP)
    yield QuantityLine(
        key="concrete.loads", item="Truck loads", quantity=float(order.loads.n_loads), suffix="", unit="loads", trade=Trade.CONCRETE,
        basis=_loads(order, words), clause=LOADS,
    )  # fmt: skip


def _part(key: str, item: str, volume_m3: float, basis: str, clause: Clause) -> QuantityLine:
    return QuantityLine(
        key=f"concrete.{key}", item=item, quantity=volume_m3, suffix="m3", trade=Trade.CONCRETE, basis=basis, clause=clause,
        part_of="concrete",
    )  # fmt: skip


def _loads(order: ConcreteOrder, words: Words) -> str:
    loads = order.loads
    full = f"{loads.n_full} of {words.volume(order.truck_m3)}" if loads.n_full else ""
    balance = f"a balance load of {words.volume(loads.balance_m3)}, held until what is left has been measured" if loads.balance_m3 else ""
    text = " and ".join(part for part in (full, balance) if part)
    if not order.is_short_load or not loads.n_full:
        return text
    half = 0.5 * (order.truck_m3 + loads.balance_m3)
    return f"{text}; to save the short-load fee let the last two bring {words.volume(half)} each"
