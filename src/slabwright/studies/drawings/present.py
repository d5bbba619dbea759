"""The plan and its sections."""

from typing import TYPE_CHECKING

from slabwright.studies import shape
from slabwright.studies.drawings.plan import plan_picture
from slabwright.studies.drawings.sections import section_picture
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.drawings.study import DrawingsResult


def present(inputs: Inputs, done: Done, result: "DrawingsResult") -> Presentation:
    """The plan first, then a section for every cut on it."""
    job, foundation = inputs.job, done[shape.STUDY].foundation
    sections = (section_picture(job, foundation, cut) for cut in result.cuts)
    return Presentation(pictures=(plan_picture(job, foundation, result.cuts), *sections))
