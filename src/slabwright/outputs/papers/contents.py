"""What stands on each sheet: those of the office, then those of the site."""

from collections.abc import Callable

from slabwright.outputs.papers.blocks import Block, Reader, Sheet, lines, pairs, sign
from slabwright.outputs.papers.cautions import cautions_of
from slabwright.outputs.papers.site import crew_lead, finisher, form_setter, frame_crew, plumber, saw_operator, steel_fixer
from slabwright.outputs.reading import quantity_lines
from slabwright.outputs.words import check_text, line_text
from slabwright.results.check import Ask, State
from slabwright.standards import site_acceptance
from slabwright.studies import bearing, joints
from slabwright.studies.hold_points.papers import Receiver
from slabwright.study import Stage
from slabwright.units import LENGTH, PRESSURE, Family, format_quantity

_MOST_CHECKS = 24
_DESIGNED = (Stage.DESIGN, Stage.GROUND, Stage.SERVICES, Stage.STEEL, Stage.FORMS)
"""Stages whose checks an engineer is asked about; how the pour day runs is not among them."""
_MOST_LOADS = 40
_LOADS_IN_A_COLUMN = 10
_DOTS = "............................"


def sheets(reader: Reader) -> tuple[Sheet, ...]:
    """Every sheet of a plan, in the order in which the papers go out."""
    job = reader.plan.inputs.job
    return tuple(
        Sheet(
            receiver=receiver, purpose=purpose, one_page=one_page, cautions=cautions_of(receiver, job), blocks=make(reader)
        )
        for receiver, purpose, one_page, make in _SHEETS
    )  # fmt: skip


def engineer(reader: Reader) -> list[Block]:
    """The letter: what is proposed, what was assumed, what is asked, room for the answer."""
    blocks: list[Block] = []
    found = reader.plan.get(bearing.STUDY)
    if found is not None:
        letter = found.letter
        blocks += pairs(letter.subject, [("Editions", letter.editions), ("Soil taken as", letter.ground)])
        blocks += reader.table(bearing.STUDY.key, "To the engineer: loads", most=_MOST_LOADS)
        blocks += reader.table(bearing.STUDY.key, "To the engineer: sizes", most=_MOST_LOADS)
        blocks += lines("Taken for granted, strike out what is not so", letter.assumptions)
    else:
        blocks += reader.answer(bearing.STUDY.key)
    blocks += lines("Checks that do not hold or stand near their limit", _close_checks(reader))
    blocks += reader.asks(Ask.ENGINEER, Ask.SOIL_ENGINEER)
    return [*blocks, sign("engineer", "builder")]


def _close_checks(reader: Reader) -> list[str]:
    close = [
        f"{check_text(check, reader.family).line}"
        for study, result in reader.plan.results()
        if study.stage in _DESIGNED
        for check in sorted(result.checks, key=lambda one: -one.ratio)
        if check.state is not State.HOLDS
    ]
    more = len(close) - _MOST_CHECKS
    return [*close[:_MOST_CHECKS], *([f"{more} more stand in the book."] if more > 0 else [])]


def inspector(reader: Reader) -> list[Block]:
    """The slab detail, then the card."""
    return [
        *reader.picture("drawings", "plan"),
        *_sections(reader),
        *pairs("The monolithic slab", _detail(reader)),
        *reader.points("footing", "pipe_test", "steel", "card", "strip"),
        *reader.asks(Ask.BUILDING_DEPARTMENT, title="Questions to the building department"),
        *lines("Result", ("Pass, pass with list, or fail: ............  Photo set: ............",)),
        sign("building inspector", "builder"),
    ]


def _sections(reader: Reader) -> list[Block]:
    keys = [one.key for one in reader.shown("drawings").pictures if one.key.startswith("section")]
    return [block for key in keys[:3] for block in reader.picture("drawings", key, share=0.75)]


def _detail(reader: Reader) -> list[tuple[str, str]]:
    """The twelve things that municipal sheets ask to see on the detail."""
    job, family = reader.plan.inputs.job, reader.family

    def told(value_m: float) -> str:
        return format_quantity(value_m if family is Family.US else round(value_m, 4), LENGTH, family)

    edge = job.edge
    use = f"{job.building.use or 'not stated'}; {job.building.enclosure.value}, {job.building.n_stories} storey"
    soil = ", ".join(filter(None, (job.soil.soil_class, _pressure(job.soil.allowable_bearing_pa, family)))) or "not stated"
    frost = f"; frost depth {told(job.place.frost_depth_m)}" if job.place.frost_depth_m is not None else ""
    bars = "; ".join(
        f"{one.zone.value}: {f'{one.n_bars} ' if one.n_bars else ''}{one.size} {one.face.value}"
        f"{f' at {told(one.spacing_m)}' if one.spacing_m else ''}, cover {told(one.cover_m)}"
        for one in job.bars
    )
    pads = dict.fromkeys(f"{told(pad.size_x_m)} x {told(pad.size_y_m)} x {told(pad.depth_m)} deep" for pad in job.pads)
    sheet = f"{told(job.retarder.thickness_m)}, lap {told(job.retarder.lap_m)}, " if job.retarder else ""
    mix = job.mix
    return [
        ("Use", use),
        ("Soil", soil),
        ("Edge", f"{told(edge.width_m)} wide, {told(edge.depth_m)} deep, {told(edge.depth_m - edge.top_above_grade_m)} below grade, "
                 f"{told(edge.top_above_grade_m)} above{frost}" if edge else "none"),
        ("Floor", f"{told(job.floor.thickness_m)}, {job.floor.finish.value} finish"),
        ("Base", f"{told(job.base.thickness_m)} {job.base.material}" if job.base else "none stated"),
        ("Sheet", sheet + ("under the edge" if job.retarder.under_edge else "stops at the edge") if job.retarder else "none"),
        ("Bars", bars or "none"),
        ("Mesh", f"{job.mesh.style}, lap {told(job.mesh.lap_m)}, {told(job.mesh.cover_m)} below the top" if job.mesh else "none"),
        ("Interior and post pads", f"{len(job.pads)}: {'; '.join(pads)}" if job.pads else "none"),
        ("Anchors", f"{len(job.embeds)} rows; {sum(post.anchor is not None for post in job.posts)} posts on rods"),
        ("Concrete", f"{_pressure(mix.strength_pa, family)}, {', '.join(mix.exposure) or 'no exposure class'}" if mix else "not stated"),
        ("Drainage", f"ground falls {family.says('6 in. in 10 ft', '150 mm in 3 m')} all round"),
        ("Radon, electrode", f"radon layer {'asked for' if job.building.radon else 'not asked for'}; "
                             f"footing electrode {'asked for' if job.building.electrode else 'not asked for'}"),
        ("Special inspection", "to be stated by the building department"),
    ]  # fmt: skip


def _pressure(value_pa: float | None, family: Family) -> str:
    if value_pa is None:
        return ""
    soil = value_pa < 1e6
    unit = ("psf" if soil else "psi") if family is Family.US else ("kPa" if soil else "MPa")
    return format_quantity(value_pa, PRESSURE, family, unit=unit, digits=4)


def dispatcher(reader: Reader) -> list[Block]:
    """The order, so that the right mix comes at the right minute."""
    words = (
        "The time limit stands on every ticket, agreed before delivery.",
        "Water is added only by whom the builder names, before discharge, and is written on the ticket.",
        "The last load is a balance load: it is batched when the crew lead calls the measured quantity.",
        "Call the crew lead when a truck is more than 10 minutes late.",
    )
    place = reader.plan.inputs.job.place
    return [
        *reader.answer("mix"),
        *_ordered(reader),
        *reader.answer("placement"),
        *reader.table("mix", "Order for the dispatcher"),
        *reader.table("mix", "Slump by stage"),
        *reader.folded("placement", "Loads", rows=_LOADS_IN_A_COLUMN, most=_MOST_LOADS),
        *lines("Agreed", words),
        *reader.asks(Ask.SUPPLIER),
        *pairs(
            "Where, and who",
            [
                ("Address", place.address or _DOTS),
                ("Washout", place.washout or _DOTS),
                *((one, _DOTS) for one in ("Crew lead, telephone", "May allow water")),
            ],
        ),
        sign("dispatcher", "builder"),
    ]


def _ordered(reader: Reader) -> list[Block]:
    """The volume and its loads as the order list has them: after the survey of the base where there is one."""
    wanted = [line for line in quantity_lines(reader.plan) if line.key in ("concrete", "concrete.loads")]
    return lines("Concrete", [f"{line.item}: {line_text(line, reader.family)}; {line.basis}." for line in wanted])


def owner(reader: Reader) -> list[Block]:
    """What is normal, in numbers, before anybody quarrels."""
    job, family = reader.plan.inputs.job, reader.family

    def told(value_m: float) -> str:
        return format_quantity(value_m if family is Family.US else round(value_m, 4), LENGTH, family)

    result, opening = reader.plan.get(joints.STUDY), ""
    if result is not None and result.joints:
        widest = max(one.opening_m for one in result.joints)
        opening = (
            f"The {len(result.joints)} saw-cuts open as the floor shrinks, the widest by about {told(round(widest, 4))} in the first year."
        )
    width, step = told(site_acceptance.CRACK_WIDTH_M), told(site_acceptance.CRACK_STEP_M)
    covering = "The floor dries for months before a covering; its moisture is measured first." if job.building.floor_covering else ""
    normal = (
        f"Concrete cracks. Cracks up to {width} wide and without a step over {step} are normal; wider ones are repaired.",
        opening,
        "Tight cracks at inside corners and round posts are expected: bars there hold them shut.",
        "Panel edges may curl up a little over the first months, more over a sheet; a slow, even cure makes it less.",
        "Colour is uneven, darker where it dried slowly; it evens out within a year or so and never wholly.",
        f"The finish is {job.floor.finish.value}; a hand-made floor is not a machine bed.",
        covering,
    )
    use = (
        "Feet after a day; light framing after three to seven days; vehicles after a week, on the builder's word; all loads after 28 days.",
        "First winter: no salt, nothing that melts ice; sand is safe. Keep water from standing and freezing on it.",
        "Keep the ground falling away from the slab, and gutters leading their water off.",
        "Joints are filled late, after they have opened; wheels spall them sooner when they are filled early.",
        "Tell the builder when a crack widens, steps, or runs in a ring round a post.",
    )
    return [
        *lines("What is normal", filter(None, normal)),
        *lines("Using it", use),
        *reader.picture("joints", "joints", share=0.8),
        *reader.asks(Ask.OWNER),
        sign("owner", "builder"),
    ]


_R = Receiver
_SHEETS: tuple[tuple[Receiver, str, bool, Callable[[Reader], list[Block]]], ...] = (
    (_R.ENGINEER, "Sizes, assumptions and questions for your confirmation; strike out, add, sign.", False, engineer),
    (_R.INSPECTOR, "The monolithic slab in plan and section, and the card for each visit.", False, inspector),
    (_R.DISPATCHER, "Which concrete, how much, when, and who may change it. One page.", True, dispatcher),
    (_R.CREW_LEAD, "The pour day: go, loads, lanes. One page.", True, crew_lead),
    (_R.FORM_SETTER, "Lines, boards, stakes. One page.", True, form_setter),
    (_R.STEEL_FIXER, "Sheet, bars, mesh, anchors: sizes, covers, laps. One page.", True, steel_fixer),
    (_R.FINISHER, "When to go back on, and what with. One page.", True, finisher),
    (_R.SAW_OPERATOR, "Which line first, how deep, between which hours. One page.", True, saw_operator),
    (_R.PLUMBER, "Stubs with two ties each, tests before cover, the electrode. One page.", True, plumber),
    (_R.OWNER, "What is normal, and how to treat the floor. One page.", True, owner),
    (_R.FRAME_CREW, "Where bolts stand, how high, and when the frame may come. One page.", True, frame_crew),
)
