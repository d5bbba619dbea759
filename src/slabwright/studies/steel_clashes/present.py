"""Picture and table of what meets: numbered places on the plan, each with what is missing and the remedy."""

from typing import TYPE_CHECKING

from slabwright.geometry.drawing import plan_items
from slabwright.results.picture import Circle, Item, Layer, Line, Note, Picture
from slabwright.results.table import Column, Table
from slabwright.studies import bars, shape
from slabwright.studies.steel_clashes.solids import bolt_places
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.steel_clashes.study import SteelClashesResult


def present(inputs: Inputs, done: Done, result: "SteelClashesResult") -> Presentation:
    """The plan of meetings and their list."""
    if not result.meets:
        return Presentation()
    items: list[Item] = [*plan_items(done[shape.STUDY].foundation, hatched=False)]
    items += [Line(layer=Layer.STEEL, points=one.path.rounded(), weight=0.5) for one in done[bars.STUDY].placed]
    for pipe in inputs.job.pipes:
        if len(pipe.run) > 1:
            items.append(Line(layer=Layer.PIPE, points=pipe.run, dashed=True))
        items.append(Circle(layer=Layer.PIPE, centre=pipe.run[-1], radius_m=max(pipe.diameter_m / 2, 0.03)))
    items += [Circle(layer=Layer.BOLT, centre=at, radius_m=0.02, filled=True) for embed in inputs.job.embeds for at in bolt_places(embed)]
    for number, meet in enumerate(result.meets, start=1):
        place = (meet.at[0], meet.at[1])
        items.append(Circle(layer=Layer.CHALK, centre=place, radius_m=0.12))
        items.append(Note(layer=Layer.CHALK, at=place, text=str(number), bold=True, boxed=True))
    plan = Picture(
        key="steel-clashes",
        title="What meets inside the concrete, numbered as in the list",
        items=tuple(items),
        alt=f"Plan with {len(result.meets)} numbered places.",
    )
    rows = [
        (number, meet.what, meet.one, meet.other, meet.places, *meet.at, meet.found_m, meet.needed_m, meet.remedy)
        for number, meet in enumerate(result.meets, start=1)
    ]
    table = Table.of(
        "What meets inside the concrete",
        [
            "No.",
            "What",
            "This",
            "That",
            "Places",
            Column("x", "m"),
            Column("y", "m"),
            Column("Depth", "m"),
            Column("Found", "m"),
            Column("Needed", "m"),
            "Remedy",
        ],
        rows,
        note="The place given is the worst. Found is the clear distance or cover, negative where two run into each other.",
    )
    return Presentation(pictures=(plan,), tables=(table,))
