"""What the dug edge and pads take more than drawn, from widths and depths at stations."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.model.concrete import Edge, Pad, PadShape
from slabwright.model.survey import TrenchStation


@dataclass(frozen=True, slots=True, kw_only=True)
class StationFound:
    """A station of the trench against the drawing.

    Attributes
    ----------
    name : str
    part : str
        ``edge``, or the pad's name.
    section : float
        What was dug below the floor: area of the edge [m²], volume of a pad [m³].
    drawn : float
        The same as drawn.
    """

    name: str
    part: str
    section: float
    drawn: float

    @property
    def overdig(self) -> float:
        """Fraction dug more than drawn."""
        return self.section / self.drawn - 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Overdig:
    """What stations say of a part.

    Attributes
    ----------
    part : str
        ``edge`` or ``pads``.
    mean, sd : float
        Fraction over the drawing, and the standard error of that mean.
    stations : tuple of StationFound
    """

    part: str
    mean: float
    sd: float
    stations: tuple[StationFound, ...]


def overdig(stations: Sequence[TrenchStation], edge: Edge | None, pads: Sequence[Pad], floor_m: float) -> tuple[Overdig, ...]:
    """Mean over-excavation of edge and pads.

    Parameters
    ----------
    stations : sequence of TrenchStation
    edge : Edge or None
    pads : sequence of Pad
    floor_m : float
        Thickness of the floor, above the trench. [m]
    """
    by_name = {pad.name: pad for pad in pads}
    found = [_pad(one, by_name[one.name], floor_m) if one.name in by_name else _edge(one, edge, floor_m) for one in stations]
    groups = {"edge": [one for one in found if one is not None and one.part == "edge"]}
    groups["pads"] = [one for one in found if one is not None and one.part != "edge"]
    return tuple(_summed(name, group) for name, group in groups.items() if group)


def _edge(station: TrenchStation, edge: Edge | None, floor_m: float) -> StationFound | None:
    """Section of a trench below the floor: bottom, top at the underside of the floor, depth between."""
    if edge is None:
        return None
    depth = max(0.0, station.depth_m - floor_m)
    top = station.top_m if station.top_m is not None else station.bottom_m + edge.run * depth
    drawn_depth = edge.depth_m - floor_m
    drawn = drawn_depth * (edge.width_m + 0.5 * edge.run * drawn_depth)
    return StationFound(name=station.name, part="edge", section=depth * 0.5 * (station.bottom_m + top), drawn=drawn)


def _pad(station: TrenchStation, pad: Pad, floor_m: float) -> StationFound:
    across = station.across_m if station.across_m is not None else station.bottom_m
    return StationFound(
        name=station.name,
        part=pad.name,
        section=_frustum(station.bottom_m, across, station.depth_m - floor_m, pad.run, pad.shape),
        drawn=_frustum(pad.size_x_m, pad.size_y_m, pad.depth_m - floor_m, pad.run, pad.shape),
    )


def _frustum(x: float, y: float, depth: float, run: float, shape: PadShape) -> float:
    """Volume of a hole with sloped sides; of a round one the same with π/4."""
    depth = max(0.0, depth)
    wide = run * depth
    volume = depth * (x * y + wide * (x + y) + 4.0 / 3.0 * wide**2)
    return volume * (math.pi / 4 if shape is PadShape.CIRCLE else 1.0)


def _summed(name: str, found: list[StationFound]) -> Overdig:
    """Mean over the stations, with at least the scatter that one station leaves."""
    over = [one.overdig for one in found]
    mean = math.fsum(over) / len(over)
    spread = math.sqrt(math.fsum((value - mean) ** 2 for value in over) / (len(over) - 1)) if len(over) > 1 else 0.0
    return Overdig(part=name, mean=mean, sd=max(spread, _LEAST_SCATTER) / math.sqrt(len(over)), stations=tuple(found))


_LEAST_SCATTER = 0.04
