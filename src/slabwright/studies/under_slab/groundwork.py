"""Electrode, radon layer, base, sheet and insulation below the floor."""

import math

import numpy as np
import shapely

from slabwright.geometry.drawing import polygons_of
from slabwright.geometry.foundation import Foundation
from slabwright.geometry.soffit import where_positive
from slabwright.model.ground import Embed, EmbedKind, PipeKind
from slabwright.model.job import Job, MinimumRules
from slabwright.results.check import Ask
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import practice
from slabwright.standards import astm_e1745, nfpa_70, site_acceptance
from slabwright.studies.under_slab.services import said
from slabwright.units import INCH_M

COMPACTION = practice("base compacted to 95 % of the reference density")
LEAST_COMPACTION = 0.95
LEAST_BAY_M2 = 1.0
"""A smaller pocket of gravel between thickened parts is no bay of the soil-gas layer; common practice, no source. [m²]"""
LIFT_M = 8 * INCH_M
"""Thickest layer a plate compacts; common practice, no source. [m]"""
FIRM_BOARD = practice("insulation below a floor is rated for its load for good, below edge and pads only as the engineer says")


def electrodes(job: Job) -> list[Embed]:
    """Bars of the job that earth the building."""
    return [one for one in job.embeds if one.kind is EmbedKind.ELECTRODE]


def check_electrode(job: Job, notes: Notes) -> None:
    """Length, size, cover and contact of the bar that earths the building."""
    rods = electrodes(job)
    if job.building.electrode and not rods:
        notes.ask(Ask.ELECTRICIAN, "Which footing bar is the earth electrode, where is its clamp?", "edge", nfpa_70.ELECTRODE)
    if not rods or job.codes.minimums is not MinimumRules.US_CODES:
        if rods:
            notes.ask(Ask.ELECTRICIAN, "Which national rule does the foundation earth electrode follow?", rods[0].name)
        return
    rule = nfpa_70.electrode_rule()
    for rod in rods:
        length = shapely.LineString(rod.line).length if len(rod.line) > 1 else 0.0
        touching = 0.0 if job.retarder is not None and job.retarder.under_edge else length
        notes.at_least(
            f"{rod.name}.length", "Electrode in contact with the earth", rod.name, required=rule.length_m, provided=touching, suffix="m",
            clause=nfpa_70.NO_CONTACT if touching < length else nfpa_70.ELECTRODE,
            remedy="Stop the sheet at the edge, or use another electrode." if touching < length else "Run it further along the edge.",
        )  # fmt: skip
        notes.at_least(
            f"{rod.name}.size", "Size of the electrode", rod.name, required=rule.diameter_m, provided=rod.diameter_m, suffix="m",
            clause=nfpa_70.ELECTRODE,
        )  # fmt: skip
        if job.edge is not None:
            cover = job.edge.depth_m - rod.embedment_m - 0.5 * rod.diameter_m
            notes.at_least(
                f"{rod.name}.cover", "Concrete below the electrode", rod.name, required=rule.cover_m, provided=cover, suffix="m",
                clause=nfpa_70.ELECTRODE, remedy="Raise it on blocks.",
            )  # fmt: skip
        boards = [one for one in job.insulation if one.place == "edge"]
        if boards:
            notes.ask(Ask.ELECTRICIAN, "Board stands against the edge: does enough of it touch earth?", rod.name, nfpa_70.NO_CONTACT)
        notes.tasks.append(
            Task(
                what="photograph electrode, clamp and tail before placing",
                who="electrician",
                when="before the pre-pour view",
                where=rod.name,
            )
        )


def gas_layer_of(job: Job, foundation: Foundation) -> tuple[shapely.Polygon, ...]:
    """The base as far as it runs unbroken by thickened concrete, bay by bay; none where no soil-gas layer is asked for. [m]"""
    if not job.building.radon or job.base is None:
        return ()
    soffit = foundation.soffit
    left = np.array([0.0, 0.0, job.base.thickness_m]) - (soffit.planes - soffit.roofs)
    bays = polygons_of(shapely.union_all(where_positive(soffit.pieces, left)[0]))
    return tuple(bay for bay in bays if bay.area >= LEAST_BAY_M2)


def check_radon(job: Job, gas_layer: tuple[shapely.Polygon, ...], notes: Notes) -> None:
    """Gas-permeable layer, sheet and vent where the local code asks for them; a vent in each bay of the layer."""
    if not job.building.radon:
        return
    clause = site_acceptance.RADON_LAYER
    thickness = job.base.thickness_m if job.base is not None else 0.0
    notes.at_least(
        "radon.layer", "Clean gravel below the sheet", "base", required=site_acceptance.RADON_LAYER_M, provided=thickness, suffix="m",
        clause=clause, remedy="Add clean gravel.",
    )  # fmt: skip
    vents = [pipe for pipe in job.pipes if pipe.kind is PipeKind.RADON]
    if not vents:
        notes.ask(Ask.BUILDING_DEPARTMENT, "A soil-gas layer is asked for and no vent pipe is drawn: where does it rise?", "floor", clause)
    without = sum(not any(bay.covers(shapely.Point(vent.run[-1])) for vent in vents) for bay in gas_layer)
    if vents and len(gas_layer) > 1 and without:
        notes.ask(
            Ask.BUILDING_DEPARTMENT,
            f"Thickened concrete cuts the soil-gas layer into {len(gas_layer)} bays and {without} of them have no vent: "
            "joined by a pipe through the gravel below the strip, or a vent each?",
            "base",
            clause,
        )
    if job.retarder is None or not job.retarder.under_edge:
        notes.ask(
            Ask.BUILDING_DEPARTMENT,
            "The soil-gas sheet should run to the outer edge and does not: accepted?",
            "edge",
            clause,
        )
    notes.tasks.append(Task(what="label the radon stub and cap it", who="plumber", when="before the pre-pour view", where="vent"))


def check_base(job: Job, notes: Notes) -> None:
    """Compaction, layers, proof roll."""
    family = job.family
    rut = said(site_acceptance.PROOF_ROLL_RUT_M, family)
    notes.tasks.append(
        Task(
            what=f"proof-roll with a loaded tandem truck; where a rut is deeper than {rut}, dig out and recompact", who="builder",
            when="before the trenches", where="whole floor, old trenches first",
        )
    )  # fmt: skip
    if job.base is None:
        return
    if job.base.compaction is None:
        notes.assume("base.compaction", "The base is compacted to 95 % of its reference density.", COMPACTION)
    else:
        notes.at_least(
            "base.compaction", "Compaction of the base", "base", required=LEAST_COMPACTION, provided=job.base.compaction, suffix="",
            clause=COMPACTION, remedy="Ask for at least 95 %.",
        )  # fmt: skip
    if _lifts(job.base.thickness_m) > 1:
        lift = said(LIFT_M, family)
        notes.tasks.append(Task(what=f"compact the base in layers of at most {lift}", who="builder", when="while filling", where="base"))


def _lifts(thickness_m: float) -> int:
    """Layers in which a course of that thickness is compacted."""
    return math.ceil(thickness_m / LIFT_M - 1e-9)


def in_lifts(job: Job) -> str:
    """In how many layers the base is compacted, in words that end a sentence; nothing for one."""
    count = _lifts(job.base.thickness_m) if job.base is not None else 1
    return f" in {count} layers" if count > 1 else ""


def check_sheet(job: Job, n_boots: int, notes: Notes) -> None:
    """Laps, boots and patches of the retarder."""
    sheet = job.retarder
    if sheet is None:
        return
    lap, patch = (said(value, job.family) for value in (sheet.lap_m, astm_e1745.LEAST_PATCH_M))
    notes.tasks.append(
        Task(
            what=f"lap {lap} and tape; {n_boots} boots at risers; patch every hole {patch} beyond it; no stakes through", who="sheet crew",
            when="after the tests, before steel", where="sheet",
        )
    )  # fmt: skip


def check_insulation(job: Job, notes: Notes) -> None:
    """Boards carry the floor."""
    for board in job.insulation:
        where = f"insulation, {board.place}"
        if board.place == "floor":
            notes.ask(Ask.ENGINEER, "Which compressive strength, long-term, must the board below the floor have?", where, FIRM_BOARD)
        elif board.place == "edge":
            notes.ask(Ask.ENGINEER, "Does the board stand beside the edge only, with none below the bearing?", where, FIRM_BOARD)
