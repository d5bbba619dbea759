"""The study of the retarder: lengths, seams, liners, rolls, and what the sheet can bear."""

from dataclasses import dataclass

from slabwright.errors import Infeasible, MissingInput
from slabwright.geometry.lapped import Laps, laps_of
from slabwright.model.ground import Retarder
from slabwright.model.job import Enclosure, Job
from slabwright.results.check import Ask
from slabwright.results.lines import QuantityLine, Task, Trade
from slabwright.results.notes import Notes
from slabwright.sources import Basis, Clause, Source, arithmetic, practice
from slabwright.standards import astm_e1745
from slabwright.studies import shape
from slabwright.studies.retarder.lay import SheetLayout, bought_m2, layouts, tape_m
from slabwright.studies.retarder.present import present
from slabwright.studies.retarder.sheet import Ground, ground_of
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import AREA, INCH_M, LENGTH, Family, format_quantity

ELECTRODE = Clause(Source("NEC", "National Electrical Code"), "250.52(A)(3), direct contact with earth", Basis.QUOTED)
BELOW_GRADE = practice("a retarder slows vapour; where water can stand against it, drains or a waterproof sheet come first")
WALKED_ON = practice("10 mil sheet is pierced over crushed stone by boots and chairs; 12 mil and up, or a class A sheet, stands it better")
THIN_M = 0.012 * INCH_M
"""Below this a sheet over gravel is a matter of care; common practice, no source. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RetarderResult(Result):
    """The sheet as laid; empty where the job has none.

    Attributes
    ----------
    options : tuple of SheetLayout
        The chosen way first, then the other.
    ground : Ground or None
        What had to be covered.
    found : Laps or None
        Laps and cover read off the outlines.
    tape_m : float
        [m]
    """

    options: tuple[SheetLayout, ...] = ()
    ground: Ground | None = None
    found: Laps | None = None
    tape_m: float = 0.0

    @property
    def layout(self) -> SheetLayout | None:
        """The layout that is drawn and ordered."""
        return self.options[0] if self.options else None


def run(inputs: Inputs, done: Done) -> RetarderResult:
    """Lay the sheet."""
    job = inputs.job
    sheet = job.retarder
    if sheet is None:
        why = ": the roof is open" if job.building.enclosure is Enclosure.OPEN else ""
        return RetarderResult(answer=f"There is *no sheet* under this floor{why}.")
    foundation = done[shape.STUDY].foundation
    ground = ground_of(foundation, sheet, job.pipes)
    if ground.flat.is_empty:
        raise MissingInput("the edge and pads leave no floor for the sheet; let it run under them with [retarder] under_edge = true.")
    options = _laid_out(job, sheet, ground)
    best = options[0]
    found = laps_of([one.outline for one in best.pieces], [one.row for one in best.pieces], ground.flat, along_y=best.along_y)
    notes = Notes()
    _check(sheet, best, found, notes)
    _say(job, sheet, ground, done, notes)
    tape = tape_m(best, ground)
    return RetarderResult(
        answer=_answer(job, best),
        lines=_lines(job, sheet, ground, best, tape),
        options=options,
        ground=ground,
        found=found,
        tape_m=tape,
        **notes.as_fields(),
    )


def _laid_out(job: Job, sheet: Retarder, ground: Ground) -> tuple[SheetLayout, ...]:
    """The layouts; where there can be none, the reason in the units of the job."""
    roll = " x ".join(format_quantity(side, LENGTH, job.family) for side in (sheet.roll_width_m, sheet.roll_length_m))
    lap = format_quantity(sheet.lap_m, LENGTH, job.family)
    if min(sheet.roll_width_m, sheet.roll_length_m) <= sheet.lap_m:
        raise MissingInput(f"retarder: a roll of {roll} is not wider than its lap of {lap}. Change [retarder] roll or lap.")
    try:
        return layouts(ground, sheet)
    except Infeasible:
        raise MissingInput(
            f"retarder: a roll of {roll} is too short to be laid with laps of {lap}. Change [retarder] roll or lap."
        ) from None


def _check(sheet: Retarder, best: SheetLayout, found: Laps, notes: Notes) -> None:
    notes.at_least(
        "lap",
        "Least lap of the lengths, read off the drawing",
        "retarder",
        required=sheet.lap_m,
        provided=found.least_lap_m + 1e-6,
        suffix="m",
        clause=astm_e1745.LAYING,
        remedy="Move the lengths, or order another roll.",
    )
    notes.at_most(
        "cover.all",
        "Base under no sheet",
        "retarder",
        found=found.bare_m2,
        limit=0.01,
        suffix="m2",
        clause=arithmetic("base opened out flat less the union of all lengths"),
        remedy="Add a piece there.",
    )
    if best.over_keep_off:
        notes.assume(
            "retarder", f"{best.over_keep_off} pads or pipes lie under a seam: no seam less would miss them.", practice("seams off pads")
        )


def _say(job: Job, sheet: Retarder, ground: Ground, done: Done, notes: Notes) -> None:
    thickness = format_quantity(sheet.thickness_m, LENGTH, job.family, unit="mil" if job.family is Family.US else "µm")
    if sheet.sheet_class in astm_e1745.SHEETS:
        puncture = astm_e1745.SHEETS[sheet.sheet_class].puncture_kg
        strong = f"class {sheet.sheet_class}, which withstands a dart of {puncture * 1000:,.0f} g"
    else:
        strong = "of no stated class"
    use = (
        "people and chairs on crushed stone pierce it easily" if sheet.thickness_m < THIN_M - 1e-9 else "it stands careful walking on stone"
    )
    notes.caution(f"The sheet is {thickness}, {strong}: {use}; roll the stone smooth, lay boards, mark and patch every hole.", WALKED_ON)
    if job.building.floor_covering and sheet.sheet_class != "A":
        notes.ask(
            Ask.SUPPLIER,
            "A covering is to be laid on this floor. Does its maker accept this sheet, directly under the concrete?",
            "retarder",
            astm_e1745.SHEET_CLASSES,
        )
    if job.edge is not None and done[shape.STUDY].foundation.floor.thickness_m > job.edge.top_above_grade_m + 1e-9:
        notes.ask(
            Ask.ENGINEER,
            "The underside of the floor lies below the ground outside, as a basement's does: can water stand against the sheet? "
            "Is a drain along the edge, or a sheet that keeps water out, called for?",
            "retarder",
            BELOW_GRADE,
        )
    if job.building.electrode and sheet.under_edge and job.edge is not None:
        notes.ask(
            Ask.ELECTRICIAN,
            "The sheet runs under the edge, where the earth electrode is to be: it would have no contact with the ground. "
            "Stop the sheet at the edge, or use another electrode?",
            "edge",
            ELECTRODE,
        )
    notes.assume(
        "retarder",
        "The sheet follows the trench and turns up its outer side to the grade; pads and interior strips get a liner of their own."
        if sheet.under_edge
        else "The sheet stops at edge and pads, sealed to the side of the trench.",
        astm_e1745.LAYING,
    )
    for pipe in ground.risers:
        notes.tasks.append(
            Task(what="Boot or collar, taped to sheet and pipe.", who="sheet layer", when="once the length lies", where=pipe.name)
        )
    notes.tasks.append(
        Task(
            what="Walk every seam; patch each tear 6 in. (150 mm) beyond itself, taped all round; photograph laps, pipes and pads.",
            who="crew lead",
            when="before the steel goes in, and again before the first load",
            where="retarder",
        )
    )


def _answer(job: Job, best: SheetLayout) -> str:
    unit = "ft" if job.family is Family.US else "m"
    seam = format_quantity(best.seam_m, LENGTH, job.family, unit=unit, digits=3)
    rolls = f"{best.n_rolls} {'roll' if best.n_rolls == 1 else 'rolls'}"
    way = "north and south" if best.along_y else "east and west"
    n = max(one.row for one in best.pieces) + 1
    lengths = f"{n} lengths {way}" if n > 1 else f"one length {way}"
    proof = "" if best.n_rolls == best.least_rolls else f" ({best.least_rolls} at least)"
    return f"Order *{rolls}*{proof} and lay {lengths}: {seam} of seam to tape, {best.n_cuts} cuts."


def _lines(job: Job, sheet: Retarder, ground: Ground, best: SheetLayout, tape: float) -> tuple[QuantityLine, ...]:
    us = job.family is Family.US
    unit = "ft" if us else "m"
    width, length = (format_quantity(side, LENGTH, job.family, unit=unit) for side in (sheet.roll_width_m, sheet.roll_length_m))
    thickness = format_quantity(sheet.thickness_m, LENGTH, job.family, unit="mil" if us else "µm")
    area = format_quantity(ground.flat.area, AREA, job.family)
    bought = bought_m2(best, sheet)
    opened = " with the trench opened out" if sheet.under_edge and ground.edge_extra_m else ""
    n = len(ground.liners)
    liners = f", {n} {'liner' if n == 1 else 'liners'} for pads and strips" if n else ""
    named = f", class {sheet.sheet_class}" if sheet.sheet_class else ""
    lines = [
        QuantityLine(
            key="sheet.retarder",
            item=f"Retarder {thickness}{named}, rolls {width} x {length}",
            quantity=float(best.n_rolls),
            suffix="",
            unit="roll" if best.n_rolls == 1 else "rolls",
            trade=Trade.SHEET,
            basis=f"laid out over {area}{opened}{liners}; nothing to add",
            waste=bought / ground.flat.area - 1.0,
            waste_reason="laps, liners and the ends of rolls, as laid out",
            clause=arithmetic("layout and cut plan"),
        ),
        QuantityLine(
            key="sheet.tape",
            item="Tape for seams, liners and pipes",
            quantity=tape,
            suffix="m",
            unit=unit,
            trade=Trade.SHEET,
            basis="every seam, round every liner and pipe, as laid out",
            clause=astm_e1745.LAYING,
        ),
    ]
    if ground.risers:
        lines.append(
            QuantityLine(
                key="sheet.boots",
                item="Boots or collars at pipes",
                quantity=float(len(ground.risers)),
                suffix="",
                unit="boot" if len(ground.risers) == 1 else "boots",
                trade=Trade.SHEET,
                basis="one at each pipe that comes up through the sheet",
                clause=astm_e1745.LAYING,
            )
        )
    return tuple(lines)


STUDY = Study(
    key="retarder",
    question="How does the sheet lie so that it is whole?",
    stage=Stage.STEEL,
    run=run,
    present=present,
    reads=frozenset({"family", "building", "edge", "pipes", "retarder"}),
    needs=(shape.STUDY,),
)
