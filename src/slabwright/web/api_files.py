"""Routes about files that are dropped on the desk: what was understood is shown before it is taken."""

from typing import Annotated

import shapely
from fastapi import APIRouter, Form, UploadFile

from slabwright.errors import Finding, InputError
from slabwright.outputs.look import Mode
from slabwright.outputs.svg import picture_svg
from slabwright.results.picture import Area, Hatch, Layer, Picture
from slabwright.units import AREA, LENGTH, Family, format_quantity
from slabwright.web.apart import read_apart
from slabwright.web.api_jobs import CHANGING, SAID, JobId, TheDesk
from slabwright.web.drafting import spelled
from slabwright.web.outline_file import UNITS_M, Outlines, Ring, outlines_in_drawing, outlines_in_table
from slabwright.web.session import finding_view
from slabwright.web.site_file import KINDS, LARGEST_FILE, Understood, take, understood
from slabwright.web.views import JobView, OutlinePreview, OutlineRing, SitePreview, Take

router = APIRouter(prefix="/api/jobs/{job}/imports", tags=["imports"], responses=SAID)
_LIKELY = {Family.US: ("in", "ft", "mm", "m", "cm"), Family.SI: ("mm", "m", "cm", "in", "ft")}
Word = Annotated[str, Form(max_length=200)]


@router.post("/outline")
def preview_outline(
    desk: TheDesk,
    job: JobId,
    file: UploadFile | None = None,
    table: Annotated[str, Form(max_length=200_000)] = "",
    layer: Word = "",
    unit: Word = "",
) -> OutlinePreview:
    """The outlines in a DXF drawing or a pasted table."""
    family = desk.session(job).family
    if file is not None:
        found = read_apart(outlines_in_drawing, _content(file), layer, unit, _LIKELY[family])
    elif table.strip():
        found = outlines_in_table(table, unit)
    else:
        raise InputError("outline", [Finding(where="file", message="is missing; choose a DXF drawing or paste a table of corners.")])
    return OutlinePreview(
        token=desk.keep_preview(found.rings),
        layers=list(found.layers),
        layer=found.layer,
        unit=found.unit,
        unit_stated=found.stated,
        units=list(UNITS_M),
        sizes=_sizes(found, family),
        rings=[_ring(one, family) for one in found.rings],
        message=_message(found, family),
        svg=_preview(found.rings, family),
    )


@router.post("/outline/take", responses=CHANGING)
def take_outline(desk: TheDesk, job: JobId, wish: Take) -> JobView:
    """Make an outline that was shown the outline of the floor."""
    session = desk.session(job)
    rings: tuple[Ring, ...] = desk.preview(wish.token)
    if not isinstance(rings, tuple) or wish.ring >= len(rings):
        raise InputError("outline", [Finding(where="ring", message=f"there are {len(rings) if isinstance(rings, tuple) else 0} shapes.")])
    family = session.family
    corners = [[spelled(x, family), spelled(y, family)] for x, y in rings[wish.ring]]
    session.changed(wish.version, {"floor.outline": corners}, "Outline from a file")
    return session.view(job)


@router.get("/site")
def site_kinds(desk: TheDesk, job: JobId) -> dict[str, list[str]]:
    """What can lie beside the job file, and under which names."""
    desk.session(job)
    return {kind: list(names) for kind, names in KINDS.items()}


@router.post("/site")
def preview_site(desk: TheDesk, job: JobId, file: UploadFile, kind: Word) -> SitePreview:
    """What a file of measurements or forecasts says."""
    session = desk.session(job)
    if session.standing.loaded is None:
        raise InputError("job.toml", session.standing.findings)
    found = read_apart(understood, _content(file), file.filename or "", kind, str(session.folder))
    return SitePreview(
        token=desk.keep_preview(found),
        name=found.name,
        kind=kind,
        summary=list(found.summary),
        findings=[finding_view(one) for one in found.findings[:100]],
    )


@router.post("/site/take")
def take_site(desk: TheDesk, job: JobId, wish: Take) -> JobView:
    """Put a file that was shown beside the job file, and work the plan with it."""
    session = desk.session(job)
    found = desk.preview(wish.token)
    if not isinstance(found, Understood):
        raise InputError("file", [Finding(where="token", message="is that of an outline; choose the file again.")])
    take(session.folder, found)
    desk.replan(job)
    return session.view(job)


def _content(file: UploadFile) -> bytes:
    content = file.file.read(LARGEST_FILE + 1)
    if len(content) > LARGEST_FILE:
        raise InputError("file", [Finding(where="file", message=f"is larger than {LARGEST_FILE // 1_000_000} MB.")])
    return content


def _ring(ring: Ring, family: Family) -> OutlineRing:
    polygon = shapely.Polygon(ring)
    left, bottom, right, top = polygon.bounds
    size = " x ".join(format_quantity(one, LENGTH, family) for one in (right - left, top - bottom))
    texts = [(spelled(x, family), spelled(y, family)) for x, y in ring]
    return OutlineRing(points_m=list(ring), texts=texts, area=format_quantity(polygon.area, AREA, family), size=size)


def _sizes(found: Outlines, family: Family) -> list[str]:
    """How large the largest shape is in each unit that it may be drawn in."""
    if found.unit not in UNITS_M:
        return []
    factors = [one / UNITS_M[found.unit] for one in UNITS_M.values()]
    return [_ring(tuple((x * one, y * one) for x, y in found.rings[0]), family).size for one in factors]


def _message(found: Outlines, family: Family) -> str:
    count = len(found.rings)
    what = f"{count} closed shape{'s' if count != 1 else ''}" + (f' on layer "{found.layer}"' if found.layer else "")
    unit = "" if found.stated else " The file states no unit."
    return f"{what}; the largest is {_ring(found.rings[0], family).size}. Its south-west corner becomes the origin.{unit}"


def _preview(rings: tuple[Ring, ...], family: Family) -> str:
    items = tuple(
        Area(layer=Layer.CONCRETE_SEEN, outline=ring, hatch=Hatch.SPARSE if number == 0 else Hatch.NONE)
        for number, ring in enumerate(rings)
    )
    return picture_svg(
        Picture(key="outline-preview", title="What was understood", items=items), family, mode=Mode.SCREEN, width=420, height=300
    )
