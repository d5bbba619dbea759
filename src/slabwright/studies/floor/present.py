"""Pictures and tables of the floor: maps of the states that govern, and every headline figure with its place."""

from typing import TYPE_CHECKING

from slabwright.studies.floor.tables import tables
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.floor.study import FloorResult


def present(inputs: Inputs, done: Done, result: "FloorResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """Maps and tables."""
    from slabwright.studies.floor.maps import drawn

    return Presentation(pictures=tuple(drawn(one, result.body) for one in result.maps), tables=tables(result, inputs.job.family))
