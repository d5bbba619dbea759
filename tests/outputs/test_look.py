"""Colours: those of the house, an even map scale, enough contrast."""

from itertools import pairwise

import pytest

from slabwright.outputs.look import COLOURS, PALETTES, STYLES, Mode, map_colour, mixed, screen_css
from slabwright.results.picture import Layer


def luminance(colour: str) -> float:
    """Relative luminance of sRGB (IEC 61966-2-1)."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def lightness(colour: str) -> float:
    """CIE 1976 lightness (ISO/CIE 11664-4)."""
    return 116 * luminance(colour) ** (1 / 3) - 16


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.2."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_map_scale_rises_evenly_in_lightness() -> None:
    """Equal steps of value are equal steps of lightness to the eye, so that a grey copy keeps the order."""
    levels = [lightness(map_colour(place / 32)) for place in range(33)]
    steps = [after - before for before, after in pairwise(levels)]

    assert min(steps) > 0
    assert max(steps) < 1.8 * sum(steps) / len(steps)
    assert levels[-1] - levels[0] > 50


def test_the_map_scale_reads_without_red_or_green() -> None:
    """With red and green confused (their mean in both), neighbours along the scale stay apart by lightness alone."""

    def confused(colour: str) -> str:
        red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
        mean = round((red + green) / 2)
        return f"#{mean:02X}{mean:02X}{blue:02X}"

    levels = [lightness(confused(map_colour(place / 8))) for place in range(9)]

    assert all(after - before > 3 for before, after in pairwise(levels))


def test_values_outside_the_scale_take_its_ends() -> None:
    assert (map_colour(0.0), map_colour(1.0)) == (map_colour(-3.0), map_colour(7.0))


@pytest.mark.parametrize("mode", Mode)
def test_ink_and_chalk_words_read_on_the_ground_of_every_mode(mode: Mode) -> None:
    """WCAG 2.2 asks 4.5 for text."""
    palette = PALETTES[mode]

    assert contrast(palette["ink"], palette["paper"]) >= 7
    assert contrast(palette["chalk-text"], palette["paper"]) >= 4.5


@pytest.mark.parametrize("mode", Mode)
def test_every_line_is_seen_on_the_ground_of_every_mode(mode: Mode) -> None:
    """WCAG 2.2 asks 3 for graphics that carry meaning; the house's own chalk and soil come close in the dark."""
    palette = PALETTES[mode]

    for style in STYLES.values():
        assert contrast(palette[style.line], palette["paper"]) >= 2.7, style


def test_the_dark_inverts_paper_and_ink() -> None:
    assert (COLOURS["ink"], COLOURS["paper"]) == (PALETTES[Mode.DARK]["paper"], PALETTES[Mode.DARK]["ink"])
    assert COLOURS["chalk"] == PALETTES[Mode.DARK]["chalk"]


def test_the_sun_knows_only_black_and_white() -> None:
    assert {"#000000", "#FFFFFF"} == set(PALETTES[Mode.SUN].values())


def test_the_page_doubles_all_lines_in_the_sun() -> None:
    css = screen_css()

    assert "[data-mode=sun]" in css
    assert "--thickness:2" in css
    assert "--paper:#22282B" in css


def test_every_layer_has_a_style() -> None:
    assert set(Layer) == set(STYLES)


def test_colours_mix_by_share() -> None:
    assert ("#000000", "#808080", "#FFFFFF") == tuple(mixed("#000000", "#FFFFFF", share) for share in (0.0, 0.5, 1.0))
