"""Maps that can be laid under the living plan: the thickness as drawn, and the map of any study that shows one over the floor."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import shapely

from slabwright.errors import UnknownName
from slabwright.geometry.contours import band_between, contours_of
from slabwright.geometry.drawing import area_of, polygons_of
from slabwright.geometry.foundation import Foundation
from slabwright.outputs.lettering import extent
from slabwright.outputs.look import Mode
from slabwright.outputs.svg import document, drawing, picture_svg
from slabwright.outputs.typography import typeset
from slabwright.results.picture import Item, Layer, Line, Picture, Scale
from slabwright.studies.grade.maps import carried_out, round_levels
from slabwright.study import Waiting, in_order
from slabwright.units import Family
from slabwright.web.plan_views import MapCard, MapView

DRAWN = "drawn"
"""Stands where a study's key would, for the thickness as drawn."""
_OVER_PLAN = frozenset({Layer.MAP, Layer.CONTOUR})
_NODES = 240
_LEGEND = (360.0, 60.0)
_LARGEST_SCALE = 400.0


def map_cards(foundation: Foundation, outcomes: dict[str, Any]) -> list[MapCard]:
    """Every map over the floor that the plan holds, the thickness as drawn first."""
    cards = [MapCard(study=DRAWN, key="thickness", title="Thickness as drawn")]
    return cards + [MapCard(study=study, key=one.key, title=typeset(one.title)) for study, one in _pictures(foundation, outcomes)]


def map_view(foundation: Foundation, outcomes: dict[str, Any], study: str, key: str, scale: float, family: Family) -> MapView:
    """One map.

    Parameters
    ----------
    foundation : Foundation
    outcomes : dict
        By key of the study.
    study, key : str
        As :func:`map_cards` names them.
    scale : float
        Drawing units to the metre. [1/m]
    family : Family

    Raises
    ------
    UnknownName
        If there is no such map.
    """
    if study == DRAWN:
        picture = _thickness(foundation, family)
    else:
        found = (one for name, one in _pictures(foundation, outcomes) if (name, one.key) == (study, key))
        picture = next(found, None) or _unknown(study, key)
    scale = min(max(scale, 1.0), _LARGEST_SCALE)
    bare = replace(picture, items=tuple(one for one in picture.items if one.layer in _OVER_PLAN), scale=None, notes=())
    drawn = drawing(bare, family, scale=scale, mode=Mode.SCREEN, prefix="under-")
    key_only = Picture(key="legend", title=picture.title, items=(), scale=picture.scale)
    return MapView(
        title=typeset(picture.title),
        alt=picture.alt or picture.title,
        svg=document(f"<g>{drawn.body}</g>", drawn.width, drawn.height, picture.alt or picture.title, mode=Mode.SCREEN),
        scale=scale,
        legend=picture_svg(key_only, family, width=_LEGEND[0], height=_LEGEND[1], prefix="under-"),
        notes=list(picture.notes),
    )


def _unknown(study: str, key: str) -> Picture:
    raise UnknownName(f'there is no map "{key}" of "{study}" now.')


def _pictures(foundation: Foundation, outcomes: dict[str, Any]) -> Iterator[tuple[str, Picture]]:
    """Pictures with a map scale that lie over the plan."""
    left, bottom, right, top = foundation.outline.bounds
    for study in in_order([one.study for one in outcomes.values()]):
        outcome = outcomes[study.key]
        if isinstance(outcome.result, Waiting):
            continue
        for picture in outcome.presentation().pictures:
            items = [one for one in picture.items if one.layer is Layer.MAP]
            if picture.scale is None or not items:
                continue
            low_x, low_y, high_x, high_y = extent(items)
            wide, high = min(high_x, right) - max(low_x, left), min(high_y, top) - max(low_y, bottom)
            if wide > 0 and high > 0 and wide * high > 0.25 * (right - left) * (top - bottom):
                yield study.key, picture


def _thickness(foundation: Foundation, family: Family) -> Picture:
    """Bands of equal thickness of the concrete as drawn."""
    region = foundation.region
    left, bottom, right, top = region.bounds
    step = max(right - left, top - bottom) / _NODES
    xs, ys = np.arange(left - step, right + 2 * step, step), np.arange(bottom - step, top + 2 * step, step)
    x, y = np.meshgrid(xs, ys)
    inside = shapely.contains_xy(region, x.ravel(), y.ravel()).reshape(x.shape)
    thick = np.full(x.shape, np.nan)
    thick[inside] = foundation.thickness_m(np.column_stack([x[inside], y[inside]]))
    values = carried_out(np.where(thick > 0, thick, np.nan))
    levels = round_levels(float(values.min()) - 1e-6, float(values.max()) + 1e-6, family)
    contours = contours_of(xs, ys, values)
    items: list[Item] = []
    for number, (low, high) in enumerate(pairwise(levels)):
        band = shapely.simplify(band_between(contours, low, high), step / 3)
        for piece in polygons_of(shapely.intersection(band, region)):
            if piece.area > step**2:
                area = area_of(piece, Layer.MAP, value=(number + 0.5) / (len(levels) - 1))
                items += [area, Line(layer=Layer.CONTOUR, points=area.outline, closed=True, weight=0.6)]
    title = "Thickness as drawn"
    scale = Scale(title="thickness", low=levels[0], high=levels[-1], suffix="m", levels=levels, banded=True)
    return Picture(key="thickness", title=title, items=tuple(items), scale=scale, alt="Map of the thickness of the concrete as drawn.")
