"""EN 1990 and EN 1997-1: combinations of actions for buildings."""

from collections.abc import Iterator
from types import MappingProxyType

from slabwright.model.combinations import Combination, Level
from slabwright.model.loads import LoadCase
from slabwright.sources import Basis, Clause, Source

EN_1990 = Source("EN 1990", "EN 1990:2002, Eurocode: basis of structural design")
STRENGTH = Clause(EN_1990, "6.4.3.2, equation 6.10; Table A1.2(B)", Basis.MEMORY)
SERVICE = Clause(EN_1990, "6.5.3, characteristic combination 6.14b", Basis.MEMORY)
STABILITY = Clause(EN_1990, "Table A1.2(A) and EN 1997-1 Table A.15", Basis.MEMORY)
COMBINATION_FACTORS = Clause(EN_1990, "Table A1.1: imposed 0.7, roof 0, snow below 1000 m 0.5, wind 0.6", Basis.MEMORY)

_LETTERS = MappingProxyType({
    LoadCase.DEAD: "G", LoadCase.LIVE: "Q", LoadCase.ROOF_LIVE: "Qr", LoadCase.SNOW: "S", LoadCase.WIND_DOWN: "W",
    LoadCase.WIND_UPLIFT: "W (uplift)", LoadCase.SEISMIC: "E",
})  # fmt: skip
PSI_0 = MappingProxyType(
    {LoadCase.LIVE: 0.7, LoadCase.ROOF_LIVE: 0.0, LoadCase.SNOW: 0.5, LoadCase.WIND_DOWN: 0.6, LoadCase.WIND_UPLIFT: 0.6}
)
_VARIABLE = (LoadCase.LIVE, LoadCase.ROOF_LIVE, LoadCase.SNOW, LoadCase.WIND_DOWN, LoadCase.WIND_UPLIFT)
_WINDS = (LoadCase.WIND_DOWN, LoadCase.WIND_UPLIFT)


def _combination(level: Level, *terms: tuple[float, LoadCase]) -> Combination:
    counted = tuple((round(factor, 4), case) for factor, case in terms if factor)
    return Combination(level=level, terms=counted, letters=_LETTERS)


def _led(level: Level, dead: float, variable: float) -> Iterator[Combination]:
    """Each variable action leading in turn, the others with their combination factor, the two winds never together."""
    for lead in _VARIABLE:
        winds = (lead,) if lead in _WINDS else _WINDS
        for wind in winds:
            others = [case for case in (LoadCase.LIVE, LoadCase.ROOF_LIVE, LoadCase.SNOW, wind) if case is not lead]
            yield _combination(level, (dead, LoadCase.DEAD), (variable, lead), *((variable * PSI_0[case], case) for case in others))
        yield _combination(level, (dead, LoadCase.DEAD), (variable, lead))


def _distinct(combinations: Iterator[Combination]) -> tuple[Combination, ...]:
    return tuple({one.name: one for one in combinations}.values())


def service_combinations() -> tuple[Combination, ...]:
    """Characteristic combinations, against a presumed or reported bearing value.

    Returns
    -------
    tuple of Combination
    """

    def listed() -> Iterator[Combination]:
        yield _combination(Level.SERVICE, (1.0, LoadCase.DEAD))
        yield from _led(Level.SERVICE, 1.0, 1.0)

    return _distinct(listed())


def strength_combinations() -> tuple[Combination, ...]:
    """Equation 6.10 with dead load unfavourable and favourable, and the seismic combination.

    Returns
    -------
    tuple of Combination
    """

    def listed() -> Iterator[Combination]:
        yield _combination(Level.STRENGTH, (1.35, LoadCase.DEAD))
        yield from _led(Level.STRENGTH, 1.35, 1.5)
        for wind in _WINDS:
            yield _combination(Level.STRENGTH, (1.0, LoadCase.DEAD), (1.5, wind))
        for sign in (1.0, -1.0):
            yield _combination(Level.STRENGTH, (1.0, LoadCase.DEAD), (sign, LoadCase.SEISMIC))

    return _distinct(listed())


def counteracting_combinations() -> tuple[Combination, ...]:
    """Loss of equilibrium and uplift: 0.9G with 1.5W up or down, 1.0G with E either way.

    Returns
    -------
    tuple of Combination
    """
    winds = tuple(_combination(Level.STABILITY, (0.9, LoadCase.DEAD), (1.5, wind)) for wind in _WINDS)
    quakes = tuple(_combination(Level.STABILITY, (1.0, LoadCase.DEAD), (sign, LoadCase.SEISMIC)) for sign in (1.0, -1.0))
    return winds + quakes
