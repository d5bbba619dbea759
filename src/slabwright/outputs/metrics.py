"""Widths of text in the house's one type family, for placing labels before anything is rendered.

Advance widths in thousandths of the type size, read from the horizontal metrics of Source Sans Pro, regular and
semibold (SIL Open Font License). Figures are tabular: all of one width.
"""

from functools import lru_cache

_REGULAR = (
    200, 289, 425, 497, 497, 824, 609, 249, 303, 303, 418, 497, 249, 311, 249, 350, 497, 497, 497, 497, 497, 497, 497, 497, 497,
    497, 249, 249, 497, 497, 497, 425, 847, 544, 588, 571, 615, 527, 494, 617, 652, 263, 480, 579, 486, 727, 647, 664, 566, 664,
    569, 534, 536, 645, 515, 786, 513, 476, 539, 303, 350, 303, 497, 500, 542, 504, 553, 456, 555, 496, 292, 504, 544, 246, 247,
    495, 255, 829, 547, 542, 555, 555, 347, 419, 338, 544, 467, 718, 446, 467, 425, 303, 241, 303, 497,
)  # fmt: skip
_SEMIBOLD = (
    200, 315, 482, 513, 513, 841, 639, 275, 324, 324, 438, 513, 275, 322, 275, 344, 513, 513, 513, 513, 513, 513, 513, 513, 513,
    513, 275, 275, 513, 513, 513, 444, 875, 558, 597, 576, 625, 538, 510, 628, 663, 282, 494, 597, 502, 745, 656, 674, 582, 674,
    592, 545, 546, 655, 536, 800, 541, 501, 540, 324, 344, 324, 513, 500, 549, 516, 563, 462, 564, 507, 317, 520, 558, 262, 263,
    522, 271, 843, 560, 549, 564, 564, 373, 431, 361, 556, 495, 748, 481, 495, 443, 324, 255, 324, 513,
)  # fmt: skip
_OTHERS = {
    "½": 827, "¼": 795, "¾": 807, "⅛": 821, "⅜": 835, "⅝": 835, "⅞": 815, "′": 275, "″": 482, "\u202f": 125, "\u00a0": 205, "–": 480,
    "−": 513, "×": 513, "·": 275, "°": 348, "²": 372, "³": 372, "√": 573, "≤": 513, "≥": 513, "±": 513, "→": 619, "…": 963,
}  # fmt: skip
_LETTER = 560
_WIDE = 1000

CAP_HEIGHT = 0.66
DESCENT = 0.22
LINE_HEIGHT = 1.2


@lru_cache(maxsize=8192)
def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of one line of text, in the units of ``size``; letters outside the table are taken as wide."""
    table = _SEMIBOLD if bold else _REGULAR
    total = 0
    for letter in text:
        code = ord(letter)
        if 32 <= code < 127:
            total += table[code - 32]
        elif code < 0x2E80:
            total += _OTHERS.get(letter, _LETTER)
        else:
            total += _WIDE
    return total * size / 1000.0


def wrapped(text: str, width: float, size: float, *, bold: bool = False) -> tuple[str, ...]:
    """Text broken at spaces into lines no wider than ``width``; a longer word keeps a line of its own."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if line and text_width(longer, size, bold=bold) > width:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return tuple(lines)


def balanced(text: str, width: float, size: float) -> tuple[str, ...]:
    """Text broken into as few lines as ``width`` allows, of about one length."""
    lines = wrapped(text, width, size)
    for share in (0.5, 0.6, 0.7, 0.8, 0.9):
        narrower = wrapped(text, share * width, size)
        if len(narrower) == len(lines):
            return narrower
    return lines


def shortened(text: str, width: float, size: float, *, bold: bool = False) -> str:
    """One line of text cut with an ellipsis where it is wider than ``width``."""
    line = " ".join(text.split())
    if text_width(line, size, bold=bold) <= width:
        return line
    while line and text_width(line + "…", size, bold=bold) > width:
        line = line[:-1]
    return line.rstrip() + "…"
