"""Forms, joints, curing and tests."""

import math
from collections.abc import Iterator

from slabwright.geometry.takeoff import FormFace, form_faces
from slabwright.model.job import ConcreteStandard, Job
from slabwright.results.lines import QuantityLine, Reckoned, Trade
from slabwright.results.notes import Notes
from slabwright.sources import arithmetic, practice
from slabwright.standards import aci_302_1r
from slabwright.standards.aci_318_19_acceptance import FREQUENCY, n_samples
from slabwright.standards.curing_rules import COVERAGE, curing_compound_m3
from slabwright.studies.joints.isolation import BOX_SIZE, box_side_m
from slabwright.studies.quantities.concrete import ConcreteOrder
from slabwright.studies.quantities.words import Words
from slabwright.studies.shape import ShapeResult
from slabwright.units import FOOT_M, INCH_M

STAKE_SPACING_M = (3 * FOOT_M, 0.9)
BRACED_ABOVE_M = 6 * INCH_M
BOARD_WASTE = 0.08
CYLINDERS_A_SAMPLE = 5
CUBE_VOLUME_M3 = 50.0
STAKES = practice("stakes 3 ft (0.9 m) apart, one at each end of a side")
BRACES = practice("a brace at every second stake of forms over 6 in. (150 mm) high")
FORM_HEIGHT = arithmetic("thickness of the concrete along the form line and round block-outs")
JOINT_RULE = practice("even panels no longer than the spacing wished for; corners and thickenings not looked at")
CUBES = practice("three cubes to each 50 m³ and each day of placing; the specification decides")
SETS = practice("two at 7 days, two at 28 days and one held back")


def work_lines(job: Job, shape: ShapeResult, order: ConcreteOrder, words: Words, notes: Notes) -> Iterator[QuantityLine]:
    """Forms, joints, curing compound and test specimens."""
    faces = form_faces(shape.foundation)
    yield from _forms(job, faces, words, notes)
    yield from _joints(job, shape, words)
    yield _curing(job, shape, faces, words)
    yield _specimens(job, shape, order)


def _forms(job: Job, faces: tuple[FormFace, ...], words: Words, notes: Notes) -> Iterator[QuantityLine]:
    """Length by height; heights to the half inch or the centimetre."""
    step = 0.5 * INCH_M if words.is_us else 0.01
    by_height: dict[int, float] = {}
    for face in faces:
        height = math.ceil(max(face.start_height_m, face.end_height_m) / step - 1e-3)
        by_height[height] = by_height.get(height, 0.0) + face.length_m
    total, round_outs = sum(by_height.values()), sum(face.length_m for face in faces if face.block_out)
    outs = f", {words.run(round_outs)} of it round block-outs" if round_outs else ""
    yield QuantityLine(
        key="forms.board", item=f"Forms, {job.forms.material}", quantity=total * (1.0 + BOARD_WASTE), suffix="m", trade=Trade.FORMS,
        basis=f"{words.run(total)} of concrete face{outs}", waste=BOARD_WASTE, waste_reason="splices and corners", clause=FORM_HEIGHT,
    )  # fmt: skip
    for height, length in sorted(by_height.items()):
        yield QuantityLine(
            key=f"forms.board.{words.size(height * step).replace(' ', '_')}", item=f"{words.size(height * step)} high", quantity=length,
            suffix="m", trade=Trade.FORMS, basis="from the top of the floor to its underside, or to the concrete outside",
            clause=FORM_HEIGHT, part_of="forms.board",
        )  # fmt: skip
    spacing = job.forms.stake_spacing_m or words.either(*STAKE_SPACING_M)
    sides = [math.dist(a, b) for a, b in zip(job.floor.outline, (*job.floor.outline[1:], job.floor.outline[0]), strict=True)]
    n_stakes = sum(math.ceil(side / spacing - 1e-9) + 1 for side in sides)
    yield QuantityLine(
        key="forms.stakes", item="Form stakes", quantity=float(n_stakes), suffix="", unit="stakes", trade=Trade.FORMS,
        basis=f"every {words.size(spacing)} and at both ends of each side", clause=STAKES, reckoned=Reckoned.BY_RULE,
    )  # fmt: skip
    if job.forms.stake_spacing_m is None:
        notes.assume("forms.stake_spacing", f"stakes {words.size(spacing)} apart", STAKES)
    if any(face.start_height_m > BRACED_ABOVE_M for face in faces):
        yield QuantityLine(
            key="forms.braces", item="Braces with their stakes", quantity=float(math.ceil(n_stakes / 2)), suffix="", unit="braces",
            trade=Trade.FORMS, basis="at every second stake", clause=BRACES, reckoned=Reckoned.BY_RULE,
        )  # fmt: skip


def _joints(job: Job, shape: ShapeResult, words: Words) -> Iterator[QuantityLine]:
    west, south, east, north = shape.foundation.outline.bounds
    spacing = job.joints.max_spacing_m or (job.joints.spacing_thicknesses or aci_302_1r.USUAL_THICKNESSES) * job.floor.thickness_m
    across, along = (math.ceil(side / spacing - 1e-9) - 1 for side in (east - west, north - south))
    share = shape.foundation.region.area / ((east - west) * (north - south))
    length = share * (across * (north - south) + along * (east - west))
    if length > 0.0:
        yield QuantityLine(
            key="joints.saw", item=f"Joints, {job.joints.kind.value}", quantity=length, suffix="m", trade=Trade.JOINTS,
            basis=f"{across} and {along} lines for panels of {words.run(spacing)} at most", clause=JOINT_RULE, reckoned=Reckoned.BY_RULE,
        )  # fmt: skip
    isolated = [post for post in job.posts if post.isolated]
    if isolated:
        length = sum(4.0 * box_side_m(post) for post in isolated)
        yield QuantityLine(
            key="joints.isolation", item="Isolation joint, full depth", quantity=length, suffix="m", trade=Trade.JOINTS,
            basis=f"round {len(isolated)} isolated post{'s' if len(isolated) > 1 else ''}", clause=BOX_SIZE, reckoned=Reckoned.BY_RULE,
        )  # fmt: skip


def _curing(job: Job, shape: ShapeResult, faces: tuple[FormFace, ...], words: Words) -> QuantityLine:
    above = job.edge.top_above_grade_m if job.edge is not None else 0.0
    sides = math.fsum(face.length_m * min(above, face.start_height_m) for face in faces if not face.block_out)
    area = shape.foundation.region.area + sides
    shown = f" and {words.area(sides)} of side above grade" if sides else ""
    return QuantityLine(
        key="cure.compound", item="Curing compound", quantity=curing_compound_m3(area_m2=area), suffix="m3", trade=Trade.FINISH_AND_CURE,
        unit="gal" if words.is_us else "L", basis=f"{words.area(shape.foundation.region.area)} of floor{shown}; two coats", clause=COVERAGE,
    )  # fmt: skip


def _specimens(job: Job, shape: ShapeResult, order: ConcreteOrder) -> QuantityLine:
    if job.codes.concrete is ConcreteStandard.EN_1992:
        samples = max(1, math.ceil(order.order_m3 / CUBE_VOLUME_M3 - 1e-9))
        return QuantityLine(
            key="tests.specimens", item="Test cubes", quantity=3.0 * samples, suffix="", unit="cubes", trade=Trade.TESTS,
            basis=f"{samples} sample{_s(samples)} of three", clause=CUBES,
        )  # fmt: skip
    samples = n_samples(volume_m3=order.order_m3, area_m2=shape.foundation.region.area)
    return QuantityLine(
        key="tests.specimens", item="Test cylinders", quantity=float(CYLINDERS_A_SAMPLE * samples), suffix="", unit="cylinders",
        trade=Trade.TESTS, basis=f"{samples} sample{_s(samples)} of {CYLINDERS_A_SAMPLE}: {SETS.locator}", clause=FREQUENCY,
    )  # fmt: skip


def _s(n: int) -> str:
    return "" if n == 1 else "s"
