"""How warm the concrete is batched, and what makes it so: hot water, chilled water, ice or warmed aggregate."""

from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.model.supply import Mix, Plant
from slabwright.sources import Basis, Clause, practice
from slabwright.standards import aci_305r
from slabwright.standards.aci_305r import ACI_305R
from slabwright.standards.cold_weather import PCA_DESIGN

HOTTEST_WATER_C = 60.0
COLDEST_WATER_C = 5.0
MOST_ICE = 0.75
HOT_WATER = Clause(PCA_DESIGN, "water above 140 °F may make cement set in lumps", Basis.MEMORY)
ICE = Clause(ACI_305R, "ice in place of up to three quarters of the mixing water", Basis.MEMORY)
AS_THEY_LIE = practice("aggregate as warm as the air of the last day, cement 20 K (36 °F) warmer, water from the main at 15 °C (59 °F)")
NEAR_K = 1.5
"""Within this of what is wanted nothing is done; a choice, no source. [K]"""
WARM_C = 18.0
"""From here on concrete is not heated, only the less cooled; a choice, no source. [°C]"""
_CEMENT_WARMER_K = 20.0
_MAIN_C = 15.0
_USUAL_TRIP_H = 0.5


class Means(Enum):
    """What brings the concrete to its temperature."""

    NOTHING = "ingredients as they lie"
    HOT_WATER = "hot water"
    HOT_AGGREGATE = "hot water and warmed aggregate"
    CHILLED_WATER = "chilled water"
    ICE = "ice"
    OUT_OF_REACH = "out of reach"


@dataclass(frozen=True, slots=True, kw_only=True)
class FreshHeat:
    """The heat of a batch.

    Attributes
    ----------
    wanted_c, batch_c : float
        At the chute, and at the plant so that it arrives so. [°C]
    as_it_lies_c : float
        At the plant with the ingredients as they lie. [°C]
    aggregate_c, cement_c, water_c : float
        As they lie. [°C]
    assumed : tuple of str
        Names of those that the job does not state.
    means : Means
    water_needed_c, aggregate_needed_c : float or None
        To which they are heated or chilled. [°C]
    ice_kg_m3 : float
        In place of as much water. [kg/m³]
    """

    wanted_c: float
    batch_c: float
    as_it_lies_c: float
    aggregate_c: float
    cement_c: float
    water_c: float
    assumed: tuple[str, ...]
    means: Means
    water_needed_c: float | None
    aggregate_needed_c: float | None
    ice_kg_m3: float


def fresh_heat(mix: Mix, plant: Plant, wanted_c: float, air_c: float, last_day_c: float) -> FreshHeat | None:
    """The means that brings a batch of the supplier's weights to a temperature; None where the weights are not known.

    Parameters
    ----------
    mix : Mix
    plant : Plant
    wanted_c : float
        At the chute. [°C]
    air_c, last_day_c : float
        On the way, and the mean of the day before, which is how warm aggregate lies. [°C]
    """
    if not (mix.cement_kg_m3 and mix.water_kg_m3 and mix.aggregate_kg_m3):
        return None
    lies = {"aggregate": max(last_day_c, 0.0), "cement": max(last_day_c, 0.0) + _CEMENT_WARMER_K, "water": _MAIN_C}
    stated = {"aggregate": mix.aggregate_temp_c, "cement": mix.cement_temp_c, "water": mix.water_temp_c}
    aggregate, cement, water = (lies[name] if (told := stated[name]) is None else told for name in ("aggregate", "cement", "water"))
    trip = plant.travel_out_s / 3600 if plant.travel_out_s is not None else _USUAL_TRIP_H
    batch = aci_305r.batch_temperature(wanted_temp_c=wanted_c, air_temp_c=air_c, haul_h=trip).batch_c
    moisture = min(mix.aggregate_moisture * mix.aggregate_kg_m3, mix.water_kg_m3)
    stone, cementitious, mixing = mix.aggregate_kg_m3, mix.cement_kg_m3, mix.water_kg_m3 - moisture

    def batched_c(water_c: float, aggregate_c: float) -> float:
        return aci_305r.concrete_temp_c(
            aggregate_kg=stone, cement_kg=cementitious, water_kg=mixing, aggregate_moisture_kg=moisture,
            aggregate_temp_c=aggregate_c, cement_temp_c=cement, water_temp_c=water_c,
        )  # fmt: skip

    plain = batched_c(water, aggregate)
    means, water_needed, aggregate_needed, ice = Means.NOTHING, None, None, 0.0
    if abs(plain - batch) > NEAR_K and not (plain < batch and plain >= WARM_C):
        per_k = batched_c(water + 1.0, aggregate) - plain  # the balance is linear in every temperature
        needed = water + (batch - plain) / per_k if per_k > 0 else float("inf") * (batch - plain)
        if batch > plain:
            means, water_needed = Means.HOT_WATER, needed
            if needed > HOTTEST_WATER_C:
                hot = batched_c(HOTTEST_WATER_C, aggregate)
                warmer = batched_c(HOTTEST_WATER_C, aggregate + 1.0) - hot
                means, water_needed, aggregate_needed = Means.HOT_AGGREGATE, HOTTEST_WATER_C, aggregate + (batch - hot) / warmer
        elif needed >= COLDEST_WATER_C:
            means, water_needed = Means.CHILLED_WATER, needed
        else:
            means, ice = _ice(mix, batch, aggregate, cement, water, moisture)
    return FreshHeat(
        wanted_c=wanted_c, batch_c=batch, as_it_lies_c=plain, aggregate_c=aggregate, cement_c=cement, water_c=water,
        assumed=tuple(name for name, told in stated.items() if told is None), means=means, water_needed_c=water_needed,
        aggregate_needed_c=aggregate_needed, ice_kg_m3=ice,
    )  # fmt: skip


def _ice(mix: Mix, batch_c: float, aggregate_c: float, cement_c: float, water_c: float, moisture_kg: float) -> tuple[Means, float]:
    """Ice in place of mixing water, if so much may be taken."""
    assert mix.cement_kg_m3 and mix.water_kg_m3 and mix.aggregate_kg_m3
    mixing = mix.water_kg_m3 - moisture_kg
    try:
        needed = aci_305r.ice_kg(
            aggregate_kg=mix.aggregate_kg_m3, cement_kg=mix.cement_kg_m3, water_kg=mixing, aggregate_temp_c=aggregate_c,
            cement_temp_c=cement_c, water_temp_c=water_c, target_temp_c=batch_c, aggregate_moisture_kg=moisture_kg,
        )  # fmt: skip
    except OutOfRange:
        return Means.OUT_OF_REACH, 0.0
    return (Means.ICE, needed) if needed <= MOST_ICE * mixing else (Means.OUT_OF_REACH, 0.0)
