"""What a sheet is made of: tables, pictures, lines to tick, questions, lines to sign; all as plain data for the typesetter."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from slabwright.outputs.chapters import Drawn, clean, picture_data, table_data
from slabwright.outputs.typography import answer_runs
from slabwright.results.check import Ask
from slabwright.results.table import Table
from slabwright.studies.hold_points import STUDY as HOLD_POINTS
from slabwright.studies.hold_points import HoldPoint, number_text
from slabwright.studies.hold_points.papers import Receiver
from slabwright.study import Plan, Presentation, Waiting
from slabwright.units import Family

Block = dict[str, Any]

PICTURE_SIZES = (1.0, 0.8, 0.6, 0.45, 0.35)
"""Shares of its room at which a sheet may show a picture, so that all goes on one page."""
_COLOUR = re.compile(r"#([0-9A-Fa-f]{2})([0-9A-Fa-f]{2})([0-9A-Fa-f]{2})\b")


@dataclass(slots=True)
class Sheet:
    """One sheet while it is put together.

    Attributes
    ----------
    receiver : Receiver
    purpose : str
        What it is for, in one line.
    one_page : bool
        Whether it says that it is a single page.
    cautions : tuple of str
    blocks : list of Block
    """

    receiver: Receiver
    purpose: str
    one_page: bool
    cautions: tuple[str, ...]
    blocks: list[Block] = field(default_factory=list)


class Reader:
    """A plan as the papers read it; what waits or is missing reads as nothing."""

    def __init__(self, plan: Plan, width: float, drawn: Drawn) -> None:
        self.plan, self.width, self._drawn = plan, width, drawn
        self.family: Family = plan.inputs.job.family

    def shown(self, study: str) -> Presentation:
        """Pictures and tables of a study."""
        outcome = self.plan.outcomes.get(study)
        return outcome.presentation() if outcome is not None else Presentation()

    def answer(self, study: str) -> list[Block]:
        """A study's answer with its question; what it waits for where it waits."""
        outcome = self.plan.outcomes.get(study)
        if outcome is None:
            return []
        if isinstance(outcome.result, Waiting):
            return [
                {"kind": "answer", "question": clean(outcome.study.question), "runs": [[clean(f"Waiting: {outcome.result.reason}"), False]]}
            ]
        runs = [[clean(words), strong] for words, strong in answer_runs(outcome.result.answer)]
        return [{"kind": "answer", "question": clean(outcome.study.question), "runs": runs}]

    def picture(self, study: str, key: str, *, share: float = 1.0) -> list[Block]:
        """One picture of a study in grey, as wide as a share of the text, and smaller with letters of the same size."""
        outcome = self.plan.outcomes.get(study)
        if outcome is None:
            return []
        width = share * self.width
        name = f"{outcome.digest} sheet {key} {self.family.name} {width:g}"
        blocks: list[Block] = self._drawn(name, lambda: _grey_picture(outcome.presentation(), key, self.family, width))
        return blocks

    def table(self, study: str, title: str, *, most: int | None = None, noted: bool = True) -> list[Block]:
        """Tables of a study whose title begins so, with their notes or without."""
        found = [one for one in self.shown(study).tables if one.title.startswith(title)]
        return [self.as_block(one if noted else replace(one, note=""), most) for one in found]

    def folded(self, study: str, title: str, *, rows: int, most: int) -> list[Block]:
        """A table of a study; one that is longer than so many rows in two halves side by side."""
        found = next((one for one in self.shown(study).tables if one.title == title), None)
        if found is None or len(found.rows) <= rows:
            return [self.as_block(found, most)] if found is not None else []
        kept = found.rows[:most]
        half = -(-len(kept) // 2)
        empty = ("",) * len(found.columns)
        note = _with_rest(found.note, max(len(found.rows) - most, 0))
        beside = [(*one, *(kept[half + k] if half + k < len(kept) else empty)) for k, one in enumerate(kept[:half])]
        return [self.as_block(Table.of(found.title, (*found.columns, *found.columns), beside, note=note))]

    def as_block(self, table: Table, most: int | None = None) -> Block:
        """A table as a block; long ones say how many rows are left out."""
        rows = table.rows if most is None else table.rows[:most]
        left = len(table.rows) - len(rows)
        note = _with_rest(table.note, left)
        return {"kind": "table", **table_data(Table(title=table.title, columns=table.columns, rows=rows, note=note), self.family)}

    def points(self, *keys: str) -> list[Block]:
        """Hold points to tick, in the order asked for."""
        found = self.plan.get(HOLD_POINTS)
        if found is None:
            return self.answer(HOLD_POINTS.key)
        made = {point.key: point for point in found.points}
        return [ticks(made[key], self.family) for key in keys if key in made]

    def asks(self, *receivers: Ask, title: str = "Questions to you") -> list[Block]:
        """Questions to somebody, once each, from every study."""
        rows = dict.fromkeys(
            (one.question, one.where) for _, result in self.plan.results() for one in result.referrals if one.to in receivers
        )
        if not rows:
            return []
        return [{"kind": "asks", "title": title, "rows": [[clean(question), clean(where)] for question, where in rows]}]


def _with_rest(note: str, left: int) -> str:
    """A note, and how many rows are left out."""
    if not left:
        return note
    return f"{note}{'' if not note or note.endswith(('.', ':')) else '.'} {left} more rows stand in the book.".strip()


def ticks(point: HoldPoint, family: Family) -> Block:
    """A hold point as lines with a box to tick and room for what was found."""
    stops = point.repeats or f"before {point.before}"
    return {
        "kind": "ticks",
        "title": clean(point.title if stops == point.title.lower() else f"{point.title}: {stops}"),
        "rows": [[clean(one.look_at), clean(one.where), clean(number_text(one, family)), clean(one.instrument)] for one in point.items],
        "signs": clean(point.signs),
    }


def lines(title: str, words: Iterable[str]) -> list[Block]:
    """Sentences below a heading; nothing where there are none."""
    rows = [clean(one) for one in words]
    return [{"kind": "lines", "title": clean(title), "rows": rows}] if rows else []


def pairs(title: str, rows: Sequence[tuple[str, str]]) -> list[Block]:
    """Names and values side by side."""
    return [{"kind": "pairs", "title": clean(title), "rows": [[clean(name), clean(value)] for name, value in rows if value]}]


def sign(*roles: str) -> Block:
    """Lines to sign."""
    return {"kind": "sign", "roles": [clean(role) for role in roles]}


def _grey_picture(shown: Presentation, key: str, family: Family, width: float) -> list[Block]:
    """One of the pictures of an answer in each size, where it has that one."""
    found = next((one for one in shown.pictures if one.key == key), None)
    if found is None:
        return []
    sizes = [picture_data(found, family, width, share=share) for share in PICTURE_SIZES]
    return [{"kind": "picture", "sizes": [one | {"svg": _grey(one["svg"])} for one in sizes]}]


def _grey(svg: str) -> str:
    """A drawing as a black and white printer gives it."""

    def grey(match: re.Match[str]) -> str:
        red, green, blue = (int(part, 16) for part in match.groups())
        level = round(0.2126 * red + 0.7152 * green + 0.0722 * blue)
        return f"#{level:02X}{level:02X}{level:02X}"

    return _COLOUR.sub(grey, svg)
