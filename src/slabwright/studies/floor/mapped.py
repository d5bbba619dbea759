"""Which maps the floor shows, cut out of the answers that govern."""

from collections.abc import Mapping, Sequence

import numpy as np

from slabwright.solvers.plate import Answer, Quantity
from slabwright.studies.floor.loading import Standing
from slabwright.studies.floor.maps import Field, Map
from slabwright.studies.floor.reading import Figure, Solved
from slabwright.studies.floor.wheels import MovedWheel
from slabwright.studies.floor.wording import BENDING, GROUND, MOVEMENT, unit_of
from slabwright.units import Family

_NOT_READ = (
    "Right at corners and at ends of joints the figure of an elastic plate has no limit; there the map stops at the greatest one read."
)


def maps_of(
    solved: Sequence[Solved], figures: Mapping[str, Figure], standing: Standing, wheels: Sequence[MovedWheel], family: Family
) -> tuple[Map, ...]:
    """Tension, pressure, settlement and rise in the states that govern; the wheels where they stand worst."""
    states = {one.case.name: one.answer for one in solved}
    found = []
    for key, quantity, words in (
        ("floor.top", Quantity.TOP_TENSION, "tension at the top"),
        ("floor.bottom", Quantity.BOTTOM_TENSION, "tension at the bottom"),
        ("floor.curled", Quantity.TOP_TENSION, "tension at the top"),
    ):
        if key in figures:
            found.append(_tension(key, figures[key], states[figures[key].case], quantity, words, family))
    for key, quantity, words, kind in (
        ("soil.pressure", Quantity.PRESSURE, "pressure on the ground", GROUND),
        ("settlement", Quantity.DEFLECTION, "settlement", MOVEMENT),
    ):
        found.append(_ground(key, figures[key], states[figures[key].case], quantity, words, kind, standing, family))
    found.append(_rise(figures["lift"], states[figures["lift"].case], family))
    return (*found, *(_wheel(one, f"wheel-{number}", family) for number, one in enumerate(wheels, start=1)))


def _field(answer: Answer, quantity: Quantity, kind: tuple[str, str, str], family: Family, high: float | None = None) -> Field:
    """Values on the lattice of the answer; tension no further than nought and a greatest value."""
    x, y, values = answer.lattice(quantity)
    if high is not None:
        values = np.clip(values, 0.0, max(high, 1.0))
    return Field(x=x, y=y, values=values.astype(np.float32), suffix=kind[0], unit=unit_of(kind, family))


def _tension(key: str, figure: Figure, answer: Answer, quantity: Quantity, words: str, family: Family) -> Map:
    return Map(
        key=key.replace(".", "-"), title=f"{words[0].upper()}{words[1:]}: {figure.case}", scale_title=words,
        alt=f"Map of the {words} in the state {figure.case}, with contours.",
        field=_field(answer, quantity, BENDING, family, figure.value), notes=(_NOT_READ,),
    )  # fmt: skip


def _ground(
    key: str, figure: Figure, answer: Answer, quantity: Quantity, words: str, kind: tuple[str, str, str], standing: Standing, family: Family
) -> Map:
    places = [post.at for post, _ in standing.posts]
    found = answer.value(quantity, places).tolist() if places else []
    return Map(
        key=key.replace(".", "-"), title=f"{words[0].upper()}{words[1:]}: {figure.case}", scale_title=words,
        alt=f"Map of the {words} in the state {figure.case}, with contours and values at the posts.",
        field=_field(answer, quantity, kind, family), marks=tuple(zip(places, found, strict=True)),
    )  # fmt: skip


def _rise(figure: Figure, answer: Answer, family: Family) -> Map:
    down = _field(answer, Quantity.DEFLECTION, MOVEMENT, family)
    return Map(
        key="rise", title=f"Rise above the slab at rest: {figure.case}", scale_title="rise",
        alt=f"Map of how far the slab rises in the state {figure.case}, with contours.",
        field=Field(x=down.x, y=down.y, values=np.maximum(-down.values, 0.0), suffix=down.suffix, unit=down.unit),
    )  # fmt: skip


def _wheel(one: MovedWheel, key: str, family: Family) -> Map:
    """Tension at the bottom round the wheels where they stand worst."""
    answer, name = one.worst.answer, one.figures.wheel.name
    return Map(
        key=key, title=f"Tension at the bottom with {name} where it stands worst", scale_title="tension at the bottom",
        alt=f"Map of the tension at the bottom of the floor round {name}, with contours.",
        field=_field(answer, Quantity.BOTTOM_TENSION, BENDING, family, one.figures.bottom.value),
        within=answer.mesh.plate.polygon, feet=tuple(patch.shape for patch in one.patches),
        notes=("The part of the slab round the wheels; small squares are their feet.",),
    )  # fmt: skip
