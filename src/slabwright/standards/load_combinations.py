"""The load combinations of the edition a job has chosen."""

from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from slabwright.model.combinations import Combination, Level, LoadStandard
from slabwright.model.loads import LoadCase
from slabwright.reckon import published
from slabwright.sources import Clause
from slabwright.standards import asce_7, en_1990


@dataclass(frozen=True, slots=True, kw_only=True)
class CombinationSet:
    """Combinations of one edition by what they are meant for, with their clauses.

    Attributes
    ----------
    service, strength, stability : tuple of Combination
        Against allowable values; for sections; against uplift, overturning and sliding.
    clauses : Mapping[Level, Clause]
    """

    service: tuple[Combination, ...]
    strength: tuple[Combination, ...]
    stability: tuple[Combination, ...]
    clauses: MappingProxyType[Level, Clause]

    def at(self, level: Level) -> tuple[Combination, ...]:
        """The combinations of one level."""
        return {Level.SERVICE: self.service, Level.STRENGTH: self.strength, Level.STABILITY: self.stability}[level]


@cache
def combinations_of(standard: LoadStandard, reduced_live: bool = False) -> CombinationSet:
    """The combinations of an edition.

    Parameters
    ----------
    standard : LoadStandard
    reduced_live : bool
        True counts half the live load beside snow or wind in ASCE strength combinations.

    Returns
    -------
    CombinationSet
    """
    if standard is LoadStandard.EN_1990:
        return CombinationSet(
            service=en_1990.service_combinations(),
            strength=en_1990.strength_combinations(),
            stability=en_1990.counteracting_combinations(),
            clauses=MappingProxyType(
                {Level.SERVICE: en_1990.SERVICE, Level.STRENGTH: en_1990.STRENGTH, Level.STABILITY: en_1990.STABILITY}
            ),
        )
    newer = standard is LoadStandard.ASCE_7_22
    older = asce_7.SERVICE_16, asce_7.STRENGTH_16, asce_7.COUNTERACTING
    service, strength, stability = (asce_7.SERVICE_22, asce_7.STRENGTH_22, asce_7.COUNTERACTING_22) if newer else older
    return CombinationSet(
        service=asce_7.service_combinations(snow_at_strength_level=newer),
        strength=asce_7.strength_combinations(snow_at_strength_level=newer, live_beside=0.5 if reduced_live else 1.0),
        stability=asce_7.counteracting_combinations(),
        clauses=MappingProxyType({Level.SERVICE: service, Level.STRENGTH: strength, Level.STABILITY: stability}),
    )


@published("load-combinations", asce_7.SERVICE_16, validity="Fluid, earth and rain loads taken as nought; wind up is negative.")
def load_combinations(
    *,
    dead_n: float,
    live_n: float = 0.0,
    roof_live_n: float = 0.0,
    snow_n: float = 0.0,
    wind_n: float = 0.0,
    seismic_n: float = 0.0,
    level: Level = Level.SERVICE,
    standard: LoadStandard = LoadStandard.ASCE_7_16,
    reduced_live: bool = False,
) -> dict[str, float]:
    """A load by case, added up in every combination of an edition.

    Parameters
    ----------
    dead_n, live_n, roof_live_n, snow_n, wind_n, seismic_n : float
        Positive down; wind up is negative. [N]
    level : Level
        Service (allowable stress, characteristic), strength, or stability.
    standard : LoadStandard
    reduced_live : bool
        True counts half the live load beside snow or wind in ASCE strength combinations, where that is permitted.

    Returns
    -------
    dict
        Name of each combination, ending in ``_n``, to its sum. [N]
    """
    wind = LoadCase.WIND_UPLIFT if wind_n < 0 else LoadCase.WIND_DOWN
    loads = {
        LoadCase.DEAD: dead_n, LoadCase.LIVE: live_n, LoadCase.ROOF_LIVE: roof_live_n, LoadCase.SNOW: snow_n, wind: wind_n,
        LoadCase.SEISMIC: seismic_n,
    }  # fmt: skip
    unlike = LoadCase.WIND_DOWN if wind is LoadCase.WIND_UPLIFT else LoadCase.WIND_UPLIFT
    return {
        f"{one.name.replace(' (uplift)', '')}_n": one.total(loads)
        for one in combinations_of(standard, reduced_live).at(level)
        if unlike not in one.factors
    }
