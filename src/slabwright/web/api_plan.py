"""Routes about the plan: strips, news while it is worked, cuts, bodies, comparisons, papers."""

import asyncio
import base64
import io
import json
import zipfile
from collections.abc import AsyncIterator
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Path, Query, Request
from fastapi.responses import Response, StreamingResponse

from slabwright.errors import Finding, InputError
from slabwright.store.database import FILE as HISTORY_FILE
from slabwright.store.database import history_snapshot
from slabwright.web.api_jobs import SAID, JobId, TheDesk
from slabwright.web.desk import Desk
from slabwright.web.differences import differences
from slabwright.web.plan_views import (
    Comparison,
    JointLineView,
    LiveView,
    MapCard,
    MapView,
    MeasureView,
    MeshView,
    OpenStrip,
    PlanView,
    SectionCut,
    WhatIfView,
)

router = APIRouter(prefix="/api/jobs/{job}", tags=["plan"], responses=SAID)
Metres = Annotated[float, Query(ge=-100_000, le=100_000, allow_inf_nan=False, description="On the plan. [m]")]
Name = Annotated[str, Path(max_length=60)]
Lever = Annotated[float | None, Query(ge=0, le=1000, allow_inf_nan=False)]
_KINDS = {
    "book.pdf": "application/pdf",
    "quantities.xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "plan.svg": "image/svg+xml",
    "plan.json": "application/json",
    "papers.zip": "application/zip",
}
_KEEP_ALIVE_S = 15.0
_LARGEST_ARCHIVE = 200_000_000


def _saved_as(name: str) -> dict[str, str]:
    """Under which name a browser saves it; any letter of a folder's name may stand in it."""
    return {"Content-Disposition": f"attachment; filename*=UTF-8''{quote(name, safe='')}"}


def _json(text: str) -> Response:
    return Response(text, media_type="application/json")


@router.get("/plan")
def read_plan(desk: TheDesk, job: JobId) -> PlanView:
    """The strips; the first look starts the work."""
    return desk.board(job).view()


@router.post("/plan/cancel")
def cancel_plan(desk: TheDesk, job: JobId) -> PlanView:
    """End the run; what was answered stays."""
    desk.session(job)
    desk.engine.cancel(job)
    return desk.board(job).view()


@router.post("/plan/again")
def plan_again(desk: TheDesk, job: JobId) -> PlanView:
    """Go on with a run that was ended."""
    desk.replan(job)
    return desk.board(job).view()


@router.get("/strips/{key}", response_model=OpenStrip)
def read_strip(desk: TheDesk, job: JobId, key: Name) -> Response:
    """An opened strip."""
    return _json(desk.ask("strip", job, key=key))


@router.get("/cut", response_model=SectionCut)
def read_cut(desk: TheDesk, job: JobId, x1: Metres, y1: Metres, x2: Metres, y2: Metres) -> Response:
    """A section along a line."""
    return _json(desk.ask("cut", job, start=(x1, y1), end=(x2, y2)))


@router.get("/measure", response_model=MeasureView)
def read_measure(desk: TheDesk, job: JobId, x1: Metres, y1: Metres, x2: Metres, y2: Metres, z1: Metres = 0.0, z2: Metres = 0.0) -> Response:
    """Distance between two picked points, and the thickness at each."""
    return _json(desk.ask("measure", job, start=(x1, y1), end=(x2, y2), heights=(z1, z2)))


@router.get("/maps")
def read_maps(desk: TheDesk, job: JobId) -> list[MapCard]:
    """Maps that can be laid under the plan."""
    return [MapCard.model_validate(one) for one in desk.ask("maps", job)]


@router.get("/maps/{study}/{key}", response_model=MapView)
def read_map(desk: TheDesk, job: JobId, study: Name, key: Name, scale: Annotated[float, Query(ge=1, le=400)] = 40.0) -> Response:
    """One map, in drawing units of so many to the metre."""
    return _json(desk.ask("map", job, study=study, map=key, scale=scale))


@router.get("/joints")
def read_joints(desk: TheDesk, job: JobId) -> list[JointLineView]:
    """The joint lines as the plan lays them now."""
    return [JointLineView.model_validate(one) for one in desk.ask("joint lines", job)]


@router.get("/what-if", response_model=WhatIfView)
def read_what_if(
    desk: TheDesk, job: JobId, trucks: Lever = None, pace: Lever = None, ahead: Lever = None, crew: Lever = None, start: Lever = None
) -> Response:
    """The pour day with a lever put elsewhere."""
    given = {"trucks": trucks, "pace": pace, "ahead": ahead, "crew": crew, "start": start}
    return _json(desk.ask("what if", job, tried={key: one for key, one in given.items() if one is not None}))


@router.get("/live", response_model=LiveView)
def read_live(
    desk: TheDesk, job: JobId, now: Annotated[str, Query(max_length=40)] = "", filled: Annotated[str, Query(max_length=40)] = ""
) -> Response:
    """What the tickets beside the job say of the rest of the pour."""
    return _json(desk.ask("live", job, now=now.strip(), filled=filled.strip()))


@router.get("/mesh", response_model=MeshView)
def read_mesh(desk: TheDesk, job: JobId) -> Response:
    """The body of the concrete."""
    return _json(desk.ask("mesh", job))


@router.get("/compare")
def compare(
    desk: TheDesk, job: JobId, before: Annotated[str, Query(max_length=80)], after: Annotated[str, Query(max_length=80)] = ""
) -> Comparison:
    """Two versions side by side; the present state where no second is named."""
    session = desk.session(job)
    texts = [session.history.version_text(name) if name else session.standing.text for name in (before, after)]
    moved: list[Any] = desk.ask("compare", job, before=texts[0], after=texts[1])
    return Comparison(before=before or "now", after=after or "now", inputs=differences(*texts), answers=moved)


@router.get("/papers/{name}", response_class=Response, responses={200: {"content": {kind: {} for kind in _KINDS.values()}}})
def read_paper(desk: TheDesk, job: JobId, name: Annotated[str, Path(max_length=40)]) -> Response:
    """The book, the order list, the plan sheet or the results for other programs."""
    content = base64.b64decode(desk.ask("paper", job, name=name))
    return Response(content, media_type=_KINDS[name], headers=_saved_as(f"{job}-{name}"))


@router.get("/archive", response_class=Response, responses={200: {"content": {"application/zip": {}}}})
def read_archive(desk: TheDesk, job: JobId) -> Response:
    """The job's folder as one archive."""
    session = desk.session(job)
    packed = io.BytesIO()
    size = 0
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(session.folder.rglob("*")):
            inside = path.relative_to(session.folder)
            if path.is_symlink() or not path.is_file() or any(part.startswith(".") for part in inside.parts) or path.suffix in _LEFT_OUT:
                continue
            size += path.stat().st_size
            if size > _LARGEST_ARCHIVE:
                too_large = f"is larger than {_LARGEST_ARCHIVE // 1_000_000} MB; copy it as it lies."
                raise InputError("archive", [Finding(where="the folder", message=too_large)])
            name = f"{session.folder.name}/{inside.as_posix()}"
            if path.name == HISTORY_FILE:
                archive.writestr(name, history_snapshot(path))
            else:
                archive.write(path, name)
    return Response(packed.getvalue(), media_type="application/zip", headers=_saved_as(f"{job}.zip"))


_LEFT_OUT = frozenset({".part", ".sqlite-wal", ".sqlite-shm"})


@router.get("/events", response_class=StreamingResponse, responses={200: {"content": {"text/event-stream": {}}}})
async def listen(request: Request, desk: TheDesk, job: JobId) -> StreamingResponse:
    """News about a job as it comes: progress, strips, changes of the job and its file."""
    await asyncio.to_thread(desk.board, job)
    return StreamingResponse(_news(request, desk, job), media_type="text/event-stream", headers={"Cache-Control": "no-store"})


async def _news(request: Request, desk: Desk, job: str) -> AsyncIterator[str]:
    queue = desk.listen(job)
    try:
        # told once the queue hears: a plan that is read from here on misses nothing
        yield 'retry: 1000\ndata: {"type": "open"}\n\n'
        while not (await request.is_disconnected() or desk.is_closing()):
            try:
                message = await asyncio.wait_for(queue.get(), timeout=_KEEP_ALIVE_S)
            except TimeoutError:
                yield ": still here\n\n"
                continue
            if desk.is_closing():
                return
            yield f"data: {json.dumps(message, ensure_ascii=False)}\n\n"
    finally:
        desk.leave(job, queue)
