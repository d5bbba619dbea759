"""Papers set and written: one PDF for each receiver."""

from pathlib import Path
from typing import Any

from slabwright.outputs.atomic import write_atomically
from slabwright.outputs.chapters import Drawn, clean, draw_now
from slabwright.outputs.numbers import day_text
from slabwright.outputs.papers.blocks import Reader, Sheet
from slabwright.outputs.papers.contents import sheets
from slabwright.outputs.sheet import CAUTION, Paper
from slabwright.outputs.typesetting import typeset_pdf
from slabwright.study import Plan
from slabwright.units import Family
from slabwright.version import __version__

MARGIN = 40.0
_PAPERS = {Paper.LETTER: "us-letter", Paper.A4: "a4"}


def write_papers(plan: Plan, folder: Path | str, *, paper: Paper | None = None, drawn: Drawn = draw_now) -> dict[str, Path]:
    """Write every sheet of a plan into a folder.

    Parameters
    ----------
    plan : Plan
    folder : Path or str
    paper : Paper, optional
        Letter for US units and A4 for SI where not given.
    drawn : callable
        Draws their pictures, or has them from an earlier run.

    Returns
    -------
    dict of str to Path
        By receiver.
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    written = {}
    for receiver, data in papers_data(plan, paper=paper, drawn=drawn).items():
        path = folder / f"{receiver.replace(' ', '-')}.pdf"
        written[receiver] = write_atomically(path, sheet_pdf(data))
    return written


def sheet_pdf(data: dict[str, Any]) -> bytes:
    """One sheet as PDF, from its data."""
    return typeset_pdf("papers.typ", {"sheet.json": data})


def papers_data(plan: Plan, *, paper: Paper | None = None, drawn: Drawn = draw_now) -> dict[str, dict[str, Any]]:
    """Everything the template prints, by receiver, as plain data."""
    job = plan.inputs.job
    paper = paper or Paper.page(job.family)
    if paper not in _PAPERS:
        paper = Paper.page(job.family)
    width = paper.size(landscape=False)[0] - 2 * MARGIN
    return {sheet.receiver.value: _data(plan, sheet, paper) for sheet in sheets(Reader(plan, width, drawn))}


def _data(plan: Plan, sheet: Sheet, paper: Paper) -> dict[str, Any]:
    job, day = plan.inputs.job, plan.inputs.site.today
    name = clean(job.name) or "Unnamed job"
    return {
        "paper": _PAPERS[paper],
        "margin": MARGIN,
        "region": "us" if job.family is Family.US else "gb",
        "receiver": f"For the {sheet.receiver.value}",
        "label": f"sheet-{sheet.receiver.name.lower()}",
        "who": sheet.receiver.value,
        "purpose": clean(sheet.purpose),
        "job": name,
        "date": [day.year, day.month, day.day] if day else None,
        "one_page": sheet.one_page,
        "cautions": [clean(one) for one in sheet.cautions],
        "blocks": sheet.blocks,
        "imprint": clean(
            f"{name}, {day_text(day, job.family)}; job file {job.digest[:12] or 'without digest'}, slabwright {__version__}; {job.codes}"
        ),
        "caution": CAUTION,
    }
