"""What the API says of a plan: strips closed and opened, what an edit moved, cuts and bodies."""

from typing import Literal

from pydantic import Field

from slabwright.web.views import Difference, FindingView, View

StateName = Literal["holds", "near its limit", "does not hold", "ask", "waiting"]


class Run(View):
    """A piece of an answer sentence."""

    text: str
    figure: bool = False


class StripView(View):
    """A question with its answer, closed."""

    key: str
    question: str
    stage: str
    state: StateName
    answer: list[Run]
    fault: bool = False
    missing: list[str] = Field(default=[], description="Sections of the job file that a waiting answer asks for.")
    small: str | None = Field(default=None, description="A small drawing; null while it is being drawn, where an earlier one stays.")
    digest: str
    counts: dict[str, int]
    reads: list[str]


class BeforeView(View):
    """What a strip said before the latest edit."""

    answer: list[Run]
    state: StateName


class PlacedStrip(View):
    strip: StripView
    before: BeforeView | None = None


class PlanView(View):
    """The strips in the order of the work; a strip that is being worked anew keeps its earlier answer meanwhile."""

    version: str
    running: bool
    done: int
    total: int
    now: str
    strips: list[PlacedStrip]
    stages: list[str]
    whole: bool = Field(description="False where the run was ended or is not through.")
    message: str = Field(description="Why a run ended early.")
    notes: list[str] = Field(description="Records beside the job file that could not be used.")


class StepView(View):
    note: str
    symbols: str
    substituted: str
    result: str


class CheckView(View):
    key: str
    name: str
    where: str
    state: StateName
    demand: str
    limit: str
    ratio: str
    share: float = Field(description="The ratio, for drawing.")
    clause: str
    method: str
    governing: str
    remedy: str
    steps: list[StepView]


class ReferralView(View):
    to: str
    question: str
    where: str
    clause: str


class StatementView(View):
    where: str
    text: str
    clause: str


class LineView(View):
    key: str
    item: str
    quantity: str
    basis: str
    waste: str
    clause: str
    part: bool


class TaskView(View):
    what: str
    who: str
    when: str
    where: str


class TableView(View):
    title: str
    headings: list[str]
    rows: list[list[str]]
    numeric: list[bool]
    note: str


class PictureView(View):
    key: str
    title: str
    alt: str
    svg: str
    layers: list[str]
    notes: list[str]


class ClashView(View):
    """A clash between good rules that waits for a decision."""

    clash: str
    choices: list[str]


class OpenStrip(View):
    """Everything a strip holds."""

    key: str
    digest: str
    pictures: list[PictureView]
    checks: list[CheckView]
    referrals: list[ReferralView]
    assumptions: list[StatementView]
    cautions: list[StatementView]
    lines: list[LineView]
    tasks: list[TaskView]
    tables: list[TableView]
    to_settle: list[ClashView] = Field(default=[], description="Clashes between good rules that wait for a decision.")


class SectionCut(View):
    svg: str
    area: str
    length: str


class SteelView(View):
    """Steel of one size in its place, as centre lines."""

    name: str
    kind: Literal["bars", "mesh"]
    diameter_m: float
    lines: list[list[float]] = Field(description="Each x, y, z, x, y, z and so on. [m]")


class MeshView(View):
    """The concrete as triangles, in metres, z up from the top of the floor, and the steel in it."""

    positions: list[float]
    triangles: list[int]
    volume: str
    steel: list[SteelView]


class MeasureView(View):
    """From one picked point to another."""

    distance: str
    along_x: str
    along_y: str
    height: str = Field(description="How much higher the second point lies; negative where it lies lower.")
    straight: str = Field(description="The straight line between them, in space.")
    thickness: tuple[str, str]


class JointLineView(View):
    """A joint line as the plan lays it now."""

    name: str
    points_m: tuple[tuple[float, float], tuple[float, float]]
    said: str = Field(description="Its length and depth of cut.")


class MapCard(View):
    """A map that can be laid under the plan."""

    study: str
    key: str
    title: str


class MapView(View):
    """A map in drawing units of so many to the metre, its origin that of the plan, and its legend."""

    title: str
    alt: str
    svg: str
    scale: float
    legend: str
    notes: list[str]


class LeverView(View):
    """Something about the pour day that can be tried otherwise."""

    key: str
    words: str
    low: float
    high: float
    step: float
    value: float
    planned: float
    said: str


class FigureView(View):
    """A figure of the day as planned and as tried."""

    name: str
    planned: str
    tried: str
    moved: bool


class WhatIfView(View):
    """The pour day tried otherwise, on the same simulated days as the plan."""

    levers: list[LeverView]
    figures: list[FigureView]
    note: str


class LiveView(View):
    """What the tickets so far say of the rest of the pour."""

    sentences: list[str]
    findings: list[FindingView]


class AnswerMoved(View):
    key: str
    question: str
    before: list[Run]
    after: list[Run]
    before_state: StateName
    after_state: StateName
    figures: list[str] = Field(description="By how much its figures and ratios moved.")


class Comparison(View):
    """Two states of a job side by side."""

    before: str
    after: str
    inputs: list[Difference]
    answers: list[AnswerMoved]
