"""One study as a chapter of the book: plain data with all text ready to be set."""

import re
from collections.abc import Callable, Sequence
from typing import Any

from slabwright.outputs.look import Mode
from slabwright.outputs.markup import printable
from slabwright.outputs.metrics import balanced
from slabwright.outputs.numbers import percent_text
from slabwright.outputs.reading import Alike, alike
from slabwright.outputs.sheet import SCALES, standard_scale
from slabwright.outputs.svg import document, fitted
from slabwright.outputs.typography import answer_runs, formula_runs, typeset
from slabwright.outputs.words import check_text, line_text, table_text
from slabwright.results.check import State
from slabwright.results.lines import QuantityLine
from slabwright.results.picture import Picture
from slabwright.results.table import Table
from slabwright.study import Outcome, Plan, Waiting
from slabwright.units import Family

Chapter = dict[str, Any]

_PICTURE_HEIGHT = 380.0
_SECTION_HEIGHT = 250.0
_GUTTER = 16.0
_SHOWN_OF_ONE_NAME = 10
_PLACES_SHOWN = 8
_WIDE_CELL = 22
_HEAD_WIDTH = 62.0
_LONG_WORD = re.compile(r"\S{26,}")
_LONG_PIECE = re.compile(r"[^\u200b]{24,}")
_NUMBERED = re.compile(r"(.+)-\d+")


Drawn = Callable[[str, Callable[[], Any]], Any]
"""Gives what is drawn under a name, given how: as an earlier run drew it, where that was kept. The name holds a digest of it all."""


def draw_now(_name: str, draw: Callable[[], Any]) -> Any:
    """Draw it: nothing is kept."""
    return draw()


def clean(text: str) -> str:
    """Text for the typesetter: real fractions, nothing unprintable, long words that may break."""
    return _LONG_WORD.sub(_breakable, typeset(printable(text)))


def _breakable(word: re.Match[str]) -> str:
    """A long word that may break behind its signs, and where it has none, anywhere."""
    signs = re.sub(r"([._/,;:=-])", "\\1\u200b", word[0])
    return _LONG_PIECE.sub(lambda piece: "\u200b".join(re.findall(r".{1,12}", piece[0])), signs)


def chapter(outcome: Outcome, family: Family, width: float) -> Chapter:
    """Everything the book says about one question.

    Parameters
    ----------
    outcome : Outcome
    family : Family
    width : float
        Of the text on the page, in points.
    """
    result = outcome.result
    head: Chapter = {
        "label": f"study-{outcome.study.key}",
        "question": clean(outcome.study.question),
        "state": outcome.state.value,
        "reason": "",
        "answer": [],
        **{part: [] for part in ("cautions", "pictures", "checks", "more", "tables", "lines", "tasks", "asks", "assumptions")},
    }
    if isinstance(result, Waiting):
        return head | {"reason": clean(_sentence(result.reason))}
    shown = outcome.presentation()
    groups, more = _worth_showing(alike(result.checks), family)
    return head | {
        "answer": [[clean(text), strong] for text, strong in answer_runs(result.answer)],
        "cautions": [clean(one.text + (f" ({one.clause})" if one.clause else "")) for one in result.cautions],
        "pictures": _rows(shown.pictures, family, width),
        "checks": [_check(group, family) for group in groups],
        "more": more,
        "tables": [table_data(table, family) for table in shown.tables],
        "lines": [_line(line, family) for line in result.lines],
        "tasks": [
            {"what": clean(one.what), "who": clean(one.who), "when": clean(one.when), "where": clean(one.where)} for one in result.tasks
        ],
        "asks": [
            {"to": one.to.value, "question": clean(one.question), "where": clean(one.where), "clause": clean(str(one.clause or ""))}
            for one in result.referrals
        ],
        "assumptions": [
            {"statement": clean(one.statement), "where": clean(one.where), "clause": clean(str(one.clause))} for one in result.assumptions
        ],
    }


def _sentence(text: str) -> str:
    """A reason as a sentence."""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?", "!")) else ".")


def workings(plan: Plan) -> list[dict[str, Any]]:
    """Every check that recorded its calculation, by study; checks alike in all but place are worked once."""
    family = plan.inputs.job.family
    worked = []
    for study, result in plan.results():
        groups = [group for group in alike(result.checks) if group.check.steps]
        if groups:
            worked.append(
                {"question": clean(study.question), "checks": [_check(group, family) | {"steps": _steps(group)} for group in groups]}
            )
    return worked


def _steps(group: Alike) -> list[dict[str, Any]]:
    return [
        {
            "note": clean(step.note),
            "symbols": _runs(step.symbols),
            "substituted": _runs(step.substituted),
            "result": clean(str(step.result)),
        }
        for step in group.check.steps
    ]


def _runs(formula: str) -> list[list[Any]]:
    return [[clean(text), low] for text, low in formula_runs(formula)]


def _worth_showing(groups: Sequence[Alike], family: Family) -> tuple[list[Alike], list[str]]:
    """All checks that do not plainly hold and the closest of the others; how many more of each name hold."""
    by_name: dict[str, list[Alike]] = {}
    for group in groups:
        by_name.setdefault(group.check.name, []).append(group)
    kept: set[int] = set()
    more = []
    for name, members in by_name.items():
        ranked = sorted(members, key=lambda one: -one.check.ratio)
        close = [one for place, one in enumerate(ranked) if place < _SHOWN_OF_ONE_NAME or one.check.state is not State.HOLDS]
        kept |= {id(one) for one in close}
        rest = ranked[len(close) :]
        if rest:
            low, high = (check_text(one.check, family).ratio for one in (rest[-1], rest[0]))
            more.append(clean(f"{name}: {len(rest)} more hold, with ratios from {low} to {high}; the appendix works them all."))
    return [group for group in groups if id(group) in kept], more


def _check(group: Alike, family: Family) -> dict[str, Any]:
    words = check_text(group.check, family)
    places = ", ".join(group.places[:_PLACES_SHOWN])
    if len(group.places) > _PLACES_SHOWN:
        places += f" and {len(group.places) - _PLACES_SHOWN} more alike"
    return {
        "name": clean(words.name),
        "where": clean(places),
        "demand": clean(words.demand),
        "limit": clean(words.limit),
        "ratio": words.ratio,
        "state": words.state.value,
        "clause": clean(words.clause),
        "method": clean(words.method if group.check.method in (None, group.check.clause) else f"method: {words.method}"),
        "governing": clean(words.governing),
        "remedy": clean(words.remedy),
    }


def _line(line: QuantityLine, family: Family) -> dict[str, Any]:
    waste = f"{percent_text(line.waste)}: {line.waste_reason}" if line.waste else line.waste_reason
    return {
        "item": clean(line.item),
        "quantity": clean(line_text(line, family)),
        "basis": clean(line.basis),
        "waste": clean(waste),
        "clause": clean(str(line.clause or "")),
        "part": bool(line.part_of),
    }


def table_data(table: Table, family: Family) -> dict[str, Any]:
    head, rows, numeric = table_text(table, family)
    longest = [max((len(row[place]) for row in rows), default=0) for place in range(len(head))]
    return {
        "title": clean(table.title),
        "head": ["\n".join(balanced(clean(cell), _HEAD_WIDTH, 8.5)) for cell in head],
        "rows": [[clean(cell) for cell in row] for row in rows],
        "numeric": list(numeric),
        "columns": [length > _WIDE_CELL for length in longest],
        "note": clean(table.note),
    }


def _rows(pictures: Sequence[Picture], family: Family, width: float) -> list[list[dict[str, Any]]]:
    """Pictures in rows: numbered ones of one kind two abreast, for the eye to compare, others across the page."""
    rows: list[tuple[str, list[Picture]]] = []
    for picture in pictures:
        numbered = None if _is_true_to_scale(picture) else _NUMBERED.fullmatch(picture.key)
        stem = numbered[1] if numbered else ""
        if stem and rows and rows[-1][0] == stem and len(rows[-1][1]) == 1:
            rows[-1][1].append(picture)
        else:
            rows.append((stem, [picture]))
    half = (width - _GUTTER) / 2
    return [[picture_data(picture, family, half if stem else width) for picture in row] for stem, row in rows]


def _is_true_to_scale(picture: Picture) -> bool:
    return picture.key.startswith(("plan", "section"))


def picture_data(picture: Picture, family: Family, width: float, *, share: float = 1.0) -> dict[str, Any]:
    """One drawing as SVG in its width on the page; plans and sections are true to a standard scale.

    Parameters
    ----------
    picture : Picture
    family : Family
    width : float
        Room across, in points.
    share : float
        Of that width and of the height that drawings have on a page.
    """
    true = _is_true_to_scale(picture)
    scales = [scale.points_per_m for scale in SCALES[family]] if true else []
    height = _SECTION_HEIGHT if picture.key.startswith("section") else _PICTURE_HEIGHT
    drawn = fitted(picture, family, width=share * width, height=share * height, scales=scales)
    return {
        "svg": document(drawn.at(0, 0), drawn.width, drawn.height, picture.alt or picture.title, mode=Mode.PAPER),
        "width": min(round(drawn.width, 2), width),
        "title": clean(picture.title),
        "alt": printable(picture.alt or picture.title) or "drawing",
        "scale": standard_scale(drawn.scale, family).label if true else "",
        "notes": [clean(note) for note in picture.notes],
    }
