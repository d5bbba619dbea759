"""Digging, base and the sheet under the concrete."""

import math
from collections.abc import Iterator

from slabwright.geometry.foundation import PartKind
from slabwright.geometry.takeoff import contact_areas, upright_m2
from slabwright.model.ground import BaseCourse, Insulation, Retarder
from slabwright.model.job import Job
from slabwright.results.lines import QuantityLine, Reckoned, Trade
from slabwright.results.notes import Notes
from slabwright.sources import arithmetic, practice
from slabwright.standards.earthwork import SWELL, loose_volume_m3
from slabwright.standards.ready_mix import BASE_MATERIAL, loose_from_compacted
from slabwright.standards.take_off import ROLLS_BY_AREA, rolls_by_area
from slabwright.studies.quantities.words import Words
from slabwright.studies.shape import ShapeResult

SWELL_SHARE = 0.25
SHRINK_FACTOR = 1.2
LOOSE_DENSITY_KG_M3 = 1600.0
BASE_WASTE = 0.05
SHEET_WASTE = 0.05
TAPE_WASTE = 0.10
BOARD_WASTE = 0.05
SWELL_DEFAULT = practice("soil takes a quarter more room when dug")
BOARD_CUTS = practice("a twentieth of the boards goes in cuts")
TAPED = practice("laps and pipes are taped")
TRENCHES = arithmetic("what edge, strips and pads hold below the underside of the base")
GROUND_LEVEL = practice("the ground is taken as level at outside grade before the work")


def ground_lines(job: Job, shape: ShapeResult, words: Words, notes: Notes) -> Iterator[QuantityLine]:
    """Everything below the concrete."""
    yield from _digging(job, shape, words, notes)
    if job.base is not None:
        yield from _base(job.base, shape, words, notes)
    if job.retarder is not None:
        yield from _retarder(job.retarder, shape, words)
    for number, board in enumerate(job.insulation):
        before = sum(one.place == board.place for one in job.insulation[:number])
        yield _board(board, f"{board.place}.{before + 1}" if before else board.place, job, shape, words)


def _digging(job: Job, shape: ShapeResult, words: Words, notes: Notes) -> Iterator[QuantityLine]:
    base = job.base.thickness_m if job.base is not None else 0.0
    foundation = shape.foundation
    grade = job.edge.top_above_grade_m if job.edge is not None else 0.0
    outside = sum(one.outside_m3 / (one.part.depth_m - one.part.outside_top_m) * max(0.0, one.part.depth_m - grade)
                  for one in shape.volumes.parts if one.outside_m3 > 0.0)  # fmt: skip
    trenches = foundation.below_m3(base) + outside
    if trenches > 0.0:
        basis = "in the ground: what edge, strips and pads hold below the underside of the base"
        yield QuantityLine(
            key="dig", item="Trenches and pad holes to dig", quantity=trenches, suffix="m3", trade=Trade.EARTHWORK,
            basis=basis + (", and outside the forms down from grade" if outside else ""), clause=TRENCHES,
        )  # fmt: skip
        loose = loose_volume_m3(bank_m3=trenches, swell=SWELL_SHARE)
        yield QuantityLine(
            key="dig.loose", item="loose, to place or haul away", quantity=loose, suffix="m3", trade=Trade.EARTHWORK,
            basis=f"{words.volume(trenches)} and {100 * SWELL_SHARE:g} % swell", clause=SWELL, part_of="dig",
        )  # fmt: skip
        notes.assume("order list, swell", f"dug soil swells by {100 * SWELL_SHARE:g} %", SWELL_DEFAULT)
    mean = shape.volumes.parts[0].inside_m3 / foundation.region.area
    area = foundation.region.area
    cut = (mean + base - grade) * area
    if abs(cut) > 1e-6:
        built_up = f"{words.size(mean)} of floor and {words.size(base)} of base, top {words.size(grade)} above grade"
        yield QuantityLine(
            key="cut" if cut > 0.0 else "fill",
            item="Cut to the underside of the base" if cut > 0.0 else "Fill under the base, compacted",
            quantity=abs(cut), suffix="m3", trade=Trade.EARTHWORK,
            basis=f"{words.area(area)} x {words.size(abs(cut) / area)}: {built_up}", clause=GROUND_LEVEL,
        )  # fmt: skip
        notes.assume("order list, cut and fill", "the ground lies level at outside grade", GROUND_LEVEL)


def base_m3(shape: ShapeResult, thickness_m: float) -> float:
    """Compacted base between the floor and its own underside, less what edge, strips and pads take of it. [m³]"""
    foundation = shape.foundation
    taken = foundation.below_m3(0.0) - foundation.below_m3(thickness_m)
    return foundation.region.area * thickness_m - taken


def _base(base: BaseCourse, shape: ShapeResult, words: Words, notes: Notes) -> Iterator[QuantityLine]:
    compacted = base_m3(shape, base.thickness_m)
    factor, density = base.shrink_factor or SHRINK_FACTOR, base.loose_density_kg_m3 or LOOSE_DENSITY_KG_M3
    if base.shrink_factor is None:
        notes.assume("base.shrink_factor", f"{SHRINK_FACTOR:g} of loose material make 1 of compacted", BASE_MATERIAL)
    if base.loose_density_kg_m3 is None:
        notes.assume("base.loose_density", f"loose material weighs {words.mass(LOOSE_DENSITY_KG_M3)} to the cubic metre", BASE_MATERIAL)
    bought = loose_from_compacted(compacted_m3=compacted * (1.0 + BASE_WASTE), shrink_factor=factor, loose_density_kg_m3=density)
    yield QuantityLine(
        key="base", item=f"Base, {base.material}", quantity=bought.mass_kg, suffix="kg", unit="ton" if words.is_us else "t",
        trade=Trade.EARTHWORK, basis=f"{words.volume(bought.loose_m3)} loose", waste=BASE_WASTE,
        waste_reason="sinks into the ground, is lost in spreading", clause=BASE_MATERIAL,
    )  # fmt: skip
    yield QuantityLine(
        key="base.compacted", item="compacted, in place", quantity=compacted, suffix="m3", trade=Trade.EARTHWORK,
        basis=f"{words.size(base.thickness_m)} under the floor, less where edge, strips and pads cut through",
        clause=arithmetic("plan area times thickness, less what is cut through"), part_of="base",
    )  # fmt: skip
    yield QuantityLine(
        key="base.loose", item="loose, on the truck", quantity=bought.loose_m3, suffix="m3", trade=Trade.EARTHWORK,
        basis=f"compacted x {factor:g}, with the waste", clause=BASE_MATERIAL, part_of="base",
    )  # fmt: skip


def _retarder(sheet: Retarder, shape: ShapeResult, words: Words) -> Iterator[QuantityLine]:
    contact = contact_areas(shape.foundation)
    if sheet.under_edge:
        covered = sum(one.level_m2 + one.sloped_m2 for one in contact) + upright_m2(shape.foundation)
        where = "floor, edge and pads, down their slopes and sides"
    else:
        covered = sum(one.level_m2 + one.sloped_m2 for one in contact if one.part.kind is PartKind.FLOOR)
        where = "floor only; the sheet stops at edge and pads"
    lap = sheet.roll_width_m * sheet.roll_length_m / ((sheet.roll_width_m - sheet.lap_m) * (sheet.roll_length_m - sheet.lap_m)) - 1.0
    waste = (1.0 + lap) * (1.0 + SHEET_WASTE) - 1.0
    roll_m2 = sheet.roll_width_m * sheet.roll_length_m
    rolls = rolls_by_area(area_m2=covered, roll_area_m2=roll_m2, allowance=waste)
    roll = f"{words.run(sheet.roll_width_m)} x {words.run(sheet.roll_length_m)}"
    yield QuantityLine(
        key="sheet.retarder", item=f"Retarder {words.size(sheet.thickness_m)}, rolls {roll}", quantity=float(rolls.n_rolls), suffix="",
        unit="rolls", trade=Trade.SHEET, basis=f"{words.area(covered * (1 + waste))} over {words.area(roll_m2)}", waste=waste,
        waste_reason=f"laps of {words.size(sheet.lap_m)}, cuts and turn-ups", clause=ROLLS_BY_AREA, reckoned=Reckoned.BY_RULE,
    )  # fmt: skip
    yield QuantityLine(
        key="sheet.retarder.area", item="area with laps", quantity=covered * (1.0 + waste), suffix="m2", trade=Trade.SHEET,
        basis=f"{words.area(covered)} under {where}", clause=ROLLS_BY_AREA, part_of="sheet.retarder", reckoned=Reckoned.BY_RULE,
    )  # fmt: skip
    seams = covered / (sheet.roll_width_m - sheet.lap_m)
    yield QuantityLine(
        key="sheet.tape", item="Tape for laps", quantity=seams * (1.0 + TAPE_WASTE), suffix="m", trade=Trade.SHEET,
        basis=f"a lap every {words.size(sheet.roll_width_m - sheet.lap_m)}", waste=TAPE_WASTE, waste_reason="pipes, patches and ends",
        clause=TAPED, reckoned=Reckoned.BY_RULE,
    )  # fmt: skip


def _board(board: Insulation, name: str, job: Job, shape: ShapeResult, words: Words) -> QuantityLine:
    outline = shape.foundation.outline
    if board.place == "floor":
        area, basis = shape.foundation.region.area, "the floor in plan"
        if board.width_m is not None:
            inner = outline.buffer(-board.width_m, join_style="mitre")
            area, basis = outline.area - inner.area, f"a margin of {words.size(board.width_m)} along the form line"
    else:
        height = board.width_m or (job.edge.depth_m if job.edge is not None else job.floor.thickness_m)
        area, basis = outline.length * height, f"{words.run(outline.length)} of form line x {words.size(height)}"
    return QuantityLine(
        key=f"sheet.insulation.{name}", item=f"Insulation, {board.place}, {words.size(board.thickness_m)}",
        quantity=math.fsum((area, BOARD_WASTE * area)), suffix="m2", trade=Trade.SHEET, basis=basis, waste=BOARD_WASTE,
        waste_reason="cuts", clause=BOARD_CUTS, reckoned=Reckoned.BY_RULE,
    )  # fmt: skip
