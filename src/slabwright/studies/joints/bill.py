"""What the joints take: saw-cut, filler, blades, dowels."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from slabwright.model.supply import JointKind
from slabwright.results.lines import QuantityLine, Trade
from slabwright.sources import practice
from slabwright.standards import aashto_1993, aci_302_1r, dowels
from slabwright.studies.joints.isolation import BOX, Box
from slabwright.units import INCH_M, LENGTH, Family, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.joints.study import JointLine

BLADE_WIDTH_M = INCH_M / 8
BLADE_LIFE_M = 1500.0
"""Metres of cut that a blade for green concrete gives; common practice, no source."""


def depth_words(lines: Sequence["JointLine"], family: Family) -> str:
    """Depth of the cuts, or the shallowest and the deepest."""
    depths = sorted({round(line.depth_m, 5) for line in lines})
    told = [format_quantity(one, LENGTH, family) for one in (depths[0], depths[-1])]
    return told[0] if told[0] == told[1] else " to ".join(told)


def quantities(lines: Sequence["JointLine"], posts: Sequence[Box], thickness_m: float, family: Family) -> tuple[QuantityLine, ...]:
    """Saw-cut, filler, blades and dowels.

    Parameters
    ----------
    lines : sequence of JointLine
    posts : sequence of Box
        Isolation joints round posts.
    thickness_m : float
        Of the floor, for the dowels. [m]
    family : Family
    """
    sawn = [line for line in lines if line.kind is not JointKind.CONSTRUCTION]
    stops = [line for line in lines if line.kind is JointKind.CONSTRUCTION]
    made = []
    if sawn:
        length = sum(line.length_m for line in sawn)
        made += [
            QuantityLine(
                key="joints.saw",
                item=f"Saw-cut, {depth_words(sawn, family)} deep",
                quantity=length,
                suffix="m",
                unit="ft" if family is Family.US else "m",
                trade=Trade.JOINTS,
                basis=f"{len(sawn)} lines as laid out",
                clause=aci_302_1r.SAW_DEPTH,
            ),
            QuantityLine(
                key="joints.filler",
                item="Joint filler or sealant",
                quantity=sum(line.length_m * line.depth_m for line in sawn) * BLADE_WIDTH_M,
                suffix="m3",
                unit="gal" if family is Family.US else "L",
                trade=Trade.JOINTS,
                basis=f"saw-cut x depth x {format_quantity(BLADE_WIDTH_M, LENGTH, family)} blade; to fill the cut, no waste",
                clause=aashto_1993.SEALANT_SHAPE,
            ),
            QuantityLine(
                key="joints.blades",
                item="Saw blades for green concrete",
                quantity=float(-(-length // BLADE_LIFE_M)),
                suffix="",
                trade=Trade.JOINTS,
                basis="one blade to 1,500 m (5,000 ft) of cut",
                clause=practice("blade wear in green concrete"),
            ),
        ]
    if stops:
        length, row = sum(line.length_m for line in stops), dowels.dowel(thickness_m=thickness_m)
        size = f"{format_quantity(row.diameter_m, LENGTH, family)} x {format_quantity(row.length_m, LENGTH, family)}"
        made.append(
            QuantityLine(
                key="joints.dowels",
                item=f"Round dowels, {size}",
                quantity=float(int(length / row.spacing_m)),
                suffix="",
                trade=Trade.JOINTS,
                basis=f"every {format_quantity(row.spacing_m, LENGTH, family)} along the construction joints",
                clause=dowels.FLOOR_DOWELS,
            )
        )
    if posts:
        made.append(
            QuantityLine(
                key="joints.isolation",
                item="Isolation joint, full depth",
                quantity=sum(box.length_m for box in posts),
                suffix="m",
                unit="ft" if family is Family.US else "m",
                trade=Trade.JOINTS,
                basis=f"round {len(posts)} isolated post{'s' if len(posts) > 1 else ''}",
                clause=BOX,
            )
        )
    return tuple(made)
