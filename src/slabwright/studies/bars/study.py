"""The study of bars: every bar in its place, laps, marks, the cut plan and the tying plan."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

import shapely

from slabwright.errors import MissingInput
from slabwright.model.job import Job
from slabwright.model.steel import Face, Zone
from slabwright.model.supply import JointKind
from slabwright.results.check import Ask
from slabwright.results.lines import QuantityLine, Task, Trade
from slabwright.results.notes import Notes
from slabwright.sources import arithmetic, practice
from slabwright.studies import joints, shape
from slabwright.studies.bars.continuous import Corners
from slabwright.studies.bars.listing import CutRow, Mark, cut_rows, marks
from slabwright.studies.bars.offers import length_text, price_key, say_prices
from slabwright.studies.bars.order import Batch, Placed, batches
from slabwright.studies.bars.places import wanted_bars
from slabwright.studies.bars.present import present
from slabwright.studies.bars.rules import CLEAR_SPACING as CLEAR
from slabwright.studies.bars.rules import STAGGER, STOCK, clear_spacing_m
from slabwright.studies.bars.tying import BENCH, TIES, TyingLine, tying_plan
from slabwright.studies.bars.verify import Lap, laps_of
from slabwright.studies.bars.wanted import Wanted
from slabwright.studies.bars.windows import LAP_CLEARANCE_M, OFF_JOINTS
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import LENGTH, MASS, Family, format_quantity

BENDS_WORTH_A_BAR = 10
"""A stock bar more is worth telling where it saves ten different bent bars; common practice, no source."""

_CHOICES = 3
"""Ways to bend bars alike that are tried until one keeps its laps apart and off the joints as well as bars bent where they come to lie."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BarsResult(Result):
    """Bars as laid; nothing where the job has none.

    Attributes
    ----------
    batches : tuple of Batch
        By size, with proofs.
    marks : tuple of Mark
        The bar list.
    cuts : tuple of CutRow
    laps : tuple of Lap
        Measured on the bars.
    tying : tuple of TyingLine
    corners : Corners
        How the edge bars pass the corners.
    ways : tuple of (Corners, int, int)
        That way and the others: stock bars, and different bent bars.
    """

    batches: tuple[Batch, ...] = ()
    marks: tuple[Mark, ...] = ()
    cuts: tuple[CutRow, ...] = ()
    laps: tuple[Lap, ...] = ()
    tying: tuple[TyingLine, ...] = ()
    corners: Corners = Corners.BENT
    ways: tuple[tuple[Corners, int, int], ...] = ()

    @property
    def placed(self) -> tuple[Placed, ...]:
        """Every bar in its place."""
        return tuple(one for batch in self.batches for one in batch.placed)


def run(inputs: Inputs, done: Done) -> BarsResult:
    """Lay, cut and list the bars."""
    job = inputs.job
    if not job.bars:
        return BarsResult(answer="There are *no bars* in this slab.")
    foundation = done[shape.STUDY].foundation
    cuts = {line.name: shapely.LineString([line.start, line.end]) for line in done[joints.STUDY].joints}
    stops = tuple((line.start, line.end) for line in done[joints.STUDY].joints if line.kind is JointKind.CONSTRUCTION)
    ways: list[_Way] = []
    known: dict[object, Batch] = {}
    for corners in Corners if any(asked.zone is Zone.EDGE for asked in job.bars) else (Corners.BENT,):
        for choice in range(_CHOICES if cuts and corners is Corners.ALIKE else 1):
            wanted = wanted_bars(job, foundation, stops, corners, tuple(cuts.values()), choice)
            try:
                laid = batches(wanted, job.family, job.prices, known, tuple(cuts.values()))
            except MissingInput:
                if not ways:
                    raise
                continue
            way = _Way(corners, wanted, laid, marks(laid), laps_of([one for batch in laid for one in batch.placed], cuts))
            is_sound = not ways or way.is_as_sound_as(ways[0])
            if is_sound:
                ways.append(way)
            if is_sound or not way.is_whole:
                break
    ways.sort(key=lambda way: (way.n_at_joints, *_outlay(way.batches), way.n_bent, way.corners is not Corners.BENT))
    corners, wanted, found, listed, laps = ways[0].corners, ways[0].wanted, ways[0].batches, ways[0].marks, ways[0].laps
    tying = tying_plan(job, [one for batch in found for one in batch.placed], laps)
    notes = Notes()
    _check_laps(laps, notes)
    if cuts and laps:
        _say_joints(laps, job.family, notes)
    _check_development(job, wanted, notes)
    _check_spacing(job, wanted, notes)
    _say(job, wanted, corners, notes)
    say_prices([batch.offer for batch in found], job, notes)
    return BarsResult(
        answer=_answer(job, ways) + _other_way(ways),
        lines=_lines(job, found, tying),
        batches=found,
        marks=listed,
        cuts=cut_rows(found, listed),
        laps=laps,
        tying=tying,
        corners=corners,
        ways=tuple((way.corners, _n_bars(way.batches), way.n_bent) for way in ways),
        **notes.as_fields(),
    )


@dataclass(frozen=True, slots=True)
class _Way:
    """Bars with the edge's passing its corners one way."""

    corners: Corners
    wanted: tuple[Wanted, ...]
    batches: tuple[Batch, ...]
    marks: tuple[Mark, ...]
    laps: tuple[Lap, ...]

    def is_as_sound_as(self, other: "_Way") -> bool:
        """Whether no lap is short or in a bend, no more lie beside a neighbour's or at a joint: corners may stand too near."""
        return self.is_whole and self._n_beside <= other._n_beside and self.n_at_joints <= other.n_at_joints

    @property
    def is_whole(self) -> bool:
        """Whether no lap is short or in a bend."""
        return all(lap.length_m >= lap.required_m - 1e-4 and lap.is_straight for lap in self.laps)

    @property
    def _n_beside(self) -> int:
        return sum(not lap.is_apart for lap in self.laps)

    @property
    def n_at_joints(self) -> int:
        """Laps that a joint crosses, or comes too near to."""
        return sum(bool(lap.crossed) for lap in self.laps)

    @property
    def n_bent(self) -> int:
        """Different bent bars."""
        return sum(bool(mark.turns_rad) for mark in self.marks)


def _n_bars(found: Sequence[Batch]) -> int:
    return sum(sum(batch.n_stock.values()) for batch in found)


def _money(found: Sequence[Batch]) -> Decimal | None:
    """What the bars cost; None where some have no price."""
    paid = [batch.money for batch in found if batch.money is not None]
    return sum(paid, Decimal(0)) if len(paid) == len(found) else None


def _outlay(found: Sequence[Batch]) -> tuple[float, int]:
    """What an order comes to: its money where every bar has a price, else its mass; then its number of bars."""
    money = _money(found)
    return round(sum(batch.mass_kg for batch in found), 6) if money is None else float(money), _n_bars(found)


def _check_laps(laps: Sequence[Lap], notes: Notes) -> None:
    if not laps:
        return
    worst = min(laps, key=lambda lap: lap.length_m / lap.required_m)
    notes.at_least(
        "lap",
        f"Least lap of bars, measured between their ends ({worst.size})",
        worst.where,
        required=worst.required_m,
        provided=worst.length_m + 1e-4,
        suffix="m",
        clause=practice("the lap the job asks for, else the standard's full tension lap"),
        remedy="Move the bars, or order another.",
    )
    bent = [lap for lap in laps if not lap.is_straight]
    notes.at_most(
        "lap.straight",
        "Laps that run into a bend",
        bent[0].where if bent else "all laps",
        found=float(len(bent)),
        limit=0.5,
        suffix="",
        clause=practice("laps on straight legs"),
        remedy="Use a shorter stock length or a lap bar at the corner.",
    )
    beside = [lap for lap in laps if not lap.is_apart]
    if beside:
        notes.assume(
            "bars",
            f"{len(beside)} of {len(laps)} laps lie beside a neighbour's: no order of bars keeps them apart without steel more.",
            STAGGER,
        )


def _say_joints(laps: Sequence[Lap], family: Family, notes: Notes) -> None:
    far = format_quantity(LAP_CLEARANCE_M, LENGTH, family)
    at = sum(bool(lap.crossed) for lap in laps)
    told = f", but {at} of {len(laps)}, which only much more steel would move" if at else ""
    notes.assume("bars", f"Laps keep {far} from the joints that cross the bars{told}.", OFF_JOINTS)


def _check_development(job: Job, wanted: Sequence[Wanted], notes: Notes) -> None:
    """Pad bars against the distance from the face of the post to their ends; pads alike are asked about together."""
    first = {one.where: one for one in reversed(wanted) if one.zone is Zone.PADS}
    short: dict[tuple[str, str, str], list[str]] = {}
    for pad in job.pads:
        post = next((post for post in job.posts if math.dist(post.at, pad.at) < min(pad.size_x_m, pad.size_y_m) / 2), None)
        if post is None or pad.name not in first:
            continue
        one = first[pad.name]
        provided = min((pad.size_x_m - post.base_x_m) / 2, (pad.size_y_m - post.base_y_m) / 2) - job.bars[one.asked].cover_m
        needed = one.rules.hooked_m if one.hooks else one.rules.development_m
        if provided < needed:
            need, have = (format_quantity(length, LENGTH, job.family) for length in (needed, provided))
            short.setdefault((need, have, "with hooks" if one.hooks else "straight"), []).append(pad.name)
    for (need, have, kind), names in short.items():
        which = f"pad {names[0]}" if len(names) == 1 else f"pads {', '.join(names)}"
        notes.ask(
            Ask.ENGINEER,
            f"Bars of {which} need {need} {kind} from the face of the post for their full strength and have {have}. Is less enough here?",
            which,
            first[names[0]].rules.development_clause,
        )


def _check_spacing(job: Job, wanted: Sequence[Wanted], notes: Notes) -> None:
    """Clear distance of parallel bars in one layer, the closest."""
    groups: dict[tuple[int, str, int, float], list[Wanted]] = {}
    for one in wanted:
        heading = one.path.points[-1] - one.path.points[0]
        way = round(abs(float(heading[1])) > abs(float(heading[0])))
        if len(one.path.corners) == 2:
            groups.setdefault((one.asked, one.where, way, round(one.path.depth_m, 4)), []).append(one)
    closest: tuple[float, Wanted] | None = None
    for (_, _, way, _), mine in groups.items():
        places = sorted(float(one.path.points[0][0 if way else 1]) for one in mine)
        for a, b in pairwise(places):
            clear = b - a - mine[0].rules.bar.diameter_m
            if b - a > 1e-6 and (closest is None or clear < closest[0]):
                closest = (clear, mine[0])
    if closest is not None:
        notes.at_least(
            "spacing",
            f"Clear distance of parallel bars ({closest[1].rules.bar.name})",
            closest[1].where,
            required=clear_spacing_m(job, closest[1].rules.bar.diameter_m),
            provided=max(closest[0], 1e-6),
            suffix="m",
            clause=CLEAR,
            remedy="Fewer, thicker bars, or a wider pad.",
        )


def _say(job: Job, wanted: Sequence[Wanted], corners: Corners, notes: Notes) -> None:
    if any(not asked.stock_lengths_m and asked.zone is not Zone.JOINT_DOWELS for asked in job.bars):
        length = format_quantity(wanted[0].rules.stock_m[0], LENGTH, job.family) if wanted else ""
        notes.assume("bars.stock", f"Bars whose stock length is not stated come {length} long.", STOCK)
    if any(asked.zone is Zone.JOINT_DOWELS for asked in job.bars) and not any(one.zone is Zone.JOINT_DOWELS for one in wanted):
        notes.assume("bars", "No joint here is a construction joint, so no dowel is counted.", practice("dowels at construction joints"))
    if any(one.hooks for one in wanted):
        notes.assume(
            "bars",
            "Pad bars end in upright hooks: straight ones would be too short for their full strength.",
            wanted[0].rules.development_clause,
        )
    zones = {asked.zone for asked in job.bars if asked.face is Face.TOP}
    if {Zone.EDGE, Zone.FLOOR} <= zones or {Zone.EDGE, Zone.RE_ENTRANT} <= zones:
        notes.assume(
            "bars",
            "Where top bars cross, those of the floor lie over those of the edge, and diagonals at corners below both.",
            practice("layers of top bars"),
        )
    if any(one.zone is Zone.EDGE for one in wanted):
        inside = "at inside corners both legs run on to the far side and turn along it by a lap"
        notes.assume("bars", f"Edge: {corners.value}; {inside}.", practice("bars that pass corners"))
    notes.tasks.append(
        Task(what="Tie mats and cages on the bench or on stands first.", who="steel fixer", when="before the sheet goes down", where="yard")
    )
    notes.tasks.append(
        Task(
            what="Read size and marks off the tags; count each mark against the list.",
            who="crew lead",
            when="when the steel arrives",
            where="yard",
        )
    )
    notes.caution("Cap or bend every upright bar end onto which someone could fall; rolls and bundles spring when cut open.", BENCH)
    notes.caution("The engineer's drawings decide size, number and laps of bars; this list counts what the job file says.")


def _answer(job: Job, ways: Sequence[_Way]) -> str:
    found = ways[0].batches
    orders = [f"{n} {size} of {length_text(length, job.family)}" for (size, length), (n, _) in _bought(found).items()]
    total = _n_bars(found)
    least = all(batch.plan.cut.cost == batch.plan.cut.bound for batch in found)
    proof = "the least that will do" if least else f"within {100 * max(batch.plan.cut.gap for batch in found):.1f} % of the least"
    money = _money(found)
    alone = min(sum(batch.alone for batch in way.batches) for way in ways)
    beside = f"; laid line by line it would take {alone}" if alone > total and money is None else ""
    cost = f" for {job.prices.currency}{money:,.2f}" if money is not None and job.prices is not None else ""
    return f"Order *{total} bars*{cost}: {' and '.join(orders)}; {proof}{beside}."


def _other_way(ways: Sequence[_Way]) -> str:
    """A sentence on the way that saves ten different bent bars for each stock bar more, where there is one."""
    best = ways[0]
    n_best = _n_bars(best.batches)
    saving = [way for way in ways[1:] if best.n_bent - way.n_bent >= BENDS_WORTH_A_BAR * max(1, _n_bars(way.batches) - n_best)]
    if not saving:
        return ""
    other = max(saving, key=lambda way: best.n_bent - way.n_bent - BENDS_WORTH_A_BAR * (_n_bars(way.batches) - n_best))
    return f" {_n_bars(other.batches)} would do with {other.n_bent} different bent bars instead of {best.n_bent}: {other.corners.value}."


def _bought(found: Sequence[Batch]) -> dict[tuple[str, float], tuple[int, str]]:
    """Bars to buy of each size and stock length, and the zones they are for."""
    count: dict[tuple[str, float], int] = defaultdict(int)
    zones: dict[tuple[str, float], dict[str, None]] = defaultdict(dict)
    for batch in found:
        for length, n in batch.n_stock.items():
            count[batch.size, length] += n
            zones[batch.size, length] |= dict.fromkeys(one.wanted.zone.value for one in batch.placed)
    return {key: (n, ", ".join(zones[key])) for key, n in sorted(count.items())}


def _lines(job: Job, found: Sequence[Batch], tying: Sequence[TyingLine]) -> tuple[QuantityLine, ...]:
    mass = sum(batch.mass_kg for batch in found)
    net = sum(
        one.wanted.path.length_m * one.wanted.rules.bar.mass_kg_m for one in {id(o.wanted): o for b in found for o in b.placed}.values()
    )
    lines = [
        QuantityLine(
            key="steel.bars",
            item="Bars, all sizes",
            quantity=mass,
            suffix="kg",
            trade=Trade.STEEL,
            basis=f"stock lengths of the cut plan; {format_quantity(net, MASS, job.family)} in place without laps and hooks",
            waste=mass / net - 1.0,
            waste_reason="laps, hooks and what is left of bars, as laid out",
            clause=arithmetic("layout and cut plan"),
        )
    ]
    is_proven = all(batch.plan.cut.is_optimal for batch in found)
    lines += [
        QuantityLine(
            key=price_key(size, length, job.family),
            item=f"{size}, {length_text(length, job.family)} long",
            quantity=float(n),
            suffix="",
            unit="bars",
            trade=Trade.STEEL,
            basis=f"for {zones}, cut together",
            clause=arithmetic("cut plan, proven" if is_proven else "cut plan"),
            part_of="steel.bars",
        )
        for (size, length), (n, zones) in _bought(found).items()
    ]
    n_ties = sum(row.n_ties for row in tying)
    if n_ties:
        lines.append(
            QuantityLine(
                key="steel.ties",
                item="Wire ties",
                quantity=float(n_ties),
                suffix="",
                unit="ties",
                trade=Trade.STEEL,
                basis="by the tying plan",
                clause=TIES,
            )
        )
    return tuple(lines)


STUDY = Study(
    key="bars",
    question="Which bars, bent how, cut from what?",
    stage=Stage.STEEL,
    run=run,
    present=present,
    reads=frozenset({"family", "codes", "pads", "posts", "bars", "mix", "retarder", "prices"}),
    needs=(shape.STUDY, joints.STUDY),
)
