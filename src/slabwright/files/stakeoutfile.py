"""The stake-out list for instruments and maps: CSV, LandXML CgPoints, GeoJSON.

Points stand in the plan's axes, or in those of the site where a turn and a shift are given. Heights are elevations in
the job's datum.
"""

import csv
import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from io import StringIO
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import numpy as np

from slabwright.errors import UnknownName
from slabwright.model.job import Job
from slabwright.solvers.rigid_fit import PlaneFit
from slabwright.studies.lines.layout import SettingOut
from slabwright.units import FOOT_M, Family

LANDXML = "http://www.landxml.org/schema/LandXML-1.2"
FORMATS = (".csv", ".xml", ".geojson")
SAME_AXES = PlaneFit.stated(0.0, (0.0, 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class StakePoint:
    """A point to stake, in the axes asked for. [m]"""

    number: int
    name: str
    east_m: float
    north_m: float
    elevation_m: float
    what: str


def stake_points(sheet: SettingOut, floor_level_m: float, site: PlaneFit = SAME_AXES) -> tuple[StakePoint, ...]:
    """The list with numbers, in the axes of the site.

    Parameters
    ----------
    sheet : SettingOut
    floor_level_m : float
        Finished floor level in the job's datum. [m]
    site : PlaneFit
        From the plan's axes to the site's.
    """
    places = site.apply(np.array([stake.at for stake in sheet.stakes]))
    return tuple(
        StakePoint(
            number=number,
            name=stake.name,
            east_m=float(east),
            north_m=float(north),
            elevation_m=floor_level_m + stake.level_m,
            what=stake.what,
        )
        for number, (stake, (east, north)) in enumerate(zip(sheet.stakes, places, strict=True), start=1)
    )


def write_stakeout(path: Path | str, sheet: SettingOut, job: Job, site: PlaneFit = SAME_AXES) -> Path:
    """Write the list; the ending of the name chooses the form.

    Raises
    ------
    UnknownName
        For another ending.
    """
    path = Path(path)
    points = stake_points(sheet, job.floor.top_elevation_m, site)
    suffix = path.suffix.lower()
    if suffix == ".csv":
        text = stakeout_csv(points, job.family)
    elif suffix == ".xml":
        text = stakeout_landxml(points, job.name)
    elif suffix == ".geojson":
        text = stakeout_geojson(points, [stake.at for stake in sheet.corners], job, site)
    else:
        raise UnknownName(f'"{path.name}": a stake-out list ends in {", ".join(FORMATS)}.')
    path.write_text(text, encoding="utf-8", newline="")
    return path


def stakeout_csv(points: Sequence[StakePoint], family: Family) -> str:
    """Number, east, north, elevation, description; feet or metres by the job, with the unit in the heading."""
    unit, factor, digits = ("ft", FOOT_M, 4) if family is Family.US else ("m", 1.0, 4)
    text = StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(["point", f"x ({unit})", f"y ({unit})", f"z ({unit})", "name", "description"])
    for one in points:
        places = (f"{value / factor:.{digits}f}" for value in (one.east_m, one.north_m, one.elevation_m))
        writer.writerow([one.number, *places, one.name, one.what])
    return text.getvalue()


def stakeout_landxml(points: Sequence[StakePoint], project: str) -> str:
    """LandXML 1.2: each CgPoint holds northing, easting and elevation, in metres."""
    ElementTree.register_namespace("", LANDXML)
    root = ElementTree.Element(f"{{{LANDXML}}}LandXML", {"version": "1.2", "language": "English", "readOnly": "false"})
    units = ElementTree.SubElement(root, f"{{{LANDXML}}}Units")
    kinds = {
        "linearUnit": "meter", "areaUnit": "squareMeter", "volumeUnit": "cubicMeter", "temperatureUnit": "celsius",
        "pressureUnit": "HPA", "angularUnit": "decimal degrees", "directionUnit": "decimal degrees",
    }  # fmt: skip
    ElementTree.SubElement(units, f"{{{LANDXML}}}Metric", kinds)
    ElementTree.SubElement(root, f"{{{LANDXML}}}Project", {"name": project})
    group = ElementTree.SubElement(root, f"{{{LANDXML}}}CgPoints", {"name": "stake-out"})
    for one in points:
        element = ElementTree.SubElement(group, f"{{{LANDXML}}}CgPoint", {"name": str(one.number), "code": one.name, "desc": one.what})
        element.text = f"{one.north_m:.4f} {one.east_m:.4f} {one.elevation_m:.4f}"
    ElementTree.indent(root)
    return ElementTree.tostring(root, encoding="unicode", xml_declaration=True) + "\n"


def stakeout_geojson(points: Sequence[StakePoint], outline: Sequence[tuple[float, float]], job: Job, site: PlaneFit) -> str:
    """Points and form line as GeoJSON.

    RFC 7946 means longitude and latitude; these are metres on a site grid, which is why the collection says so itself.
    """
    ring = rewound([(float(x), float(y)) for x, y in site.apply(np.array(outline))])
    features: list[dict[str, Any]] = [
        {
            "type": "Feature",
            "geometry": {"type": "Polygon", "coordinates": [[[round(x, 4), round(y, 4)] for x, y in ring]]},
            "properties": {"name": "form line"},
        }
    ]
    features += [
        {
            "type": "Feature",
            "id": one.number,
            "geometry": {"type": "Point", "coordinates": [round(one.east_m, 4), round(one.north_m, 4), round(one.elevation_m, 4)]},
            "properties": {"name": one.name, "description": one.what},
        }
        for one in points
    ]
    grid = {
        "note": "metres on a local site grid, not longitude and latitude (outside RFC 7946)",
        "turn_deg": round(math.degrees(site.angle_rad), 6),
        "shift_m": [round(float(value), 4) for value in site.shift],
    }
    return json.dumps({"type": "FeatureCollection", "name": job.name, "site_grid": grid, "features": features}, indent=1) + "\n"


def signed_area(ring: Sequence[tuple[float, float]]) -> float:
    """Area of a closed ring, positive counter-clockwise."""
    return 0.5 * math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))


def rewound(ring: Sequence[tuple[float, float]], *, hole: bool = False) -> list[tuple[float, float]]:
    """A ring closed and wound as RFC 7946 asks: outside counter-clockwise, holes clockwise."""
    closed = [*ring] if ring[0] == ring[-1] else [*ring, ring[0]]
    return closed if (signed_area(closed) < 0) is hole else closed[::-1]
