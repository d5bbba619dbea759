"""A plan as strips: each outcome in the words and drawings that the page shows."""

import re
from collections.abc import Sequence
from dataclasses import replace

from slabwright.geometry.foundation import Foundation
from slabwright.outputs.lettering import extent
from slabwright.outputs.look import Mode, layer_class
from slabwright.outputs.reading import Alike, alike
from slabwright.outputs.svg import picture_svg
from slabwright.outputs.typography import typeset
from slabwright.outputs.words import check_text, line_text, table_text
from slabwright.results.check import Assumption, Check, Referral, State
from slabwright.results.lines import QuantityLine
from slabwright.results.picture import Area, Circle, Layer, Line, Mark, Picture
from slabwright.results.table import Table
from slabwright.sources import Clause
from slabwright.studies.clashes import ClashesResult
from slabwright.study import Outcome, Result, Study, Waiting
from slabwright.units import Family
from slabwright.web.fields import path_in_words, section_title
from slabwright.web.plan_views import (
    CheckView,
    ClashView,
    LineView,
    OpenStrip,
    PictureView,
    ReferralView,
    Run,
    StatementView,
    StepView,
    StripView,
    TableView,
    TaskView,
)

Frame = tuple[float, float, float, float]
SMALL = (210.0, 128.0)
LARGE = (700.0, 430.0)
FAULT = "This strip could not be worked: "
_TABLE = re.compile(r"\[{1,2}(\w+)\]{1,2}")
"""How a message names a part of the job file."""
_KEY_PATH = re.compile(r"[a-z_]+(\[\d+\])?(\.[a-z_]+(\[\d+\])?)+")
_QUIET = frozenset({Layer.DIMENSION, Layer.TEXT, Layer.SETTING_OUT})


def closed_strip(outcome: Outcome) -> StripView:
    """An outcome as a closed strip, without its drawing."""
    result = outcome.result
    waits = result.reason if isinstance(result, Waiting) else ""
    return StripView(
        key=outcome.study.key,
        question=outcome.study.question,
        stage=outcome.study.stage.value,
        state=outcome.state.value,
        answer=runs(_named(waits[:1].upper() + waits[1:]) if isinstance(result, Waiting) else result.answer),
        missing=list(dict.fromkeys(_TABLE.findall(waits))),
        fault=waits.startswith(FAULT),
        digest=outcome.digest,
        counts=_counts(result),
        reads=sorted(outcome.study.reads),
    )


def _named(text: str) -> str:
    """A message with the parts of the job named as the page names them."""
    return _TABLE.sub(lambda found: section_title(found[1]).lower(), text)


def unanswered(study: Study[Result]) -> StripView:
    """A strip before its first answer."""
    return StripView(
        key=study.key, question=study.question, stage=study.stage.value, state="waiting", answer=[Run(text="Being worked.")],
        digest="", counts={}, reads=sorted(study.reads),
    )  # fmt: skip


def runs(sentence: str) -> list[Run]:
    """An answer sentence in pieces; what stands between asterisks is its figure."""
    return [Run(text=piece, figure=number % 2 == 1) for number, piece in enumerate(typeset(sentence).split("*")) if piece]


def open_strip(outcome: Outcome, family: Family) -> OpenStrip:
    """Everything an outcome holds."""
    result = outcome.result
    if isinstance(result, Waiting):
        result = Result(answer="")
    shown = outcome.presentation()
    return OpenStrip(
        key=outcome.study.key,
        digest=outcome.digest,
        pictures=[_picture(one, family, outcome.study.key) for one in shown.pictures],
        checks=[_check(one.check, one.places, family) for one in sorted(alike(result.checks), key=_urgent)],
        referrals=[_referral(one) for one in result.referrals],
        assumptions=[_statement(one) for one in result.assumptions],
        cautions=[StatementView(where="", text=one.text, clause=_clause(one.clause)) for one in result.cautions],
        lines=[_line(one, family) for one in result.lines],
        tasks=[TaskView(what=_named(one.what), who=one.who, when=one.when, where=one.where) for one in result.tasks],
        tables=[_table(one, family) for one in shown.tables],
        to_settle=[
            ClashView(clash=one.title, choices=[option.choice for option in one.options])
            for one in (result.open if isinstance(result, ClashesResult) else ())
        ],
    )


def _urgent(group: Alike) -> tuple[int, float]:
    return -group.check.state.severity, -group.check.ratio


def _counts(result: Result | Waiting) -> dict[str, int]:
    if isinstance(result, Waiting):
        return {}
    states = [check.state for check in result.checks]
    return {
        "checks": len(states),
        "failing": states.count(State.FAILS),
        "near": states.count(State.NEAR),
        "questions": len(result.referrals),
        "assumptions": len(result.assumptions),
        "cautions": len(result.cautions),
        "lines": len(result.lines),
    }


def small_drawing(outcome: Outcome, family: Family, foundation: Foundation | None) -> str:
    """The small drawing; a study whose drawing fails is answered all the same, and says so when it is opened."""
    try:
        return _small(outcome, family, foundation)
    except Exception:  # noqa: BLE001 - a drawing must not take the answer with it
        return ""


def _small(outcome: Outcome, family: Family, foundation: Foundation | None) -> str:
    """The first drawing without its words; plans of one job all at one scale."""
    pictures = outcome.presentation().pictures
    outline = None if foundation is None else _outline(foundation)
    picture = _quiet(pictures[0]) if pictures else outline
    if picture is None or not picture.items:
        return ""
    prefix, scale = f"{outcome.study.key}-small-", None
    if outline is not None:
        scale, room, taken = _scale(outline), extent(outline.items), extent(picture.items)
        if taken[2] - taken[0] > 1.35 * (room[2] - room[0]) or taken[3] - taken[1] > 1.35 * (room[3] - room[1]) or not _over(taken, room):
            scale = None
    drawn = picture_svg(picture, family, mode=Mode.SCREEN, width=SMALL[0], height=SMALL[1], scale=scale, prefix=prefix)
    return drawn.replace('role="img"', 'role="presentation"', 1)


def _scale(outline: Picture) -> float:
    left, bottom, right, top = extent(outline.items)
    return min((SMALL[0] - 12) / (right - left), (SMALL[1] - 12) / (top - bottom))


def _over(one: Frame, other: Frame) -> bool:
    """Whether two frames lie over each other for the most part."""
    wide, high = min(one[2], other[2]) - max(one[0], other[0]), min(one[3], other[3]) - max(one[1], other[1])
    return wide > 0 and high > 0 and wide * high > 0.5 * (other[2] - other[0]) * (other[3] - other[1])


def _quiet(picture: Picture) -> Picture:
    items = tuple(
        replace(item, text="") if isinstance(item, Mark) else replace(item, label="")
        for item in picture.items
        if isinstance(item, Line | Area | Circle | Mark) and item.layer not in _QUIET
    )
    return replace(picture, items=items, scale=None, notes=())


def _outline(foundation: Foundation) -> Picture:
    rings = [tuple((float(x), float(y)) for x, y in foundation.outline.exterior.coords[:-1])]
    lines = tuple(Line(layer=Layer.CONCRETE_SEEN, points=ring, closed=True) for ring in rings)
    return Picture(key="outline", title="Outline", items=lines)


def _picture(picture: Picture, family: Family, study: str) -> PictureView:
    svg = picture_svg(picture, family, mode=Mode.SCREEN, width=LARGE[0], height=LARGE[1], prefix=f"{study}-")
    layers = dict.fromkeys(item.layer for item in picture.items)
    return PictureView(
        key=picture.key,
        title=typeset(picture.title),
        alt=picture.alt or picture.title,
        svg=svg,
        layers=[f"{layer_class(layer)}|{layer.value}" for layer in Layer if layer in layers],
        notes=list(picture.notes),
    )


def _check(check: Check, places: Sequence[str], family: Family) -> CheckView:
    words = check_text(check, family)
    return CheckView(
        key=check.key,
        name=words.name,
        where=", ".join(_place(one) for one in places[:6]) + (f" and {len(places) - 6} more" if len(places) > 6 else ""),
        state=words.state.value,
        demand=words.demand,
        limit=words.limit,
        ratio=words.ratio,
        share=check.ratio,
        clause=words.clause,
        method=words.method,
        governing=words.governing,
        remedy=_named(words.remedy),
        steps=[
            StepView(note=step.note, symbols=step.symbols, substituted=step.substituted, result=str(step.result)) for step in check.steps
        ],
    )


def _place(where: str) -> str:
    """Where a check stands; a value of the job file as the page names it."""
    return path_in_words(where) if _KEY_PATH.fullmatch(where) else where


def _referral(referral: Referral) -> ReferralView:
    return ReferralView(to=referral.to.value, question=referral.question, where=_place(referral.where), clause=_clause(referral.clause))


def _statement(assumption: Assumption) -> StatementView:
    return StatementView(where=assumption.where, text=assumption.statement, clause=_clause(assumption.clause))


def _line(line: QuantityLine, family: Family) -> LineView:
    waste = f"{100 * line.waste:.0f} % for {line.waste_reason or 'waste'}" if line.waste else ""
    return LineView(
        key=line.key,
        item=line.item,
        quantity=line_text(line, family),
        basis=line.basis,
        waste=waste,
        clause=_clause(line.clause),
        part=bool(line.part_of),
    )


def _table(table: Table, family: Family) -> TableView:
    headings, rows, numeric = table_text(table, family)
    return TableView(title=table.title, headings=list(headings), rows=[list(row) for row in rows], numeric=list(numeric), note=table.note)


def _clause(clause: Clause | None) -> str:
    return "" if clause is None else str(clause)


def figures_moved(before: Sequence[Check], after: Sequence[Check], family: Family) -> list[str]:
    """By how much the ratios of checks moved that both states have, the largest first."""
    old = {check.key: check for check in before}
    moved = [(old[check.key], check) for check in after if check.key in old and abs(check.ratio - old[check.key].ratio) > 5e-4]
    moved.sort(key=lambda pair: -abs(pair[1].ratio - pair[0].ratio))
    return [f"{one.name}, {one.where}: {check_text(was, family).ratio} to {check_text(one, family).ratio}" for was, one in moved[:12]]
