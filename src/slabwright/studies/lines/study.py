"""Are the lines right, and if not, which stake moves where?"""

from dataclasses import dataclass

from slabwright.results.notes import Notes
from slabwright.studies.lines.forms import FormCheck
from slabwright.studies.lines.layout import SettingOut, board_clearance_m, setting_out
from slabwright.studies.lines.levels import LevelRun, level_run
from slabwright.studies.lines.moves import Verdict, verdict
from slabwright.studies.lines.present import present
from slabwright.studies.lines.remarks import (
    direction,
    form_sentence,
    forms_said,
    say_layout,
    say_levels,
    say_staked,
    say_undetermined,
    small,
)
from slabwright.studies.lines.staked import Staked, Undetermined, staked
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import LENGTH, Family, format_quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class LinesResult(Result):
    """What to set out, what was found, what to move.

    Attributes
    ----------
    setting_out : SettingOut
    staked : Staked or None
        None where nothing was measured, or too little.
    undetermined : Undetermined or None
    verdict : Verdict or None
    forms : FormCheck or None
    forms_answer : str
        What the form tops say, in one sentence; empty where they were not shot twice.
    levels : LevelRun or None
    """

    setting_out: SettingOut
    staked: Staked | None
    undetermined: Undetermined | None
    verdict: Verdict | None
    forms: FormCheck | None
    forms_answer: str
    levels: LevelRun | None


def run(inputs: Inputs, done: Done) -> LinesResult:  # noqa: ARG001 - needs no other study
    """Lay out, adjust and judge."""
    job, notes = inputs.job, Notes()
    clearance = board_clearance_m(job.family)
    sheet = setting_out(job.floor.outline, job.pads, job.posts, job.pipes, job.embeds, clearance_m=clearance)
    survey = inputs.site.measurements
    found = staked(survey, sheet.stakes) if survey is not None and survey.measurements else None
    judged = None
    if isinstance(found, Staked):
        judged = verdict(found, [stake.name for stake in sheet.corners], sheet.rectangles, job.tolerances)
        say_staked(found, judged, job, notes)
    elif isinstance(found, Undetermined):
        say_undetermined(found, survey, notes)
    if survey is not None:
        for gone in survey.rejected:
            notes.caution(f"Not used: {gone.name}, {gone.reason}")
    forms = forms_said(inputs.site.form_levels, job, notes)
    book = inputs.site.level_book
    levels = level_run(book) if book is not None else None
    if levels is not None:
        say_levels(levels, job.family, notes)
    say_layout(sheet, job, notes)
    return LinesResult(
        answer=_answer(sheet, found, judged, job.family) if forms is None or judged is not None else form_sentence(forms, job.family),
        setting_out=sheet,
        staked=found if isinstance(found, Staked) else None,
        undetermined=found if isinstance(found, Undetermined) else None,
        verdict=judged,
        forms=forms,
        forms_answer=form_sentence(forms, job.family) if forms is not None else "",
        levels=levels,
        **notes.as_fields(),
    )


def _answer(sheet: SettingOut, found: Staked | Undetermined | None, judged: Verdict | None, family: Family) -> str:
    if isinstance(found, Undetermined):
        a, b = found.measure[0]
        return f"Too little is measured to know: tape *{a} to {b}* next."
    if judged is None:
        if sheet.rectangles:
            rectangle = sheet.rectangles[0]
            length = format_quantity(rectangle.diagonal_m, LENGTH, family)
            return f"Set out {len(sheet.corners)} corners from {len(sheet.strings)} strings; both long diagonals must read *{length}*."
        return f"Set out *{len(sheet.corners)}* corners from {len(sheet.strings)} strings."
    if judged.out_of_reach:
        return "No shift of the free stakes makes the outline right: *set it out anew*."
    if not judged.moves:
        worst_m = max(abs(check.off_m) for check in judged.checks)
        return f"The lines are right: no stake moves, every side and diagonal is within *{small(worst_m, family)}*."
    first = judged.moves[0]
    more = f", and {len(judged.moves) - 1} more" if len(judged.moves) > 1 else ""
    return f"Move stake {first.stake} *{direction(first, family)}*{more}."


STUDY = Study(
    key="lines",
    question="Are my lines right, and which stake moves where?",
    stage=Stage.GROUND,
    run=run,
    present=present,
    reads=frozenset(
        {
            "family", "floor", "edge", "pads", "posts", "pipes", "embeds", "tolerances",
            "site.measurements", "site.form_levels", "site.level_book",
        }
    ),
)  # fmt: skip
