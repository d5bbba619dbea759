"""The plan sheet: plan and sections true to scale on one sheet with its title block."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from slabwright.outputs.atomic import write_atomically
from slabwright.outputs.look import Mode, colour
from slabwright.outputs.markup import rectangle, text
from slabwright.outputs.metrics import wrapped
from slabwright.outputs.sheet import (
    SCALES,
    TITLE_BLOCK_HEIGHT,
    DrawingScale,
    Paper,
    TitleBlock,
    caption,
    scale_bar,
    standard_scale,
    street_mark,
)
from slabwright.outputs.svg import TEXT_SIZES, Footprint, bare_scale, document, drawing, footprint
from slabwright.outputs.typography import typeset
from slabwright.results.picture import Picture
from slabwright.study import Plan, Waiting
from slabwright.units import Family

_MARGIN = 28.0
_GAP = 16.0
_CAPTION = 24.0
_FOOT = 30.0
_NOTE_LINE = 9.5
_SIZE = TEXT_SIZES[Mode.PAPER]
_SHARES = (0.24, 0.30, 0.36, 0.42, 0.5)


@dataclass(frozen=True, slots=True)
class Cell:
    """A room on the sheet by its upper left corner."""

    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Where plan and sections go, and at which scales."""

    plan: Cell
    sections: tuple[Cell, ...]
    plan_scale: DrawingScale
    section_scale: DrawingScale | None

    @property
    def merit(self) -> float:
        """A large plan, and sections large enough to read: twice as large a plan is worth sections four times smaller."""
        sections = math.log(self.section_scale.ratio) if self.section_scale else 0.0
        return -math.log(self.plan_scale.ratio) - 0.5 * sections


def write_plan_sheet(plan: Plan, path: Path | str, *, paper: Paper | None = None) -> Path:
    """Write the plan sheet as SVG in full size."""
    return write_atomically(path, plan_sheet(plan, paper=paper))


def plan_sheet(plan: Plan, *, paper: Paper | None = None) -> str:
    """The plan sheet as SVG: the pictures ``plan`` and ``section-…`` of the first study that draws a plan.

    Parameters
    ----------
    plan : Plan
    paper : Paper, optional
        The large sheet of the job's family where not given.
    """
    family = plan.inputs.job.family
    paper = paper or Paper.large(family)
    width, height = paper.size(landscape=True)
    room = Cell(_MARGIN, _MARGIN, width - 2 * _MARGIN, height - 2 * _MARGIN - TITLE_BLOCK_HEIGHT - 8)
    pictures = _pictures(plan)
    if pictures:
        body, scale = _drawn(plan, pictures, room)
        title = typeset(pictures[0].title)
        alt = " ".join(picture.alt or f"{picture.title}." for picture in pictures)
    else:
        body, scale, title, alt = _waiting(plan, room), "no scale", "Plan", "The plan waits for missing figures."
    block = TitleBlock.of(plan, drawing=title, scale=scale, paper=paper)
    frame = rectangle(_MARGIN - 8, _MARGIN - 8, width - 2 * _MARGIN + 16, height - 2 * _MARGIN + 16, _frame_style())
    ground = rectangle(0, 0, width, height, 'fill="#FFFFFF"')
    foot = block.svg(_MARGIN - 8, height - _MARGIN + 8 - TITLE_BLOCK_HEIGHT, width - 2 * _MARGIN + 16)
    return document(ground + frame + body + foot, width, height, alt, mode=Mode.PAPER)


def _frame_style() -> str:
    return f'fill="none" stroke="{colour("ink", Mode.PAPER)}" stroke-width="1"'


def _pictures(plan: Plan) -> tuple[Picture, ...]:
    """The plan first, then the sections that belong to it."""
    for outcome in plan.outcomes.values():
        pictures = outcome.presentation().pictures
        plans = [picture for picture in pictures if picture.key == "plan"]
        if plans:
            return (plans[0], *(picture for picture in pictures if picture.key.startswith("section")))
    return ()


def _waiting(plan: Plan, room: Cell) -> str:
    reasons = [outcome.result.reason for outcome in plan.outcomes.values() if isinstance(outcome.result, Waiting)]
    lines = wrapped(f"The plan waits: {reasons[0]}" if reasons else "No study of this plan draws it.", room.width - 80, 14)
    body = "".join(text(room.left + 40, room.top + 60 + 18 * place, line, 14) for place, line in enumerate(lines))
    return f'<g fill="{colour("ink", Mode.PAPER)}">{body}</g>'


def _drawn(plan: Plan, pictures: tuple[Picture, ...], room: Cell) -> tuple[str, str]:
    """The drawings with their captions, and the plan's scale."""
    job = plan.inputs.job
    main, *sections = pictures
    notes = [line for note in main.notes for line in wrapped(typeset(note), 0.45 * room.width, _SIZE)]
    below = _FOOT + len(notes) * _NOTE_LINE
    best = max(_arrangements(_Needs(pictures, job.family), room, below), key=lambda one: one.merit)
    cell = best.plan
    parts = [_in_cell(main, job.family, best.plan_scale, cell, below=below)]
    foot = cell.top + cell.height - below + 8
    ink = colour("ink", Mode.PAPER)
    parts += [f'<g fill="{ink}">{text(cell.left, foot + _NOTE_LINE * place, line, _SIZE)}</g>' for place, line in enumerate(notes)]
    parts.append(scale_bar(best.plan_scale.points_per_m, job.family, cell.left + 4, cell.top + cell.height - 18))
    parts.append(street_mark(job.place.street_side, cell.left + cell.width - 40, cell.top + cell.height - 38))
    if best.section_scale is None:
        return "".join(parts), best.plan_scale.label
    parts += [_in_cell(section, job.family, best.section_scale, one) for section, one in zip(sections, best.sections, strict=True)]
    return "".join(parts), f"{best.plan_scale.label}; sections {best.section_scale.label}"


class _Needs:
    """What each picture needs at each standard scale, measured once."""

    def __init__(self, pictures: Sequence[Picture], family: Family) -> None:
        self.pictures, self._family = pictures, family
        self._measured: dict[tuple[int, float], Footprint] = {}

    def scale(self, number: int, width: float, height: float) -> DrawingScale:
        """The largest standard scale at which a picture goes into a room with all its text; the smallest if none."""
        largest = standard_scale(bare_scale(self.pictures[number], width, height), self._family)
        smaller = [one for one in SCALES[self._family] if one.ratio >= largest.ratio]
        return next((one for one in smaller if self._at(number, one).goes_into(one.points_per_m, width, height)), smaller[-1])

    def _at(self, number: int, scale: DrawingScale) -> Footprint:
        key = (number, scale.ratio)
        if key not in self._measured:
            self._measured[key] = footprint(self.pictures[number], self._family, scale.points_per_m, _SIZE)
        return self._measured[key]


def _arrangements(needs: _Needs, room: Cell, below: float) -> Iterator[Arrangement]:
    """Sections beside the plan or below it, in one or more columns and rows."""
    count = len(needs.pictures) - 1
    if not count:
        yield _arrangement(needs, room, (), below)
        return
    for share in _SHARES:
        for columns in range(1, count + 1):
            rows = -(-count // columns)
            if (columns - 1) * rows >= count:
                continue
            side = Cell(room.left + (1 - share) * room.width + _GAP, room.top, share * room.width - _GAP, room.height)
            beside = Cell(room.left, room.top, (1 - share) * room.width, room.height)
            yield _arrangement(needs, beside, _grid(side, columns, rows, count), below)
            under = Cell(room.left, room.top + (1 - share) * room.height + _GAP, room.width, share * room.height - _GAP)
            above = Cell(room.left, room.top, room.width, (1 - share) * room.height)
            yield _arrangement(needs, above, _grid(under, columns, rows, count), below)


def _grid(room: Cell, columns: int, rows: int, count: int) -> tuple[Cell, ...]:
    width, height = (room.width - (columns - 1) * _GAP) / columns, (room.height - (rows - 1) * _GAP) / rows
    return tuple(
        Cell(room.left + (n % columns) * (width + _GAP), room.top + (n // columns) * (height + _GAP), width, height) for n in range(count)
    )


def _arrangement(needs: _Needs, cell: Cell, cells: tuple[Cell, ...], below: float) -> Arrangement:
    plan_scale = needs.scale(0, cell.width, cell.height - _CAPTION - below)
    scales = [needs.scale(number, one.width, one.height - _CAPTION) for number, one in enumerate(cells, start=1)]
    return Arrangement(cell, cells, plan_scale, max(scales, key=lambda scale: scale.ratio) if scales else None)


def _in_cell(picture: Picture, family: Family, scale: DrawingScale, cell: Cell, *, below: float = 0.0) -> str:
    """A drawing in the middle of its cell with its caption beneath."""
    drawn = drawing(picture, family, scale=scale.points_per_m, mode=Mode.PAPER)
    left = cell.left + max(0.0, (cell.width - drawn.width) / 2)
    top = cell.top + max(0.0, (cell.height - _CAPTION - below - drawn.height) / 2)
    baseline = cell.top + cell.height - below - 8 if below else top + drawn.height + 18
    return drawn.at(left, top) + caption(typeset(picture.title), scale.label, left if not below else cell.left, baseline, cell.width)
