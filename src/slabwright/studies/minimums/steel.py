"""Cover of bars, height of mesh, sill bolts, steel of the turned-down edge."""

from slabwright.errors import OutOfRange
from slabwright.model.ground import EmbedKind
from slabwright.model.job import ConcreteStandard, Enclosure, Job, LoadStandard
from slabwright.model.steel import Bars, Face, Zone
from slabwright.results.check import Ask
from slabwright.results.notes import Notes
from slabwright.sources import Clause
from slabwright.standards import aci_318_19_durability as aci
from slabwright.standards import bars as bar_tables
from slabwright.standards import en_206, irc

_DEEP = (Zone.EDGE, Zone.PADS, Zone.STRIPS)


def check_steel(job: Job, notes: Notes) -> None:
    """Every set of bars, the mesh, the bolts."""
    for number, bars in enumerate(job.bars):
        _cover(job, bars, f"bars.{number}", notes)
    if job.mesh is not None:
        places = [("mesh", "floor", job.floor.thickness_m)]
        places += [(f"mesh.{n}", f"floor.regions.{n}", one.thickness_m) for n, one in enumerate(job.floor.thickness_regions)]
        for key, where, thickness in places:
            _mesh_height(key, where, thickness, thickness - job.mesh.cover_m, notes)
    for number, embed in enumerate(job.embeds):
        if embed.kind is EmbedKind.ANCHOR_BOLT:
            rule = irc.sill_bolts(plate_length_m=1.83)
            key, where = f"embeds.{number}", embed.name
            notes.at_least(
                f"{key}.diameter",
                "Diameter of sill bolts",
                where,
                required=rule.diameter_m,
                provided=embed.diameter_m,
                suffix="m",
                clause=irc.ANCHOR_BOLTS,
            )
            notes.at_least(
                f"{key}.embedment",
                "Embedment of sill bolts",
                where,
                required=rule.embedment_m,
                provided=embed.embedment_m,
                suffix="m",
                clause=irc.ANCHOR_BOLTS,
            )
            if embed.max_spacing_m is not None:
                notes.at_most(
                    f"{key}.spacing",
                    "Spacing of sill bolts",
                    where,
                    found=embed.max_spacing_m,
                    limit=rule.spacing_m,
                    suffix="m",
                    clause=irc.ANCHOR_BOLTS,
                )
    if job.codes.loads is not LoadStandard.EN_1990 and job.edge is not None:
        notes.ask(
            Ask.BUILDING_DEPARTMENT,
            "Which seismic design category applies? In D0 to D2 the edge needs a No.4 bar at top and bottom, "
            "or one No.5 or two No.4 in the middle third.",
            "edge",
            irc.TURNED_DOWN_STEEL,
        )


def _mesh_height(key: str, where: str, thickness_m: float, height_m: float, notes: Notes) -> None:
    """Mesh lies from the middle of the floor to its upper third."""
    band = irc.slab_steel_band(slab_thickness_m=thickness_m)
    notes.at_least(
        f"{key}.low", "Height of the mesh, least", where, required=band.low_m, provided=height_m, suffix="m",
        clause=irc.SLAB_STEEL, remedy="Use taller chairs.",
    )  # fmt: skip
    notes.at_most(
        f"{key}.high", "Height of the mesh, most", where, found=height_m, limit=band.high_m, suffix="m",
        clause=irc.SLAB_STEEL, remedy="Use lower chairs.",
    )  # fmt: skip


def _cover(job: Job, bars: Bars, key: str, notes: Notes) -> None:
    try:
        diameter = bar_tables.bar(size=bars.size).diameter_m
    except OutOfRange as error:
        notes.ask(Ask.ENGINEER, f"Which bar is meant? {error}", key)
        return
    required, clause = _least_cover(job, bars, diameter)
    notes.at_least(
        f"{key}.cover",
        f"Cover of {bars.size}, {bars.face.value}",
        bars.zone.value,
        required=required,
        provided=bars.cover_m,
        suffix="m",
        clause=clause,
        remedy="Use taller supports.",
    )


def _least_cover(job: Job, bars: Bars, diameter_m: float) -> tuple[float, Clause]:
    against_ground = bars.zone in _DEEP and bars.face is Face.BOTTOM
    if job.codes.concrete is ConcreteStandard.EN_1992:
        if against_ground:
            against = (
                en_206.CastAgainst.PREPARED_GROUND if job.retarder is not None and job.retarder.under_edge else en_206.CastAgainst.SOIL
            )
        else:
            against = en_206.CastAgainst.FORM
        classes = (job.mix.exposure if job.mix is not None else ()) or ("XC2",)
        return en_206.nominal_cover_m(classes=classes, bar_diameter_m=diameter_m, against=against), en_206.COVER
    if against_ground:
        exposure = aci.CoverExposure.AGAINST_GROUND
    elif bars.zone in _DEEP or job.building.enclosure is Enclosure.OPEN:
        exposure = aci.CoverExposure.WEATHER_OR_GROUND
    else:
        exposure = aci.CoverExposure.INTERIOR
    return aci.cover_m(exposure=exposure, bar_diameter_m=diameter_m), aci.COVER
