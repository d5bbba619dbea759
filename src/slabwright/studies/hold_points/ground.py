"""Hold points from the reactions to the dug footings."""

from slabwright.model.concrete import PadShape
from slabwright.sources import Clause, arithmetic, practice
from slabwright.standards import aci_117_10, osha_1926, site_acceptance
from slabwright.studies.hold_points.facts import Facts, few
from slabwright.studies.hold_points.points import HoldItem, HoldPoint, Sense
from slabwright.studies.lines.layout import BATTER_BOARDS, board_clearance_m
from slabwright.studies.under_slab.groundwork import COMPACTION
from slabwright.units import FOOT_M

DRAWING = arithmetic("as the job file draws it")
TEST_PITS = practice("two pits or more, one at the worst corner, 2 to 3 ft (0.6 to 0.9 m) below the footing")
BASE_SHOTS = practice("one shot within 12 ft (3.7 m) of the next, and at every break")
BASE_SHOTS_M = 12 * FOOT_M
CARD = practice("items of seven municipal pre-pour cards")
SQUARE = practice("diagonals of every check rectangle")
PERMIT = practice("no approved plans or permit on site failed published inspections")


def reactions(facts: Facts) -> HoldPoint | None:
    """Every post, every case, signed."""
    if not facts.job.posts:
        return None
    posts = few([post.name for post in facts.job.posts])
    items = (
        HoldItem(
            key="reactions", look_at="reaction of every post in every case: down, uplift, shear, thrust, moment", where=posts,
            sense=Sense.DRAWN, value=float(len(facts.job.posts)), clause=practice("a blank stops the job"),
            instrument="frame supplier's table",
        ),
        HoldItem(
            key="fixity", look_at="base pinned or fixed, in writing", where=posts, clause=practice("the engineer says how a base holds"),
        ),
    )  # fmt: skip
    return HoldPoint(key="reactions", title="Reactions", before="sizing", signs="engineer", items=items)


def soil(facts: Facts) -> HoldPoint:
    """What the sizes stand on."""
    job = facts.job
    items = [
        HoldItem(
            key="pits", look_at="test pits logged: depth, colour, feel, water; organics, soft, expansive or old fill flagged",
            where="whole site, worst corner first", sense=Sense.AT_LEAST, value=2.0, clause=TEST_PITS, instrument="auger, penetrometer",
            photo="pit with rod",
        )
    ]  # fmt: skip
    if job.soil.allowable_bearing_pa is not None:
        items.append(
            HoldItem(
                key="bearing", look_at="allowable bearing confirmed at the footing level", where=f"edge; pads {facts.pads}",
                sense=Sense.AT_LEAST, value=job.soil.allowable_bearing_pa, suffix="pa",
                clause=arithmetic("soil.allowable_bearing of the job file"), instrument="soils report, probe",
            )
        )  # fmt: skip
    return HoldPoint(key="soil", title="Soil", before="permit", signs="soil engineer or engineer", items=tuple(items))


def permit(facts: Facts) -> HoldPoint:
    """Papers on site, clashes settled."""
    items = (
        HoldItem(key="posted", look_at="permit posted, approved set and address on site", where="site entrance", clause=PERMIT),
        HoldItem(
            key="clashes", look_at="clashes between rules left undecided", where="list of clashes", sense=Sense.AT_MOST, value=0.0,
            clause=practice("settled on paper, with name and day"), instrument=f"{len(facts.clashes.open)} open today",
        ),
    )  # fmt: skip
    return HoldPoint(key="permit", title="Seal and permit", before="digging", signs="building department", items=items)


def setting_out(facts: Facts) -> HoldPoint:
    """Lines, diagonals, set-backs."""
    tolerances = facts.job.tolerances
    items = (
        HoldItem(
            key="setback", look_at="set-backs pinned and measured", where="property lines", clause=CARD, instrument="tape", photo="pins",
        ),
        HoldItem(
            key="square", look_at="difference of the two diagonals of each rectangle", where="corner stakes", sense=Sense.AT_MOST,
            value=tolerances.square_m, suffix="m", clause=SQUARE, instrument="steel tape", photo="",
        ),
        HoldItem(
            key="boards", look_at="batter boards outside the dig, level with each other", where="all sides", sense=Sense.AT_LEAST,
            value=board_clearance_m(facts.job.family), suffix="m", clause=BATTER_BOARDS, instrument="tape, level",
        ),
    )  # fmt: skip
    return HoldPoint(key="setting_out", title="Setting out", before="digging", signs="crew lead", items=items)


def proof_roll(facts: Facts) -> HoldPoint:
    """Base before it is trenched."""
    job = facts.job
    items = [
        HoldItem(
            key="rut", look_at="rut behind a loaded tandem truck", where="whole floor, old trenches first", sense=Sense.AT_MOST,
            value=site_acceptance.PROOF_ROLL_RUT_M, suffix="m", clause=site_acceptance.PROOF_ROLL, instrument="loaded truck, straightedge",
            photo="deepest rut with tape",
        ),
        HoldItem(
            key="grade", look_at="fine grade of the base", where="floor", sense=Sense.WITHIN, value=aci_117_10.FINE_GRADE_M, suffix="m",
            clause=aci_117_10.FINE_GRADE, instrument="laser and rod",
        ),
        HoldItem(
            key="shots", look_at="base shots apart, and at every break", where="floor", sense=Sense.AT_MOST, value=BASE_SHOTS_M, suffix="m",
            clause=BASE_SHOTS, instrument="laser and rod",
        ),
        HoldItem(
            key="thin", look_at="no spot left thinner than drawn by more than", where="floor", sense=Sense.AT_MOST,
            value=job.tolerances.thickness_minus_mean_m, suffix="m", clause=aci_117_10.SLAB_THICKNESS, instrument="thickness map",
        ),
    ]  # fmt: skip
    fill = facts.minimum("base.fill")
    if fill is not None:
        items.append(
            HoldItem(
                key="fill", look_at="depth of fill", where="base", sense=Sense.AT_MOST, value=fill.capacity, suffix=fill.suffix,
                clause=fill.clause, instrument="rod",
            )
        )  # fmt: skip
    if job.base is not None and job.base.compaction is not None:
        items.append(
            HoldItem(
                key="compaction", look_at="density of the base, per cent of its reference", where="base", sense=Sense.AT_LEAST,
                value=100 * job.base.compaction, clause=COMPACTION, instrument="gauge or sand cone, ticket",
            )
        )  # fmt: skip
    if job.floor.falls and job.floor.base_parallel:
        items.append(
            HoldItem(
                key="falls",
                look_at="base shot on the falls of the floor",
                where="floor with falls",
                clause=DRAWING,
                instrument="laser and rod",
            )
        )
    return HoldPoint(key="proof_roll", title="Proof roll and base", before="trenches", signs="builder", items=tuple(items))


def footing(facts: Facts) -> HoldPoint | None:
    """Dug edge, strips and pads."""
    job = facts.job
    if job.edge is None and not job.pads and not job.strips:
        return None
    look = site_acceptance.FOOTING_VIEW
    items = [
        HoldItem(
            key="clean",
            look_at="no mud, water, frost, roots, crumbs; firm bottom",
            where="all trenches and pads",
            clause=look,
            photo="each side and pad",
        )
    ]
    if job.edge is not None:
        items += [
            _drawn("edge_width", "width of the edge at the bottom", facts.ring, job.edge.width_m),
            _drawn("edge_depth", "depth of the edge from the top of the floor", facts.ring, job.edge.depth_m),
        ]
    for strip in job.strips:
        items.append(_drawn(f"{strip.name}.depth", f"strip {strip.name}: depth from the top of the floor", strip.name, strip.depth_m))
    sizes: dict[tuple[float, float, float], list[str]] = {}
    for pad in job.pads:
        sizes.setdefault((pad.size_x_m, pad.size_y_m, pad.depth_m), []).append(pad.name)
    round_pads = {pad.name for pad in job.pads if pad.shape is PadShape.CIRCLE}
    for (x, y, depth), names in sizes.items():
        named = "across" if names[0] in round_pads else "in plan"
        high = y if abs(x - y) > 1e-6 else None
        items.append(
            HoldItem(
                key=f"{names[0]}.size", look_at=f"pads {named}", where=few(names), sense=Sense.BETWEEN if high else Sense.DRAWN, value=x,
                high=high, suffix="m", clause=DRAWING, instrument="tape", photo="each pad with rod",
            )
        )  # fmt: skip
        items.append(_drawn(f"{names[0]}.depth", "pads: depth from the top of the floor", few(names), depth))
    deepest = max(part.depth_m for part in facts.foundation.parts) - (job.edge.top_above_grade_m if job.edge is not None else 0.0)
    rule = osha_1926.dig_rule(depth_m=max(deepest, 0.0))
    items.append(
        HoldItem(
            key="spoil", look_at="spoil back from the dig" + ("; sides protected" if rule.protect else ""), where="all trenches and pads",
            sense=Sense.AT_LEAST, value=rule.spoil_back_m, suffix="m", clause=osha_1926.EXCAVATION, instrument="tape",
        )
    )  # fmt: skip
    return HoldPoint(key="footing", title="Footing view", before="steel in the trenches", signs="building inspector", items=tuple(items))


def _drawn(key: str, look_at: str, where: str, value: float, clause: Clause = DRAWING) -> HoldItem:
    return HoldItem(key=key, look_at=look_at, where=where, sense=Sense.DRAWN, value=value, suffix="m", clause=clause, instrument="tape")
