"""Colours, line weights and hatches: how each trade layer looks on paper, on a screen, at night and in the sun.

Lengths are in points on paper and in CSS pixels on a screen. A line is told by its weight and its dashes, an area by its
hatch; colour only helps, so that a black and white copy still reads.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from slabwright.results.picture import Hatch, Layer

FONT_FAMILY = "Source Sans Pro"

COLOURS = MappingProxyType(
    {
        "paper": "#F7F5F0", "ink": "#22282B", "wet": "#8C9491", "dry": "#C9CCC6", "stone": "#B9AE9B", "soil": "#8A6F55",
        "sheet": "#5C7F8C", "steel": "#3D4A57", "chalk": "#C2412D",
    }
)  # fmt: skip
"""The house's colours: paper, ink, wet and dry concrete, base stone, soil, retarder sheet, steel, chalk line."""

_GROUNDS = ("wet", "dry", "stone", "soil")
_FILLED, _WASHED = 0.35, 0.72


class Mode(Enum):
    """What a drawing is looked at on."""

    PAPER = "paper"
    SCREEN = "screen"
    DARK = "dark"
    SUN = "sun"


def mixed(colour: str, other: str, share: float) -> str:
    """A colour with a share, 0 to 1, of another."""
    parts = ((int(colour[at : at + 2], 16), int(other[at : at + 2], 16)) for at in (1, 3, 5))
    return "#" + "".join(f"{round(one + share * (two - one)):02X}" for one, two in parts)


def _palette(paper: str, ink: str) -> dict[str, str]:
    """Line colours, solid fills and washes under a hatch, for one ground."""
    lines = {**COLOURS, "paper": paper, "ink": ink}
    fills = {f"{name}-fill": mixed(lines[name], paper, _FILLED) if name in _GROUNDS else lines[name] for name in lines}
    washes = {f"{name}-wash": mixed(lines[name], paper, _WASHED) for name in lines}
    words = {"chalk-text": mixed(COLOURS["chalk"], COLOURS["paper"], 0.4) if paper == COLOURS["ink"] else COLOURS["chalk"]}
    return {**lines, **fills, **washes, **words}


def _sun_palette() -> dict[str, str]:
    """Black on white: every line black, every ground white."""
    white = ("paper", *(f"{ground}-fill" for ground in _GROUNDS), *(f"{name}-wash" for name in COLOURS))
    return {**dict.fromkeys(_palette("#FFFFFF", "#000000"), "#000000"), **dict.fromkeys(white, "#FFFFFF")}


_LIGHT = _palette(COLOURS["paper"], COLOURS["ink"])
_INVERTED = _palette(COLOURS["ink"], COLOURS["paper"])
PALETTES: Mapping[Mode, Mapping[str, str]] = MappingProxyType(
    {
        Mode.PAPER: {**_palette("#FFFFFF", COLOURS["ink"])},
        Mode.SCREEN: _LIGHT,
        # Steel is so near to ink that on a dark ground its lines would not be seen: they follow the ink.
        Mode.DARK: {**_INVERTED, "steel": COLOURS["paper"], "steel-fill": COLOURS["paper"]},
        Mode.SUN: _sun_palette(),
    }
)
_THICKNESS = {Mode.PAPER: 1.0, Mode.SCREEN: 1.2, Mode.DARK: 1.2, Mode.SUN: 2.4}


def colour(name: str, mode: Mode) -> str:
    """A colour as it is written into a drawing: on a screen a variable of the page, with its value in daylight."""
    value = PALETTES[mode][name]
    return f"var(--{name}, {value})" if mode is Mode.SCREEN else value


def thickness(weight: float, mode: Mode) -> str:
    """A line weight as it is written into a drawing; on a screen the page may thicken all lines."""
    value = f"{weight * _THICKNESS[mode]:.3g}"
    return f"calc({value}px * var(--thickness, 1))" if mode is Mode.SCREEN else value


def screen_css() -> str:
    """Values of the variables for the page, by its ``data-mode``: the dark, and the sun with lines twice as thick."""
    rules = []
    for mode, selector in ((Mode.SCREEN, ":root"), (Mode.DARK, "[data-mode=dark]"), (Mode.SUN, "[data-mode=sun]")):
        values = "".join(f"--{name}:{value};" for name, value in PALETTES[mode].items())
        rules.append(f"{selector}{{{values}--thickness:{_THICKNESS[mode] / _THICKNESS[Mode.SCREEN]:g}}}")
    return "".join(rules)


@dataclass(frozen=True, slots=True)
class Style:
    """How a layer is drawn.

    Attributes
    ----------
    weight : float
        Line weight.
    line, fill : str
        Names of the colours of its lines and of its solid areas.
    dashed : bool
        True for lines that are hidden in the view.
    double : bool
        True for the two edges of a saw cut.
    """

    weight: float
    line: str = "ink"
    fill: str = "ink"
    dashed: bool = False
    double: bool = False


STYLES: Mapping[Layer, Style] = MappingProxyType(
    {
        Layer.SOIL: Style(0.6, "soil", "soil"),
        Layer.BASE: Style(0.6, "ink", "stone"),
        Layer.SHEET: Style(1.4, "sheet", "sheet"),
        Layer.CONCRETE_CUT: Style(1.5, "ink", "wet"),
        Layer.CONCRETE_SEEN: Style(0.8, "ink", "dry"),
        Layer.CONCRETE_HIDDEN: Style(0.6, "ink", "dry", dashed=True),
        Layer.FORM: Style(0.8, "ink", "stone"),
        Layer.STEEL: Style(1.2, "steel", "steel"),
        Layer.JOINT: Style(0.45, "ink", "dry", double=True),
        Layer.POST: Style(0.9),
        Layer.WALL: Style(0.7, "ink", "dry"),
        Layer.PIPE: Style(0.8, "sheet", "sheet"),
        Layer.BOLT: Style(0.9, "steel", "steel"),
        Layer.SETTING_OUT: Style(0.45, "ink", "dry"),
        Layer.MAP: Style(0.4, "ink", "wet"),
        Layer.CONTOUR: Style(0.6),
        Layer.DIMENSION: Style(0.4),
        Layer.TEXT: Style(0.4),
        Layer.CHALK: Style(1.4, "chalk", "chalk"),
    }
)

_HATCH_SPACING = {Hatch.SPARSE: 7.0, Hatch.MEDIUM: 4.4, Hatch.DENSE: 2.6}
_STONES = (
    "M1.5 4.5 3 1.5 6 2 6.5 5 3.5 6.2ZM9 9.5 10.5 7.2 13 8 13.2 10.6 10.6 11.4Z"
    "M10 3 11.5 1.4 13.4 2.6 12 4.4ZM2.4 10.6 4 8.8 6 10 4.6 11.6Z"
)
_STROKES = "M1 6 6 1M4 7 8 3M1 2 2 1M10 11 15 16M10 15 12 17M12 9 17 14M1 13 3 11M15 4 17 2"
_CIVIDIS = (
    "00224E 00285B 002E6A 053371 1A386F 273E6E 32436D 3B496C 434E6C 4B546C 535A6D 5A5F6E 61656F 686A71 6F7073 767676 7D7C78 "
    "848279 8C8878 938E78 9B9476 A39A74 ABA072 B4A76F BCAE6C C4B468 CDBB63 D5C25E DEC958 E7D150 F0D846 F9E03A FEE838"
)
_N_CIVIDIS = 33
_WASH_OF_MAP = 0.22


def layer_class(layer: Layer) -> str:
    """The class of a layer's groups in a drawing, by which a page switches it off."""
    return "layer-" + layer.name.lower().replace("_", "-")


def map_colour(value: float) -> str:
    """Colour of a map at a value from 0 to 1: the cividis scale, washed so that ink reads on all of it.

    References
    ----------
    J. R. Nuñez, C. R. Anderton, R. S. Renslow, "Optimizing colormaps with consideration for color vision deficiency to
    enable accurate interpretation of scientific data", PLoS ONE 13(7), 2018. Basis: QUOTED (33 of its 256 colours, as
    plotting libraries carry them).
    """
    place = min(max(value, 0.0), 1.0) * (_N_CIVIDIS - 1)
    low = min(int(place), _N_CIVIDIS - 2)
    below, above = ("#" + _CIVIDIS[7 * at : 7 * at + 6] for at in (low, low + 1))
    return mixed(mixed(below, above, place - low), "#FFFFFF", _WASH_OF_MAP)


def hatch_pattern(hatch: Hatch, layer: Layer, mode: Mode, name: str) -> str:
    """The SVG pattern of a hatch, drawn in the layer's colour over its washed fill."""
    style = STYLES[layer]
    line, ground = colour(style.line, mode), colour(f"{style.fill}-wash", mode)
    if hatch in _HATCH_SPACING:
        size = _HATCH_SPACING[hatch]
        width, height, turn, path = size, size, ' patternTransform="rotate(45)"', f"M{size / 2:g} -1V{size + 1:g}"
    elif hatch is Hatch.STONE:
        width, height, turn, path = 14.5, 12.5, "", _STONES
    else:
        width, height, turn, path = 18.0, 18.0, "", _STROKES
    return (
        f'<pattern id="{name}" width="{width:g}" height="{height:g}" patternUnits="userSpaceOnUse"{turn}>'
        f'<rect x="-1" y="-1" width="{width + 2:g}" height="{height + 2:g}" fill="{ground}"/>'
        f'<path d="{path}" fill="none" stroke="{line}" stroke-width="{thickness(0.4, mode)}" stroke-linecap="round"/></pattern>'
    )


def dashes(weight: float) -> str:
    """Dash pattern of a hidden line, in proportion to its weight."""
    return f"{3 + 3 * weight:.3g} {1.8 + 1.2 * weight:.3g}"
