"""Legend of a map: its title, a strip of the map scale, and the values of its contours."""

from slabwright.outputs.look import Mode, colour, map_colour, thickness
from slabwright.outputs.markup import escaped, number
from slabwright.outputs.metrics import text_width
from slabwright.outputs.numbers import spelling
from slabwright.outputs.typography import typeset
from slabwright.results.picture import Scale
from slabwright.units import Family

_STRIPES = 48


def legend_height(size: float) -> float:
    """Room that a legend takes under its drawing, at a type size."""
    return 4.8 * size


def legend(scale: Scale, family: Family, mode: Mode, size: float, left: float, top: float, width: float) -> str:
    """SVG of a legend with its upper left corner there.

    Values are written under the strip as far as there is room for them: the ends always, contours between where clear.
    """
    values = sorted({scale.low, scale.high, *(level for level in scale.levels if scale.low < level < scale.high)})
    stripes = max(len(values) - 1, 1) if scale.banded else _STRIPES
    written = spelling(values, scale.suffix, family, scale.unit)
    title = typeset(f"{scale.title}, {written.unit}" if written.unit else scale.title)
    strip_top, strip_height = top + 1.35 * size, 0.9 * size
    parts = [f'<text x="{number(left)}" y="{number(top + 0.8 * size)}" font-weight="600">{escaped(title)}</text>']
    step = width / stripes
    parts += [
        f'<rect x="{number(left + stripe * step)}" y="{number(strip_top)}" width="{number(step + 0.3)}" height="{number(strip_height)}" '
        f'fill="{map_colour((stripe + 0.5) / stripes)}"/>'
        for stripe in range(stripes)
    ]
    ink = f'stroke="{colour("ink", mode)}" stroke-width="{thickness(0.5, mode)}"'
    parts.append(
        f'<rect x="{number(left)}" y="{number(strip_top)}" width="{number(width)}" height="{number(strip_height)}" fill="none" {ink}/>'
    )
    baseline = strip_top + strip_height + 1.25 * size
    taken: list[tuple[float, float]] = []
    span = (scale.high - scale.low) or 1.0
    for value in dict.fromkeys((values[0], values[-1], *values)):
        x = left + width * (values.index(value) / stripes if scale.banded else (value - scale.low) / span)
        words = typeset(written.number(value))
        half = text_width(words, size) / 2 + 0.25 * size
        if any(x - half < end and start < x + half for start, end in taken):
            continue
        taken.append((x - half, x + half))
        anchor, at = ("start", left) if value == scale.low else ("end", left + width) if value == scale.high else ("middle", x)
        parts.append(f'<path d="M{number(x)} {number(strip_top)}v{number(strip_height + 0.25 * size)}" fill="none" {ink}/>')
        parts.append(f'<text x="{number(at)}" y="{number(baseline)}" text-anchor="{anchor}">{escaped(words)}</text>')
    return f'<g class="legend" font-size="{number(size)}" fill="{colour("ink", mode)}">{"".join(parts)}</g>'
