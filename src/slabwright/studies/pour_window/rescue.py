"""What would rescue a bad hour: measures against drying, each by how much."""

from dataclasses import dataclass

from slabwright.sources import practice
from slabwright.studies.pour_window.starts import Conditions, StartHour

FOG_HUMIDITY, WINDBREAK, COOLER_K, RETARDER = 0.85, 0.5, 5.0, 0.5
MEASURES = practice(
    "fog raises the air over the slab to 85 %, a windbreak halves the wind, an evaporation retarder halves evaporation, "
    "cooler concrete comes 5 K (9 °F) lower"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A measure and what it leaves of the worst hour's evaporation. [kg/m²/h]"""

    name: str
    evaporation_kg_m2_h: float
    enough: bool


def measures(conditions: Conditions, start: StartHour, better: StartHour | None) -> tuple[Measure, ...]:
    """Measures for a start, at its worst hour; ``better`` is another start, where there is one that dries less."""
    hour = start.worst_hour
    plain = conditions.evaporation_kg_m2_h(hour)
    rates = {
        "fog spray over the slab": conditions.evaporation_kg_m2_h(hour, humidity=FOG_HUMIDITY),
        "windbreak": conditions.evaporation_kg_m2_h(hour, wind=WINDBREAK),
        "evaporation retarder after strike-off and each pass": RETARDER * plain,
        "cooler concrete": conditions.evaporation_kg_m2_h(hour, cooler_k=COOLER_K),
        "windbreak and evaporation retarder": RETARDER * conditions.evaporation_kg_m2_h(hour, wind=WINDBREAK),
    }
    if better is not None:
        rates[f"start at {conditions.weather.at(better.hour):%H:%M}"] = better.evaporation_kg_m2_h
    limit = conditions.limit_kg_m2_h
    return tuple(Measure(name=name, evaporation_kg_m2_h=rate, enough=rate <= limit) for name, rate in rates.items())
