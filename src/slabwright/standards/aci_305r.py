"""ACI 305R and 306R: the temperature of fresh concrete from its ingredients, and on the road."""

from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import POUND_KG

ACI_305R = Source("ACI 305R", "Guide to Hot Weather Concreting, 1999 appendix A")
ACI_306R = Source("ACI 306R", "Cold Weather Concreting, 1988")
HEAT_BALANCE = Clause(ACI_305R, "appendix A, heat balance of the ingredients", Basis.QUOTED)
TRANSIT = Clause(ACI_306R, "3.8, loss in transit", Basis.MEMORY)


@published("concrete-temperature", HEAT_BALANCE, validity="Specific heat of solids 0.22 of that of water; ice melts wholly.")
def concrete_temp_c(
    *,
    aggregate_kg: float,
    cement_kg: float,
    water_kg: float,
    aggregate_temp_c: float,
    cement_temp_c: float,
    water_temp_c: float,
    aggregate_moisture_kg: float = 0.0,
    ice_kg: float = 0.0,
    working: Working | None = None,
) -> float:
    """Temperature of fresh concrete from masses and temperatures of its ingredients.

    Parameters
    ----------
    aggregate_kg, cement_kg, water_kg : float
        Of one batch; the water without ice and without moisture. [kg]
    aggregate_temp_c, cement_temp_c, water_temp_c : float
        [°C]
    aggregate_moisture_kg : float
        Free moisture on the aggregate. [kg]
    ice_kg : float
        Added as ice at its melting point. [kg]
    working : Working, optional

    Returns
    -------
    float
        [°C]

    Raises
    ------
    OutOfRange
        For a negative mass or a batch of nothing.
    """
    masses = (aggregate_kg, cement_kg, water_kg, aggregate_moisture_kg, ice_kg)
    if min(masses) < 0 or sum(masses) <= 0:
        raise OutOfRange("masses of ingredients are nought or more, and one of them above it.")
    fahrenheit = (working or Working()).line(
        "T = (0.22*(T_a*W_a + T_c*W_c) + T_w*W_w + T_a*W_wa - 112*W_i)/(0.22*(W_a + W_c) + W_w + W_wa + W_i)",
        "°F",
        T_a=(aggregate_temp_c * 1.8 + 32, "°F"),
        W_a=(aggregate_kg / POUND_KG, "lb"),
        T_c=(cement_temp_c * 1.8 + 32, "°F"),
        W_c=(cement_kg / POUND_KG, "lb"),
        T_w=(water_temp_c * 1.8 + 32, "°F"),
        W_w=(water_kg / POUND_KG, "lb"),
        W_wa=(aggregate_moisture_kg / POUND_KG, "lb"),
        W_i=(ice_kg / POUND_KG, "lb"),
    )
    return (fahrenheit - 32) / 1.8


@published("ice-needed", HEAT_BALANCE, validity="Ice replaces mixing water pound for pound.")
def ice_kg(
    *,
    aggregate_kg: float,
    cement_kg: float,
    water_kg: float,
    aggregate_temp_c: float,
    cement_temp_c: float,
    water_temp_c: float,
    target_temp_c: float,
    aggregate_moisture_kg: float = 0.0,
) -> float:
    """Ice in place of mixing water that brings fresh concrete down to a temperature.

    Parameters
    ----------
    aggregate_kg, cement_kg, water_kg : float
        Of one batch; the water with the ice and without moisture. [kg]
    aggregate_temp_c, cement_temp_c, water_temp_c, target_temp_c : float
        [°C]
    aggregate_moisture_kg : float
        Free moisture on the aggregate. [kg]

    Returns
    -------
    float
        Nought where none is needed. [kg]

    Raises
    ------
    OutOfRange
        If more ice than mixing water would be needed.
    """
    plain = concrete_temp_c(
        aggregate_kg=aggregate_kg, cement_kg=cement_kg, water_kg=water_kg, aggregate_temp_c=aggregate_temp_c, cement_temp_c=cement_temp_c,
        water_temp_c=water_temp_c, aggregate_moisture_kg=aggregate_moisture_kg,
    )  # fmt: skip
    heat = 0.22 * (aggregate_kg + cement_kg) + water_kg + aggregate_moisture_kg
    needed = max((plain - target_temp_c) * 1.8 * heat / (112 + water_temp_c * 1.8 + 32), 0.0)
    if needed > water_kg:
        raise OutOfRange(
            f"{needed:.0f} kg of ice would be needed, more than the {water_kg:.0f} kg of mixing water; cool the aggregate or pour at night."
        )
    return needed


class TruckBody(Enum):
    """What the concrete travels in."""

    DRUM = "revolving drum"
    COVERED = "covered dump body"
    OPEN = "open dump body"


_LOSS_PER_HOUR = {TruckBody.DRUM: 0.25, TruckBody.COVERED: 0.10, TruckBody.OPEN: 0.20}


@dataclass(frozen=True, slots=True)
class BatchTemperature:
    """Loss on the road [K] and temperature to batch at [°C]."""

    loss_k: float
    batch_c: float


@published("temperature-on-the-road", TRANSIT)
def batch_temperature(*, wanted_temp_c: float, air_temp_c: float, haul_h: float, body: TruckBody = TruckBody.DRUM) -> BatchTemperature:
    """Temperature to batch at so that concrete arrives as wanted.

    Parameters
    ----------
    wanted_temp_c, air_temp_c : float
        [°C]
    haul_h : float
        [h]
    body : TruckBody

    Returns
    -------
    BatchTemperature
        [K], [°C]

    Raises
    ------
    OutOfRange
        For a negative haul.
    """
    if haul_h < 0:
        raise OutOfRange(f"a haul takes nought hours or more (got {haul_h:g}).")
    loss = _LOSS_PER_HOUR[body] * (wanted_temp_c - air_temp_c) * haul_h
    return BatchTemperature(loss, wanted_temp_c + loss)
