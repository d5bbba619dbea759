"""What lies hidden below a floor, as drawing primitives hatched by depth."""

import numpy as np
import shapely

from slabwright.geometry.drawing import area_of, polygons_of
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.geometry.overlay import together
from slabwright.results.picture import Area, Hatch, Layer


def underside(foundation: Foundation) -> list[Area]:
    """Level bottoms and slopes of every part as far as it is the deepest; the denser the hatch, the deeper."""
    items: list[Area] = []
    for soffit in (foundation.soffit, foundation.outside):
        if not len(soffit.pieces):
            continue
        is_level = np.all(soffit.planes[:, :2] == 0.0, axis=1)
        middles = shapely.get_coordinates(shapely.centroid(soffit.pieces))
        depths = np.sum(soffit.planes[:, :2] * middles, axis=1) + soffit.planes[:, 2]
        for number, part in enumerate(foundation.parts):
            for level in (False, True):
                mine = (soffit.owners == number) & (is_level == level)
                if part.kind is not PartKind.FLOOR and mine.any():
                    hatch = hatch_at(foundation, float(depths[mine].mean()))
                    pieces = polygons_of(together(soffit.pieces[mine]))
                    items += [area_of(piece, Layer.CONCRETE_HIDDEN, hatch=hatch, label=part.name) for piece in pieces]
    return items


def hatch_at(foundation: Foundation, depth_m: float) -> Hatch:
    """None for the floor; denser by how far a depth is on the way to the deepest part."""
    shallow, deep = foundation.floor.thickness_m, max(part.depth_m for part in foundation.parts)
    share = (depth_m - shallow) / max(deep - shallow, 1e-9)
    if share <= 0.02:
        return Hatch.NONE
    return Hatch.SPARSE if share < 0.4 else Hatch.MEDIUM if share < 0.85 else Hatch.DENSE
