"""Tables of the job file about mix, joints, forms, crew, plant, money and agreements."""

import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from types import MappingProxyType
from typing import Annotated, Any

from slabwright.files.jobfile.assembled import assembled
from slabwright.files.jobfile.shapes import Lines
from slabwright.files.jobfile.trade import JobTable, Trade, about, needed
from slabwright.files.jobfile.values import Choice, Clock, Day, Flag, Fraction, Listed, Number, Quantity, Sign, Text, Whole
from slabwright.files.jobfile.written import Faults, Refused, Written, shown
from slabwright.model import job, supply
from slabwright.sources import practice
from slabwright.standards import aci_318_19_durability as aci_318
from slabwright.standards import en_206
from slabwright.standards.aci_117_10 import SLAB_ELEVATION, SLAB_THICKNESS
from slabwright.units import (
    ANGLE,
    AREA,
    AREA_RATE,
    DENSITY,
    FORCE,
    LENGTH,
    MASS,
    PRESSURE,
    RATE_OF_RISE,
    SECOND_MOMENT,
    TEMPERATURE,
    TIME,
    VOLUME,
    VOLUME_RATE,
)  # fmt: skip

_DEALER = practice("what most dealers and plants offer")
_EXPOSURE = (*aci_318.EXPOSURE_CLASSES, *en_206.EXPOSURE_CLASSES)
_CONTENT = ("564 lb/yd3", "335 kg/m3")


class MixTable(JobTable):
    """The concrete asked for."""

    strength: Annotated[float, Quantity(PRESSURE, "3500 psi", "25 MPa", usual=("2000 psi", "10000 psi"))] = needed(
        "Specified, of cylinders."
    )
    exposure: Annotated[tuple[str, ...] | None, Listed(Text("F2", most=8, among=_EXPOSURE))] = about("Exposure classes, such as F2 or XC2.")
    w_cm: Annotated[float | None, Number(0.45, most=1.5)] = about("Highest ratio of water to cementitious material, by mass.")
    air: Annotated[float | None, Fraction("6 %", most=0.15, usual=(0.0, 0.09))] = about("Total air.")
    aggregate_size: Annotated[
        float | None,
        Quantity(LENGTH, "3/4 in", "20 mm", usual=("3/8 in", "2 in")),
        Trade("3/4 in", "20 mm", "The largest stone is {}.", _DEALER),
    ] = about("Nominal largest stone.")
    cement: Annotated[float | None, Quantity(DENSITY, *_CONTENT, usual=("300 lb/yd3", "900 lb/yd3"))] = about("Per volume of concrete.")
    water: Annotated[float | None, Quantity(DENSITY, "270 lb/yd3", "160 kg/m3", usual=("150 lb/yd3", "450 lb/yd3"))] = about(
        "Per volume of concrete."
    )
    aggregate: Annotated[float | None, Quantity(DENSITY, "3100 lb/yd3", "1840 kg/m3", usual=("2000 lb/yd3", "4000 lb/yd3"))] = about(
        "Content."
    )
    cement_type: Annotated[str | None, Text("I", most=20), Trade("I", "CEM I", "The cement is of type {}.", _DEALER)] = about(
        "As its standard writes it: I, III, IL, CEM I."
    )
    slag: Annotated[float | None, Fraction("25 %", most=0.95)] = about("Share of the cementitious material.")
    fly_ash: Annotated[float | None, Fraction("20 %", most=0.7)] = about("Share of the cementitious material.")
    slump: Annotated[float | None, Quantity(LENGTH, "4 in", "100 mm", usual=("1 in", "10 in"))] = about(
        "One slump for all; silent to plan it by stage."
    )
    fibre: Annotated[float | None, Quantity(DENSITY, "1.5 lb/yd3", "0.9 kg/m3", Sign.NOT_NEGATIVE)] = about("Per volume of concrete.")
    placing_temp: Annotated[float | None, Quantity(TEMPERATURE, "65 degF", "18 degC", Sign.ANY, usual=("40 degF", "100 degF"))] = about(
        "Of the concrete as placed."
    )
    water_temp: Annotated[float | None, Quantity(TEMPERATURE, "60 degF", "15 degC", Sign.ANY, usual=("32 degF", "180 degF"))] = about(
        "Of the mixing water at the plant."
    )
    aggregate_temp: Annotated[float | None, Quantity(TEMPERATURE, "70 degF", "20 degC", Sign.ANY, usual=("10 degF", "130 degF"))] = about(
        "Of stone and sand at the plant."
    )
    cement_temp: Annotated[float | None, Quantity(TEMPERATURE, "120 degF", "50 degC", Sign.ANY, usual=("10 degF", "180 degF"))] = about(
        "Of the cement at the plant."
    )
    aggregate_moisture: Annotated[float | None, Fraction("3 %", most=0.15)] = about(
        "Free moisture on stone and sand, of their mass; it is a part of the water."
    )
    unit_weight: Annotated[
        float | None,
        Quantity(DENSITY, "150 pcf", "2400 kg/m3", usual=("90 pcf", "165 pcf")),
        Trade("150 pcf", "2400 kg/m3", "Concrete weighs {}.", practice("normal weight, steel included")),
    ] = about("Of the concrete.")
    shrinkage: Annotated[float | None, Fraction("0.06 %", most=0.002, usual=(0.0002, 0.0012))] = about(
        "Drying shrinkage in the end, as the producer has tested it; estimated from the mix if silent."
    )
    time_limit: Annotated[float | None, Quantity(TIME, "90 min", "120 min", usual=("30 min", "4 h"))] = about(
        "From batching to discharge, as agreed with the producer."
    )

    def built(self) -> supply.Mix:
        return assembled(supply.Mix, self)


class JointTable(JobTable):
    """What is wished of the joints."""

    kind: Annotated[
        supply.JointKind | None, Choice(supply.JointKind), Trade("saw-cut", "saw-cut", "Joints are {}.", practice("floors of any size"))
    ] = about("How they are made.")
    max_spacing: Annotated[float | None, Quantity(LENGTH, "12 ft", "4.5 m", usual=("4 ft", "30 ft"))] = about(
        "Largest distance; the rule by thickness if silent."
    )
    spacing_thicknesses: Annotated[float | None, Number(30, most=60)] = about(
        "Spacing in thicknesses of the floor, 24 to 36 as a rule; 30 if silent, less where slump, stone or shrinkage ask for it."
    )
    wider_by_steel: Annotated[bool | None, Flag()] = about(
        "Steel in the upper half of the floor may set joints further apart than the concrete alone allows."
    )
    max_aspect: Annotated[float | None, Number(1.25, least=1, most=3)] = about("Long side of a panel over its short; 1.5 if silent.")
    min_corner: Annotated[float | None, Quantity(ANGLE, "60 deg", most="90 deg", usual=("30 deg", "75 deg"))] = about(
        "Least corner of a panel that a joint may make; 60 degrees if silent."
    )
    min_width_share: Annotated[float | None, Fraction("45 %", most=0.9, usual=(0.2, 0.7))] = about(
        "Width of the narrowest panel over the spacing; below it a panel is a sliver. 45 % if silent."
    )
    pinned: Annotated[tuple[Any, ...] | None, Lines()] = about("Lines to keep: two points, or { x = ... } or { y = ... } across the floor.")
    forbidden: Annotated[tuple[Any, ...] | None, Lines()] = about("Lines not to use.")
    depth: Annotated[float | None, Quantity(LENGTH, "1 1/4 in", "40 mm", usual=("1/2 in", "4 in"))] = about(
        "Of the cut; by thickness if silent."
    )
    allow_tees: Annotated[bool | None, Flag()] = about("A joint may end against another.")

    def built(self, bounds: tuple[float, float, float, float]) -> supply.JointWishes:
        whole = {key: tuple(_across(line, bounds) for line in getattr(self, key) or ()) for key in ("pinned", "forbidden")}
        return assembled(supply.JointWishes, self, **whole)


def _across(line: Any, bounds: tuple[float, float, float, float]) -> Any:
    axis, place = line
    if axis == "x":
        return (place, bounds[1]), (place, bounds[3])
    return ((bounds[0], place), (bounds[2], place)) if axis == "y" else line


_BOARD = practice("two-inch lumber")


class FormsTable(JobTable):
    """Edge forms."""

    material: Annotated[str | None, Text("lumber", among=("lumber", "steel")), Trade("lumber", "lumber", "Forms are {}.", _BOARD)] = about(
        "Of the forms."
    )
    board_thickness: Annotated[
        float | None,
        Quantity(LENGTH, "1 1/2 in", "38 mm", usual=("1/8 in", "4 in")),
        Trade("1 1/2 in", "38 mm", "Form boards are {} thick.", _BOARD),
    ] = about("Of the boards.")
    board_height: Annotated[float | None, Quantity(LENGTH, "7 1/4 in", "200 mm", usual=("3 in", "4 ft"))] = about("Of one board.")
    section_modulus: Annotated[float | None, Quantity(VOLUME, "0.9 in3", "15000 mm3")] = about(
        "Of the whole height of a steel form, bent outwards, from its maker."
    )
    second_moment: Annotated[float | None, Quantity(SECOND_MOMENT, "1.1 in4", "450000 mm4")] = about("The same, for its deflection.")
    shear_area: Annotated[float | None, Quantity(AREA, "1.5 in2", "950 mm2")] = about("The same, of the parts that carry the shear.")
    yield_strength: Annotated[float | None, Quantity(PRESSURE, "36 ksi", "250 MPa", usual=("20 ksi", "100 ksi"))] = about(
        "Yield strength of a steel form."
    )
    stake_spacing: Annotated[float | None, Quantity(LENGTH, "3 ft", "900 mm", usual=("1 ft", "8 ft"))] = about("Worked out if silent.")
    stake_embedment: Annotated[
        float | None,
        Quantity(LENGTH, "12 in", "300 mm", usual=("4 in", "4 ft")),
        Trade("12 in", "300 mm", "Stakes are driven {} into the ground.", practice("a two-foot stake at a low form")),
    ] = about("Depth in the ground.")
    stake_width: Annotated[
        float | None,
        Quantity(LENGTH, "1 1/2 in", "38 mm", usual=("1/2 in", "6 in")),
        Trade("1 1/2 in", "38 mm", "Stakes are {} wide.", _BOARD),
    ] = about("Of a stake.")
    kicker_embedment: Annotated[float | None, Quantity(LENGTH, "24 in", "600 mm", usual=("4 in", "4 ft"))] = about(
        "Depth in the ground of the stake at a kicker's foot; worked out if silent."
    )
    hold_down: Annotated[float | None, Quantity(FORCE, "80 lb", "0.4 kN", Sign.NOT_NEGATIVE)] = about(
        "What keeps the form down at each stake: a weight or a raking stake; worked out if silent."
    )

    def built(self) -> supply.Forms:
        return assembled(supply.Forms, self, yield_pa=self.yield_strength)


class CrewTable(JobTable):
    """People and their rates."""

    people: Annotated[int | None, Whole(5, least=1, most=200)] = about("On the pour.")
    finishers: Annotated[int | None, Whole(2, least=1, most=100)] = about("Of them, those who finish.")
    placing_rate: Annotated[float | None, Quantity(VOLUME_RATE, "18 yd3/h", "14 m3/h")] = about("That the crew can place.")
    finishing_rate: Annotated[float | None, Quantity(AREA_RATE, "400 ft2/h", "40 m2/h")] = about("That the crew can finish.")
    saws: Annotated[int | None, Whole(1, least=1, most=20), Trade(1, 1, "There is {} saw.", practice("small crews"))] = about("On the job.")
    saw_speed: Annotated[float | None, Quantity(RATE_OF_RISE, "200 ft/h", "60 m/h")] = about("Of one saw.")
    start: Annotated[float | None, Clock()] = about("Time of day of the first load.")
    curing: Annotated[float | None, Clock()] = about("Time of day at which curing begins, if not right behind the finishers.")
    vibrating_screed: Annotated[bool | None, Flag()] = about("The crew has one.")

    def built(self) -> supply.Crew:
        return assembled(supply.Crew, self, start_hour_h=self.start, curing_hour_h=self.curing)


class PlantTable(JobTable):
    """The concrete plant and how its concrete gets to the forms."""

    truck: Annotated[
        float | None, Quantity(VOLUME, "10 yd3", "6 m3", usual=("3 yd3", "13 yd3")), Trade("10 yd3", "6 m3", "A truck brings {}.", _DEALER)
    ] = about("Load of one truck.")
    trucks: Annotated[int | None, Whole(3, least=1, most=60)] = about("In the loop; worked out if silent.")
    travel_out: Annotated[float | None, Quantity(TIME, "28 min", usual=("2 min", "3 h"))] = about("From plant to site.")
    travel_back: Annotated[float | None, Quantity(TIME, "28 min", usual=("2 min", "3 h"))] = about("From site to plant.")
    distance: Annotated[float | None, Quantity(LENGTH, "14 mi", "22 km", usual=("0.1 mi", "100 mi"))] = about("From plant to site.")
    method: Annotated[
        supply.PlacingMethod | None,
        Choice(supply.PlacingMethod),
        Trade("chute", "chute", "Concrete is placed by {}.", practice("small jobs in reach of the truck")),
    ] = about("How concrete gets to its place.")
    placing_rate: Annotated[float | None, Quantity(VOLUME_RATE, "40 yd3/h", "20 m3/h")] = about("Highest rate of the method.")
    min_load: Annotated[
        float | None, Quantity(VOLUME, "5 yd3", "3 m3", Sign.NOT_NEGATIVE), Trade("5 yd3", "3 m3", "Loads below {} cost extra.", _DEALER)
    ] = about("Below which a short-load fee applies.")
    site_load_limit: Annotated[float | None, Quantity(VOLUME, "9 yd3", "6 m3")] = about("Largest load that the road or the site takes.")
    reach: Annotated[float | None, Quantity(LENGTH, "18 ft", "5.5 m", usual=("5 ft", "200 ft"))] = about(
        "Of chute, hose or belt from where it stands."
    )
    sides: Annotated[tuple[str, ...] | None, Listed(Text("south", among=("south", "east", "north", "west")))] = about(
        "Sides of the plan at which trucks or the pump can stand; all if silent."
    )

    def built(self) -> supply.Plant:
        return assembled(supply.Plant, self, n_trucks=self.trucks)


@dataclass(frozen=True, slots=True)
class PriceList(Written):
    """Prices by quantity line, each per a unit or a piece; fees by name; the currency."""

    def read(self, value: object) -> supply.Prices:
        if not isinstance(value, dict):
            raise Refused.because(f'{shown(value)} is no table of prices; write "concrete" = "158 per yd3".')
        faults = Faults()
        currency = faults.take("currency", Text("$", most=8).read, value.get("currency", "$"))
        fees = faults.take("fees", self._fees, value.get("fees", {}))
        lines = {
            key: faults.take(key, self._price, price)
            for key, price in _flat(value)
            if key not in ("currency",) and not key.startswith("fees.")
        }
        for key in lines:
            if whole := next((one for one in lines if key.startswith(f"{one}.")), None):
                faults.found.append(((key,), f"is a part of {whole}, which has a price too; price the whole or its parts."))
        faults.settle()
        per_unit = {key: price for key, price in lines.items() if price is not None}
        return supply.Prices(currency=currency or "$", per_unit=MappingProxyType(per_unit), fees=MappingProxyType(fees or {}))

    def _fees(self, value: object) -> dict[str, Decimal]:
        if not isinstance(value, dict):
            raise Refused.because(f"{shown(value)} is no table of fees; write short_load = 95.")
        faults = Faults()
        fees = {key: faults.take(key, self._amount, fee) for key, fee in value.items()}
        faults.settle()
        return {key: fee for key, fee in fees.items() if fee is not None}

    @staticmethod
    def _amount(value: object) -> Decimal:
        try:
            amount = Decimal(str(value).replace(",", "").strip()) if not isinstance(value, bool) else Decimal("NaN")
        except InvalidOperation:
            amount = Decimal("NaN")
        if not amount.is_finite() or not 0 <= amount <= 10**9:
            raise Refused.because(f"{shown(value)} is no amount of money; write it as a number such as 95 or 1.75.")
        return amount

    def _price(self, value: object) -> Decimal:
        match = re.fullmatch(r"\s*(\S+)\s*(?:per|/)\s*(.+?)\s*|\s*(\S+)\s+(each)\s*", value) if isinstance(value, str) else None
        if match is None:
            raise Refused.because(f'{shown(value)} is no price; write "158 per yd3", "1.10 per ft2" or "38 each".')
        factor = next((kind.units[match[2]].factor for kind in (VOLUME, AREA, LENGTH, MASS) if match[2] in kind.units), 1.0)
        return self._amount(match[1] or match[3]) / Decimal(repr(factor))

    def schema(self) -> dict[str, Any]:
        amount = {"type": ["number", "string"], "examples": [95, 1.75]}
        price = {"type": "string", "pattern": r"^\s*[\d.,]+\s*(per|/|each)", "examples": ["158 per yd3", "1.10 per ft2", "38 each"]}
        return {
            "type": "object",
            "properties": {
                "currency": {"description": "Printed before amounts.", "type": "string", "maxLength": 8, "examples": ["$"]},
                "fees": {
                    "description": "Amounts by name.",
                    "type": "object",
                    "additionalProperties": amount,
                    "examples": [{"short_load": 95, "standby_per_min": 1.75}],
                },
            },
            "additionalProperties": {"anyOf": [price, {"type": "object", "additionalProperties": price}]},
            "examples": [{"currency": "$", "concrete": "158 per yd3"}],
        }


def _flat(table: "dict[str, Any]", prefix: str = "") -> list[tuple[str, object]]:
    pairs: list[tuple[str, object]] = []
    for key, value in table.items():
        pairs += _flat(value, f"{prefix}{key}.") if isinstance(value, dict) else [(prefix + key, value)]
    return pairs


class ToleranceTable(JobTable):
    """Limits that the contract holds the work to."""

    thickness_minus_single: Annotated[
        float | None,
        Quantity(LENGTH, "3/4 in", "20 mm", Sign.NOT_NEGATIVE, usual=("0 in", "2 in")),
        Trade("3/4 in", "19 mm", "A single sample may be {} thinner than drawn.", SLAB_THICKNESS),
    ] = about("How much thinner than drawn a single sample may be.")
    thickness_minus_mean: Annotated[
        float | None,
        Quantity(LENGTH, "3/8 in", "10 mm", Sign.NOT_NEGATIVE, usual=("0 in", "1 in")),
        Trade("3/8 in", "9.5 mm", "The average of samples may be {} thinner than drawn.", SLAB_THICKNESS),
    ] = about("The same for the average of samples.")
    form_settlement: Annotated[
        float | None,
        Quantity(LENGTH, "1/8 in", "3 mm", Sign.NOT_NEGATIVE, usual=("0 in", "1 in")),
        Trade("1/8 in", "3 mm", "Forms may settle by {} under the concrete.", practice("beyond it, forms are reset")),
    ] = about("How far forms may settle.")
    square: Annotated[
        float | None,
        Quantity(LENGTH, "1/4 in", "6 mm", Sign.NOT_NEGATIVE, usual=("0 in", "3 in")),
        Trade("1/4 in", "6 mm", "Two diagonals may differ by {}.", practice("what framers ask for")),
    ] = about("How much two diagonals may differ.")
    level: Annotated[
        float | None,
        Quantity(LENGTH, "3/4 in", "20 mm", Sign.NOT_NEGATIVE, usual=("0 in", "3 in")),
        Trade("3/4 in", "19 mm", "The top may be {} off its level.", SLAB_ELEVATION),
    ] = about("How far the top may be off its level.")
    unsupported_length: Annotated[
        float | None,
        Quantity(LENGTH, "4 ft", "1.2 m", Sign.NOT_NEGATIVE, usual=("0 ft", "20 ft")),
        Trade("4 ft", "1.2 m", "The edge must bridge a soft spot {} long.", practice("a soft spot that proof rolling missed")),
    ] = about("Soft spot that the edge must bridge.")

    def built(self) -> job.Tolerances:
        return assembled(job.Tolerances, self)


class DecisionTable(JobTable):
    """How a clash between good rules was settled."""

    clash: Annotated[str, Text("air and hard trowel", most=200)] = needed("The two rules.")
    choice: Annotated[str, Text("broom finish, air kept", most=400)] = needed("What was chosen.")
    by: Annotated[str | None, Text("the builder", most=80)] = about("Who chose.")
    on: Annotated[date | None, Day()] = about("When.")

    def built(self) -> job.Decision:
        return assembled(job.Decision, self)


class SignatureTable(JobTable):
    """A hold point that was looked at and signed."""

    point: Annotated[str, Text("Proof roll of the base", most=80)] = needed("Its name on the page of hold points.")
    by: Annotated[str, Text("the builder", most=80)] = needed("Who signed.")
    on: Annotated[date, Day()] = needed("When.")

    def built(self) -> job.Signature:
        return assembled(job.Signature, self)
