"""Whatever is in a job file, it ends in a job or in a list of findings: never in a traceback, never in a long wait."""

import math
import string

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from slabwright.errors import InputError
from slabwright.files.examples import example_names, example_text
from slabwright.files.jobfile import parse_job, read_job
from slabwright.files.jobfile.positions import lines_of
from tests.files.jobs import FULL, MINIMAL, minimal_with

EXAMPLES = [example_text(name) for name in example_names()]
FUZZ = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def survives(text: str) -> bool:
    """Whether a text is a job; if not, every finding of it prints as one line with a place."""
    try:
        loaded = parse_job(text)
    except InputError as error:
        assert error.findings
        assert all(finding.where and finding.message and "\n" not in str(finding) for finding in error.findings)
        return False
    assert all(finding.warning for finding in loaded.findings)
    return True


@FUZZ
@given(content=st.binary(max_size=400))
def test_random_bytes(content: bytes, tmp_path_factory):
    path = tmp_path_factory.mktemp("fuzz") / "job.toml"
    path.write_bytes(content)
    with pytest.raises(InputError):
        read_job(path)


@FUZZ
@given(text=st.text(alphabet=string.printable, max_size=400))
def test_random_text(text: str):
    survives(text)


@FUZZ
@given(text=st.sampled_from(EXAMPLES), share=st.floats(0, 1))
def test_a_truncated_file(text: str, share: float):
    survives(text[: int(len(text) * share)])


@FUZZ
@given(text=st.sampled_from([*EXAMPLES, FULL]), data=st.data())
def test_letters_changed_here_and_there(text: str, data):
    letters = list(text)
    for _ in range(data.draw(st.integers(1, 8))):
        place = data.draw(st.integers(0, len(letters) - 1))
        letters[place] = data.draw(st.sampled_from("\"'[]{}=.,#\n\\ 0-9xe\x00é"))
    survives("".join(letters))


VALUES = st.sampled_from(
    [
        "nan", "inf", "-inf", "1e308", "0", '"0"', '""', "-1", "1e999", "9" * 5000, '"1e400 ft"', '"-4 in"', '"1e-400 ft"', "true", "[]",
        "{}", "[[]]", '[["0", "0"]]', "2020-01-01", "07:00:00", "1979-05-27T07:32:00Z", '"4 ft"', '"1:0"', '"1 in 0"', '"1 in per 0 ft"',
        '"per"', '"x"', '"all pads"', '["P1", "P9"]', '{ x = "1 ft" }', '[{ x = "1 ft" }]', '{ from = ["0", "0"], to = ["0", "0"] }',
        '{ dead = { down = "x" } }', '{ x = { from = "0", step = "9 km", count = 1000 }, y = ["0"] }', '"1e999 per yd3"', '"each"',
        '"１２ in"',
        '"' + "x" * 5000 + '"', "[" * 50 + "]" * 50, '"0 deg"', '"400 deg"', '"45 deg"', "0x1F", '"NaN"',
    ]
)  # fmt: skip


@FUZZ
@given(text=st.sampled_from([*EXAMPLES, FULL, MINIMAL]), data=st.data())
def test_values_of_wrong_kinds(text: str, data):
    lines = text.split("\n")
    pairs = [number for number, line in enumerate(lines) if "=" in line and not line.startswith("#")]
    for _ in range(data.draw(st.integers(1, 4))):
        number = data.draw(st.sampled_from(pairs))
        lines[number] = lines[number].partition("=")[0] + "= " + data.draw(VALUES)
    survives("\n".join(lines))


@FUZZ
@given(text=st.sampled_from([*EXAMPLES, FULL]), data=st.data())
def test_lines_missing_doubled_and_out_of_order(text: str, data):
    lines = text.split("\n")
    for _ in range(data.draw(st.integers(1, 6))):
        one, other = (data.draw(st.integers(0, len(lines) - 1)) for _ in range(2))
        change = data.draw(st.sampled_from(["drop", "double", "swap"]))
        if change == "drop":
            del lines[one]
        elif change == "double":
            lines.insert(other, lines[one])
        else:
            lines[one], lines[other] = lines[other], lines[one]
    survives("\n".join(lines))


COORDINATES = st.floats(-1e4, 1e4, allow_nan=False).map(lambda number: f"{number:.3f} ft")


@FUZZ
@given(points=st.lists(st.tuples(COORDINATES, COORDINATES), max_size=12))
def test_random_outlines(points: list[tuple[str, str]]):
    survives(minimal_with('[["0", "0"], ["30 ft", "0"], ["30 ft", "36 ft"], ["0", "36 ft"]]', str([list(one) for one in points])))


def outline_of(points: list[tuple[float, float]], more: str = "") -> str:
    written = ", ".join(f'["{x:.6f} m", "{y:.6f} m"]' for x, y in points)
    return f'[floor]\nthickness = "150 mm"\noutline = [{written}]\n{more}'


TURN = [2 * math.pi * number / 10_000 for number in range(10_000)]
_ROW = '{ from = "-9 m", step = "1 m", count = 19 }'
PADS = f"""\
[edge]
depth = "600 mm"
width = "400 mm"
[[pads]]
grid = {{ x = {_ROW}, y = {_ROW} }}
size = "500 mm"
depth = "600 mm"
"""


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (outline_of([(20 * math.cos(one), 20 * math.sin(one)) for one in TURN], PADS), None),
        (outline_of([(one * math.cos(4001 * one), one * math.sin(4001 * one)) for one in TURN]), "crosses itself at more places"),
        (outline_of([(9 * math.cos(one * 4999), 9 * math.sin(one * 4999)) for one in TURN]), "crosses itself at more places"),
        (outline_of([(one, 0.0) for one in TURN]), "encloses no area"),
        (outline_of([(1.0, 1.0)] * 10_000), "more points are doubled"),
        (outline_of([(9.0, 0.0)] + [(one, 0.0) for one in TURN[1:-1]] + [(9.0, 9.0)]), "lies on edge"),
    ],
    ids=["circle with 361 pads", "spiral", "star", "line", "point", "flat"],
)  # fmt: skip
def test_an_outline_of_ten_thousand_points_is_judged(text: str, expected: str | None):
    """A round floor is a floor, with a warning; a tangle is told by its first crossings."""
    if expected is None:
        (doubt,) = parse_job(text).findings
        assert "has 10,000 points" in doubt.message
        return
    with pytest.raises(InputError) as caught:
        parse_job(text)
    assert any(expected in finding.message for finding in caught.value.findings)
    assert len(caught.value.findings) <= 8


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a = " + "[" * 5000, "brackets are nested too deep"),
        ("a = " + "[" * 5000 + "]" * 5000, "brackets are nested too deep"),
        ("a" + ".a" * 5000 + " = 1", "a key has more than forty parts"),
        ("[" + "a." * 5000 + "a]", "a key has more than forty parts"),
        ("schema = " + "9" * 100_000, "a number has too many digits"),
        ("# " + "x" * 1_000_000, "is larger than 1,000,000 characters"),
        ("".join(f"[a{number}]\n" for number in range(50_000)), "holds 50,000 tables"),
        ("[[pads]]\n" * 20_000 + MINIMAL, "has 20,001 entries; up to 5,000 are taken"),
        ("a b\n" * 50_000, '"a b" cannot be read'),
        (MINIMAL + "[[walls]]\n" * 4000, "more mistakes like these"),
    ],
    ids=["open brackets", "brackets", "long key", "long header", "digits", "large", "tables", "entries", "syntax", "walls"],
)
def test_what_is_too_much_is_told_at_once(text: str, message: str):
    with pytest.raises(InputError) as caught:
        parse_job(text)
    assert any(message in finding.message for finding in caught.value.findings)
    assert len(caught.value.findings) <= 250


@pytest.mark.parametrize("opening", ["[", "{ a = "])
def test_brackets_of_any_depth(opening: str):
    """Also where the reader of TOML just manages and the next one would not."""
    closing = {"[": "]", "{ a = ": "}"}[opening]
    for depth in range(50, 1000, 25):
        assert not survives(MINIMAL + "[soil]\ncbr = " + opening * depth + "1" + closing * depth)


@pytest.mark.parametrize("text", [MINIMAL, FULL, *EXAMPLES], ids=["minimal", "full", *example_names()])
def test_every_key_of_a_file_has_its_line(text: str):
    """Each key that an independent reading finds is on the line that the map of lines names."""
    lines, rows = lines_of(text), text.split("\n")

    def walk(value, path):
        if isinstance(value, dict):
            for key, one in value.items():
                walk(one, (*path, key))
        elif isinstance(value, list):
            for number, one in enumerate(value):
                walk(one, (*path, number))
        if path and isinstance(path[-1], str):
            assert path[-1] in rows[lines[path] - 1], path
        elif path:
            assert path in lines, path

    walk(tomlkit.parse(text).unwrap(), ())


def test_lines_are_found_past_every_kind_of_string_and_bracket():
    """Quotes in strings, strings over several lines, notes in lists, dotted and quoted keys."""
    text = '''a = """x
"" [b]
c = 1"""
b = \'\'\'y
\'\'\'
"d.e" = { f = "}", g = [1,
  2] }  # h = 3
h.i = 'x # y'
[[j]]
[j.k]
l = 1
[[j]]
k.l = 07:32:00
'''
    lines = lines_of(text)

    expected = {
        ("a",): 1, ("b",): 4, ("d.e",): 6, ("d.e", "f"): 6, ("d.e", "g"): 6, ("d.e", "g", 0): 6, ("d.e", "g", 1): 7, ("h",): 8,
        ("h", "i"): 8,
        ("j",): 9, ("j", 0): 9, ("j", 0, "k"): 10, ("j", 0, "k", "l"): 11, ("j", 1): 12, ("j", 1, "k"): 13, ("j", 1, "k", "l"): 13,
    }  # fmt: skip
    assert expected == lines
