"""ASCE 7-22 and 7-16, chapter 2: load combinations; dead weight against uplift."""

from collections.abc import Iterator
from dataclasses import dataclass
from types import MappingProxyType

from slabwright.model.combinations import Combination, Level
from slabwright.model.loads import LoadCase
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, PCF_KG_M3, POUND_FORCE_N

ASCE_7_22 = Source("ASCE 7-22", "Minimum Design Loads and Associated Criteria for Buildings and Other Structures (ASCE/SEI 7-22)")
ASCE_7_16 = Source("ASCE 7-16", "Minimum Design Loads and Associated Criteria for Buildings and Other Structures (ASCE/SEI 7-16)")
SERVICE_22 = Clause(ASCE_7_22, "2.4.1 and 2.4.5", Basis.MEMORY)
STRENGTH_22 = Clause(ASCE_7_22, "2.3.1 and 2.3.6", Basis.MEMORY)
SERVICE_16 = Clause(ASCE_7_16, "2.4.1 and 2.4.5 (IBC 1605.3.1)", Basis.TEXT_SEEN)
STRENGTH_16 = Clause(ASCE_7_16, "2.3.1 and 2.3.6 (IBC 1605.2)", Basis.TEXT_SEEN)
COUNTERACTING = Clause(ASCE_7_16, "2.4.1, combination 7: 0.6D + 0.6W", Basis.TEXT_SEEN)
COUNTERACTING_22 = Clause(ASCE_7_22, "2.4.1, combination 7: 0.6D + 0.6W", Basis.MEMORY)

_LETTERS = MappingProxyType({
    LoadCase.DEAD: "D", LoadCase.LIVE: "L", LoadCase.ROOF_LIVE: "Lr", LoadCase.SNOW: "S", LoadCase.WIND_DOWN: "W",
    LoadCase.WIND_UPLIFT: "W (uplift)", LoadCase.SEISMIC: "E",
})  # fmt: skip
_ROOF = (LoadCase.ROOF_LIVE, LoadCase.SNOW)
_WIND = (LoadCase.WIND_DOWN, LoadCase.WIND_UPLIFT)
D, L, LR, S, E = LoadCase.DEAD, LoadCase.LIVE, LoadCase.ROOF_LIVE, LoadCase.SNOW, LoadCase.SEISMIC


def _combination(level: Level, *terms: tuple[float, LoadCase]) -> Combination:
    return Combination(level=level, terms=terms, letters=_LETTERS)


def service_combinations(*, snow_at_strength_level: bool) -> tuple[Combination, ...]:
    """Allowable-stress combinations, each named with its alternatives written out.

    Parameters
    ----------
    snow_at_strength_level : bool
        True for the 2022 edition, whose snow loads are at strength level and count 0.7 here.

    Returns
    -------
    tuple of Combination
    """
    roof = {LR: 1.0, S: 0.7 if snow_at_strength_level else 1.0}

    def listed() -> Iterator[Combination]:
        yield _combination(Level.SERVICE, (1, D))
        yield _combination(Level.SERVICE, (1, D), (1, L))
        for case in _ROOF:
            yield _combination(Level.SERVICE, (1, D), (roof[case], case))
            yield _combination(Level.SERVICE, (1, D), (0.75, L), (0.75 * roof[case], case))
        for wind in _WIND:
            yield _combination(Level.SERVICE, (1, D), (0.6, wind))
            for case in _ROOF:
                yield _combination(Level.SERVICE, (1, D), (0.75, L), (0.45, wind), (0.75 * roof[case], case))
            yield _combination(Level.SERVICE, (0.6, D), (0.6, wind))
        for sign in (1, -1):
            yield _combination(Level.SERVICE, (1, D), (sign * 0.7, E))
            yield _combination(Level.SERVICE, (1, D), (0.75, L), (0.75 * roof[S], S), (sign * 0.525, E))
            yield _combination(Level.SERVICE, (0.6, D), (sign * 0.7, E))

    return tuple(listed())


def strength_combinations(*, snow_at_strength_level: bool, live_beside: float = 1.0) -> tuple[Combination, ...]:
    """Strength combinations, each named with its alternatives written out.

    Parameters
    ----------
    snow_at_strength_level : bool
        True for the 2022 edition: 1.0S, 0.3S and 0.15S instead of 1.6S, 0.5S and 0.2S.
    live_beside : float
        Factor of live load where it does not lead: 1, or 0.5 where permitted (up to 100 psf, no garage or assembly).

    Returns
    -------
    tuple of Combination
    """
    lead = {LR: 1.6, S: 1.0 if snow_at_strength_level else 1.6}
    beside = {LR: 0.5, S: 0.3 if snow_at_strength_level else 0.5}
    quake_snow = 0.15 if snow_at_strength_level else 0.2

    def listed() -> Iterator[Combination]:
        yield _combination(Level.STRENGTH, (1.4, D))
        for case in _ROOF:
            yield _combination(Level.STRENGTH, (1.2, D), (1.6, L), (beside[case], case))
            yield _combination(Level.STRENGTH, (1.2, D), (lead[case], case), (live_beside, L))
            for wind in _WIND:
                yield _combination(Level.STRENGTH, (1.2, D), (lead[case], case), (0.5, wind))
                yield _combination(Level.STRENGTH, (1.2, D), (1, wind), (live_beside, L), (beside[case], case))
        for wind in _WIND:
            yield _combination(Level.STRENGTH, (0.9, D), (1, wind))
        for sign in (1, -1):
            yield _combination(Level.STRENGTH, (1.2, D), (sign * 1.0, E), (live_beside, L), (quake_snow, S))
            yield _combination(Level.STRENGTH, (0.9, D), (sign * 1.0, E))

    return tuple(listed())


def counteracting_combinations() -> tuple[Combination, ...]:
    """Combinations in which only part of the dead load holds a post down or in place.

    Returns
    -------
    tuple of Combination
        0.6D with 0.6W up or down, and with 0.7E either way.
    """
    winds = tuple(_combination(Level.STABILITY, (0.6, D), (0.6, wind)) for wind in _WIND)
    quakes = tuple(_combination(Level.STABILITY, (0.6, D), (sign * 0.7, E)) for sign in (1, -1))
    return winds + quakes


@dataclass(frozen=True, slots=True)
class UpliftWeight:
    """Dead weight against uplift.

    Attributes
    ----------
    pad_n, slab_n : float
        Weight of the pad, and of the slab round it. [N]
    resistance_n, demand_n : float
        0.6 of all dead weight against 0.6 of the uplift. [N]
    """

    pad_n: float
    slab_n: float
    resistance_n: float
    demand_n: float


@published(
    "uplift-weight", COUNTERACTING, validity="Weight only: no friction on the soil, no buoyancy; the slab counted must hang on the pad."
)
def uplift_weight(
    *,
    uplift_n: float,
    pad_x_m: float,
    pad_y_m: float,
    pad_depth_m: float,
    post_dead_n: float = 0.0,
    slab_thickness_m: float = 0.0,
    slab_reach_m: float = 0.0,
    unit_weight_kg_m3: float = 150 * PCF_KG_M3,
    working: Working | None = None,
) -> UpliftWeight:
    """Weight that holds a post down against wind, at the allowable-stress level.

    Parameters
    ----------
    uplift_n : float
        Wind uplift before its factor, positive up. [N]
    pad_x_m, pad_y_m, pad_depth_m : float
        Pad, from the top of the floor. [m]
    post_dead_n : float
        Dead load of the post. [N]
    slab_thickness_m, slab_reach_m : float
        Floor that hangs on the pad, and how far it reaches beyond each side. [m]
    unit_weight_kg_m3 : float
        Of the concrete. [kg/m³]

    Returns
    -------
    UpliftWeight
        [N]
    """
    working = working or Working()
    gamma = (unit_weight_kg_m3 / PCF_KG_M3, "pcf")
    sides = {"B": pad_x_m / FOOT_M, "L": pad_y_m / FOOT_M}
    b, length = (sides["B"], "ft"), (sides["L"], "ft")
    pad = working.line("W_p = gamma*B*L*h", "lb", gamma=gamma, B=b, L=length, h=(pad_depth_m / FOOT_M, "ft"))
    slab = working.line(
        "W_s = gamma*t*((B + 2*r)*(L + 2*r) - B*L)", "lb",
        gamma=gamma, t=(slab_thickness_m / FOOT_M, "ft"), B=b, L=length, r=(slab_reach_m / FOOT_M, "ft"),
    )  # fmt: skip
    resistance = working.line("R = 0.6*(P_D + W_p + W_s)", "lb", P_D=(post_dead_n / POUND_FORCE_N, "lb"), W_p=(pad, "lb"), W_s=(slab, "lb"))
    demand = working.line("U = 0.6*W_up", "lb", W_up=(uplift_n / POUND_FORCE_N, "lb"))
    return UpliftWeight(pad * POUND_FORCE_N, slab * POUND_FORCE_N, resistance * POUND_FORCE_N, demand * POUND_FORCE_N)
