"""The small change of SVG: numbers, paths, safe text."""

import re
from collections.abc import Iterable
from html import escape

Point = tuple[float, float]

_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def printable(text: str) -> str:
    """Text without the control characters and half characters that neither XML nor a typesetter takes."""
    return _NOT_XML.sub(" ", text)


def escaped(text: str) -> str:
    """Text that is safe between tags and in an attribute."""
    return escape(printable(text))


def number(value: float) -> str:
    """A coordinate to a hundredth of a drawing unit, as short as it can be."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def path(points: Iterable[Point], *, closed: bool = False) -> str:
    """Path data of a run of straight pieces."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + ("Z" if closed else "")


def named(element: str, label: str) -> str:
    """An element that says what it is when pointed at; ``element`` ends in ``/>``."""
    if not label:
        return element
    tag = element[1:].partition(" ")[0]
    return f'{element[:-2]} data-label="{escaped(label)}"><title>{escaped(label)}</title></{tag}>'


def text(x: float, y: float, words: str, size: float, *, bold: bool = False, anchor: str = "start") -> str:
    """One line of text on its baseline."""
    weight = ' font-weight="600"' if bold else ""
    return f'<text x="{number(x)}" y="{number(y)}" font-size="{number(size)}" text-anchor="{anchor}"{weight}>{escaped(words)}</text>'


def rectangle(x: float, y: float, width: float, height: float, style: str) -> str:
    """A rectangle by its upper left corner."""
    return f'<rect x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}" {style}/>'
