"""Fractions, roots and arrows in the page's own type: signs its Latin fonts leave out, cut from the family of the book."""

import io
from functools import cache
from importlib.resources import files

from slabwright.errors import UnknownName

WEIGHTS = {"400": ("400", "Regular"), "600": ("600 700", "Semibold")}
"""Name of each cut: the weights it stands for, which must be those of the page's Latin face, and the file it comes from."""
_RANGES = ((0x2070, 0x209F), (0x2150, 0x218F), (0x2190, 0x2211), (0x2213, 0x2214), (0x2216, 0x22FF))


def signs_css() -> str:
    """Font faces that the browser loads where a page holds one of the signs."""
    ranges = ", ".join(f"U+{low:04X}-{high:04X}" for low, high in _RANGES)
    return "".join(
        f'@font-face {{ font-family: "Source Sans Pro"; font-weight: {stands_for}; font-display: swap; '
        f'src: url("/signs-{weight}.woff") format("woff"); unicode-range: {ranges}; }}\n'
        for weight, (stands_for, _) in WEIGHTS.items()
    )


@cache
def signs_font(weight: str) -> bytes:
    """The signs as a WOFF font.

    Raises
    ------
    UnknownName
        If there is no such weight.
    """
    from fontTools import subset

    if weight not in WEIGHTS:
        raise UnknownName(f"the page is set in weights {', '.join(WEIGHTS)}.")
    options = subset.Options(flavor="woff", layout_features=[], notdef_outline=True, hinting=False)
    with (files("font_source_sans_pro") / "files" / f"SourceSansPro-{WEIGHTS[weight][1]}.ttf").open("rb") as stream:
        font = subset.load_font(io.BytesIO(stream.read()), options)
    cut = subset.Subsetter(options)
    cut.populate(unicodes=[sign for low, high in _RANGES for sign in range(low, high + 1)])
    cut.subset(font)
    written = io.BytesIO()
    subset.save_font(font, written, options)
    return written.getvalue()
