"""What the API says and takes: every shape of its JSON, from which the page's own types are generated."""

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Written = str | bool | int | float | list[Any] | dict[str, Any] | None


class View(BaseModel):
    """Sent to the page."""

    model_config = ConfigDict(frozen=True)


class Wish(BaseModel):
    """Sent by the page; unknown keys are refused."""

    model_config = ConfigDict(extra="forbid")


class FindingView(View):
    where: str
    message: str
    line: int | None = None
    warning: bool = False


class FieldView(View):
    """One value of the job file, stated or silent."""

    path: str
    label: str
    kind: Literal["text", "quantity", "choice", "flag", "number", "shape"]
    text: str | None = Field(description="As written; null where the file is silent.")
    silent: str = Field(default="", description="What goes without saying.")
    choices: list[str] = []
    help: str = ""
    example: str = ""
    required: bool = False


class EntryView(View):
    """One table of the job file: a section, or one entry of a list of like things."""

    path: str
    title: str
    stated: bool
    fields: list[FieldView]


class SectionView(View):
    """A part of the job that studies read as a whole."""

    key: str
    title: str
    help: str
    listed: bool = Field(description="True where it holds a list of entries.")
    entries: list[EntryView]
    blank: EntryView | None = Field(default=None, description="An empty entry to add one by.")


class ThingView(View):
    """Something that stands on the plan and can be taken hold of there."""

    section: str
    number: int
    name: str
    shape: Literal["ring", "line", "point"]
    path: str
    points_m: list[tuple[float, float]]
    texts: list[tuple[str, str]]
    around_m: list[list[tuple[float, float]]] = Field(default=[], description="What it takes up on the plan, for drawing.")
    sides: list[str] = Field(default=[], description="Length of each side, from its point to the next.")
    fixed: bool = Field(default=False, description="True where it follows another thing and cannot be moved by itself.")


class FileView(View):
    """The job file on disk against the state of the desk."""

    changed_underneath: bool
    readable: bool
    differences: list["Difference"] = []


class Difference(View):
    """A value that two states of a job file hold differently."""

    path: str
    words: str = Field(default="", description="The same as the page names it.")
    before: str | None
    after: str | None


class JobView(View):
    """A job as it stands."""

    id: str
    name: str
    version: str
    family: Literal["US", "SI"]
    can_undo: str | None
    can_redo: str | None
    findings: list[FindingView]
    sections: list[SectionView]
    things: list[ThingView]
    file: FileView
    street_side: str


class JobCard(View):
    id: str
    name: str
    readable: bool


class ExampleView(View):
    name: str
    title: str
    about: str


class QuestionView(View):
    key: str
    question: str
    kind: Literal["text", "quantity", "choice"]
    choices: list[str] = []
    help: str = ""
    preset: str = ""
    preset_si: str = ""


class DeskView(View):
    """Where the desk stands: its jobs, the examples, the questions of a new job."""

    program: str
    folder: str
    jobs: list[JobCard]
    examples: list[ExampleView]
    questions: list[QuestionView]
    marks: dict[str, str] = Field(description="The shape of each state, as SVG.")


class NewJob(Wish):
    folder: str = Field(min_length=1, max_length=60)
    example: str | None = None
    answers: dict[str, str] | None = None


class Edits(Wish):
    """Values to change, by key path; null takes an entry out."""

    version: str = Field(max_length=64)
    changes: dict[str, Written] = Field(min_length=1, max_length=500)
    what: str = Field(default="", max_length=200)


class Move(Wish):
    """A point of a thing on the plan, or all of it, to be put elsewhere: in metres as drawn, as typed, or by the length of a side."""

    version: str = Field(max_length=64)
    section: str = Field(max_length=40)
    number: int = Field(ge=0)
    point: int = Field(default=0, ge=0)
    to_m: tuple[float, float] | None = None
    to: tuple[str, str] | None = None
    whole: bool = Field(default=False, description="All its points go along.")
    length: str | None = Field(default=None, max_length=40, description="Of the side from the point to the next, which goes along it.")
    snap: str = Field(default="", max_length=20, description="Grid that a drawn place is put on, such as 1 in.")


class Place(Wish):
    """A new thing on the plan."""

    version: str = Field(max_length=64)
    section: str = Field(max_length=40)
    points_m: list[tuple[float, float]] = Field(min_length=1, max_length=200)
    columns: int = Field(default=1, ge=1, le=200, description="Of a grid of pads or posts between two points.")
    rows: int = Field(default=1, ge=1, le=200)
    snap: str = Field(default="", max_length=20)


class PointView(View):
    """A place that was typed, as the desk reads it."""

    at_m: tuple[float, float]
    texts: tuple[str, str]


class Remove(Wish):
    version: str = Field(max_length=64)
    section: str = Field(max_length=40)
    number: int = Field(ge=0)
    point: int | None = Field(default=None, ge=0, description="Only this corner of it.")


class AtVersion(Wish):
    version: str = Field(max_length=64)


class Conflict(View):
    """Why an edit was not taken: the job is at another version by now."""

    message: str
    version: str
    underneath: bool = Field(description="True where the file itself was changed outside the desk.")
    others: list[Difference]
    clashes: list[str] = Field(description="Key paths that both sides changed; empty where the edit can be sent again as it is.")


class Refusal(View):
    """Why something was not taken."""

    message: str
    findings: list[FindingView] = []


class VersionView(View):
    name: str
    at: str
    here: bool


class EditView(View):
    at: str
    what: str


class OutlineRing(View):
    points_m: list[tuple[float, float]]
    texts: list[tuple[str, str]]
    area: str
    size: str


class OutlinePreview(View):
    """What was understood of an outline file."""

    token: str
    layers: list[str]
    layer: str
    unit: str
    unit_stated: bool
    units: list[str]
    sizes: list[str] = Field(default=[], description="How large the largest shape is in each of the units.")
    rings: list[OutlineRing]
    message: str
    svg: str


class SitePreview(View):
    """What was understood of a file of measurements or forecasts."""

    token: str
    name: str
    kind: str
    summary: list[str]
    findings: list[FindingView]


class Take(Wish):
    version: str = Field(max_length=64)
    token: str = Field(max_length=64)
    ring: int = Field(default=0, ge=0, le=200)


class VersionName(Wish):
    name: str = Field(min_length=1, max_length=80)


class SettingsView(BaseModel):
    """Wishes of the one who sits at the desk."""

    model_config = ConfigDict(extra="forbid")
    mode: Literal["light", "dark", "sun"] = "light"


FileView.model_rebuild()
