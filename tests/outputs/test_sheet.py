"""Sheets: true to scale, with a title block that says all it must."""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from slabwright import __version__
from slabwright.outputs.plan_sheet import plan_sheet, write_plan_sheet
from slabwright.outputs.sheet import POINTS_PER_M, SCALES, DrawingScale, Paper, TitleBlock, scale_bar, standard_scale, street_mark
from slabwright.outputs.svg import drawing
from slabwright.results.picture import Layer, Line, Picture
from slabwright.units import FOOT_M, Family
from tests.outputs.golden import assert_golden
from tests.outputs.plans import HOSTILE, SHAPE, WAITS, plan
from tests.outputs.test_svg import SVG, words


@pytest.mark.parametrize(
    ("label", "points_per_ft"), [("¼ in = 1 ft", 18.0), ("⅛ in = 1 ft", 9.0), ("1 in = 1 ft", 72.0), ("1 in = 20 ft", 3.6)]
)
def test_architectural_scales_are_true(label: str, points_per_ft: float) -> None:
    """A quarter inch of paper is 18 points."""
    scale = next(one for one in SCALES[Family.US] if one.label == label)

    assert pytest.approx(points_per_ft) == scale.points_per_m * FOOT_M


def test_metric_scales_are_true() -> None:
    """At 1:50 ten metres are 200 mm of paper."""
    scale = next(one for one in SCALES[Family.SI] if one.label == "1:50")

    assert pytest.approx(200.0) == 10.0 * scale.points_per_m / POINTS_PER_M * 1000


@pytest.mark.parametrize("family", Family)
def test_scales_run_from_large_to_small(family: Family) -> None:
    ratios = [scale.ratio for scale in SCALES[family]]

    assert sorted(set(ratios)) == ratios
    assert ratios[-1] == standard_scale(1e-9, family).ratio


@pytest.mark.parametrize(
    ("paper", "millimetres"),
    [(Paper.LETTER, (279.4, 215.9)), (Paper.TABLOID, (431.8, 279.4)), (Paper.A4, (297, 210)), (Paper.A3, (420, 297))],
)
def test_paper_sizes(paper: Paper, millimetres: tuple[float, float]) -> None:
    """ISO 216 and ANSI/ASME Y14.1, landscape."""
    assert pytest.approx(millimetres) == tuple(side / POINTS_PER_M * 1000 for side in paper.size(landscape=True))


def test_a_line_on_the_drawing_has_its_length_on_paper() -> None:
    scale = standard_scale(60.0, Family.US)
    picture = Picture(key="l", title="t", items=(Line(layer=Layer.FORM, points=((0.0, 0.0), (40 * FOOT_M, 0.0))),))
    drawn = drawing(picture, Family.US, scale=scale.points_per_m)

    assert ("¼ in = 1 ft", pytest.approx(720.0)) == (scale.label, drawn.width)


@pytest.mark.parametrize("family", Family)
def test_plan_sheets_on_record(family: Family) -> None:
    text = plan_sheet(plan(SHAPE, family=family)).replace(f"slabwright {__version__}", "slabwright x.y.z")

    assert_golden(f"plan-sheet-{family.value}.svg", text)


def test_the_sheet_says_what_every_sheet_must() -> None:
    text = " ".join(words(plan_sheet(plan(SHAPE))))

    for expected in (
        "Brindlecote seed-and-tool store", "4f1c9a0b77de", "April 9, 2031", f"slabwright {__version__}", "ASCE 7-22", "ACI 318-19",
        "licensed engineer", "building department", "street side", "in = 1 ft", "Section through the edge", "Section through a pad",
        "Pads are drawn at their undersides.", "tabloid",
    ):  # fmt: skip
        assert expected in text, expected


def test_the_sheet_is_of_full_size() -> None:
    root = ET.fromstring(plan_sheet(plan(SHAPE, family=Family.SI)))

    assert ("1190.55pt", "841.89pt") == (root.get("width"), root.get("height"))


@pytest.mark.parametrize("paper", Paper)
def test_nothing_is_drawn_off_the_paper(paper: Paper) -> None:
    """Every text stands inside the frame."""
    width, height = paper.size(landscape=True)
    root = ET.fromstring(plan_sheet(plan(SHAPE), paper=paper))

    def walk(element: ET.Element, dx: float, dy: float) -> None:
        moved = re.match(r"translate\(([-\d.]+) ([-\d.]+)\)", element.get("transform") or "")
        dx, dy = (dx + float(moved[1]), dy + float(moved[2])) if moved else (dx, dy)
        if element.tag == f"{SVG}text":
            assert 15 < dx + float(element.get("x", 0)) < width - 15, element.text
            assert 15 < dy + float(element.get("y", 0)) < height - 15, element.text
        for child in element:
            walk(child, dx, dy)

    walk(root, 0.0, 0.0)


def test_a_waiting_plan_says_so_on_its_sheet() -> None:
    text = " ".join(words(plan_sheet(plan(WAITS))))

    assert "The plan waits" in text
    assert "forecast.csv" in text


def test_long_and_hostile_names_stay_in_their_boxes() -> None:
    root = ET.fromstring(plan_sheet(plan(SHAPE, name=HOSTILE * 5)))

    assert not list(root.iter(f"{SVG}script"))
    assert any((element.text or "").endswith("…") for element in root.iter(f"{SVG}text"))


def test_a_plan_without_a_day_is_not_dated() -> None:
    block = TitleBlock.of(plan(SHAPE, today=None), drawing="Plan", scale="1:50", paper=Paper.A3)

    assert "not dated" in block.svg(0, 0, 1000)


@pytest.mark.parametrize(("side", "tip"), [("south", (0.0, 15.0)), ("north", (0.0, -15.0)), ("east", (15.0, 0.0)), ("west", (-15.0, 0.0))])
def test_the_arrow_points_to_the_street(side: str, tip: tuple[float, float]) -> None:
    assert f'd="M{tip[0]:g} {tip[1]:g}L' in street_mark(side, 0.0, 0.0)


def test_the_scale_bar_is_true() -> None:
    """Four pieces, together as long as they say."""
    scale = DrawingScale("1:100", 100)
    svg = scale_bar(scale.points_per_m, Family.SI, 0.0, 0.0)
    pieces = [float(width) for width in re.findall(r'<rect [^>]* width="([\d.]+)"', svg)]
    length = float(re.findall(r">(\d+) m<", svg)[0])

    assert 4 == len(pieces)
    assert pytest.approx(length * scale.points_per_m, abs=0.1) == sum(pieces)


def test_the_sheet_is_written_whole(tmp_path: Path) -> None:
    path = write_plan_sheet(plan(SHAPE), tmp_path / "new folder" / "plan.svg")

    assert path.read_text(encoding="utf-8").startswith("<svg")
    assert [path] == list(path.parent.iterdir())
