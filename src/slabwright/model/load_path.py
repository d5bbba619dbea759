"""What a post brings down by case: stated, or built from its tributary area, with the path that led there."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from slabwright.model.loads import LoadCase, Post, Reaction, Reactions

CASE_WORDS: Mapping[LoadCase, str] = MappingProxyType(
    {
        LoadCase.DEAD: "dead", LoadCase.LIVE: "live", LoadCase.ROOF_LIVE: "roof live", LoadCase.SNOW: "snow",
        LoadCase.WIND_DOWN: "wind down", LoadCase.WIND_UPLIFT: "wind uplift", LoadCase.SEISMIC: "seismic",
    }
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadStep:
    """One line of a load path: where a load comes from and what it amounts to.

    Attributes
    ----------
    post : str
    case : LoadCase
    source : str
        Such as ``roof snow on 15 x 13.5 ft`` or ``stated``.
    pressure_pa, area_m2 : float or None
        Where the load was built from an area. [Pa], [m²]
    down_n : float
        Positive down. [N]
    """

    post: str
    case: LoadCase
    source: str
    pressure_pa: float | None
    area_m2: float | None
    down_n: float


def reactions_of(post: Post) -> tuple[Reactions, tuple[LoadStep, ...]]:
    """Reactions of a post by case, stated or built from its tributary area, with the path that led there."""
    if post.reactions:
        steps = tuple(
            LoadStep(post=post.name, case=case, source="stated", pressure_pa=None, area_m2=None, down_n=reaction.down_n)
            for case, reaction in post.reactions.items()
        )
        return post.reactions, steps
    area = post.tributary
    if area is None:
        return MappingProxyType({}), ()
    plan_m2 = area.length_m * area.width_m
    pressures = {
        LoadCase.DEAD: ("roof dead load", area.roof_dead_pa), LoadCase.ROOF_LIVE: ("roof live load", area.roof_live_pa),
        LoadCase.SNOW: ("snow on the roof", area.snow_pa), LoadCase.WIND_DOWN: ("wind on the roof", area.wind_down_pa),
        LoadCase.WIND_UPLIFT: ("wind lifting the roof", -area.wind_uplift_pa),
    }  # fmt: skip
    found = {case: (source, pressure) for case, (source, pressure) in pressures.items() if pressure}
    reactions = {case: Reaction(down_n=pressure * plan_m2) for case, (_, pressure) in found.items()}
    steps = tuple(
        LoadStep(post=post.name, case=case, source=source, pressure_pa=abs(pressure), area_m2=plan_m2, down_n=pressure * plan_m2)
        for case, (source, pressure) in found.items()
    )
    return MappingProxyType(reactions), steps
