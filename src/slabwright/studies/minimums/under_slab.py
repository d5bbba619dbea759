"""Base course and retarder against the rules of the job's codes."""

from slabwright.model.job import Enclosure, Job, MinimumRules
from slabwright.results.check import Ask
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import Basis, Clause, practice
from slabwright.standards import astm_e1745, irc
from slabwright.units import INCH_M

_RADON_LAP = Clause(irc.IRC, "radon appendix, soil-gas retarder lapped 12 in.", Basis.QUOTED)
_EUROPEAN_SHEET = practice("damp-proof membrane of 300 µm (1200 gauge), laps of 300 mm, taped")
_GRANULAR = ("sand", "gravel", "stone", "rock", "hardcore", "aggregate", "slag", "rubble")


def check_under_slab(job: Job, notes: Notes) -> None:
    """What lies under the concrete."""
    _base(job, notes)
    _retarder(job, notes)
    notes.tasks.append(
        Task(
            what="Grade the ground to fall 6 in. in the first 10 ft away from the slab (1 in 20).",
            who="builder",
            when="before handover",
            where="all round",
        )
    )


def _base(job: Job, notes: Notes) -> None:
    grade = job.edge.top_above_grade_m if job.edge is not None else 0.0
    below = job.floor.thickness_m > grade + 1e-9
    thickness = job.base.thickness_m if job.base is not None else 0.0
    if job.codes.minimums is MinimumRules.US_CODES:
        notes.at_least(
            "base.thickness",
            "Base course where the slab lies below grade",
            "base",
            required=irc.base_course_thickness_m(below_grade=below),
            provided=thickness,
            suffix="m",
            clause=irc.BASE_COURSE,
            remedy="Add base, or show that the ground drains well.",
        )
    if job.base is None:
        return
    granular = any(word in job.base.material.lower() for word in _GRANULAR)
    material = irc.FillMaterial.SAND_OR_GRAVEL if granular else irc.FillMaterial.EARTH
    notes.at_most(
        "base.fill",
        f"Depth of fill ({job.base.material})",
        "base",
        found=thickness,
        limit=irc.fill_depth_limit_m(material=material),
        suffix="m",
        clause=irc.FILL_DEPTH,
        remedy="Deeper fill needs a soil engineer.",
    )


def _retarder(job: Job, notes: Notes) -> None:
    sheet = job.retarder
    if sheet is None:
        if job.building.enclosure is Enclosure.OPEN:
            notes.ask(
                Ask.BUILDING_DEPARTMENT,
                "The roof is open and no retarder is planned. Is the exception for such floors adopted here?",
                "floor",
                irc.VAPOUR_RETARDER,
            )
        else:
            notes.at_least(
                "retarder.thickness",
                "Retarder under the floor",
                "floor",
                required=irc.retarder_rule().thickness_m,
                provided=0.0,
                suffix="m",
                clause=irc.VAPOUR_RETARDER,
                remedy="Lay a retarder, or have the building department confirm an exception.",
            )
        return
    if job.codes.minimums is MinimumRules.US_CODES:
        rule = irc.retarder_rule()
        thickness, lap, clause = rule.thickness_m, rule.lap_m, irc.VAPOUR_RETARDER
        if sheet.sheet_class not in astm_e1745.SHEETS:
            notes.ask(
                Ask.SUPPLIER,
                "Is the sheet of class A of its standard, as the 2021 edition asks? The job file does not state a class.",
                "retarder",
                clause,
            )
    else:
        thickness, lap, clause = 300e-6, 0.300, _EUROPEAN_SHEET
    notes.at_least(
        "retarder.thickness",
        "Thickness of the retarder",
        "floor",
        required=thickness,
        provided=sheet.thickness_m,
        suffix="m",
        clause=clause,
        remedy="Order a thicker sheet.",
    )
    if job.building.radon and lap < 12 * INCH_M:
        lap, clause = 12 * INCH_M, _RADON_LAP
    notes.at_least(
        "retarder.lap", "Lap of the retarder", "floor", required=lap, provided=sheet.lap_m, suffix="m", clause=clause, remedy="Lap wider."
    )
    if sheet.permeance_kg_pa_s_m2 is not None:
        notes.at_most(
            "retarder.permeance",
            "Permeance of the retarder",
            "floor",
            found=sheet.permeance_kg_pa_s_m2,
            limit=astm_e1745.GREATEST_PERMEANCE_KG_PA_S_M2,
            suffix="kg_pa_s_m2",
            clause=astm_e1745.SHEET_CLASSES,
        )
