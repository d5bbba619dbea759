"""The builder's questions, in the order of the work: the list of studies is the house's main corridor."""

from typing import Any

from slabwright.studies import (
    bars,
    bearing,
    clashes,
    curing,
    drawings,
    forms,
    grade,
    hold_points,
    joints,
    lines,
    mesh,
    minimums,
    mix,
    moisture,
    placement,
    pour_window,
    quantities,
    retarder,
    set_and_saw,
    shape,
    steel_clashes,
    under_slab,
)
from slabwright.study import Study

STUDIES: tuple[Study[Any], ...] = (
    shape.STUDY,
    clashes.STUDY,
    drawings.STUDY,
    quantities.STUDY,
    minimums.STUDY,
    bearing.STUDY,
    joints.STUDY,
    lines.STUDY,
    grade.STUDY,
    under_slab.STUDY,
    retarder.STUDY,
    mesh.STUDY,
    bars.STUDY,
    steel_clashes.STUDY,
    forms.STUDY,
    mix.STUDY,
    placement.STUDY,
    pour_window.STUDY,
    set_and_saw.STUDY,
    curing.STUDY,
    moisture.STUDY,
    hold_points.STUDY,
)
