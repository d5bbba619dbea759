"""The pour book: every answer on paper, opened by a page that can be read standing up.

The text of a plan is handed to the typesetter as data and never as markup, so that no name can change the book. The
same plan gives the same bytes.
"""

import hashlib
import json
from functools import partial
from pathlib import Path
from typing import Any

from slabwright.outputs.atomic import write_atomically
from slabwright.outputs.chapters import Drawn, chapter, clean, draw_now, workings
from slabwright.outputs.metrics import shortened
from slabwright.outputs.numbers import day_text
from slabwright.outputs.reading import assumptions_to_confirm, questions_to_ask, sources_cited, tally
from slabwright.outputs.sheet import CAUTION, Paper
from slabwright.outputs.typesetting import typeset_pdf
from slabwright.results.check import State
from slabwright.study import Plan
from slabwright.units import Family
from slabwright.version import __version__

_PAPERS = {Paper.LETTER: "us-letter", Paper.A4: "a4"}
_TEXT_MARGIN = 54.0


def write_book(plan: Plan, path: Path | str, *, paper: Paper | None = None) -> Path:
    """Write the pour book as a tagged PDF."""
    return typeset_book(book_data(plan, paper=paper), path)


def typeset_book(data: dict[str, Any], path: Path | str, *, drawn: Drawn = draw_now) -> Path:
    """Write the pour book from its data; the typesetter releases the interpreter, so a thread may do it beside other work."""
    name = hashlib.sha256(json.dumps(data).encode()).hexdigest()
    return write_atomically(path, drawn(f"{name} book", partial(typeset_pdf, "book.typ", {"book.json": data})))


def book_pdf(plan: Plan, *, paper: Paper | None = None) -> bytes:
    """The pour book as PDF.

    Parameters
    ----------
    plan : Plan
    paper : Paper, optional
        Letter for US units and A4 for SI where not given.
    """
    return typeset_pdf("book.typ", {"book.json": book_data(plan, paper=paper)})


def book_data(plan: Plan, *, paper: Paper | None = None, drawn: Drawn = draw_now) -> dict[str, Any]:
    """Everything the template prints, as plain data.

    Parameters
    ----------
    plan : Plan
    paper : Paper, optional
        Letter for US units and A4 for SI where not given.
    drawn : callable
        Draws the chapters and the pictures of the sheets, or has them from an earlier run.
    """
    job = plan.inputs.job
    family = job.family
    paper = paper or Paper.page(family)
    width = paper.size(landscape=False)[0] - 2 * _TEXT_MARGIN
    chapters = [
        drawn(f"{outcome.digest} chapter {family.name} {width:g}", partial(chapter, outcome, family, width))
        for outcome in plan.outcomes.values()
    ]
    day = plan.inputs.site.today
    name = clean(job.name) or "Unnamed job"
    return {
        "paper": _PAPERS.get(paper, "a4"),
        "region": "us" if family is Family.US else "gb",
        "title": f"Pour book: {name}",
        "job": name,
        "running": shortened(name, 0.7 * width, 8.0),
        "unsettled": [one["label"] for one in chapters if one["state"] == State.FAILS.value],
        "date": [day.year, day.month, day.day] if day else None,
        "subtitle": f"Pour book, {day_text(day, family)}. Checked against {job.codes}.",
        "imprint": clean(f"{day_text(day, family)}; job file {job.digest[:12] or 'without digest'}, slabwright {__version__}, {job.codes}"),
        "codes": clean(str(job.codes)),
        "caution": CAUTION,
        "tally": [[state.value, count] for state, count in tally(plan).items() if count],
        "undecided": _undecided(plan),
        "first": _first(plan),
        "chapters": chapters,
        "sheets": _sheets(plan, paper, drawn),
        "asks": _asks(plan),
        "confirm": [
            {"statement": clean(one.statement), "where": clean(one.where), "clause": clean(str(one.clause))}
            for one in assumptions_to_confirm(plan)
        ],
        "workings": workings(plan),
        "sources": [
            {
                "key": clean(source.key),
                "title": clean(source.title),
                "places": [clean(f"{clause.locator} [{clause.basis.value}]") for clause in clauses],
            }
            for source, clauses in sources_cited(plan).items()
        ],
    }


def _first(plan: Plan) -> list[str]:
    """What must be settled first, in a line each: who is to be asked how much, how much is to be confirmed."""
    lines = []
    asked = [f"{to.value} {len(items)}" for to, items in questions_to_ask(plan).items()]
    if asked:
        lines.append(f"Questions to ask first: {', '.join(asked)}.")
    confirm = len(assumptions_to_confirm(plan))
    if confirm:
        what = "1 value" if confirm == 1 else f"{confirm} values"
        lines.append(f"Confirm {what} that the job file does not state.")
    return lines


def _undecided(plan: Plan) -> list[list[str]]:
    """Clashes between good rules that wait for a decision, and who has the last word on each."""
    from slabwright.studies import clashes

    found = plan.get(clashes.STUDY)
    return [[clean(one.title[:1].upper() + one.title[1:]), clean(one.ask.value)] for one in found.open] if found is not None else []


def _sheets(plan: Plan, paper: Paper, drawn: Drawn) -> list[dict[str, Any]]:
    """One sheet for each person, where the plan knows its hold points."""
    from slabwright.outputs.papers import papers_data
    from slabwright.studies import hold_points

    return list(papers_data(plan, paper=paper, drawn=drawn).values()) if hold_points.STUDY.key in plan.outcomes else []


def _asks(plan: Plan) -> list[dict[str, Any]]:
    return [
        {
            "to": f"Ask {to.value}",
            "items": [
                {"question": clean(one.question), "where": clean(one.where), "clause": clean(str(one.clause or ""))} for _, one in items
            ],
        }
        for to, items in questions_to_ask(plan).items()
    ]
