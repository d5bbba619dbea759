"""What the lines say in words: checks, tasks, cautions."""

import math

from slabwright.model.job import Job
from slabwright.model.survey import FormLog, Measured, SettingOutSurvey
from slabwright.results.check import Check
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import arithmetic, practice
from slabwright.standards.levelling import LEVEL_CLOSURE
from slabwright.studies.lines.forms import FormCheck, form_check
from slabwright.studies.lines.layout import BATTER_BOARDS, SettingOut
from slabwright.studies.lines.levels import LevelRun
from slabwright.studies.lines.moves import Move, Verdict
from slabwright.studies.lines.staked import Residual, Staked, Undetermined
from slabwright.units import LENGTH, Family, format_quantity

SQUARE = practice("diagonals of a rectangle within 1/4 in., sides within 1/8 in.; set in [tolerances]")
FORM_SETTLEMENT = practice("form tops re-shot after rain: act on more than 1/8 in.; set in [tolerances]")
ADJUSTMENT = arithmetic("least-squares adjustment of all measurements together")
_SCALE_LIMIT = 3.0


def direction(move: Move, family: Family) -> str:
    """A shift in words: ``7/16 in west and 1/8 in north``."""
    parts = []
    for amount, positive, negative in ((move.east_m, "east", "west"), (move.north_m, "north", "south")):
        if abs(amount) >= 8e-4:
            parts.append(f"{small(abs(amount), family)} {positive if amount > 0 else negative}")
    return " and ".join(parts) or f"{small(move.distance_m, family)}"


def small(length_m: float, family: Family) -> str:
    """To the sixteenth of an inch, or the millimetre."""
    if family is Family.SI:
        return f"{round(length_m * 1000)} mm"
    sixteenths = max(1, round(length_m / 0.0254 * 16))
    whole, rest = divmod(sixteenths, 16)
    if not rest:
        return f"{whole} in"
    shared = math.gcd(rest, 16)
    fraction = f"{rest // shared}/{16 // shared}"
    return f"{whole} {fraction} in" if whole else f"{fraction} in"


def say_staked(found: Staked, judged: Verdict, job: Job, notes: Notes) -> None:
    for number, check in enumerate(judged.checks, start=1):
        off = abs(check.off_m)
        notes.checks.append(
            Check(
                key=f"outline.{number}",
                name="outline as staked",
                where=check.name,
                demand=off,
                capacity=check.tolerance_m,
                suffix="m",
                clause=SQUARE,
                method=ADJUSTMENT,
                spread=check.sd_m / off if off + check.sd_m > check.tolerance_m else 0.0,
                remedy="Move the stakes as listed.",
            )
        )
    for move in judged.moves:
        what = f"move stake {move.stake} {direction(move, job.family)}"
        notes.tasks.append(Task(what=what, who="crew lead", when="before digging", where=f"stake {move.stake}"))
    for residual in found.residuals:
        if residual.set_aside:
            other = f"; it could as well be {len(residual.alike)} other measurements, so tape it again" if residual.alike else ""
            way = "long" if residual.residual < 0 else "short"
            notes.caution(f"Set aside: {_told(residual, job.family)} too {way}{other}.", ADJUSTMENT)
            again = " ".join(part for part in (residual.measurement.at, residual.measurement.to, residual.measurement.second) if part)
            notes.tasks.append(Task(what=f"measure {again} again", who="crew lead", when="before digging", where=f"stakes {again}"))
    if found.swapped:
        pairs = ", or ".join(f"{a} and {b}" for a, b in found.swapped)
        a, b = found.swapped[0]
        notes.assume("stakes", f"{pairs} were taken for each other in the notes; reckoned with {a} and {b} exchanged.", ADJUSTMENT)
    size = max(math.dist(a.design, b.design) for a in found.points for b in found.points)
    doubt = max(max(point.sd_x_m, point.sd_y_m) for point in found.points)
    if abs(found.scale - 1.0) * size > _SCALE_LIMIT * max(doubt, job.tolerances.square_m / 2):
        share, way = round(1 / abs(found.scale - 1.0)), "long" if found.scale > 1 else "short"
        notes.caution(f"Every length is about 1 in {share:,} too {way}: check the tape, its pull, its warmth, or the unit.", ADJUSTMENT)
    if any(residual.redundancy < 1e-6 for residual in found.residuals):
        notes.caution("Some measurements are checked by no other: an error in them would not show; tape one more diagonal.", ADJUSTMENT)


def _told(residual: Residual, family: Family) -> str:
    """A measurement in words with what it is out by."""
    one, size = residual.measurement, abs(residual.residual)
    if one.kind is Measured.ANGLE:
        return f"angle at {one.at} from {one.to} to {one.second} reads {math.degrees(size):.3f}°"
    name = f"distance {one.at} to {one.to}" if one.kind is Measured.DISTANCE else f"{one.kind.value} of {one.at}"
    return f"{name} reads {small(size, family)}"


def say_undetermined(found: Undetermined, survey: SettingOutSurvey | None, notes: Notes) -> None:
    n = len(survey.measurements) if survey is not None else 0
    pairs = "; ".join(f"{a} to {b}" for a, b in found.measure)
    notes.at_least(
        "determined",
        "measurements that hold every stake",
        ", ".join(f"stake {name}" for name in found.loose),
        required=float(n + len(found.measure)),
        provided=float(n),
        suffix="",
        clause=ADJUSTMENT,
        remedy=f"Tape {pairs}.",
    )
    notes.tasks += [
        Task(what=f"tape {a} to {b}", who="crew lead", when="before digging", where=f"stakes {a} and {b}") for a, b in found.measure
    ]


def form_sentence(forms: FormCheck, family: Family) -> str:
    """What the form tops say."""
    worst = forms.worst
    way = "down" if worst.settled_m > 0 else "up"
    return f"The form moved most at {worst.name}: *{small(abs(worst.settled_m), family)}* {way}."


def forms_said(log: FormLog | None, job: Job, notes: Notes) -> FormCheck | None:
    if log is None or not log.levels:
        return None
    edge_depth = job.edge.depth_m if job.edge is not None else job.floor.thickness_m
    forms = form_check(log.levels, job.floor.outline, job.floor.thickness_m, edge_depth)
    limit = job.tolerances.form_settlement_m
    for station in forms.stations:
        what = f"{'raise' if station.raise_m > 0 else 'lower'} the form {small(abs(station.raise_m), job.family)} and stake it again"
        notes.at_most(
            f"form.{station.name}",
            "movement of the form",
            f"station {station.name}",
            found=abs(station.settled_m),
            limit=limit,
            suffix="m",
            clause=FORM_SETTLEMENT,
            remedy=f"{what[0].upper()}{what[1:]}.",
        )
        if abs(station.settled_m) > limit:
            notes.tasks.append(Task(what=what, who="form setter", when="before the first truck", where=f"station {station.name}"))
    if log.mean_assumed:
        notes.assume("form tops", "The forms stood right on the average when first shot: only rods were read.", FORM_SETTLEMENT)
    for gone in log.rejected:
        notes.caution(f"Not used: {gone.name}, {gone.reason}")
    return forms


def say_levels(levels: LevelRun, family: Family, notes: Notes) -> None:
    closure = levels.closure
    if closure is not None:
        notes.at_most(
            "levels.closure",
            "closure of the level run",
            f"{levels.book.levels[0].point} to {levels.book.levels[-1].point}",
            found=abs(closure.misclosure_m),
            limit=closure.allowed_m,
            suffix="m",
            clause=LEVEL_CLOSURE,
            remedy=f"Run the levels again; the misclosure is {levels.bust}." if levels.bust else "Run the levels again.",
        )
        if levels.length_assumed:
            notes.assume("level book", "Its length is taken as 60 m (200 ft) for each set-up.", practice("sights of about 30 m (100 ft)"))
    else:
        notes.caution("The level run ends on no known point: a bust in it would not show; close it on the benchmark.", LEVEL_CLOSURE)
    for point, booked, level in levels.misbooked:
        shown = [format_quantity(value, LENGTH, family, unit="ft" if family is Family.US else "m", digits=6) for value in (booked, level)]
        notes.caution(f"The book says {shown[0]} at {point}, its own readings give {shown[1]}; reckoned with the readings.", LEVEL_CLOSURE)


def say_layout(sheet: SettingOut, job: Job, notes: Notes) -> None:
    clear = format_quantity(sheet.board_offset_m, LENGTH, job.family)
    notes.tasks += [
        Task(what=f"set batter boards {clear} outside the form line, all at one level", who="crew lead", when="before digging"),
        Task(what="check set-backs to the boundaries before the first cut", who="contractor", when="before digging"),
    ]
    notes.assume("batter boards", f"Boards stand {clear} outside the form line, clear of the dig.", BATTER_BOARDS)
    notes.caution("Have buried lines marked before stakes are driven and before the dig; the utilities decide where it is safe.")
