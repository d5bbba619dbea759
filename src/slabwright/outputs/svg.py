"""A picture replayed as SVG: one writer for the page, the book and the sheet.

A picture comes in metres with y up the sheet; a drawing is in points on paper or CSS pixels on a screen, with y down.
Text keeps its size whatever the scale. Geometry is written in the order of the picture, in groups by layer that a page
can switch off; text is placed last and lies on top, with a halo.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.outputs.labels import Bounds
from slabwright.outputs.legend import legend, legend_height
from slabwright.outputs.lettering import Lettering, extent, lettered
from slabwright.outputs.look import FONT_FAMILY, Mode
from slabwright.outputs.markup import escaped, number
from slabwright.outputs.pen import Pen
from slabwright.results.picture import Picture
from slabwright.units import Family

TEXT_SIZES = {Mode.PAPER: 7.5, Mode.SCREEN: 13.0, Mode.DARK: 13.0, Mode.SUN: 15.0}
_MARGIN = 3.0
_LARGEST_SCALE = 1e6


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture at a scale, ready to be put on a sheet.

    Attributes
    ----------
    body : str
        SVG elements.
    bounds : tuple of float
        Left, top, right and bottom of all that is drawn.
    scale : float
        Drawing units per metre.
    """

    body: str
    bounds: Bounds
    scale: float

    @property
    def width(self) -> float:
        return self.bounds[2] - self.bounds[0]

    @property
    def height(self) -> float:
        return self.bounds[3] - self.bounds[1]

    def at(self, left: float, top: float) -> str:
        """The drawing moved so that its upper left corner lies there."""
        return f'<g transform="translate({number(left - self.bounds[0])} {number(top - self.bounds[1])})">{self.body}</g>'


def picture_svg(
    picture: Picture,
    family: Family,
    *,
    mode: Mode = Mode.SCREEN,
    width: float = 720.0,
    height: float = 540.0,
    scale: float | None = None,
    prefix: str = "",
) -> str:
    """A picture as an SVG document of its own.

    Parameters
    ----------
    picture : Picture
    family : Family
        Units of the dimensions and the legend.
    mode : Mode
        What it is looked at on.
    width, height : float
        Room it is fitted into, in points on paper or CSS pixels on a screen; the drawing is no larger than it needs.
    scale : float, optional
        Drawing units per metre, to draw neighbours alike; the room is then not looked at.
    prefix : str
        Put before the names of hatches where one page holds several drawings of one key.
    """
    if scale is None:
        drawn = fitted(picture, family, width=width - 2 * _MARGIN, height=height - 2 * _MARGIN, mode=mode, prefix=prefix)
    else:
        drawn = drawing(picture, family, scale=scale, mode=mode, prefix=prefix)
    return document(
        drawn.at(_MARGIN, _MARGIN), drawn.width + 2 * _MARGIN, drawn.height + 2 * _MARGIN, picture.alt or picture.title, mode=mode
    )


def document(body: str, width: float, height: float, alt: str, *, mode: Mode) -> str:
    """An SVG document about a body of that size, in points on paper and CSS pixels on a screen."""
    unit = "pt" if mode is Mode.PAPER else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing" role="img" aria-label="{escaped(alt)}" '
        f'viewBox="0 0 {number(width)} {number(height)}" width="{number(width)}{unit}" height="{number(height)}{unit}" '
        f"font-family=\"'{FONT_FAMILY}', sans-serif\">{body}</svg>"
    )


@dataclass(frozen=True, slots=True)
class Footprint:
    """What a picture needs: its geometry in metres and what text adds about it in drawing units."""

    width_m: float
    height_m: float
    beyond_width: float
    beyond_height: float

    def scale_in(self, width: float, height: float) -> float:
        """Drawing units per metre at which it fills a room."""
        across = max(width - self.beyond_width, 0.1 * width) / max(self.width_m, 1e-9)
        down = max(height - self.beyond_height, 0.1 * height) / max(self.height_m, 1e-9)
        return min(across, down, _LARGEST_SCALE)

    def goes_into(self, scale: float, width: float, height: float) -> bool:
        """Whether it goes into a room at a scale."""
        return scale * self.width_m + self.beyond_width <= width + 0.01 and scale * self.height_m + self.beyond_height <= height + 0.01


def bare_scale(picture: Picture, width: float, height: float) -> float:
    """Drawing units per metre at which the geometry alone fills a room: no drawing of the picture is larger."""
    left, bottom, right, top = extent(picture.items)
    return Footprint(right - left, top - bottom, 0.0, 0.0).scale_in(width, height)


def footprint(picture: Picture, family: Family, scale: float, text_size: float) -> Footprint:
    """Measure a picture at a scale; what text adds changes little from scale to scale."""
    reach = extent(picture.items)
    return _measured(picture, lettered(picture, family, scale, text_size, reach), scale, text_size, reach)


def _measured(picture: Picture, letters: Lettering, scale: float, text_size: float, reach: Bounds) -> Footprint:
    wide, high = reach[2] - reach[0], reach[3] - reach[1]
    left, top, right, bottom = letters.bounds
    under = legend_height(text_size) if picture.scale is not None else 0.0
    return Footprint(wide, high, right - left - scale * wide, bottom - top - scale * high + under)


def fitted(
    picture: Picture,
    family: Family,
    *,
    width: float,
    height: float,
    mode: Mode = Mode.PAPER,
    text_size: float | None = None,
    scales: Sequence[float] = (),
    prefix: str = "",
) -> Drawing:
    """The picture at the largest scale at which it goes into the room, text included.

    Parameters
    ----------
    scales : sequence of float
        Standard scales to choose from, in drawing units per metre; none for any scale.
    """
    size = TEXT_SIZES[mode] if text_size is None else text_size
    reach, high = extent(picture.items), bare_scale(picture, width, height)
    if scales:
        possible = sorted((one for one in scales if one <= 1.0001 * high), reverse=True) or [min(scales)]
        for scale in possible:
            letters = lettered(picture, family, scale, size, reach)
            if scale == possible[-1] or _measured(picture, letters, scale, size, reach).goes_into(scale, width, height):
                return _drawn(picture, family, letters, scale, mode, size, prefix)
    low, scale = 0.0, high
    tried: dict[float, Lettering] = {}
    for _ in range(8):
        tried[scale] = lettered(picture, family, scale, size, reach)
        need = _measured(picture, tried[scale], scale, size, reach)
        guess = 0.998 * need.scale_in(width, height)
        if need.goes_into(scale, width, height):
            low = scale
            if guess < 1.02 * scale:
                break
        else:
            high = scale
        scale = guess if low < guess < high else (low + high) / 2
    scale = low or scale
    letters = tried.get(scale) or lettered(picture, family, scale, size, reach)
    return _drawn(picture, family, letters, scale, mode, size, prefix)


def drawing(
    picture: Picture, family: Family, *, scale: float, mode: Mode = Mode.PAPER, text_size: float | None = None, prefix: str = ""
) -> Drawing:
    """The picture at one scale, in drawing units per metre."""
    size = TEXT_SIZES[mode] if text_size is None else text_size
    return _drawn(picture, family, lettered(picture, family, scale, size, extent(picture.items)), scale, mode, size, prefix)


def _drawn(picture: Picture, family: Family, letters: Lettering, scale: float, mode: Mode, size: float, prefix: str) -> Drawing:
    pen = Pen(scale, mode, size, prefix + re.sub("[^a-z0-9]+", "-", picture.key.lower()))
    for item in picture.items:
        pen.draw(item)
    pen.write(letters)
    left, top, right, bottom = letters.bounds
    body = pen.finished()
    if picture.scale is not None:
        width = min(max(right - left, 20 * size), 34 * size)
        body += legend(picture.scale, family, mode, size, left, bottom + size, width)
        right, bottom = max(right, left + width), bottom + legend_height(size)
    return Drawing(body, (left, top, right, bottom), scale)
