"""The four invented jobs: volumes by part as their description gives them, from a grid model with cells of 1/2 to 1 in. or 10 mm."""

import math
from functools import cache

import pytest

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.geometry.takeoff import rectangle_only
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M
from tests.geometry.shapes import FT3_M3, Foundation, PartKind


@cache
def foundation(name):
    job = parse_job(example_text(name)).job
    return Foundation.of(job.floor, job.edge, job.strips, job.pads)


@pytest.mark.parametrize(
    ("name", "unit_m3", "floor", "edge", "pads", "total"),
    [
        ("store", CUBIC_YARD_M3, 16.67, 9.42, 0.60, 26.68),
        ("shelter", CUBIC_YARD_M3, 146.96, 45.37, 24.99, 217.33),
        ("dairy", 1.0, 60.45, 24.02, 7.92, 92.39),
    ],
)
def test_volumes_by_part(name, unit_m3, floor, edge, pads, total):
    """To the last printed digit."""
    volumes = foundation(name).volumes()
    kinds = [volumes.of_kind_m3(kind) / unit_m3 for kind in (PartKind.FLOOR, PartKind.EDGE, PartKind.PAD)]

    assert pytest.approx([floor, edge, pads], abs=0.006) == kinds
    assert pytest.approx(total, abs=0.006) == volumes.total_m3 / unit_m3
    assert pytest.approx(volumes.total_m3, rel=1e-9) == foundation(name).solid().volume()


def test_volumes_of_the_station():
    """Floor 72.54, strip 1.73 and pads 9.87 yd³ as given; the frames stand at 1.33 ft, which the grid took as 1'-4"."""
    volumes = foundation("station").volumes()

    assert pytest.approx(72.54, abs=0.006) == volumes.of_kind_m3(PartKind.FLOOR) / CUBIC_YARD_M3
    assert pytest.approx(1.73, abs=0.006) == volumes.of_kind_m3(PartKind.STRIP) / CUBIC_YARD_M3
    assert pytest.approx(9.87, abs=0.02) == volumes.of_kind_m3(PartKind.PAD) / CUBIC_YARD_M3
    assert pytest.approx(volumes.total_m3, rel=1e-9) == foundation("station").solid().volume()


def test_the_edge_of_the_station_is_mitred_at_its_inside_corners():
    """The description says 46.90 yd³, we find 47.20: by hand, its grid took the distance to the form line, which rounds inside corners.

    A trench is cut straight. At an inside corner two straight cuts keep a square block of e (B² + B r + r²/3); the distance rounds it
    to pi/4 of that. Two notch corners stand in the 4 in. wing, e = r = 26 in.; the third has the wing on one side and the 7 in. bay
    on the other, e = r = 23 in. there. B = 16 in. throughout.
    """

    def lost_in3(e, b=16.0):
        return (1 - math.pi / 4) * e * (b * b + b * e + e * e / 3)

    lost_yd3 = (2 * lost_in3(26.0) + 0.5 * (lost_in3(26.0) + lost_in3(23.0))) / 12**3 / 27
    edge_yd3 = foundation("station").volumes().of_kind_m3(PartKind.EDGE) / CUBIC_YARD_M3

    assert pytest.approx(0.31, abs=0.01) == lost_yd3
    assert pytest.approx(46.90, abs=0.02) == edge_yd3 - lost_yd3


def test_concrete_outside_the_forms_of_the_station():
    """1.88 yd³: frames at x = 1.33 and 46.67, y = 1.33, 20, 40, 58.67 ft, pads 4 ft square and 34 in. deep, concrete up to 10 in. below
    the floor. 0.67 ft stands out: three corner pads, and four at a side.
    """
    out = 0.67
    area_ft2 = 3 * (16 - (4 - out) ** 2) + 4 * 4 * out

    assert pytest.approx(area_ft2 * 24 / 12 * FT3_M3, rel=1e-9) == foundation("station").volumes().outside_m3
    assert pytest.approx(1.88, abs=0.006) == foundation("station").volumes().outside_m3 / CUBIC_YARD_M3


@pytest.mark.parametrize(
    ("name", "unit_m3", "rectangle", "short"),
    [
        ("store", CUBIC_YARD_M3, 6.1, 3.3),
        ("shelter", CUBIC_YARD_M3, 27.1, 18.3),
        ("station", CUBIC_YARD_M3, 26.9, 20.0),
        ("dairy", 1.0, 15.8, 8.2),
    ],
)
def test_the_edge_as_a_plain_rectangle_comes_out_short(name, unit_m3, rectangle, short):
    """Form line x width x depth below the floor, and what that lacks; the station's 20 with its mitred corners 20.3."""
    plain = rectangle_only(foundation(name)).edge_m3 / unit_m3
    missing = foundation(name).volumes().of_kind_m3(PartKind.EDGE) / unit_m3 - plain

    assert pytest.approx(rectangle, abs=0.05) == plain
    assert pytest.approx(short, abs=0.35 if name == "station" else 0.06) == missing


def test_the_store_reckoned_with_a_rectangular_edge():
    """The description says 23.4 yd³: floor, rectangular edge and pads with their slopes."""
    plain, volumes = rectangle_only(foundation("store")), foundation("store").volumes()
    total = plain.floor_m3 + plain.edge_m3 + volumes.of_kind_m3(PartKind.PAD)

    assert pytest.approx(23.4, abs=0.05) == total / CUBIC_YARD_M3


def test_every_part_is_named_once():
    for name in ("store", "shelter", "station", "dairy"):
        names = [part.name for part in foundation(name).parts]
        assert len(set(names)) == len(names)


def test_thickness_of_the_station_at_known_places():
    """Bay 7 in., wing 4 in., edge 30 in., pad 34 in.; in the notch there is nothing."""
    places = [(24.0, 25.0), (62.0, 18.0), (30.0, 0.5), (46.0, 41.0), (62.0, 3.0)]
    thickness = foundation("station").thickness_m([(x * FOOT_M, y * FOOT_M) for x, y in places]) / INCH_M

    assert pytest.approx([7, 4, 30, 34, 0]) == thickness.tolist()
