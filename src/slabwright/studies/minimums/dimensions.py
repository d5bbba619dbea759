"""Least dimensions of floor, edge and pads, and depth against frost."""

import shapely

from slabwright.errors import OutOfRange
from slabwright.model.concrete import PadShape
from slabwright.model.ground import Soil
from slabwright.model.job import Enclosure, Job, MinimumRules
from slabwright.results.check import Ask
from slabwright.results.notes import Notes
from slabwright.sources import practice
from slabwright.standards import aci_117_10, ibc, irc
from slabwright.units import LENGTH, PSF_PA, format_quantity

LEAST_EUROPEAN_FLOOR_M = 0.100
_EUROPEAN_FLOOR = practice("100 mm is the least ground-floor slab commonly accepted")


def check_dimensions(job: Job, notes: Notes) -> None:
    """Floor, edge and pads against the rules of the job's codes."""
    _floor(job, notes)
    if job.edge is None:
        notes.ask(Ask.ENGINEER, "The job file has no edge. Is the floor to stand without a thickened perimeter?", "edge")
    else:
        _edge(job, notes)
    _frost(job, notes)
    notes.ask(
        Ask.BUILDING_DEPARTMENT,
        "Which edition of the code is adopted here, and does it change any of these least dimensions?",
        "whole slab",
        irc.TURNED_DOWN_SIZE if job.codes.minimums is MinimumRules.US_CODES else None,
    )


def _floor(job: Job, notes: Notes) -> None:
    us = job.codes.minimums is MinimumRules.US_CODES
    thinnest = min([job.floor.thickness_m, *(region.thickness_m for region in job.floor.thickness_regions)])
    notes.at_least(
        "floor.thickness",
        "Floor thickness",
        "floor",
        required=irc.LEAST_SLAB_THICKNESS_M if us else LEAST_EUROPEAN_FLOOR_M,
        provided=thinnest,
        suffix="m",
        clause=irc.SLAB_THICKNESS if us else _EUROPEAN_FLOOR,
        remedy="Thicken the floor.",
    )
    limits = aci_117_10.slab_thickness_limits(thickness_m=thinnest)
    single = format_quantity(limits.least_single_m, LENGTH, job.family)
    mean = format_quantity(limits.least_mean_m, LENGTH, job.family)
    notes.assume(
        "tolerances.thickness_minus_single",
        f"The floor is accepted when no sample is under {single} and the average is not under {mean}.",
        aci_117_10.SLAB_THICKNESS,
    )


def _edge(job: Job, notes: Notes) -> None:
    edge = job.edge
    assert edge is not None
    if job.codes.minimums is MinimumRules.US_CODES:
        notes.at_least(
            "edge.width",
            "Width of the edge at its bottom",
            "edge",
            required=_table_width_m(job, notes),
            provided=edge.width_m,
            suffix="m",
            clause=irc.FOOTING_SIZE,
            remedy="Dig the edge wider.",
        )
        notes.at_least(
            "edge.thickness",
            "Thickness of the footing",
            "edge",
            required=irc.LEAST_FOOTING_THICKNESS_M,
            provided=edge.depth_m,
            suffix="m",
            clause=irc.FOOTING_SIZE,
        )
    below = edge.depth_m - edge.top_above_grade_m
    frost = job.place.frost_depth_m or 0.0
    us = job.codes.minimums is MinimumRules.US_CODES
    notes.at_least(
        "edge.depth",
        "Depth of the edge below outside grade",
        "edge",
        required=irc.footing_depth_m(frost_depth_m=frost) if us else max(frost, 0.450),
        provided=below,
        suffix="m",
        clause=irc.FOOTING_DEPTH if us else practice("450 mm below outside ground, or the local frost depth"),
        remedy="Dig the edge deeper, or have the engineer design insulation against frost.",
    )
    if job.place.frost_depth_m is None:
        notes.ask(
            Ask.BUILDING_DEPARTMENT, "What is the frost depth here? The job file does not state it.", "place.frost_depth", irc.FOOTING_DEPTH
        )


def _table_width_m(job: Job, notes: Notes) -> float:
    """Width of the footing table for the job's stories, snow and soil; the floor of the rule where the table ends."""
    bearing = bearing_value_pa(job.soil)
    if bearing is None:
        notes.ask(
            Ask.SOIL_ENGINEER, "What may the ground carry? The job file gives neither a class nor a value.", "soil", ibc.PRESUMPTIVE_BEARING
        )
        return irc.LEAST_FOOTING_WIDTH_M
    try:
        size = irc.footing_size(stories=job.building.n_stories, soil_bearing_pa=bearing, snow_pa=job.place.ground_snow_pa or 30 * PSF_PA)
    except OutOfRange as limit:
        notes.ask(Ask.ENGINEER, f"The footing width table does not reach this job: {limit}", "edge", irc.FOOTING_SIZE)
        return irc.LEAST_FOOTING_WIDTH_M
    if job.place.ground_snow_pa is None:
        notes.assume("place.ground_snow", "The footing width table is read at a snow load of 30 psf.", irc.FOOTING_SIZE)
    return size.width_m


def bearing_value_pa(soil: Soil) -> float | None:
    """Allowable bearing by report, else presumptive by class; None where neither is known."""
    if soil.allowable_bearing_pa is not None:
        return soil.allowable_bearing_pa
    try:
        return ibc.presumptive_bearing(soil_class=soil.soil_class).vertical_pa if soil.soil_class else None
    except OutOfRange:
        return None


def _frost(job: Job, notes: Notes) -> None:
    """Pads at the edge, and every pad of an open building, reach below the frost."""
    frost, edge = job.place.frost_depth_m, job.edge
    if not frost or edge is None or job.building.enclosure is Enclosure.HEATED:
        return
    ring = shapely.LinearRing(job.floor.outline)
    for pad in job.pads:
        reach = max(pad.size_x_m, pad.size_y_m) / 2 * (1.0 if pad.shape is PadShape.CIRCLE else 1.415)
        if job.building.enclosure is Enclosure.OPEN or ring.distance(shapely.Point(pad.at)) < reach:
            notes.at_least(
                f"{pad.name}.frost",
                "Depth of the pad below outside grade",
                f"pad {pad.name}",
                required=frost,
                provided=pad.depth_m - edge.top_above_grade_m,
                suffix="m",
                clause=irc.FOOTING_DEPTH,
                remedy="Dig the pad deeper.",
            )
