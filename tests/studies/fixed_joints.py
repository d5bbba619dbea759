"""Studies that need the joints, run with joints laid by hand: the joint layout itself is tested elsewhere and takes long."""

from collections.abc import Sequence
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

from slabwright.model.job import Job
from slabwright.model.supply import JointKind
from slabwright.studies import bars, joints, shape, steel_clashes
from slabwright.studies.joints import JointLine
from slabwright.study import Inputs, Plan, run_studies

Ends = tuple[tuple[float, float], tuple[float, float]]


def planned(job: Job, cuts: Sequence[Ends] = (), *, depth_m: float = 0.03, kind: JointKind = JointKind.SAW, clashes: bool = True) -> Plan:
    """Shape, bars and, if asked for, clashes of a job with straight joints where they are put."""
    lines = tuple(
        JointLine(name=f"J{n}", start=start, end=end, kind=kind, depth_m=depth_m, lost_m=0.0, opening_m=0.0)
        for n, (start, end) in enumerate(cuts, start=1)
    )
    fixed: Any = replace(joints.STUDY, run=lambda inputs, done: SimpleNamespace(joints=lines))
    steel = replace(bars.STUDY, needs=(shape.STUDY, fixed))
    told = (replace(steel_clashes.STUDY, needs=(shape.STUDY, steel, fixed)),) if clashes else ()
    return run_studies((shape.STUDY, fixed, steel, *told), Inputs(job=job))
