"""Routes about jobs: what they say, and every way to change them."""

from collections.abc import Callable
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Query, Request

from slabwright.files.jobfile import write_job
from slabwright.outputs.marks import mark_svg
from slabwright.results.check import State
from slabwright.version import __version__
from slabwright.web.desk import Desk
from slabwright.web.drafting import read_point, spelled
from slabwright.web.new_job import QUESTIONS, example_cards, job_text
from slabwright.web.session import JOB_FILE, Session
from slabwright.web.views import (
    AtVersion,
    Conflict,
    DeskView,
    Edits,
    EditView,
    JobView,
    Move,
    NewJob,
    Place,
    PointView,
    Refusal,
    Remove,
    SettingsView,
    VersionName,
    VersionView,
)


def desk_of(request: Request) -> Desk:
    """The desk that serves a request."""
    found: Desk = request.app.state.desk
    return found


TheDesk = Annotated[Desk, Depends(desk_of)]
Typed = Annotated[str, Query(max_length=40, description="A length such as 16'-6 1/2\" or 5.05 m.")]
JobId = Annotated[str, Path(max_length=80, description="Name of the job, as the list of jobs gives it.")]
SAID: dict[int | str, dict[str, Any]] = {
    404: {"model": Refusal, "description": "There is no such thing here."},
    403: {"model": Refusal, "description": "Not from the desk's own page."},
    413: {"model": Refusal, "description": "Too large."},
    421: {"model": Refusal, "description": "Asked under a foreign name."},
    422: {"model": Refusal, "description": "It cannot be taken, and why."},
}
CHANGING: dict[int | str, dict[str, Any]] = {409: {"model": Conflict, "description": "The job has moved on; how to merge."}}

router = APIRouter(prefix="/api", tags=["jobs"], responses=SAID)


@router.get("/desk")
def read_desk(desk: TheDesk) -> DeskView:
    """Jobs of the folder, examples, questions of a new job."""
    return DeskView(
        program=f"slabwright {__version__}",
        folder=desk.workshop.root.name,
        jobs=desk.workshop.cards(),
        examples=example_cards(),
        questions=list(QUESTIONS),
        marks={state.value: mark_svg(state) for state in State},
    )


@router.post("/jobs", status_code=201)
def begin_job(desk: TheDesk, wish: NewJob) -> JobView:
    """A new job, from answers or as a copy of an example."""
    from slabwright.files.examples import write_example

    folder = desk.workshop.new_folder(wish.folder)
    if wish.example is not None:
        write_example(folder, wish.example)
    else:
        text = job_text(wish.answers or {})
        folder.mkdir(parents=True)
        write_job(folder / JOB_FILE, text)
    return desk.session(folder.name).view(folder.name)


@router.get("/settings")
def read_settings(desk: TheDesk) -> SettingsView:
    """Wishes of the one who sits at the desk."""
    return desk.settings()


@router.put("/settings")
def write_settings(desk: TheDesk, wishes: SettingsView) -> SettingsView:
    """Remember wishes."""
    desk.remember(wishes)
    return wishes


@router.get("/jobs/{job}")
def read_job(desk: TheDesk, job: JobId) -> JobView:
    """A job as it stands."""
    return desk.session(job).view(job)


def _changed(desk: Desk, job: str, change: Callable[[Session], None]) -> JobView:
    session = desk.session(job)
    change(session)
    return session.view(job)


@router.patch("/jobs/{job}", responses=CHANGING)
def change_job(desk: TheDesk, job: JobId, edits: Edits) -> JobView:
    """Change values of the job file by key path."""
    return _changed(desk, job, lambda session: session.changed(edits.version, edits.changes, edits.what))


@router.post("/jobs/{job}/move", responses=CHANGING)
def move_thing(desk: TheDesk, job: JobId, move: Move) -> JobView:
    """Put a point of a thing on the plan elsewhere."""
    return _changed(desk, job, lambda session: session.move(move))


@router.post("/jobs/{job}/place", responses=CHANGING)
def place_thing(desk: TheDesk, job: JobId, place: Place) -> JobView:
    """Add a thing to the plan."""
    return _changed(desk, job, lambda session: session.place(place))


@router.get("/jobs/{job}/point")
def read_typed_point(desk: TheDesk, job: JobId, east: Typed, north: Typed) -> PointView:
    """A typed place on the plan, read."""
    family = desk.session(job).family
    at = read_point(east, north)
    return PointView(at_m=at, texts=(spelled(at[0], family), spelled(at[1], family)))


@router.post("/jobs/{job}/remove", responses=CHANGING)
def remove_thing(desk: TheDesk, job: JobId, wish: Remove) -> JobView:
    """Take a thing, or a corner of it, off the plan."""
    return _changed(desk, job, lambda session: session.remove(wish))


@router.post("/jobs/{job}/undo", responses=CHANGING)
def undo(desk: TheDesk, job: JobId, at: AtVersion) -> JobView:
    """Back to the state before."""
    return _changed(desk, job, lambda session: session.undo(at.version))


@router.post("/jobs/{job}/redo", responses=CHANGING)
def redo(desk: TheDesk, job: JobId, at: AtVersion) -> JobView:
    """On to the state that was left by undoing."""
    return _changed(desk, job, lambda session: session.redo(at.version))


@router.get("/jobs/{job}/history")
def read_history(desk: TheDesk, job: JobId) -> list[EditView]:
    """The edits that led here, the latest first."""
    return [EditView(at=one.at, what=one.what) for one in desk.session(job).history.latest()]


@router.post("/jobs/{job}/file/take")
def take_file(desk: TheDesk, job: JobId) -> JobView:
    """Go on from the file as it was changed outside the desk."""
    return _changed(desk, job, Session.take_file)


@router.post("/jobs/{job}/file/keep")
def keep_mine(desk: TheDesk, job: JobId) -> JobView:
    """Go on from the desk's state; the changed file is kept in the history."""
    return _changed(desk, job, Session.keep_mine)


@router.get("/jobs/{job}/versions")
def read_versions(desk: TheDesk, job: JobId) -> list[VersionView]:
    """Named versions."""
    return desk.session(job).versions()


@router.post("/jobs/{job}/versions", status_code=201)
def name_version(desk: TheDesk, job: JobId, wish: VersionName) -> list[VersionView]:
    """Give the present state a name."""
    session = desk.session(job)
    session.history.name_version(wish.name)
    return session.versions()


@router.delete("/jobs/{job}/versions/{name}")
def forget_version(desk: TheDesk, job: JobId, name: Annotated[str, Path(max_length=80)]) -> list[VersionView]:
    """Take the name off a version; its state stays in the history."""
    session = desk.session(job)
    session.history.version_text(name)
    session.history.forget_version(name)
    return session.versions()


@router.post("/jobs/{job}/versions/{name}/restore", responses=CHANGING)
def restore_version(desk: TheDesk, job: JobId, name: Annotated[str, Path(max_length=80)], at: AtVersion) -> JobView:
    """Go back to a named version, as a new edit."""
    return _changed(desk, job, lambda session: session.restore(at.version, name))
