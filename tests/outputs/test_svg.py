"""Pictures as SVG: well formed, safe, complete, nothing over anything."""

import re
import xml.etree.ElementTree as ET

import pytest

from slabwright.outputs.labels import Box
from slabwright.outputs.lettering import extent, lettered
from slabwright.outputs.look import Mode, layer_class
from slabwright.outputs.marks import mark_svg, mark_text
from slabwright.outputs.svg import TEXT_SIZES, drawing, fitted, picture_svg
from slabwright.results.check import State
from slabwright.results.picture import Area, Circle, DimensionLine, Hatch, Layer, Leader, Line, Mark, Note, Picture, Scale
from slabwright.units import Family
from tests.outputs.golden import assert_golden
from tests.outputs.pictures import map_picture, plan_picture, section_picture
from tests.outputs.plans import HOSTILE

PICTURES = [plan_picture(), section_picture(), map_picture(12)]
SVG = "{http://www.w3.org/2000/svg}"


def words(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture.key)
def test_drawings_on_record(picture: Picture) -> None:
    """One drawing of each kind, as looked at and found good."""
    assert_golden(f"{picture.key}.svg", picture_svg(picture, Family.US, mode=Mode.PAPER, width=504, height=380))


@pytest.mark.parametrize("mode", Mode)
@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture.key)
def test_every_hatch_that_is_used_is_there(picture: Picture, mode: Mode) -> None:
    svg = picture_svg(picture, Family.SI, mode=mode)
    used, there = set(re.findall(r"url\(#([^)]+)\)", svg)), set(re.findall(r'<pattern id="([^"]+)"', svg))

    ET.fromstring(svg)
    assert used == there


def test_hatches_of_two_drawings_on_one_page_can_be_told_apart() -> None:
    one, other = (set(re.findall(r'id="([^"]+)"', picture_svg(plan_picture(), Family.US, prefix=prefix))) for prefix in ("a-", "b-"))

    assert one
    assert not one & other


@pytest.mark.parametrize("family", Family)
@pytest.mark.parametrize("scale", [6.0, 9.0, 14.0, 25.0])
def test_no_text_lies_on_other_text(family: Family, scale: float) -> None:
    """At every scale at which a plan is drawn, labels keep clear of each other."""
    picture = plan_picture()
    boxes = [one.label.box() for one in lettered(picture, family, scale, 7.5, extent(picture.items)).labels]

    assert 33 == len(boxes)
    assert 0 == max(one.overlap(other) for place, one in enumerate(boxes) for other in boxes[:place])


@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture.key)
@pytest.mark.parametrize(("width", "height"), [(504, 380), (240, 240), (1000, 300)])
def test_a_fitted_drawing_keeps_to_its_room_and_fills_it(picture: Picture, width: float, height: float) -> None:
    drawn = fitted(picture, Family.US, width=width, height=height)

    assert drawn.width <= width + 0.1
    assert drawn.height <= height + 0.1
    assert max(drawn.width / width, drawn.height / height) > (0.9 if width > 300 else 0.75)


def test_a_fitted_drawing_takes_a_standard_scale() -> None:
    drawn = fitted(plan_picture(), Family.US, width=504, height=380, scales=(5.0, 10.0, 20.0))

    assert 10.0 == drawn.scale


def test_all_that_is_drawn_lies_within_the_bounds() -> None:
    """Every text box, turned ones too, is inside what the drawing claims to need."""
    picture = section_picture()
    letters = lettered(picture, Family.US, 120.0, 7.5, extent(picture.items))
    left, top, right, bottom = letters.bounds

    for one in letters.labels:
        a, b, c, d = one.label.box().bounds()
        assert left <= a
        assert top <= b
        assert c <= right
        assert d <= bottom


def test_dimensions_carry_the_length_in_the_units_of_the_job() -> None:
    picture = Picture(key="d", title="t", items=(DimensionLine(start=(0.0, 0.0), end=(5.0419, 0.0), offset_m=1.0),))

    assert ["16′-6½″"] == words(picture_svg(picture, Family.US))
    assert ["5\u202f042"] == words(picture_svg(picture, Family.SI))


def test_a_dimension_too_narrow_for_its_text_puts_it_outside() -> None:
    narrow = DimensionLine(start=(0.0, 0.0), end=(0.1, 0.0), offset_m=0.3)
    letters = lettered(Picture(key="d", title="t", items=(narrow,)), Family.US, 40.0, 8.0, (0, 0, 0.1, 0.3))

    label = letters.labels[0].label
    assert not label.box().crossed_by(*letters.frames[0].line)


@pytest.mark.parametrize(
    ("end", "angle"), [((3.0, 0.0), 0.0), ((0.0, 3.0), -90.0), ((0.0, -3.0), -90.0), ((-3.0, 0.0), 0.0), ((3.0, 3.0), -45.0)]
)
def test_dimension_text_reads_from_below_or_from_the_right(end: tuple[float, float], angle: float) -> None:
    """Drafting rule: text along a vertical runs upwards."""
    picture = Picture(key="d", title="t", items=(DimensionLine(start=(0.0, 0.0), end=end),))
    label = lettered(picture, Family.SI, 40.0, 8.0, (-3, -3, 3, 3)).labels[0].label

    assert pytest.approx(angle, abs=1e-6) == label.angle


def test_a_dimension_lies_to_the_left_of_the_direction_travelled() -> None:
    """Going east, left is north: up the sheet, smaller y on paper."""
    picture = Picture(key="d", title="t", items=(DimensionLine(start=(0.0, 0.0), end=(4.0, 0.0), offset_m=1.0),))
    frame = lettered(picture, Family.SI, 10.0, 8.0, extent(picture.items)).frames[0]

    assert ((0.0, -10.0), (40.0, -10.0)) == frame.line


def test_hostile_text_stays_text() -> None:
    items = (
        Note(layer=Layer.TEXT, at=(0.0, 0.0), text=HOSTILE),
        Line(layer=Layer.STEEL, points=((0.0, 0.0), (1.0, 1.0)), label=f'"/><script>{HOSTILE}'),
        Leader(layer=Layer.TEXT, tip=(0.0, 0.0), at=(2.0, 2.0), text="a\x00b\x1b\ud800c & <d>"),
    )
    svg = picture_svg(Picture(key='k"><x', title=HOSTILE, items=items, alt=HOSTILE), Family.US)
    root = ET.fromstring(svg)

    assert not list(root.iter(f"{SVG}script"))
    assert HOSTILE == root.get("aria-label")
    assert any(HOSTILE.split()[0] in text for text in words(svg))


def test_layers_can_be_switched_off() -> None:
    svg = picture_svg(plan_picture(), Family.US)
    classes = {name for group in ET.fromstring(svg).iter(f"{SVG}g") for name in (group.get("class") or "").split()}

    assert {layer_class(layer) for layer in (Layer.JOINT, Layer.POST, Layer.DIMENSION, Layer.CONCRETE_HIDDEN, Layer.CHALK)} <= classes


def test_parts_say_what_they_are_when_pointed_at() -> None:
    titles = [title.text for title in ET.fromstring(picture_svg(plan_picture(), Family.US)).iter(f"{SVG}title")]

    assert "pad P1" in titles


def test_on_a_screen_colours_follow_the_page_and_on_paper_they_stand() -> None:
    assert "var(--ink" in picture_svg(section_picture(), Family.US)
    assert "var(" not in picture_svg(section_picture(), Family.US, mode=Mode.PAPER)


def test_lines_are_twice_as_thick_in_the_sun() -> None:
    picture = Picture(key="l", title="t", items=(Line(layer=Layer.CONCRETE_CUT, points=((0.0, 0.0), (1.0, 0.0))),))
    paper, sun = (
        float(re.findall(r'stroke-width="([\d.]+)"', picture_svg(picture, Family.US, mode=mode))[0]) for mode in (Mode.DARK, Mode.SUN)
    )

    assert pytest.approx(2 * paper) == sun


def test_denser_hatch_for_deeper_concrete() -> None:
    """The spacing of the lines falls from sparse to dense."""
    spacings = []
    for hatch in (Hatch.SPARSE, Hatch.MEDIUM, Hatch.DENSE):
        area = Area(layer=Layer.CONCRETE_CUT, outline=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), hatch=hatch)
        svg = picture_svg(Picture(key="h", title="t", items=(area,)), Family.US)
        spacings.append(float(re.findall(r'<pattern id="[^"]+" width="([\d.]+)"', svg)[0]))

    assert sorted(spacings, reverse=True) == spacings
    assert 3 == len(set(spacings))


def test_holes_stay_open() -> None:
    ring = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
    hole = ((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0))
    svg = picture_svg(
        Picture(key="h", title="t", items=(Area(layer=Layer.CONCRETE_CUT, outline=ring, holes=(hole,), hatch=Hatch.SOLID),)), Family.US
    )

    assert 'fill-rule="evenodd"' in svg
    assert 2 == re.findall(r'<path d="(M[^"]*)"', svg)[0].count("M")


def test_a_map_shows_its_scale_with_unit_and_contour_numbers() -> None:
    text = words(picture_svg(map_picture(8), Family.US))

    assert "thickness, in" in text
    assert {"4", "6", "5¼ in", "5 in"} <= set(text)


def test_values_of_a_legend_keep_clear_of_each_other() -> None:
    """Crowded levels are thinned, the ends stay."""
    scale = Scale(title="settlement", low=0.0, high=0.01, suffix="m", levels=tuple(n * 0.0001 for n in range(101)))
    area = Area(layer=Layer.MAP, outline=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), value=0.5)
    text = words(picture_svg(Picture(key="m", title="t", items=(area,), scale=scale), Family.SI))

    assert "settlement, mm" == text[0]
    assert {"0", "10.0"} <= set(text)
    assert len(text) < 25


def test_bands_of_unequal_width_take_equal_shares_of_the_legend() -> None:
    """Bands 0 to 0.2, 0.2 to 1 and 1 to 1.5: three pieces of one width, each of one colour."""
    scale = Scale(title="tension over strength", low=0.0, high=1.5, suffix="", levels=(0.2, 1.0, 9.0), banded=True)
    area = Area(layer=Layer.MAP, outline=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), value=0.5)
    svg = picture_svg(Picture(key="m", title="t", items=(area,), scale=scale), Family.SI)
    widths = [float(width) for width in re.findall(r'<rect [^>]* width="([\d.]+)" height="[\d.]+" fill="#', svg)]

    assert 3 == len(widths)
    assert pytest.approx(widths[0]) == widths[1] == widths[2]
    assert ["0", "1.5", "0.2", "1.0"] == words(svg)[1:]


@pytest.mark.parametrize("state", State)
def test_every_state_has_its_mark(state: State) -> None:
    svg = mark_svg(state)
    picture = Picture(key="m", title="t", items=(Mark(layer=Layer.TEXT, at=(0.0, 0.0), state=state, text="pad P1"),))

    assert state.value == ET.fromstring(svg).get("aria-label")
    assert ["pad P1"] == words(picture_svg(picture, Family.US))


def test_every_state_has_a_character_of_its_own() -> None:
    assert len(State) == len({mark_text(state) for state in State})


def test_the_words_of_a_mark_do_not_cover_it() -> None:
    picture = Picture(key="m", title="t", items=(Mark(layer=Layer.TEXT, at=(0.0, 0.0), state=State.ASK, text="pad"),))
    label = lettered(picture, Family.US, 10.0, 8.0, (0, 0, 0, 0)).labels[0].label

    assert 0 == label.box().overlap(Box((0.0, 0.0), 4.2, 4.2))


@pytest.mark.parametrize(
    "items",
    [
        (),
        (Note(layer=Layer.TEXT, at=(3.0, 3.0), text=""),),
        (Circle(layer=Layer.STEEL, centre=(0.0, 0.0), radius_m=0.0, filled=True),),
        (DimensionLine(start=(1.0, 1.0), end=(1.0, 1.0)),),
        (Line(layer=Layer.CONTOUR, points=((0.0, 0.0), (0.0, 0.0)), label="5 in"),),
        (Area(layer=Layer.SOIL, outline=((0.0, 0.0), (1e5, 0.0), (1e5, 1.0)), hatch=Hatch.EARTH),),
    ],
    ids=["nothing", "empty note", "point", "no length", "no contour", "very flat"],
)
def test_degenerate_pictures_still_draw(items: tuple[object, ...]) -> None:
    ET.fromstring(picture_svg(Picture(key="p", title="t", items=items), Family.US))  # type: ignore[arg-type]


def test_text_keeps_its_size_at_every_scale() -> None:
    small, large = (drawing(section_picture(), Family.US, scale=scale) for scale in (60.0, 240.0))

    for drawn in (small, large):
        assert f'font-size="{TEXT_SIZES[Mode.PAPER]:g}"' in drawn.body
