"""The whole job file as tables, and the job that they describe."""

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, time
from types import MappingProxyType
from typing import Annotated, Any, TypeVar

from pydantic import Field

from slabwright.files.jobfile.assembled import assembled
from slabwright.files.jobfile.positions import Path
from slabwright.files.jobfile.tables_loads import ALL_PADS, PostTable, WallTable
from slabwright.files.jobfile.tables_shape import (
    BuildingTable,
    EdgeTable,
    FloorTable,
    JobHead,
    PadTable,
    Placed,
    PlaceTable,
    SoilTable,
    StripTable,
)  # fmt: skip
from slabwright.files.jobfile.tables_supply import (
    CrewTable,
    DecisionTable,
    FormsTable,
    JointTable,
    MixTable,
    PlantTable,
    PriceList,
    SignatureTable,
    ToleranceTable,
)  # fmt: skip
from slabwright.files.jobfile.tables_under import BarsTable, BaseTable, EmbedTable, InsulationTable, MeshTable, PipeTable, RetarderTable
from slabwright.files.jobfile.trade import JobTable, about, needed
from slabwright.files.jobfile.values import Whole
from slabwright.model.concrete import Pad, PadShape, Strip
from slabwright.model.job import Codes, Job
from slabwright.model.loads import Post
from slabwright.model.steel import Mesh
from slabwright.model.supply import Prices
from slabwright.results.check import Assumption
from slabwright.units import Family

Point = tuple[float, float]
Table = TypeVar("Table", bound=JobTable)


class JobFile(JobTable):
    """A job file: what the builder knows about one slab. Every quantity is a text with its unit, US or SI."""

    schema_number: Annotated[int | None, Whole(1, least=1)] = about("Edition of this format; 1 if silent.", alias="schema")
    job: JobHead = Field(default_factory=JobHead)
    place: PlaceTable = Field(default_factory=PlaceTable)
    building: BuildingTable = Field(default_factory=BuildingTable)
    soil: SoilTable = Field(default_factory=SoilTable)
    floor: FloorTable = needed("")
    edge: EdgeTable | None = about("")
    strips: list[StripTable] | None = about("")
    pads: list[PadTable] | None = about("")
    posts: list[PostTable] | None = about("")
    walls: list[WallTable] | None = about("")
    pipes: list[PipeTable] | None = about("")
    embeds: list[EmbedTable] | None = about("")
    base: BaseTable | None = about("")
    retarder: RetarderTable | None = about("")
    insulation: list[InsulationTable] | None = about("")
    mesh: MeshTable | None = about("")
    bars: list[BarsTable] | None = about("")
    joints: JointTable = Field(default_factory=JointTable)
    mix: MixTable | None = about("")
    forms: FormsTable = Field(default_factory=FormsTable)
    crew: CrewTable = Field(default_factory=CrewTable)
    plant: PlantTable = Field(default_factory=PlantTable)
    prices: Annotated[Prices | None, PriceList()] = about(
        'By line of the order list, such as `"concrete" = "158 per yd3"`, `"1.10 per ft2"` or `"38 each"`, and fees; optional. Bars go by '
        'size and stock length, `"steel.bars.No.4.20ft" = "9.80 each"`: where every length of a size has a price they are cut for the '
        "least money, else for the least length."
    )
    tolerances: ToleranceTable = Field(default_factory=ToleranceTable)
    decisions: list[DecisionTable] | None = about("")
    signatures: list[SignatureTable] | None = about("")


@dataclass(frozen=True, slots=True)
class Built:
    """A job and where each of its named things stands in the file.

    Attributes
    ----------
    job : Job
    places : dict
        Section and number in the job, such as ``("pads", 3)``, to the path of its position.
    faults : tuple
        Names that are given twice or lead nowhere, with their paths.
    """

    job: Job
    places: dict[tuple[str, int], Path]
    faults: tuple[tuple[Path, str], ...]


def built(file: JobFile, *, name: str, family: Family, assumptions: Sequence[Assumption], digest: str) -> Built:
    """The job of a file whose silent keys have been filled."""
    faults: list[tuple[Path, str]] = []
    places: dict[tuple[str, int], Path] = {}
    floor, head = file.floor.built(), file.job
    pads = _pads(file, places, faults)
    strips = [assembled(Strip, one, name=label, run=one.slope) for label, one in _named(file.strips, "strips", "S", faults)]
    xs, ys = zip(*floor.outline, strict=True)
    _check_only(file, {pad.name for pad in pads} | {strip.name for strip in strips}, faults)
    job = Job(
        name=head.name or name,
        family=family,
        codes=assembled(Codes, head),
        floor=floor,
        place=file.place.built(),
        building=file.building.built(),
        soil=file.soil.built(),
        edge=file.edge.built() if file.edge else None,
        strips=tuple(strips),
        pads=tuple(pads),
        posts=tuple(_posts(file, pads, places, faults)),
        walls=tuple(one.built(label) for label, one in _named(file.walls, "walls", "W", faults)),
        pipes=tuple(one.built(label) for label, one in _named(file.pipes, "pipes", "pipe ", faults)),
        embeds=tuple(one.built(label) for label, one in _named(file.embeds, "embeds", "embed ", faults)),
        base=file.base.built() if file.base else None,
        retarder=file.retarder.built() if file.retarder else None,
        insulation=tuple(one.built() for one in file.insulation or ()),
        mesh=_mesh(file.mesh, pads, faults) if file.mesh else None,
        bars=tuple(one.built() for one in file.bars or ()),
        joints=file.joints.built((min(xs), min(ys), max(xs), max(ys))),
        mix=file.mix.built() if file.mix else None,
        forms=file.forms.built(),
        crew=file.crew.built(),
        plant=file.plant.built(),
        prices=file.prices,
        tolerances=file.tolerances.built(),
        decisions=tuple(one.built() for one in file.decisions or ()),
        signatures=tuple(one.built() for one in file.signatures or ()),
        assumptions=tuple(assumptions),
        digest=digest,
    )
    for section in ("strips", "walls", "pipes", "embeds"):
        places |= {(section, number): (section, number) for number in range(len(getattr(job, section)))}
    return Built(job, places, tuple(faults))


def digest_of(document: dict[str, Any]) -> str:
    """Short hash of what a file says; comments, order and layout do not count."""
    text = json.dumps(document, sort_keys=True, default=lambda one: one.isoformat() if isinstance(one, date | time) else str(one))
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def _named(tables: list[Table] | None, section: str, prefix: str, faults: list[tuple[Path, str]]) -> list[tuple[str, Table]]:
    """Tables with their names, numbered where silent; a name given twice is a fault."""
    named, taken = [], set[str]()
    for number, table in enumerate(tables or ()):
        label = getattr(table, "name", None) or f"{prefix}{number + 1}"
        _claim(label, taken, (section, number, "name"), faults)
        named.append((label, table))
    return named


def _claim(label: str, taken: set[str], path: Path, faults: list[tuple[Path, str]]) -> None:
    if label in taken:
        faults.append((path, f'the name "{label}" is taken already; give each its own.'))
    taken.add(label)


def _positions(
    tables: Sequence[Placed] | None, section: str, prefix: str, faults: list[tuple[Path, str]]
) -> Iterator[tuple[str, Point, Path, int]]:
    """Name, place, path and table number of each thing; like letters are numbered on from entry to entry."""
    counts: dict[str, int] = {}
    taken = set[str]()
    for number, table in enumerate(tables or ()):
        places = table.places()
        if table.names is not None and len(table.names) != len(places):
            text = f"holds {len(table.names)} names for {len(places)} positions; give one for each, or use name."
            faults.append(((section, number, "names"), text))
            continue
        for index, place in enumerate(places):
            if table.names is not None:
                label = table.names[index]
            elif table.name is not None and len(places) == 1:
                label = table.name
            else:
                letters = table.name or prefix
                counts[letters] = counts.get(letters, 0) + 1
                label = f"{letters}{counts[letters]}"
            path: Path = (section, number, "grid" if table.at is None else "at")
            path = (*path, index) if table.at is not None and len(places) > 1 else path
            _claim(label, taken, path, faults)
            yield label, place, path, number


def _pads(file: JobFile, places: dict[tuple[str, int], Path], faults: list[tuple[Path, str]]) -> list[Pad]:
    pads: list[Pad] = []
    for label, place, path, number in _positions(file.pads, "pads", "P", faults):
        table = (file.pads or [])[number]
        size = table.size or (table.diameter or 0.0, table.diameter or 0.0)
        shape = PadShape.RECTANGLE if table.diameter is None else PadShape.CIRCLE
        places["pads", len(pads)] = path
        pads.append(assembled(Pad, table, name=label, at=place, shape=shape, size_x_m=size[0], size_y_m=size[1], run=table.slope))
    return pads


def _posts(file: JobFile, pads: Sequence[Pad], places: dict[tuple[str, int], Path], faults: list[tuple[Path, str]]) -> Iterator[Post]:
    standing = {pad.name: pad.at for pad in pads}
    for number, table in enumerate(file.posts or ()):
        if table.on == ALL_PADS:
            table.names, table.at = table.names or tuple(standing), tuple(standing.values())
        elif table.on is not None:
            for index, name in enumerate(table.on):
                if name not in standing and file.pads is not None:
                    known = ", ".join(list(standing)[:8]) or "none"
                    faults.append((("posts", number, "on", index), f'"{name}" is no pad of this job; there are {known}.'))
            found = tuple(name for name in table.on if name in standing)
            table.names, table.at = table.names or found, tuple(standing[name] for name in found)
    for count, (label, place, path, number) in enumerate(_positions(file.posts, "posts", "C", faults)):
        table = (file.posts or [])[number]
        places["posts", count] = path if table.on is None else ("posts", number, "on")
        yield assembled(
            Post,
            table,
            name=label,
            at=place,
            base_x_m=table.base[0],
            base_y_m=table.base[1],
            reactions=MappingProxyType(table.loads or {}),
            tributary=table.tributary.built() if table.tributary else None,
            anchor=table.anchor.built() if table.anchor else None,
        )


def _mesh(table: MeshTable, pads: Sequence[Pad], faults: list[tuple[Path, str]]) -> Mesh:
    """The mesh, with the pads over which it is cut out by name."""
    names = tuple(pad.name for pad in pads)
    asked = table.cut_out or ()
    if asked == ALL_PADS:
        if not names:
            faults.append((("mesh", "cut_out"), "this job has no pads; leave the line out."))
        return replace(table.built(), cut_out=names)
    known = ", ".join(names[:8]) or "none"
    faults += [
        (("mesh", "cut_out", index), f'"{name}" is no pad of this job; there are {known}.')
        for index, name in enumerate(asked)
        if name not in names
    ]
    return table.built()


def _check_only(file: JobFile, names: set[str], faults: list[tuple[Path, str]]) -> None:
    for number, bars in enumerate(file.bars or ()):
        for index, name in enumerate(bars.only or ()):
            if name not in names:
                known = ", ".join(sorted(names)[:8]) or "none"
                faults.append((("bars", number, "only", index), f'"{name}" is no pad or strip of this job; there are {known}.'))
