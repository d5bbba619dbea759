"""Hold points of what is soon covered: services, forms, and the card before the pour."""

from slabwright.model.ground import EmbedKind
from slabwright.sources import arithmetic, practice
from slabwright.standards import aci_117_10, nfpa_70, site_acceptance
from slabwright.studies.hold_points.facts import Facts, few
from slabwright.studies.hold_points.ground import CARD
from slabwright.studies.hold_points.points import HoldItem, HoldPoint, Sense


def pipe_test(facts: Facts) -> HoldPoint | None:
    """Services proved and tied before cover."""
    services = facts.under.services
    if not services and not _electrodes(facts):
        return None
    items = [
        HoldItem(
            key=f"test.{one.name}", look_at=f"{one.name}: {one.what}", where=one.name, clause=one.clause, instrument="gauge, clock",
            photo="gauge and clock",
        )
        for one in facts.under.proofs
    ]  # fmt: skip
    risers = [one.pipe.name for one in services if one.pipe.riser and not one.is_drain]
    if risers:
        items.append(
            HoldItem(
                key="stubs", look_at="stubs by their two ties", where=few(risers), sense=Sense.WITHIN,
                value=site_acceptance.OPENING_POSITION_M, suffix="m", clause=site_acceptance.OPENING_POSITION,
                instrument="tape from wall lines", photo="stub with tape",
            )
        )  # fmt: skip
    if services:
        items.append(
            HoldItem(
                key="clear",
                look_at="no pipe in a pad or strip unless engineered; wraps on",
                where="services",
                clause=site_acceptance.NO_PIPE_IN_FOOTING,
            )
        )
    rims = [one for one in services if one.is_drain and one.rim_below_m is not None]
    items += [
        HoldItem(
            key=f"rim.{one.pipe.name}", look_at=f"{one.pipe.name}: rim below the floor level at walls", where=one.pipe.name,
            sense=Sense.DRAWN, value=one.rim_below_m, suffix="m", clause=arithmetic("fall of the floor there and the rim of the job file"),
            instrument="laser",
        )
        for one in rims
    ]  # fmt: skip
    return HoldPoint(
        key="pipe_test", title="Pipe test and electrode", before="sheet", signs="building inspector", items=(*items, *_electrode(facts))
    )


def _electrodes(facts: Facts) -> bool:
    return facts.job.building.electrode or any(one.kind is EmbedKind.ELECTRODE for one in facts.job.embeds)


def _electrode(facts: Facts) -> tuple[HoldItem, ...]:
    if not _electrodes(facts):
        return ()
    rule = nfpa_70.electrode_rule()
    return (
        HoldItem(
            key="electrode", look_at="electrode in earth contact, bonded, clamp seen", where="earth electrode", sense=Sense.AT_LEAST,
            value=rule.length_m, suffix="m", clause=nfpa_70.ELECTRODE, instrument="tape", photo="bar, clamp and tail",
        ),
        HoldItem(
            key="electrode_cover", look_at="concrete round the electrode", where="earth electrode", sense=Sense.AT_LEAST,
            value=rule.cover_m, suffix="m", clause=nfpa_70.ELECTRODE, instrument="tape",
        ),
    )  # fmt: skip


def forms(facts: Facts) -> HoldPoint:
    """Boards before steel is set against them, and again right before placing."""
    tops = site_acceptance.FORM_TOPS
    items = [
        HoldItem(
            key="tops", look_at="form tops against the floor level", where=facts.ring, sense=Sense.WITHIN,
            value=site_acceptance.FORM_TOPS_M, suffix="m", clause=tops, instrument="laser on form tops", photo="",
        ),
        HoldItem(
            key="line", look_at=f"string along the boards in {facts.job.family.says('10 ft', '3 m')}", where=facts.ring, sense=Sense.WITHIN,
            value=site_acceptance.FORM_TOPS_M, suffix="m", clause=tops, instrument="string",
        ),
        HoldItem(
            key="settled", look_at="moved since the last shooting, after rain or a night", where=facts.ring, sense=Sense.AT_MOST,
            value=facts.job.tolerances.form_settlement_m, suffix="m", clause=practice("a setting: tolerances.form_settlement"),
            instrument="laser",
        ),
    ]  # fmt: skip
    for run in facts.forms.runs:
        held = "stakes and kickers" if run.kickers else "stakes"
        items.append(
            HoldItem(
                key=f"stakes.{run.name}", look_at=f"{run.name}: {held} apart", where=facts.ring if run.name == "perimeter" else run.name,
                sense=Sense.AT_MOST, value=run.stake_spacing_m, suffix="m",
                clause=arithmetic("push of the full head, see the study of forms"), instrument="tape", photo="bracing",
            )
        )  # fmt: skip
    if any(run.kickers for run in facts.forms.runs):
        items.append(
            HoldItem(
                key="hold_down",
                look_at="held down where concrete can run under; soil banked",
                where=facts.ring,
                clause=practice("a form rises where concrete flows under it"),
            )
        )
    return HoldPoint(key="forms", title="Forms", before="sheet and steel", signs="form setter", items=tuple(items))


def card(facts: Facts) -> HoldPoint:
    """The whole, once more, before a truck is released."""
    where = "whole slab"
    lines = [
        ("site", "address, permit, approved set, safe access, somebody present, set-backs pinned"),
        ("ground", "no vegetation, topsoil, water, mud, frost; compaction report; trench and base sizes; strings show thickness"),
        ("form", "forms pinned, braced, tight, at level; bulkhead timber here"),
        ("weather", "cold, hot and rain plan; covers on site"),
    ]
    if facts.under.services or _electrodes(facts):
        lines.insert(2, ("services", "tests passed, sleeves and wraps on, drains at level, cleanouts, electrode seen"))
    if facts.job.retarder is not None:
        lines.insert(-2, ("sheet", "laps, tears patched, penetrations sealed, edge as drawn"))
    if facts.job.bars or facts.job.mesh is not None:
        lines.insert(-2, ("steel", "size and count, laps, blocks not bricks, clean, round the corners, mesh on chairs, caps"))
    if facts.job.pads or facts.job.embeds:
        lines.insert(-2, ("anchors", "each pad, templates, spacing and ends, embedment, projection, secured"))
    items = [
        HoldItem(key=key, look_at=look_at, where=where, clause=CARD, photo="grid squares" if key == "steel" else "")
        for key, look_at in lines
    ]
    items.append(
        HoldItem(
            key="straightedge",
            look_at="thinner than drawn below a straightedge, form to form, after the steel crew",
            where="floor",
            sense=Sense.AT_MOST,
            value=facts.job.tolerances.thickness_minus_mean_m,
            suffix="m",
            clause=aci_117_10.SLAB_THICKNESS,
            instrument="straightedge and rule",
        )
    )
    return HoldPoint(key="card", title="Pre-pour card", before="releasing a truck", signs="building inspector", items=tuple(items))
