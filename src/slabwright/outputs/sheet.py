"""A sheet of paper: its size, the scales of the trade, the title block, the mark of the street side.

All lengths on a sheet are in points, 72 to the inch, so that a sheet printed at full size is true to its scale.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from slabwright.outputs.look import Mode, colour
from slabwright.outputs.markup import number, rectangle, text
from slabwright.outputs.metrics import shortened, text_width, wrapped
from slabwright.outputs.numbers import day_text
from slabwright.study import Plan
from slabwright.units import FOOT_M, INCH_M, Family
from slabwright.version import __version__

POINTS_PER_M = 72.0 / INCH_M
CAUTION = "Sizes here are checked against published rules; the licensed engineer and the local building department decide."
TITLE_BLOCK_HEIGHT = 58.0


class Paper(Enum):
    """Paper sizes: name as the trade says it, short side and long side in millimetres."""

    LETTER = ("letter", 215.9, 279.4)
    TABLOID = ("tabloid", 279.4, 431.8)
    A4 = ("A4", 210.0, 297.0)
    A3 = ("A3", 297.0, 420.0)

    def size(self, *, landscape: bool) -> tuple[float, float]:
        """Width and height in points."""
        short, long = (side / 1000.0 * POINTS_PER_M for side in self.value[1:])
        return (long, short) if landscape else (short, long)

    @classmethod
    def page(cls, family: Family) -> "Paper":
        """The page of a book."""
        return cls.LETTER if family is Family.US else cls.A4

    @classmethod
    def large(cls, family: Family) -> "Paper":
        """The largest sheet that most offices print."""
        return cls.TABLOID if family is Family.US else cls.A3


@dataclass(frozen=True, slots=True)
class DrawingScale:
    """A scale: how it is written, and how many times smaller than the thing the drawing is."""

    label: str
    ratio: float

    @property
    def points_per_m(self) -> float:
        """Points on the sheet per metre of the thing."""
        return POINTS_PER_M / self.ratio


SCALES: Mapping[Family, tuple[DrawingScale, ...]] = MappingProxyType(
    {
        Family.US: tuple(
            DrawingScale(label, ratio)
            for label, ratio in (
                ("3 in = 1 ft", 4), ("1½ in = 1 ft", 8), ("1 in = 1 ft", 12), ("¾ in = 1 ft", 16), ("½ in = 1 ft", 24), ("⅜ in = 1 ft", 32),
                ("¼ in = 1 ft", 48), ("³⁄₁₆ in = 1 ft", 64), ("⅛ in = 1 ft", 96), ("³⁄₃₂ in = 1 ft", 128), ("¹⁄₁₆ in = 1 ft", 192),
                ("1 in = 20 ft", 240), ("1 in = 30 ft", 360), ("1 in = 40 ft", 480), ("1 in = 60 ft", 720), ("1 in = 100 ft", 1200),
                ("1 in = 200 ft", 2400),
            )
        ),
        Family.SI: tuple(DrawingScale(f"1:{ratio}", ratio) for ratio in (5, 10, 20, 25, 50, 75, 100, 125, 200, 250, 500, 1000, 2000)),
    }
)  # fmt: skip


def standard_scale(points_per_m: float, family: Family) -> DrawingScale:
    """The largest standard scale no larger than asked; the smallest of all where none is small enough."""
    scales = SCALES[family]
    return next((scale for scale in scales if scale.points_per_m <= points_per_m * 1.0001), scales[-1])


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What every sheet says of itself."""

    job: str
    drawing: str
    scale: str
    digest: str
    day: str
    codes: str
    paper: str

    @classmethod
    def of(cls, plan: Plan, *, drawing: str, scale: str, paper: Paper) -> "TitleBlock":
        """The title block of a plan's sheet."""
        job = plan.inputs.job
        return cls(
            job=job.name,
            drawing=drawing,
            scale=scale,
            digest=job.digest[:12],
            day=day_text(plan.inputs.site.today, job.family),
            codes=str(job.codes),
            paper=paper.value[0],
        )

    def svg(self, left: float, top: float, width: float) -> str:
        """The block as a strip across the foot of a sheet, :data:`TITLE_BLOCK_HEIGHT` high."""
        ink = f'stroke="{colour("ink", Mode.PAPER)}"'
        height = TITLE_BLOCK_HEIGHT
        name_width = 0.5 * width
        parts = [
            rectangle(left, top, width, height, f'fill="none" {ink} stroke-width="1"'),
            text(left + 10, top + 22, shortened(self.job, name_width - 20, 15, bold=True), 15, bold=True),
            text(left + 10, top + 36, shortened(self.drawing, name_width - 20, 10), 10),
            text(left + 10, top + 51, shortened(CAUTION, width - 20, 7.5), 7.5),
            f'<path d="M{number(left)} {number(top + 42)}h{number(width)}" fill="none" {ink} stroke-width="0.4"/>',
        ]
        cells = (
            ("scale", self.scale, 0.14),
            ("day", self.day, 0.1),
            ("job file", self.digest or "no digest", 0.12),
            ("program", f"slabwright {__version__}", 0.14),
        )
        at = left + name_width
        for heading, words, share in cells:
            parts.append(f'<path d="M{number(at)} {number(top)}v42" fill="none" {ink} stroke-width="0.4"/>')
            parts.append(text(at + 6, top + 11, heading, 6.5))
            for place, line in enumerate(wrapped(words, share * width - 10, 8.5)[:2]):
                parts.append(text(at + 6, top + 22 + 9.5 * place, shortened(line, share * width - 10, 8.5), 8.5))
            at += share * width
        parts.append(text(left + width - 10, top + 39, shortened(f"{self.codes} · {self.paper}", 0.49 * width, 6.5), 6.5, anchor="end"))
        return f'<g class="title-block" fill="{colour("ink", Mode.PAPER)}">{"".join(parts)}</g>'


_STREET = {"south": (0.0, 1.0), "north": (0.0, -1.0), "east": (1.0, 0.0), "west": (-1.0, 0.0)}


def street_mark(side: str, x: float, y: float) -> str:
    """An arrow about a point towards the side of the plan that faces the street, with the word."""
    dx, dy = _STREET.get(side, _STREET["south"])
    ink = colour("ink", Mode.PAPER)
    long, half = 15.0, 4.2
    tip = (x + dx * long, y + dy * long)
    head = f"M{number(tip[0])} {number(tip[1])}L{number(x + dx * 4 - dy * half)} {number(y + dy * 4 + dx * half)}"
    head += f"L{number(x + dx * 4 + dy * half)} {number(y + dy * 4 - dx * half)}Z"
    shaft = f"M{number(x - dx * long)} {number(y - dy * long)}L{number(x + dx * 4)} {number(y + dy * 4)}"
    word = text(x, y + 27, "street side", 7.5, anchor="middle")
    return f'<g class="street" fill="{ink}"><path d="{shaft}" fill="none" stroke="{ink}" stroke-width="1"/><path d="{head}"/>{word}</g>'


def scale_bar(points_per_m: float, family: Family, left: float, top: float) -> str:
    """A bar of round length in four pieces, for a copy that was not printed at full size."""
    unit_m, unit = (FOOT_M, "ft") if family is Family.US else (1.0, "m")
    unit_points = unit_m * points_per_m
    count = next((n for n in (1, 2, 4, 8, 20, 40, 80, 200, 400) if n * unit_points >= 70), 800)
    width = count * unit_points
    ink = colour("ink", Mode.PAPER)
    parts = [
        rectangle(
            left + piece * width / 4,
            top,
            width / 4,
            3.5,
            f'fill="{ink if piece % 2 == 0 else "#FFFFFF"}" stroke="{ink}" stroke-width="0.4"',
        )
        for piece in range(4)
    ]
    parts.append(text(left, top + 12, "0", 7, anchor="middle"))
    parts.append(text(left + width, top + 12, f"{count} {unit}", 7, anchor="middle"))
    if count >= 2:
        parts.append(text(left + width / 2, top + 12, f"{count // 2}", 7, anchor="middle"))
    return f'<g class="scale-bar" fill="{ink}">{"".join(parts)}</g>'


def caption(title: str, scale: str, left: float, baseline: float, width: float) -> str:
    """Title of a drawing with its scale behind it, underlined."""
    ink = colour("ink", Mode.PAPER)
    words = shortened(title, width - text_width(scale, 7.5) - 14, 9.5, bold=True)
    length = text_width(words, 9.5, bold=True)
    return (
        f'<g class="caption" fill="{ink}">{text(left, baseline, words, 9.5, bold=True)}{text(left + length + 10, baseline, scale, 7.5)}'
        f'<path d="M{number(left)} {number(baseline + 3.5)}h{number(length)}" fill="none" stroke="{ink}" stroke-width="0.8"/></g>'
    )
