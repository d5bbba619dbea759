"""Sheets of those who build: crew lead, form setter, steel fixer, finisher, saw operator, plumber, frame crew."""

from slabwright.model.ground import Embed, EmbedKind
from slabwright.outputs.papers.blocks import Block, Reader, lines, sign
from slabwright.results.check import Ask
from slabwright.results.table import Column, Table
from slabwright.studies import shape

_MOST_ROWS = 26


def crew_lead(reader: Reader) -> list[Block]:
    """Go, each load, each lane."""
    return [
        *reader.answer("quantities"),
        *reader.answer("placement"),
        *reader.answer("pour_window"),
        *reader.picture("placement", "lanes"),
        *reader.points("go", "load", "lane"),
        *lines(
            "Numbers to call", ("Plant ............  Pump ............  Saw ............  Inspector ............  First aid ............",)
        ),
    ]


def form_setter(reader: Reader) -> list[Block]:
    """Setting out, then what holds the boards."""
    return [
        *reader.answer("lines"),
        *reader.picture("lines", "setting-out", share=0.85),
        *reader.table("lines", "Rectangles to check", most=8),
        *reader.answer("forms"),
        *reader.table("forms", "Stakes and kickers"),
        *reader.table("forms", "Stakes, kickers and boards by side", most=12),
        *reader.points("setting_out", "forms"),
    ]


def steel_fixer(reader: Reader) -> list[Block]:
    """What lies where, how high, how lapped."""
    job = reader.plan.inputs.job
    blocks: list[Block] = []
    if job.bars:
        rows = [
            (
                one.zone.value + (f": {', '.join(one.only)}" if one.only else ""), one.n_bars or "", one.size, one.face.value,
                one.spacing_m,
                one.length_m, one.cover_m, one.lap_m,
            )
            for one in job.bars
        ]  # fmt: skip
        columns = (
            "Where", "Count", "Size", "Face", Column("Spacing", "m"), Column("Length", "m"), Column("Cover", "m"), Column("Lap", "m"),
        )  # fmt: skip
        note = "Count: along edge or strip in the section; each way in a pad; per corner elsewhere."
        blocks.append(reader.as_block(Table.of("Bars", columns, rows, note=note)))
    if job.mesh is not None:
        blocks += [*reader.answer("mesh"), *reader.picture("mesh", "mesh", share=0.6)]
    if job.retarder is not None:
        blocks += reader.answer("retarder")
    return [*blocks, *reader.points("steel")]


def finisher(reader: Reader) -> list[Block]:
    """Signs to wait for and hours to expect."""
    job = reader.plan.inputs.job
    words = (
        f"Finish: {job.floor.finish.value}.",
        "Bleed water is never worked in: wait until the sheen is gone.",
        "Lanes come ready by their own clock: cool morning lanes and warm noon lanes may come together.",
        "Edges where walls sit stay flat, not rounded down.",
    )
    return [
        *lines("", words),
        *reader.answer("pour_window"),
        *reader.answer("set_and_saw"),
        *reader.table("set_and_saw", "Set, warmth and strength", noted=False),
        *reader.picture("placement", "lanes"),
        *reader.points("lane"),
        *reader.answer("curing"),
    ]


def saw_operator(reader: Reader) -> list[Block]:
    """Order, depth, window."""
    return [
        *reader.answer("joints"),
        *reader.answer("set_and_saw"),
        *reader.picture("joints", "joints"),
        *reader.table("set_and_saw", "When a saw may cut"),
        *(reader.table("set_and_saw", "The saw's list", most=_MOST_ROWS) or reader.table("joints", "Saw list", most=_MOST_ROWS)),
        *reader.points("trial_cut"),
    ]


def plumber(reader: Reader) -> list[Block]:
    """Stubs, tests, electrode."""
    return [
        *reader.answer("under_slab"),
        *reader.picture("under_slab", "plan-services"),
        *reader.table("under_slab", "Stubs and drains"),
        *reader.table("under_slab", "Tests before cover"),
        *reader.points("pipe_test"),
        *reader.asks(Ask.ELECTRICIAN, title="Questions to the electrician"),
        sign("plumber", "electrician"),
    ]


def frame_crew(reader: Reader) -> list[Block]:
    """Bolts and levels, then the release."""
    return [
        *_posts(reader),
        *_rows_of_bolts(reader),
        *reader.picture("lines", "setting-out", share=0.7),
        *reader.table("curing", "What may come when"),
        *reader.points("frame_release"),
        sign("builder, release in writing", "frame crew"),
    ]


def _posts(reader: Reader) -> list[Block]:
    """Every post with its place, the floor's level there, its rods."""
    job = reader.plan.inputs.job
    built = reader.plan.get(shape.STUDY)
    if not job.posts or built is None:
        return []
    drops = built.foundation.drop_m([post.at for post in job.posts])
    rows = []
    for post, drop in zip(job.posts, drops, strict=True):
        rods = post.anchor
        told = f"{rods.n_x * rods.n_y} {rods.kind}" if rods is not None else ""
        rows.append(
            (post.name, *post.at, -float(drop), told, rods.diameter_m if rods else None, rods.spacing_x_m or None if rods else None, "", "")
        )
    columns = (
        "Post", Column("East", "m"), Column("North", "m"), Column("Floor against its level", "m"), "Rods", Column("Size", "m"),
        Column("Apart", "m"), "Found: place", "Found: height",
    )  # fmt: skip
    note = "From the south-west corner of the forms; levels against the finished floor level."
    return [reader.as_block(Table.of("Posts and rods", columns, rows, note=note), _MOST_ROWS)]


def _rows_of_bolts(reader: Reader) -> list[Block]:
    embeds = [one for one in reader.plan.inputs.job.embeds if one.kind not in (EmbedKind.SLEEVE, EmbedKind.ELECTRODE)]
    if not embeds:
        return []
    rows = [_row(one) for one in embeds]
    columns = ("Row", Column("Size", "m"), Column("Embedment", "m"), Column("Projection", "m"), Column("Apart, most", "m"), "Found")
    return [reader.as_block(Table.of("Bolts and brackets", columns, rows), _MOST_ROWS)]


def _row(one: Embed) -> tuple[str | float | None, ...]:
    return one.name, one.diameter_m, one.embedment_m, one.projection_m or None, one.max_spacing_m, ""
