"""Text widths against the font itself."""

import pytest

from slabwright.outputs.metrics import balanced, shortened, text_width, wrapped

fonts = pytest.importorskip("fontTools.ttLib")


@pytest.mark.parametrize(("face", "bold"), [("SourceSansPro", False), ("SourceSansProSemibold", True)])
def test_widths_are_those_of_the_font(face: str, bold: bool) -> None:
    """The horizontal metrics table of the font file."""
    import font_source_sans_pro

    font = fonts.TTFont(font_source_sans_pro.font_files_ttf[face])
    names, widths = font.getBestCmap(), font["hmtx"]

    for code in range(32, 127):
        assert widths[names[code]][0] == round(text_width(chr(code), 1000.0, bold=bold)), chr(code)


@pytest.mark.parametrize("text", ["16′-6½″", "³⁄₁₆ in", "Żółć façade", "4½ in ±10 %", "12\u202f500"])
def test_other_letters_are_never_taken_as_too_narrow(text: str) -> None:
    """A label may be given a little more room than it needs, never less than 0.98 of it."""
    import font_source_sans_pro

    font = fonts.TTFont(font_source_sans_pro.font_files_ttf["SourceSansPro"])
    names, widths = font.getBestCmap(), font["hmtx"]
    exact = sum(widths[names[ord(letter)]][0] for letter in text)

    assert 0.98 * exact <= text_width(text, 1000.0) <= 1.5 * exact


def test_lines_break_at_spaces_and_keep_long_words() -> None:
    lines = wrapped("two No.5 bars and an-uncommonly-long-word here", 60.0, 7.5)

    assert "two No.5 bars and an-uncommonly-long-word here" == " ".join(lines)
    assert all(text_width(line, 7.5) <= 60.0 or " " not in line for line in lines)


def test_balanced_lines_are_of_about_one_length() -> None:
    lines = balanced("Two No.5 x 4 ft diagonals in the corner, 2 in clear", 130.0, 7.5)
    widths = [text_width(line, 7.5) for line in lines]

    assert 2 == len(lines)
    assert min(widths) > 0.5 * max(widths)


def test_a_long_name_is_cut_with_an_ellipsis() -> None:
    short = shortened("a name " * 40, 100.0, 8.0)

    assert short.endswith("…")
    assert text_width(short, 8.0) <= 100.0
    assert "plain name" == shortened("plain \n name", 100.0, 8.0)
