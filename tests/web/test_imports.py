"""Files dropped on the desk: understood, shown, then taken; what cannot be read harms nobody."""

import io
import time

import ezdxf
import pytest

from slabwright.errors import InputError
from slabwright.files.examples import example_text
from slabwright.web.apart import read_apart
from slabwright.web.outline_file import outlines_in_drawing, outlines_in_table


def drawing(unit: int, *, lines: bool = False) -> bytes:
    """An L of 12 m by 9 m less 4 m by 3 m (96 m²), in the drawing's unit, with a frame on another layer."""
    factor = {0: 1000.0, 4: 1000.0, 6: 1.0, 2: 1 / 0.3048}[unit]
    document = ezdxf.new("R2010", units=unit)
    document.header["$INSUNITS"] = unit
    space = document.modelspace()
    corners = [(100 + x, 200 + y) for x, y in [(0, 0), (12, 0), (12, 6), (8, 6), (8, 9), (0, 9)]]
    scaled = [(x * factor, y * factor) for x, y in corners]
    if lines:
        for one, two in zip(scaled, scaled[1:] + scaled[:1], strict=True):
            space.add_line(one, two, dxfattribs={"layer": "FORM"})
    else:
        space.add_lwpolyline(scaled, close=True, dxfattribs={"layer": "FORM"})
    space.add_circle((110 * factor, 204 * factor), 0.5 * factor, dxfattribs={"layer": "DRAIN"})
    space.add_text("floor", dxfattribs={"layer": "NOTES"})
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


@pytest.mark.parametrize("unit", [2, 4, 6])
@pytest.mark.parametrize("lines", [False, True])
def test_an_outline_is_found_whatever_it_is_drawn_in(unit, lines):
    """Closed polyline or single lines, feet, millimetres or metres: 96 m², corner at the origin."""
    found = outlines_in_drawing(drawing(unit, lines=lines), "", "")
    ring = found.rings[0]
    area = abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1], strict=True))) / 2

    assert ("FORM", True) == (found.layer, found.stated)
    assert {"FORM", "DRAIN"} == set(found.layers)
    assert pytest.approx(96.0, rel=1e-6) == area
    assert 6 == len(ring)
    assert (0.0, 0.0) == (min(x for x, _ in ring), min(y for _, y in ring))


def test_a_circle_becomes_a_polygon_of_nearly_its_area():
    """Half a metre of radius: π/4 m² within 0.1 %."""
    ring = outlines_in_drawing(drawing(6), "DRAIN", "").rings[0]
    area = abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1], strict=True))) / 2

    assert pytest.approx(3.14159265 / 4, rel=1e-3) == area


def test_of_a_drawing_without_a_unit_the_likeliest_is_shown_first():
    """480 by 360: 40 ft by 30 ft in inches, the likeliest of a house in feet; taken in millimetres it would be a box."""
    document = ezdxf.new("R2010", units=0)
    document.modelspace().add_lwpolyline([(0, 0), (480, 0), (480, 360), (0, 360)], close=True)
    out = io.StringIO()
    document.write(out)
    content = out.getvalue().encode()

    assert "in" == outlines_in_drawing(content, "", "", ("in", "ft", "mm")).unit
    assert "cm" == outlines_in_drawing(content, "", "", ("mm", "m", "cm")).unit


def test_a_drawing_without_a_unit_is_asked_about(page):
    """Read in millimetres until told otherwise, and said so."""
    said = page.client.post(f"{page.base}/imports/outline", files={"file": ("plan.dxf", drawing(0))}).json()
    told = page.client.post(f"{page.base}/imports/outline", files={"file": ("plan.dxf", drawing(0))}, data={"unit": "cm"}).json()

    assert not said["unit_stated"]
    assert "states no unit" in said["message"]
    assert pytest.approx(12.0) == max(x for x, _ in said["rings"][0]["points_m"])
    assert pytest.approx(120.0) == max(x for x, _ in told["rings"][0]["points_m"])


def test_an_outline_is_taken_as_one_edit(page, folder):
    """Posts and pads of the example stand on it as well; undo goes back to the very file."""
    preview = page.client.post(f"{page.base}/imports/outline", files={"file": ("plan.dxf", drawing(6))}).json()
    page.patch({"floor.wheels": None, "posts": None, "pads": None, "walls": None, "embeds": None, "pipes": None})
    before = (folder / "store" / "job.toml").read_text()
    taken = page.post("imports/outline/take", token=preview["token"])

    assert 200 == taken.status_code, taken.text
    assert 6 == len(page.thing("outline", 0)["points_m"])
    assert "39'-4 1/2\"" == page.thing("outline", 0)["texts"][1][0], "12 m is 39 ft 4.44 in, to 1/8 in"
    page.post("undo")
    assert before == (folder / "store" / "job.toml").read_text()


def test_a_pasted_table_is_an_outline(page):
    """Commas, tabs or blanks; with units, or all in one."""
    for table, unit in (
        ("0, 0\n9 m, 0\n9 m, 6 m\n0, 6 m", ""),
        ("0\t0\n9\t0\n9\t6\n0\t6", "m"),
        ("0 0\n9000 0\n9000 6000\n0 6000\n", "mm"),
    ):
        found = page.client.post(f"{page.base}/imports/outline", data={"table": table, "unit": unit}).json()
        assert [[0, 0], [9, 0], [9, 6], [0, 6]] == found["rings"][0]["points_m"]


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("0, 0\n9 m, 0\nnine, 6 m", "line 3"),
        ("0, 0\n9, 0\n9, 6", "no unit"),
        ("0, 0\n9 m, 9 m\n9 m, 0\n0, 9 m", "crosses itself"),
        ("0, 0\n9 m, 0", "3 to 2,000"),
    ],
)
def test_a_table_says_what_is_wrong(table, said):
    with pytest.raises(InputError, match=said):
        outlines_in_table(table, "")


@pytest.mark.parametrize("content", [b"", b"MZ\x00\x01", b"0\nSECTION\n", b"\xff" * 5000, b"<html></html>"])
def test_what_is_no_drawing_is_refused(page, content):
    answer = page.client.post(f"{page.base}/imports/outline", files={"file": ("plan.dxf", content)})

    assert 422 == answer.status_code
    assert answer.json()["message"]


def test_a_file_that_takes_too_long_is_given_up():
    """The reader is ended, not waited for."""
    began = time.monotonic()
    with pytest.raises(InputError, match="more than"):
        read_apart(time.sleep, 60.0, seconds=1.0)
    assert time.monotonic() - began < 10


def test_a_reader_that_falls_is_a_refusal():
    import os

    with pytest.raises(InputError, match="cannot be read"):
        read_apart(os._exit, 3)


def test_a_forecast_is_shown_before_it_is_taken(page, folder):
    """The example's own forecast dropped again: hours are counted, and the one before is kept aside."""
    content = example_text("store", "weather.csv").encode()
    preview = page.client.post(f"{page.base}/imports/site", files={"file": ("tomorrow.csv", content)}, data={"kind": "forecast or weather"})

    assert 200 == preview.status_code, preview.text
    assert "weather.csv" == preview.json()["name"]
    assert "Weather" in preview.json()["summary"][0]
    page.client.app.state.desk.replan = lambda job: None
    assert page.post("imports/site/take", token=preview.json()["token"]).status_code == 200
    assert content == (folder / "store" / "weather.csv").read_bytes()
    assert (folder / "store" / "weather.csv.before").is_file()


def test_level_shots_are_read_against_the_job(page):
    content = example_text("store", "base_survey.csv").encode()
    preview = page.client.post(
        f"{page.base}/imports/site", files={"file": ("shots.csv", content)}, data={"kind": "level shots of the base"}
    )

    assert 200 == preview.status_code, preview.text
    assert "Shots" in preview.json()["summary"][0]


@pytest.mark.parametrize(
    ("name", "kind", "said"),
    [("a.exe", "forecast or weather", "read from"), ("a.csv", "horoscope", "not known"), ("a.csv", "level book", "")],
)
def test_what_is_no_record_is_refused(page, name, kind, said):
    answer = page.client.post(f"{page.base}/imports/site", files={"file": (name, b"a,b\n1,2\n")}, data={"kind": kind})

    assert 422 == answer.status_code
    assert said in answer.json()["message"]


def test_a_preview_is_taken_once_it_is_known_only(page):
    assert page.post("imports/outline/take", token="guessed").status_code == 404


TICKETS = (
    "ticket,volume (yd3),batched,arrived,started,ended\n"
    "12,10,07:05,07:32,07:36,08:01\n11,10,06:30,06:58,07:00,07:31\n12,10,07:05,07:32,07:36,08:02\n"
)


def test_tickets_are_shown_before_they_are_taken(page, folder):
    """Two loads, put in order, the one that stands twice told; taken, they lie beside the job file as they came."""
    preview = page.client.post(f"{page.base}/imports/site", files={"file": ("loads.csv", TICKETS)}, data={"kind": "delivery tickets"})
    found = preview.json()

    assert 200 == preview.status_code, preview.text
    assert found["summary"][0].startswith("2 loads, 20")
    assert "Ticket 11" in found["summary"][1]
    assert any("stands twice" in one["message"] for one in found["findings"])
    page.client.app.state.desk.replan = lambda job: None
    assert page.post("imports/site/take", token=found["token"]).status_code == 200
    assert TICKETS == (folder / "store" / "tickets.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize("content", [b"", b"\xff\xfe\x00", b"ticket,volume\n1,10 yd3\n", b"ticket,volume,batched\n1,10,07:05\n"])
def test_what_is_no_ticket_file_is_refused(page, content):
    answer = page.client.post(f"{page.base}/imports/site", files={"file": ("a.csv", content)}, data={"kind": "delivery tickets"})

    assert 422 == answer.status_code
    assert answer.json()["message"]
