"""The hold point of sheet, bars, mesh and anchors."""

from slabwright.model.ground import EmbedKind, PipeKind
from slabwright.model.steel import Bars, Zone
from slabwright.sources import practice
from slabwright.standards import aci_117_10, astm_e1745, irc, osha_1926, site_acceptance
from slabwright.studies.hold_points.facts import Facts, few
from slabwright.studies.hold_points.ground import DRAWING
from slabwright.studies.hold_points.points import HoldItem, HoldPoint, Sense

CLEAN_STEEL = practice("steel free of mud and form oil, tied, on blocks")
HEIGHT = site_acceptance.CITY_WIRE


def steel(facts: Facts) -> HoldPoint | None:
    """Sheet, bars, mesh, bolts."""
    items = [*_sheet(facts), *_bars(facts), *_mesh(facts), *_anchors(facts)]
    if not items:
        return None
    return HoldPoint(key="steel", title="Sheet, steel and anchors", before="pre-pour card", signs="building inspector", items=tuple(items))


def _sheet(facts: Facts) -> list[HoldItem]:
    sheet = facts.job.retarder
    if sheet is None:
        return []
    lap = facts.minimum("retarder.lap")
    items = [
        HoldItem(
            key="sheet_lap", look_at="laps of the sheet, taped", where="sheet", sense=Sense.AT_LEAST,
            value=max(sheet.lap_m, lap.demand if lap else 0.0), suffix="m", clause=lap.clause if lap else astm_e1745.LAYING,
            instrument="tape", photo="each lap",
        ),
        HoldItem(
            key="tears", look_at="open tears and stake holes", where="sheet", sense=Sense.AT_MOST, value=0.0,
            clause=site_acceptance.NO_STAKES, photo="each patch",
        ),
        HoldItem(
            key="patches", look_at="patches beyond the damage", where="sheet", sense=Sense.AT_LEAST, value=astm_e1745.LEAST_PATCH_M,
            suffix="m", clause=astm_e1745.LAYING, instrument="tape",
        ),
    ]  # fmt: skip
    if facts.under.n_boots:
        items.append(
            HoldItem(
                key="boots", look_at="boots sealed at risers", where="risers", sense=Sense.DRAWN, value=float(facts.under.n_boots),
                clause=astm_e1745.LAYING, photo="each boot",
            )
        )  # fmt: skip
    if facts.job.building.radon:
        vents = few([pipe.name for pipe in facts.job.pipes if pipe.kind is PipeKind.RADON]) or "vent"
        items.append(
            HoldItem(
                key="radon",
                look_at="gravel, sheet to the outer edge, stub capped and labelled",
                where=vents,
                clause=site_acceptance.RADON_LAYER,
                photo="stub and label",
            )
        )
    return items


def _bars(facts: Facts) -> list[HoldItem]:
    items = []
    for number, bars in enumerate(facts.job.bars):
        key, where = f"bars.{number + 1}", f"{bars.zone.value}" + (f" ({few(bars.only)})" if bars.only else "")
        items.append(
            HoldItem(
                key=f"{key}.cover", look_at=f"{_named(bars)}: cover", where=where, sense=Sense.DRAWN, value=bars.cover_m, suffix="m",
                clause=DRAWING, instrument="block of that height", photo="",
            )
        )  # fmt: skip
        if bars.lap_m:
            items.append(
                HoldItem(
                    key=f"{key}.lap", look_at=f"{_named(bars)}: laps", where=where, sense=Sense.AT_LEAST, value=bars.lap_m, suffix="m",
                    clause=DRAWING, instrument="tape",
                )
            )  # fmt: skip
    if items:
        items.append(
            HoldItem(
                key="clean_steel",
                look_at="clean, tied, on blocks; carried round every corner",
                where="all bars",
                clause=CLEAN_STEEL,
                photo="corners, pads",
            )
        )
        items.append(HoldItem(key="caps", look_at="caps on every upright bar", where="all uprights", clause=osha_1926.CAPS))
    if any(bars.zone is Zone.RE_ENTRANT for bars in facts.job.bars):
        items.append(
            HoldItem(
                key="diagonals", look_at="diagonals at every inside corner", where="inside corners", clause=DRAWING, photo="each corner"
            )
        )
    return items


def _named(bars: Bars) -> str:
    if bars.n_bars is not None:
        return f"{bars.n_bars} {bars.size} {bars.face.value}"
    return f"{bars.size} {bars.face.value}"


def _mesh(facts: Facts) -> list[HoldItem]:
    mesh = facts.job.mesh
    if mesh is None:
        return []
    items = [
        HoldItem(
            key="mesh_lap", look_at=f"laps of mesh {mesh.style}, outside wire to outside wire", where="floor", sense=Sense.AT_LEAST,
            value=mesh.lap_m, suffix="m", clause=DRAWING, instrument="tape",
        ),
        HoldItem(
            key="mesh_height", look_at="mesh below the top, after boots have been on it; no hooking up, no walking in", where="floor",
            sense=Sense.DRAWN, value=mesh.cover_m, suffix="m", clause=HEIGHT, instrument="string and rule", photo="chairs with rule",
        ),
    ]  # fmt: skip
    if mesh.chair_spacing_m:
        items.append(
            HoldItem(
                key="chairs", look_at="chairs apart, with plates on the sheet" if facts.job.retarder else "chairs apart", where="floor",
                sense=Sense.AT_MOST, value=mesh.chair_spacing_m, suffix="m", clause=DRAWING, instrument="tape",
            )
        )  # fmt: skip
    return items


def _anchors(facts: Facts) -> list[HoldItem]:
    job = facts.job
    items: list[HoldItem] = []
    sills = [one for one in job.embeds if one.kind is EmbedKind.ANCHOR_BOLT]
    if sills:
        rule = irc.sill_bolts(plate_length_m=3.0)
        spacing = min([one.max_spacing_m for one in sills if one.max_spacing_m], default=rule.spacing_m)
        items += [
            HoldItem(
                key="sill_spacing", look_at="sill bolts apart, two a plate or more", where=f"{len(sills)} rows of sill bolts",
                sense=Sense.AT_MOST, value=spacing, suffix="m", clause=irc.ANCHOR_BOLTS, instrument="tape",
            ),
            HoldItem(
                key="sill_end", look_at="sill bolts from plate ends", where="sills", sense=Sense.AT_MOST, value=rule.greatest_end_m,
                suffix="m", clause=irc.ANCHOR_BOLTS, instrument="tape",
            ),
            HoldItem(
                key="sill_depth", look_at="sill bolts: embedment", where="sills", sense=Sense.AT_LEAST,
                value=max(rule.embedment_m, min(one.embedment_m for one in sills)), suffix="m", clause=irc.ANCHOR_BOLTS, instrument="tape",
            ),
        ]  # fmt: skip
    rods = [post.name for post in job.posts if post.anchor is not None]
    if rods and job.building.steel_frame:
        items += [
            HoldItem(
                key="rod_group", look_at="rods within a group", where=few(rods), sense=Sense.AT_MOST, value=site_acceptance.ROD_GROUP_M,
                suffix="m", clause=site_acceptance.ROD_GROUP, instrument="template, tape", photo="each template",
            ),
            HoldItem(
                key="rod_groups", look_at="rod groups apart from each other", where=few(rods), sense=Sense.AT_MOST,
                value=site_acceptance.ROD_GROUPS_M, suffix="m", clause=site_acceptance.ROD_GROUP, instrument="total station",
            ),
        ]  # fmt: skip
    elif rods:
        items.append(
            HoldItem(
                key="rods",
                look_at="anchor rods against the plan",
                where=few(rods),
                sense=Sense.WITHIN,
                value=aci_117_10.ANCHOR_POSITION_M,
                suffix="m",
                clause=aci_117_10.ANCHOR_POSITION,
                instrument="template, tape",
            )
        )
    tops = [one for one in job.embeds if one.projection_m > 0]
    if tops:
        low, high = min(one.projection_m for one in tops), max(one.projection_m for one in tops)
        items.append(
            HoldItem(
                key="projection", look_at="threads, brackets above the floor; not mirrored", where=f"{len(tops)} rows of bolts or brackets",
                sense=Sense.BETWEEN if high > low else Sense.DRAWN, value=low, high=high if high > low else None, suffix="m",
                clause=DRAWING, instrument="rule",
            )
        )  # fmt: skip
    wet = [one.name for one in job.embeds if one.wet_set]
    if wet:
        items.append(
            HoldItem(
                key="wet_set",
                look_at="engineer's word for setting brackets wet, strings up",
                where=few(wet),
                clause=practice("no wet-setting unless the engineer allows it"),
            )
        )
    return items
