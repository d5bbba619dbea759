"""The layouts put before the builder: the best, and others different in kind, each with what it costs."""

from dataclasses import dataclass, replace

import numpy as np
import shapely

from slabwright.errors import Infeasible
from slabwright.solvers.partition import Layout, measured
from slabwright.standards.aci_302_1r import MOST_THICKNESSES
from slabwright.studies.joints.ground import JointGround
from slabwright.studies.joints.layout import Proposal, Trial, attempt
from slabwright.units import INCH_M

_MOST_OPTIONS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One layout as the builder compares it.

    Attributes
    ----------
    title : str
        What kind of layout it is.
    proposal : Proposal
    length_m, lost_m : float
        All saw-cut, and what of it runs over pads and strips. [m]
    longest_side_m, aspect : float
        Longest panel side [m]; longest over shortest side of the worst panel.
    """

    title: str
    proposal: Proposal
    length_m: float
    lost_m: float
    longest_side_m: float
    aspect: float

    @property
    def layout(self) -> Layout:
        """Its lines and panels."""
        return self.proposal.layout

    @property
    def is_even(self) -> bool:
        """Whether all its panels are rectangles of one size, give or take two inches."""
        boxes = shapely.bounds(np.array(self.layout.pieces))
        plain = np.isclose(shapely.area(np.array(self.layout.pieces)), np.prod(boxes[:, 2:] - boxes[:, :2], axis=1))
        return bool(plain.all() and np.ptp(boxes[:, 2:] - boxes[:, :2], axis=0).max() < 2 * INCH_M)


def options(ground: JointGround, best: Proposal) -> tuple[Option, ...]:
    """The best and up to two more, different in kind; those that come out alike are left out."""
    asked = best.trial.thicknesses
    others = [
        ("Least sawing, blind to the pads", replace(best.trial, dead=False)),
        ("Closer panels, for less opening and curl", replace(best.trial, thicknesses=max(24.0, 0.8 * asked))),
        ("Widest panels", replace(best.trial, thicknesses=max(asked, MOST_THICKNESSES))),
    ]
    found = [described("Best by the rules", best)]
    for title, trial in others:
        if len(found) == _MOST_OPTIONS:
            break
        if trial == best.trial or (not trial.dead and ground.dead.is_empty):
            continue
        option = _found(ground, title, trial, best.region)
        if option is not None and not any(_alike(option, other) for other in found):
            found.append(option)
    return tuple(found)


def _found(ground: JointGround, title: str, trial: Trial, region: shapely.Polygon) -> Option | None:
    try:
        proposal = attempt(ground, trial, region)
    except Infeasible:
        return None
    layout = proposal.layout
    if not trial.dead:  # what it would lose all the same
        cuts = tuple(replace(cut, lost=shapely.MultiLineString(cut.stretches).intersection(ground.dead).length) for cut in layout.cuts)
        proposal = replace(proposal, layout=replace(layout, cuts=cuts))
    return described(title, proposal)


def described(title: str, proposal: Proposal) -> Option:
    """A proposal with its figures."""
    shapes = measured(proposal.layout.pieces, proposal.region)
    return Option(
        title=title,
        proposal=proposal,
        length_m=proposal.layout.length,
        lost_m=sum(cut.lost for cut in proposal.layout.cuts),
        longest_side_m=float(shapes.long.max()),
        aspect=float((shapes.long / shapes.short).max()),
    )


def _alike(one: Option, other: Option) -> bool:
    return (
        abs(one.length_m - other.length_m) < 0.05
        and abs(one.lost_m - other.lost_m) < 0.05
        and len(one.layout.pieces) == len(other.layout.pieces)
    )
