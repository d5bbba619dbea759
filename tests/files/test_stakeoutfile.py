"""The stake-out list as CSV, LandXML and GeoJSON, read back by general readers."""

import csv
import io
import json
import math
from xml.etree import ElementTree

import numpy as np
import pytest

from slabwright.errors import UnknownName
from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.files.stakeoutfile import StakePoint, rewound, signed_area, stake_points, stakeout_landxml, write_stakeout
from slabwright.files.surveyfile import read_shots
from slabwright.solvers.rigid_fit import PlaneFit
from slabwright.sources import Basis, Clause, Source
from slabwright.studies.lines.layout import setting_out
from slabwright.units import FOOT_M

LANDXML = Source("LandXML 1.2", "LandXML 1.2 schema, and sample files in public repositories")
GEOJSON = Source("RFC 7946", "The GeoJSON Format, 2016")
GEOJSON_REWIND = Source("geojson-rewind", "geojson-rewind, an open-source package, documentation of version 1.1.0")
SITE = PlaneFit.stated(math.radians(30), (1000.0, 2000.0))
SPACE = "{http://www.landxml.org/schema/LandXML-1.2}"


@pytest.fixture(scope="module")
def job():
    return parse_job(example_text("station"), "station").job


@pytest.fixture(scope="module")
def sheet(job):
    return setting_out(job.floor.outline, job.pads, job.posts, job.pipes, job.embeds)


def test_points_are_numbered_and_carried_to_the_site(job, sheet):
    points = stake_points(sheet, job.floor.top_elevation_m, SITE)

    assert list(range(1, len(sheet.stakes) + 1)) == [one.number for one in points]
    back = SITE.undo(np.array([(one.east_m, one.north_m) for one in points]))
    assert np.allclose([stake.at for stake in sheet.stakes], back, atol=1e-9)
    pad = next(one for one in points if one.name == "P1")
    assert pytest.approx(job.floor.top_elevation_m - job.pads[0].depth_m) == pad.elevation_m


@pytest.mark.published(Clause(LANDXML, "CgPoints/CgPoint: northing easting elevation", Basis.TEXT_SEEN))
def test_a_landxml_point_puts_the_northing_first():
    """7318729.036 495279.406 3042.641 as in test fixtures of public repositories."""
    point = StakePoint(number=1, name="A", east_m=495279.406, north_m=7318729.036, elevation_m=3042.641, what="corner")
    root = ElementTree.fromstring(stakeout_landxml([point], "test"))
    (element,) = root.iter(f"{SPACE}CgPoint")

    assert "LandXML" == root.tag.removeprefix(SPACE)
    assert pytest.approx((7318729.036, 495279.406, 3042.641), abs=1e-9) == tuple(float(part) for part in element.text.split())
    assert "meter" == root.find(f"{SPACE}Units/{SPACE}Metric").get("linearUnit")


def test_landxml_holds_every_stake(tmp_path, job, sheet):
    root = ElementTree.parse(write_stakeout(tmp_path / "stakes.xml", sheet, job, SITE)).getroot()
    points = list(root.iter(f"{SPACE}CgPoint"))

    assert len(sheet.stakes) == len(points)
    assert [stake.name for stake in sheet.stakes] == [one.get("code") for one in points]
    assert len({one.get("name") for one in points}) == len(points)


@pytest.mark.published(Clause(GEOJSON, "3.1.6", Basis.TEXT_SEEN))
def test_geojson_rings_are_closed_and_counter_clockwise(tmp_path, job, sheet):
    """RFC 7946 means longitude and latitude; a site grid is outside it and is labelled so."""
    read = json.loads(write_stakeout(tmp_path / "stakes.geojson", sheet, job, SITE).read_text(encoding="utf-8"))
    (ring,) = read["features"][0]["geometry"]["coordinates"]

    assert "FeatureCollection" == read["type"]
    assert ring[0] == ring[-1]
    assert len(ring) >= 4
    assert signed_area(ring) > 0
    assert "local site grid" in read["site_grid"]["note"]
    assert len(sheet.stakes) == sum(feature["geometry"]["type"] == "Point" for feature in read["features"])


@pytest.mark.published(Clause(GEOJSON_REWIND, "example", Basis.TEXT_SEEN))
def test_rewinding_a_ring():
    ring = [(100, 0), (100, 1), (101, 1), (101, 0), (100, 0)]

    assert pytest.approx(-1.0) == signed_area(ring)
    assert [(100, 0), (101, 0), (101, 1), (100, 1), (100, 0)] == rewound(ring)
    assert pytest.approx(1.0) == signed_area(rewound(ring))
    assert ring == rewound(ring, hole=True)
    assert signed_area(rewound(ring[:-1])) > 0


def test_csv_has_its_unit_in_the_heading_and_reads_back(tmp_path, job, sheet):
    """The list of a job in feet, with the corners shot again, is a survey this program reads."""
    path = write_stakeout(tmp_path / "stakes.csv", sheet, job)
    rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))

    assert ["point", "x (ft)", "y (ft)", "z (ft)", "name", "description"] == rows[0]
    assert pytest.approx([at / FOOT_M for at in sheet.corners[1].at], abs=1e-4) == [float(cell) for cell in rows[2][1:3]]
    shots = "point,x (ft),y (ft),z (ft)\n" + "\n".join(f"{row[4]},{row[1]},{row[2]},{row[3]}" for row in rows[1 : 1 + len(sheet.corners)])
    shots += f"\n1,{5 / FOOT_M},{15 / FOOT_M},{job.floor.top_elevation_m / FOOT_M - 7 / 12}\n"
    (tmp_path / "base_survey.csv").write_text(shots, encoding="utf-8")
    survey, _ = read_shots(tmp_path / "base_survey.csv", job)
    assert pytest.approx((5.0, 15.0), abs=1e-3) == survey.shots[0].at


def test_another_ending_is_refused(tmp_path, job, sheet):
    with pytest.raises(UnknownName, match="geojson"):
        write_stakeout(tmp_path / "stakes.dwg", sheet, job)
