"""The underside of the concrete, hatched by depth, and the table of its parts."""

from typing import TYPE_CHECKING

from slabwright.geometry.drawing import outline_items
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.geometry.takeoff import contact_areas
from slabwright.geometry.underside import underside
from slabwright.results.picture import Item, Layer, Note, Picture
from slabwright.results.table import Cell, Column, Table
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import LENGTH, Family, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.shape.study import ShapeResult


def present(inputs: Inputs, done: Done, result: "ShapeResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """The underside and the table of parts."""
    return Presentation(pictures=(_picture(result.foundation, inputs.job.family),), tables=(_parts(result), _reckonings(result)))


def _picture(foundation: Foundation, family: Family) -> Picture:
    items: list[Item] = [*underside(foundation), *outline_items(foundation)]
    kinds: dict[tuple[PartKind, float], list[str]] = {}
    for part in foundation.parts:
        kinds.setdefault((part.kind, part.depth_m), []).append(part.name)
        if part.kind in (PartKind.PAD, PartKind.STRIP):
            place = part.bottom.representative_point()
            items.append(Note(layer=Layer.TEXT, at=(place.x, place.y), text=part.name, bold=True))
    notes = tuple(f"{_listed(names)}: {format_quantity(depth, LENGTH, family)} deep" for (_, depth), names in kinds.items())
    return Picture(
        key="underside",
        title="What lies under the floor; the denser the hatch, the deeper",
        items=tuple(items),
        alt="Plan of the underside: " + "; ".join(notes) + ".",
        notes=notes,
    )


def _listed(names: list[str]) -> str:
    return ", ".join(names) if len(names) <= 4 else f"{names[0]} to {names[-1]}, {len(names)} alike"


def _parts(result: "ShapeResult") -> Table:
    """Alike pads stand in one row."""
    rows: dict[tuple[Cell, ...], list[str]] = {}
    sums: dict[tuple[Cell, ...], list[float]] = {}
    for one, contact in zip(result.volumes.parts, contact_areas(result.foundation), strict=True):
        part = one.part
        key = (part.depth_m,) if part.kind is PartKind.PAD else (part.depth_m, part.name)
        rows.setdefault(key, []).append(part.name)
        figures = (one.inside_m3, one.outside_m3, contact.level_m2, contact.sloped_m2)
        sums[key] = [a + b for a, b in zip(sums.get(key, [0.0] * 4), figures, strict=True)]
    columns: list[Column | str] = [
        "Part",
        Column("Depth", "m"),
        Column("Adds", "m3"),
        Column("Outside the forms", "m3"),
        Column("Level", "m2"),
        Column("Sloped", "m2"),
    ]
    body: list[list[Cell]] = [[_listed(names), key[0], *sums[key]] for key, names in rows.items()]
    total = [sum(column) for column in zip(*sums.values(), strict=True)]
    return Table.of(
        "Concrete by part",
        columns,
        [*body, ["all", None, *total]],
        note="Each part adds what it holds below the floor and the parts above it in this list; overlaps are counted once.",
    )


def _reckonings(result: "ShapeResult") -> Table:
    """The shape beside a reckoning with plain rectangles."""
    plain, volumes = result.rectangles, result.volumes
    exact = [volumes.of_kind_m3(kind) for kind in (PartKind.FLOOR, PartKind.STRIP, PartKind.EDGE, PartKind.PAD)] + [volumes.outside_m3]
    flat = [plain.floor_m3, plain.strips_m3, plain.edge_m3, plain.pads_m3, 0.0]
    names = ("floor", "strips", "edge", "pads", "outside the forms")
    rows: list[list[Cell]] = [[name, a, b, a - b] for name, a, b in zip(names, exact, flat, strict=True) if max(a, b) > 0.0]
    columns: list[Column | str] = ["Part", Column("As shaped", "m3"), Column("As rectangles", "m3"), Column("Missing", "m3")]
    return Table.of(
        "Against plain rectangles",
        columns,
        [*rows, ["all", sum(exact), sum(flat), sum(exact) - sum(flat)]],
        note="Rectangles leave out sloped sides and what stands outside the forms, and count overlaps and corners twice.",
    )
