"""The grid that is drawn when nobody looks at the pads: equal bays as wide as they may be."""

import math
from dataclasses import dataclass

import shapely

from slabwright.geometry.foundation import Foundation, Part, PartKind
from slabwright.model.supply import JointWishes
from slabwright.standards import aci_302_1r

WIDEST_THICKNESSES = 36.0


@dataclass(frozen=True, slots=True, kw_only=True)
class EvenGrid:
    """Equal bays over the whole floor.

    Attributes
    ----------
    length_m, lost_m : float
        All lines, and what of them runs over the pads and strips they meet. [m]
    met : tuple of Part
        Pads and strips that lines run over.
    """

    length_m: float
    lost_m: float
    met: tuple[Part, ...]


def even_grid(foundation: Foundation, wishes: JointWishes) -> EvenGrid:
    """Lay equal bays over the floor, no wider than its thinnest part allows."""
    floor = foundation.floor
    thinnest = min([floor.thickness_m, *(one.thickness_m for one in floor.thickness_regions)])
    widest = min(wishes.max_spacing_m or aci_302_1r.GREATEST_SPACING_M, WIDEST_THICKNESSES * thinnest, aci_302_1r.GREATEST_SPACING_M)
    low_x, low_y, high_x, high_y = foundation.region.bounds
    across = [shapely.LineString(((x, low_y), (x, high_y))) for x in _between(low_x, high_x, widest)]
    along = [shapely.LineString(((low_x, y), (high_x, y))) for y in _between(low_y, high_y, widest)]
    lines = shapely.intersection(shapely.MultiLineString([*across, *along]), foundation.region)
    parts = [part for part in foundation.parts if part.kind in (PartKind.PAD, PartKind.STRIP)]
    lost = {part.name: float(shapely.intersection(lines, part.skirt).length) for part in parts}
    met = tuple(part for part in parts if lost[part.name] > 0.01)
    return EvenGrid(length_m=float(lines.length), lost_m=sum(lost[part.name] for part in met), met=met)


def _between(low: float, high: float, widest: float) -> list[float]:
    n = max(1, math.ceil((high - low) / widest - 1e-9))
    return [low + (high - low) * place / n for place in range(1, n)]
