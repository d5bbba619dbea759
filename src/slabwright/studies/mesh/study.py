"""The study of mesh: sheets in their places, laps, cuts, chairs."""

from dataclasses import dataclass

from slabwright.errors import Infeasible, MissingInput
from slabwright.geometry.lapped import Laps, laps_of
from slabwright.geometry.overlay import Area
from slabwright.model.job import ConcreteStandard, Job, MinimumRules
from slabwright.model.steel import Mesh as Asked
from slabwright.results.check import Ask
from slabwright.results.lines import QuantityLine, Task, Trade
from slabwright.results.notes import Notes
from slabwright.sources import Clause, arithmetic, practice
from slabwright.standards import aci_318_19_mesh, en_1992_1_1_mesh, irc
from slabwright.standards.astm_a1064 import Mesh
from slabwright.standards.mesh import mesh as mesh_of
from slabwright.studies import shape
from slabwright.studies.mesh.cut_outs import CutOut, covered, cut_outs, named, say_cut_outs
from slabwright.studies.mesh.layout import MeshLayout, layouts
from slabwright.studies.mesh.present import present
from slabwright.studies.mesh.rows import SheetSize
from slabwright.studies.mesh.rules import ACI_301_SUPPORTS, LIGHT_WIRE_M, SITE_SUPPORTS, STATE_SUPPORTS
from slabwright.studies.mesh.supports import Chair, chairs, least_depth_m
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import AREA, LENGTH, MASS, PSI_PA, Family, format_quantity

_ASSUMED_STRENGTH_PA = 3000 * PSI_PA


@dataclass(frozen=True, slots=True, kw_only=True)
class MeshResult(Result):
    """Sheets as laid; nothing is laid where the job has no mesh.

    Attributes
    ----------
    options : tuple of MeshLayout
        The chosen layout first.
    mesh : Mesh or None
    size : SheetSize or None
        With the lap they are laid with.
    region : Polygon or MultiPolygon or None
        What the mesh covers. [m]
    chairs : tuple of Chair
    underside_m : float
        Depth of the underside of the mesh below the top of the floor. [m]
    found : Laps or None
        Laps and cover read off the outlines.
    cut_outs : tuple of CutOut
        Over the pads at which the job wants none.
    """

    options: tuple[MeshLayout, ...] = ()
    mesh: Mesh | None = None
    size: SheetSize | None = None
    region: Area | None = None
    chairs: tuple[Chair, ...] = ()
    underside_m: float = 0.0
    found: Laps | None = None
    cut_outs: tuple[CutOut, ...] = ()

    @property
    def layout(self) -> MeshLayout | None:
        """The layout that is drawn and ordered."""
        return self.options[0] if self.options else None


def run(inputs: Inputs, done: Done) -> MeshResult:
    """Lay the mesh of the floor."""
    job = inputs.job
    asked = job.mesh
    if asked is None:
        return MeshResult(answer="There is *no mesh* in this floor.")
    foundation = done[shape.STUDY].foundation
    style = mesh_of(style=asked.style)
    notes = Notes()
    required, clause = _required_lap(job, style)
    size = SheetSize(
        length_m=max(asked.sheet_length_m, asked.sheet_width_m),
        width_m=min(asked.sheet_length_m, asked.sheet_width_m),
        lap_m=max(asked.lap_m, required),
        pitch_m=style.cross_wire_spacing_m,
        cross_pitch_m=style.wire_spacing_m,
    )
    region = covered(job, asked, foundation)
    options = _laid_out(job, asked, size, region)
    underside = asked.cover_m + style.wire_diameter_m + style.cross_wire_diameter_m
    spacing = _chair_spacing(job, asked, style, notes)
    stands = chairs(foundation, region, spacing_m=spacing, underside_m=underside)
    best = options[0]
    found = laps_of([one.outline for one in best.placed], [one.row for one in best.placed], region, along_y=best.along_y)
    cut = cut_outs(job, asked, foundation, best.placed)
    _check_lap(job, asked, required, clause, found, notes)
    _check(job, asked, found, underside, least_depth_m(foundation, region), notes)
    _say(asked, size, region, notes)
    say_cut_outs(cut, notes)
    return MeshResult(
        answer=_answer(asked, options, cut),
        lines=_lines(job, asked, style, size, best, region, stands, spacing),
        options=options,
        mesh=style,
        size=size,
        region=region,
        chairs=stands,
        underside_m=underside,
        found=found,
        cut_outs=cut,
        **notes.as_fields(),
    )


def _laid_out(job: Job, asked: Asked, size: SheetSize, region: Area) -> tuple[MeshLayout, ...]:
    """The layouts; where there can be none, the reason in the units of the job."""
    sheet = " x ".join(format_quantity(side, LENGTH, job.family) for side in (size.width_m, size.length_m))
    what, lap = f"a {'roll' if asked.roll else 'sheet'} of {sheet}", format_quantity(size.lap_m, LENGTH, job.family)
    change = f"Change [mesh] {'roll' if asked.roll else 'sheet'} or lap."
    if size.width_m <= size.lap_m:
        raise MissingInput(f"mesh: {what} is not wider than its lap of {lap}. {change}")
    if size.width_m < 2 * size.lap_m:
        raise MissingInput(f"mesh: {what} is too narrow to be laid with laps of {lap}: it would lie under others altogether. {change}")
    try:
        return layouts(region, size)
    except Infeasible:
        raise MissingInput(f"mesh: {what} is too short to be laid in rows with laps of {lap}. {change}") from None


def _required_lap(job: Job, style: Mesh) -> tuple[float, Clause]:
    if job.codes.concrete is ConcreteStandard.EN_1992:
        return (
            max(
                en_1992_1_1_mesh.lap_of_mesh_m(wire_diameter_m=style.wire_diameter_m, cross_wire_spacing_m=style.cross_wire_spacing_m),
                en_1992_1_1_mesh.lap_of_mesh_m(wire_diameter_m=style.cross_wire_diameter_m, cross_wire_spacing_m=style.wire_spacing_m),
            ),
            en_1992_1_1_mesh.SECONDARY_LAP,
        )
    strength = job.mix.strength_pa if job.mix is not None else _ASSUMED_STRENGTH_PA
    ways = (
        (style.area_m2_m * style.wire_spacing_m, style.wire_spacing_m, style.cross_wire_spacing_m),
        (style.cross_area_m2_m * style.cross_wire_spacing_m, style.cross_wire_spacing_m, style.wire_spacing_m),
    )
    laps = [
        aci_318_19_mesh.lap_of_mesh(wire_area_m2=area, wire_spacing_m=spacing, cross_wire_spacing_m=cross, strength_pa=strength).lap_m
        for area, spacing, cross in ways
    ]
    return max(laps), aci_318_19_mesh.WIRE_LAP


def _chair_spacing(job: Job, asked: Asked, style: Mesh, notes: Notes) -> float:
    light = min(style.wire_diameter_m, style.cross_wire_diameter_m) < LIGHT_WIRE_M - 1e-6
    us = job.codes.minimums is MinimumRules.US_CODES
    spacing = asked.chair_spacing_m
    if spacing is None:
        spacing = (0.3048 if light else 0.9144) if us else 0.8
        clause = (ACI_301_SUPPORTS if light else STATE_SUPPORTS) if us else SITE_SUPPORTS
        notes.assume("mesh.chair_spacing", f"Chairs stand {format_quantity(spacing, LENGTH, job.family)} apart.", clause)
    notes.at_most(
        "supports",
        "Distance between the supports of the mesh",
        "floor",
        found=spacing,
        limit=0.9144 if us else 1.0,
        suffix="m",
        clause=STATE_SUPPORTS if us else SITE_SUPPORTS,
        remedy="More chairs: mesh that is trodden down or hooked up while placing does not lie where it is drawn.",
    )
    if us and light and spacing > 0.3048 + 1e-6:
        said = format_quantity(spacing, LENGTH, job.family)
        notes.ask(
            Ask.ENGINEER,
            f"One specification asks for supports 12 in. apart under wire lighter than W4; the job has {said}. Which holds here?",
            "mesh",
            ACI_301_SUPPORTS,
        )
    return spacing


def _check_lap(job: Job, asked: Asked, required: float, clause: Clause, found: Laps, notes: Notes) -> None:
    """The sheets lap as the job and the standard ask; where the job asks for less, the standard's lap is laid."""
    if asked.lap_m < required - 1e-6:
        less, needed = (format_quantity(lap, LENGTH, job.family) for lap in (asked.lap_m, required))
        notes.assume("mesh.lap", f"The job asks for laps of {less}, the standard for {needed}: that is laid.", clause)
    notes.at_least(
        "lap",
        "Least lap of sheets, read off the drawing",
        "mesh",
        required=max(required, asked.lap_m),
        provided=found.least_lap_m + 1e-6,
        suffix="m",
        clause=clause,
        remedy="Move the sheets, or order one more.",
    )


def _check(job: Job, asked: Asked, found: Laps, underside: float, thinnest: float, notes: Notes) -> None:
    notes.at_most(
        "cover.all",
        "Floor under no sheet",
        "mesh",
        found=found.bare_m2,
        limit=0.01,
        suffix="m2",
        clause=arithmetic("region less the union of all sheets"),
        remedy="Add a sheet there.",
    )
    notes.at_most(
        "stack",
        "Sheets over one another at one place",
        "mesh",
        found=float(found.most_over_another),
        limit=3.0,
        suffix="",
        clause=practice("laps of neighbouring rows kept apart, so that four sheets never meet"),
        remedy="Start every other row with part of a sheet.",
    )
    if job.codes.minimums is MinimumRules.US_CODES:
        notes.at_most(
            "height",
            "Depth of the mesh below the top, against half the thinnest floor",
            "mesh",
            found=0.5 * (asked.cover_m + underside),
            limit=0.5 * thinnest,
            suffix="m",
            clause=irc.SLAB_STEEL,
            remedy="Less top cover, or higher chairs: the mesh belongs in the upper half.",
        )
    notes.at_most(
        "within",
        "Underside of the mesh within the thinnest floor under it",
        "mesh",
        found=underside,
        limit=thinnest,
        suffix="m",
        clause=arithmetic("cover and two wires against the least thickness under the mesh"),
        remedy="The cover of the mesh is larger than the floor is deep; check [mesh] cover.",
    )


def _say(asked: Asked, size: SheetSize, region: Area, notes: Notes) -> None:
    west, south, east, north = region.bounds
    if max(east - west, north - south) < size.length_m - 1e-6:
        notes.tasks.append(
            Task(
                what="The sheet is longer than the floor: cut each to length before it is carried in.",
                who="steel fixer",
                when="before the pour",
                where="mesh",
            )
        )
    over = "edge, strips and other pads" if asked.cut_out else "edge, strips and pads"
    notes.assume("mesh", f"The mesh keeps its top cover from the forms too, and runs on over {over}.", practice("mesh laid through"))
    notes.tasks.append(
        Task(
            what="Walk the floor once the mesh lies: every lap tied, no chair on its side, height measured at ten places.",
            who="crew lead",
            when="before the first load is called",
            where="mesh",
        )
    )
    notes.caution("Mesh on the ground to be hooked up or walked in while placing is no plan: it ends up at the bottom.", ACI_301_SUPPORTS)
    notes.caution("Cut ends of mesh spring and are sharp: gloves and glasses, and no one over a sheet that is being cut.")


def _answer(asked: Asked, options: tuple[MeshLayout, ...], cut: tuple[CutOut, ...]) -> str:
    best, one = options[0], "roll" if asked.roll else "sheet"
    way = "north and south" if best.along_y else "east and west"
    proof = "none fewer would do" if best.n_sheets == best.least_sheets else f"{best.least_sheets} is the least that could do"
    order = f"Order *1 {one}* and lay it" if best.n_sheets == 1 else f"Order *{best.n_sheets} {one}s* and lay them"
    text = f"{order} {way}, {_cutting(best)}; {proof} in straight rows."
    whole = next((other for other in options[1:] if other.work < best.work and other.n_sheets > best.n_sheets), None)
    if whole is not None:
        text += f" {whole.n_sheets} {one}s would need {_cutting(whole)}."
    over = [each.pad for each in cut if each.pieces]
    if over:
        text += f" The trimmed ones include those cut out over {named(over)}."
    return text


def _cutting(layout: MeshLayout) -> str:
    parts = [
        f"{n} {word if n == 1 else words}"
        for n, word, words in (
            (layout.n_cuts, "cut", "cuts"),
            (layout.n_rips, "sheet ripped", "sheets ripped"),
            (layout.n_trimmed, "sheet trimmed", "sheets trimmed"),
        )
        if n
    ]
    return ", ".join(parts) if parts else "no cut"


def _lines(
    job: Job, asked: Asked, style: Mesh, size: SheetSize, best: MeshLayout, region: Area, stands: tuple[Chair, ...], spacing: float
) -> tuple[QuantityLine, ...]:
    unit = "ft" if job.family is Family.US else "m"
    length, width = (format_quantity(side, LENGTH, job.family, unit=unit) for side in (size.length_m, size.width_m))
    bought = best.n_sheets * size.length_m * size.width_m
    laid = format_quantity(region.area, AREA, job.family)
    mass = format_quantity(bought * style.mass_kg_m2, MASS, job.family)
    high = [one for one in stands if one.is_over_thickening]
    chair_basis = f"as drawn, no further apart than {format_quantity(spacing, LENGTH, job.family)}"
    lines = [
        QuantityLine(
            key="steel.mesh",
            item=f"Mesh {style.name}, {'rolls' if asked.roll else 'sheets'} {width} x {length}",
            quantity=float(best.n_sheets),
            suffix="",
            unit=("roll" if asked.roll else "sheet") + "s" * (best.n_sheets > 1),
            trade=Trade.STEEL,
            basis=f"laid out over {laid} with laps of {format_quantity(size.lap_m, LENGTH, job.family)}; {mass}; nothing to add",
            waste=bought / region.area - 1.0,
            waste_reason="laps and what is left of cut sheets, as laid out",
            clause=arithmetic("layout and cut plan"),
        ),
        QuantityLine(
            key="steel.chairs",
            item="Chairs for the mesh" + (", with plates that do not cut the sheet" if job.retarder is not None else ""),
            quantity=float(len(stands)),
            suffix="",
            unit="chairs",
            trade=Trade.STEEL,
            basis=chair_basis,
            clause=arithmetic("chairs as drawn"),
        ),
    ]
    if high:
        lines.append(
            QuantityLine(
                key="steel.chairs.high",
                item="of these over edge, strips and pads, on the cages or as stands",
                quantity=float(len(high)),
                suffix="",
                unit="chairs",
                trade=Trade.STEEL,
                basis="where the concrete is deeper than the floor",
                part_of="steel.chairs",
            )
        )
    return tuple(lines)


STUDY = Study(
    key="mesh",
    question="How do the sheets lie and what is cut?",
    stage=Stage.STEEL,
    run=run,
    present=present,
    reads=frozenset({"family", "codes", "posts", "mesh", "mix", "retarder"}),
    needs=(shape.STUDY,),
)
