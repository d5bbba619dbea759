"""Mesh of the example jobs against hand counts; laps, cover and stacks read off the outlines; chairs; refusals."""

from collections import defaultdict
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import box

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.geometry.foundation import PartKind
from slabwright.geometry.lapped import laps_of
from slabwright.model.concrete import Floor, Pad, PadShape, ThicknessRegion
from slabwright.model.job import Job
from slabwright.model.loads import Post
from slabwright.model.steel import Mesh
from slabwright.results.check import State
from slabwright.results.picture import Hatch
from slabwright.studies import mesh, shape
from slabwright.studies.mesh.layout import layouts
from slabwright.studies.mesh.rows import SheetSize
from slabwright.study import Inputs, Plan, Waiting, run_studies
from slabwright.units import FOOT_M, INCH_M

STUDIES = (shape.STUDY, mesh.STUDY)
US_SHEET = SheetSize(length_m=20 * FOOT_M, width_m=8 * FOOT_M, lap_m=8 * INCH_M, pitch_m=6 * INCH_M, cross_pitch_m=6 * INCH_M)


def planned(job: Job) -> Plan:
    return run_studies(STUDIES, Inputs(job=job))


@pytest.fixture(scope="module")
def plans() -> dict[str, Plan]:
    """Each example planned once."""
    return {name: planned(parse_job(example_text(name), name).job) for name in ("store", "shelter", "station", "dairy")}


def floor(width_ft: float, length_ft: float, **mesh_options: object) -> Job:
    outline = ((0.0, 0.0), (width_ft * FOOT_M, 0.0), (width_ft * FOOT_M, length_ft * FOOT_M), (0.0, length_ft * FOOT_M))
    asked = Mesh(style="6x6-W2.9xW2.9", chair_spacing_m=2 * FOOT_M, **mesh_options)
    return Job(name="floor", floor=Floor(outline=outline, thickness_m=5 * INCH_M), mesh=asked)


@pytest.mark.parametrize(("name", "n_by_hand"), [("store", 8), ("dairy", 49)])
def test_the_order_equals_or_beats_the_count_by_hand(plans, name, n_by_hand):
    """Whole sheets in rows counted by hand: 2 x 4 for the store; 7 x 7 for the dairy, where 3 x 16 the other way is 48.

    The dairy: 12.9 m takes 3 sheets of 4.8 m lapped 0.4 m, 30.9 m takes 16 rows of 2.4 m; two ripped rows save one more.
    """
    result = plans[name][mesh.STUDY]

    assert result.layout.n_sheets <= n_by_hand
    assert result.layout.n_sheets == result.layout.least_sheets


def test_the_shelter_in_mesh_beats_63_sheets():
    """124 x 64 ft by hand: 7 x 9 sheets of 8 x 20 ft lapped 8 in.; offcuts used again bring it below 60."""
    result = planned(floor(124, 64))[mesh.STUDY]

    assert result.layout.n_sheets < 60
    assert min(one.work for one in result.options) <= 9


@pytest.mark.parametrize("name", ["store", "station", "dairy"])
def test_laps_cover_and_stacks_hold_by_geometry(plans, name):
    """Every point of the region lies under a sheet, no lap is short, never four sheets at one place."""
    result = plans[name][mesh.STUDY]
    union = shapely.union_all([one.outline for one in result.layout.placed])

    assert result.region.difference(union.buffer(1e-6)).area < 1e-6
    assert result.size.lap_m <= result.found.least_lap_m + 1e-6
    assert result.found.most_over_another <= 3
    assert all(check.state is State.HOLDS for check in result.checks if check.key in ("lap", "cover.all", "stack"))


@pytest.mark.parametrize("name", ["store", "station", "dairy"])
def test_pieces_come_out_of_their_sheets(plans, name):
    """What is cut from one sheet is no larger than it; every sheet that is ordered is used."""
    result = plans[name][mesh.STUDY]
    pieces = defaultdict(list)
    for one in result.layout.placed:
        pieces[one.sheet].append(one)

    assert list(range(1, result.layout.n_sheets + 1)) == sorted(pieces)
    for mine in pieces.values():
        by_width = defaultdict(list)
        for one in mine:
            by_width[round(one.width_m, 6)].append(one.length_m)
        strips = sum(width * -(-sum(lengths) // (result.size.length_m + 1e-6)) for width, lengths in by_width.items())
        assert strips <= result.size.width_m + 1e-6


def test_a_floor_that_sheets_fit_is_not_cut():
    """One sheet wide: 8 ft net by 37 ft 8 in., two whole sheets with their lap stretched."""
    result = planned(floor(8 + 4 / 12, 38, cover_m=2 * INCH_M))[mesh.STUDY]

    assert 2 == result.layout.n_sheets
    assert 0 == result.layout.work
    assert "no cut" in result.answer


@settings(max_examples=12, deadline=None)
@given(st.floats(3, 16), st.floats(3, 16), st.floats(0.25, 0.75), st.floats(0.25, 0.75))
def test_any_l_shape_is_covered_with_full_laps(length, width, across, up):
    """Random L-shapes: by geometry, not by the solver's arithmetic."""
    region = box(0, 0, length, width).difference(box(across * length, up * width, length, width))
    for layout in layouts(region, US_SHEET):
        found = laps_of([one.outline for one in layout.placed], [one.row for one in layout.placed], region, along_y=layout.along_y)

        assert found.bare_m2 < 1e-6
        assert US_SHEET.lap_m <= found.least_lap_m + 1e-6
        assert layout.least_sheets <= layout.n_sheets
        assert not layout.is_staggered or found.most_over_another <= 3
        assert US_SHEET.length_m * US_SHEET.width_m * layout.n_sheets >= region.area


def test_laps_are_measured_as_they_lie():
    """Three boxes by hand: laps of 0.5 along and 0.25 across, one place under three sheets, 1 m² bare."""
    outlines = [box(0, 0, 3, 1), box(2.5, 0, 5, 1), box(0, 0.75, 5, 2)]
    found = laps_of(outlines, [0, 0, 1], box(0, 0, 5, 2.2), along_y=False)

    assert pytest.approx(0.25) == found.least_lap_m
    assert 3 == found.most_over_another
    assert pytest.approx(1.0, rel=1e-4) == found.bare_m2


def test_chairs_stand_no_further_apart_than_asked(plans):
    """No point of the mesh is further from a chair than the diagonal of its square; heights follow the concrete."""
    plan = plans["store"]
    result, foundation = plan[mesh.STUDY], plan[shape.STUDY].foundation
    at = np.array([chair.at for chair in result.chairs])
    west, south, east, north = result.region.bounds
    points = np.stack(np.meshgrid(np.linspace(west, east, 60), np.linspace(south, north, 60)), axis=-1).reshape(-1, 2)
    nearest = np.min(np.hypot(*(points[:, None, :] - at[None, :, :]).transpose(2, 0, 1)), axis=1)
    spacing = 2 * FOOT_M

    assert nearest.max() <= spacing / 2 * 2**0.5 + 1e-6
    heights = foundation.thickness_m(at) - result.underside_m
    assert pytest.approx(heights) == [chair.height_m for chair in result.chairs]
    assert 5 * INCH_M - result.underside_m == pytest.approx(min(heights))


def test_a_lap_shorter_than_the_standard_is_not_laid():
    """The job asks 6 in.; one space and 2 in. are 8 in., which is laid and said."""
    result = planned(floor(30, 36, lap_m=6 * INCH_M))[mesh.STUDY]

    assert pytest.approx(8 * INCH_M, abs=1e-6) == result.size.lap_m
    assert any("standard for 8 in" in one.statement for one in result.assumptions)


def test_wide_support_spacing_does_not_hold():
    result = planned(replace(floor(30, 36), mesh=Mesh(style="6x6-W2.9xW2.9", chair_spacing_m=4 * FOOT_M)))[mesh.STUDY]
    check = next(check for check in result.checks if check.key == "supports")

    assert State.FAILS is check.state
    assert "hooked up" in check.remedy


def test_mesh_stops_at_an_isolated_post():
    post = Post(name="P", at=(15 * FOOT_M, 18 * FOOT_M), base_x_m=0.3, base_y_m=0.3, isolated=True)
    result = planned(replace(floor(30, 36), posts=(post,)))[mesh.STUDY]

    assert not result.region.covers(shapely.Point(post.at))
    assert result.layout.n_trimmed > 0


def test_a_floor_without_mesh_says_so(plans):
    assert "no mesh" in plans["shelter"][mesh.STUDY].answer


def test_a_cover_that_leaves_no_floor_waits():
    outcome = planned(floor(10, 10, cover_m=2.0)).outcomes["mesh"].result

    assert isinstance(outcome, Waiting)
    assert "leaves no floor" in outcome.reason


def test_a_sheet_narrower_than_its_lap_waits():
    outcome = planned(floor(10, 10, sheet_width_m=0.15)).outcomes["mesh"].result

    assert isinstance(outcome, Waiting)
    assert "not wider than its lap" in outcome.reason


@pytest.mark.parametrize(
    ("width_in", "length_in", "reason"),
    [
        (8, 8, "a sheet of 8 in x 8 in is not wider than its lap of 8 in"),
        (9, 9, "a sheet of 9 in x 9 in is too narrow to be laid with laps of 8 in"),
    ],
)
def test_a_sheet_that_hardly_laps_waits(width_in, length_in, reason):
    outcome = planned(floor(30, 36, sheet_width_m=width_in * INCH_M, sheet_length_m=length_in * INCH_M)).outcomes["mesh"].result

    assert isinstance(outcome, Waiting)
    assert reason in outcome.reason


def test_rolls_are_called_rolls():
    result = planned(floor(30, 36, sheet_width_m=5 * FOOT_M, sheet_length_m=150 * FOOT_M, roll=True))[mesh.STUDY]

    assert "2 rolls" in result.answer
    assert "sheets" not in result.answer.split(",")[0]


def test_a_cover_larger_than_the_floor_does_not_hold():
    result = planned(floor(30, 36, cover_m=6 * INCH_M))[mesh.STUDY]

    assert State.FAILS is next(check for check in result.checks if check.key == "within").state


def test_a_sheet_larger_than_the_floor_is_cut_and_said():
    result = planned(floor(6, 10))[mesh.STUDY]

    assert 1 == result.layout.n_sheets
    assert any("longer than the floor" in task.what for task in result.tasks)


def test_everything_laid_is_drawn_and_listed(plans):
    """One area and one row of the list for each piece; one circle for each chair."""
    outcome = plans["dairy"].outcomes["mesh"]
    shown = outcome.presentation()
    pieces = {one.mark for one in outcome.result.layout.placed}

    assert pieces == {item.label for item in shown.pictures[0].items if getattr(item, "label", "")}
    assert pieces == {row[0] for row in shown.tables[0].rows}
    assert len(outcome.result.chairs) == sum(type(item).__name__ == "Circle" for item in shown.pictures[1].items)
    assert len(outcome.result.chairs) == sum(row[-1] for row in shown.tables[2].rows)


def padded(pads: tuple[Pad, ...], **mesh_options: object) -> Job:
    """A floor of 30 x 36 ft with pads, and mesh laid over it."""
    return replace(floor(30, 36, **mesh_options), pads=pads)


def pad(name: str, x_m: float, y_m: float, **options: object) -> Pad:
    return Pad(name=name, at=(x_m, y_m), size_x_m=0.9, size_y_m=0.75, depth_m=0.4, **options)


TWO_PADS = (pad("P1", 3.0, 4.0), pad("P2", 6.0, 9.0, shape=PadShape.RECTANGLE, rotation_rad=0.4))


def test_mesh_runs_over_pads_unless_the_job_says_otherwise():
    result = planned(padded(TWO_PADS))[mesh.STUDY]

    assert result.region.contains(shapely.Point(3.0, 4.0))
    assert () == result.cut_outs


def test_mesh_is_cut_out_over_the_pads_that_the_job_names():
    """By hand: 0.9 x 0.75 m less of mesh at one pad; nothing but the other pad's mesh within its size."""
    whole, cut = (planned(padded(TWO_PADS, cut_out=names)) for names in ((), ("P1",)))
    before, after = whole[mesh.STUDY], cut[mesh.STUDY]
    said = [one.statement for one in after.assumptions]

    assert pytest.approx(before.region.area - 0.9 * 0.75) == after.region.area
    assert after.region.contains(shapely.Point(6.0, 9.0))
    assert [("P1", pytest.approx(0.9 * 0.75))] == [(one.pad, one.outline.area) for one in after.cut_outs]
    assert after.layout.n_sheets == before.layout.n_sheets
    assert after.layout.n_trimmed > before.layout.n_trimmed
    assert "cut out over pad P1" in after.answer
    assert any("cut out over pad P1" in text for text in said)
    assert any("round each cut-out" in one.question for one in after.referrals)
    assert all(check.state is State.HOLDS for check in after.checks if check.key in ("lap", "cover.all", "stack"))


def test_cut_outs_are_drawn_and_listed():
    """Each is hatched on the sheet, and its row names the pieces that lie over it, found by hand of geometry."""
    outcome = planned(padded(TWO_PADS, cut_out=("P1", "P2"))).outcomes["mesh"]
    shown, result = outcome.presentation(), outcome.result
    hatched = [item for item in shown.pictures[0].items if getattr(item, "hatch", None) is Hatch.DENSE]
    table = next(one for one in shown.tables if one.title == "Mesh: cut-outs at pads")
    over_p1 = {one.mark for one in result.layout.placed if one.outline.intersects(box(2.56, 3.63, 3.44, 4.37))}

    assert 2 == len(hatched)
    assert ["P1", "P2"] == [row[0] for row in table.rows]
    assert over_p1 == set(table.rows[0][1].split(", "))


def test_chairs_stand_round_a_cut_out_and_none_in_it():
    """No point of its rim is further from a chair than 0.95 of the spacing."""
    result = planned(padded((pad("P1", 3.1, 4.2),), cut_out=("P1",)))[mesh.STUDY]
    outline = result.cut_outs[0].outline
    chairs = shapely.MultiPoint([one.at for one in result.chairs])
    rim = [outline.exterior.interpolate(share, normalized=True) for share in np.linspace(0, 1, 200)]

    assert not chairs.intersects(outline)
    assert max(point.distance(chairs) for point in rim) <= 0.95 * 2 * FOOT_M


@settings(max_examples=10, deadline=None)
@given(st.lists(st.tuples(st.floats(0.5, 8.6), st.floats(0.5, 10.4)), min_size=1, max_size=4), st.floats(0, 1.5))
@example(places=[(8.59765625, 1.484375)], turn=1.0)
def test_no_mesh_lies_in_a_cut_out_and_all_else_is_covered(places, turn):
    """Random pads, overlapping ones and ones over the edge too: by geometry."""
    pads = tuple(pad(f"P{number}", x, y, rotation_rad=turn) for number, (x, y) in enumerate(places))
    plan = planned(padded(pads, cut_out=tuple(one.name for one in pads)))
    result, foundation = plan[mesh.STUDY], plan[shape.STUDY].foundation
    holes = shapely.union_all([part.bottom for part in foundation.parts if part.kind is PartKind.PAD])
    mesh_as_laid = shapely.union_all([one.outline for one in result.layout.placed]).intersection(result.region)
    wanted = foundation.region.buffer(-Mesh(style="A252").cover_m, join_style="mitre").difference(holes)

    assert mesh_as_laid.intersection(holes).area < 1e-6
    assert wanted.difference(mesh_as_laid.buffer(1e-6)).area < 1e-3
    assert result.size.lap_m <= result.found.least_lap_m + 1e-6
    assert not any(holes.buffer(-1e-6).contains(shapely.Point(chair.at)) for chair in result.chairs)


def test_a_pad_beside_the_floor_has_nothing_to_cut_out():
    result = planned(padded((pad("P1", -0.42, 4.0),), cut_out=("P1",)))[mesh.STUDY]

    assert any("nothing is cut out there" in one.statement for one in result.assumptions)
    assert "cut out" not in result.answer


def test_a_cut_out_at_no_pad_waits():
    outcome = planned(padded(TWO_PADS, cut_out=("P7",))).outcomes["mesh"].result

    assert isinstance(outcome, Waiting)
    assert '"P7" is no pad of this job; there are P1, P2' in outcome.reason


def test_a_thin_part_of_the_floor_decides_whether_the_mesh_is_within():
    """Mesh 3 in. deep lies in a floor of 5 in., but not in its part of 3 in."""
    thin = ThicknessRegion(within=((0.0, 0.0), (3.0, 0.0), (3.0, 3.0), (0.0, 3.0)), thickness_m=3 * INCH_M)
    job = floor(30, 36, cover_m=3 * INCH_M)
    checks = [
        next(check for check in planned(one)[mesh.STUDY].checks if check.key == "within")
        for one in (job, replace(job, floor=replace(job.floor, thickness_regions=(thin,))))
    ]

    assert [State.HOLDS, State.FAILS] == [check.state for check in checks]
    assert pytest.approx(3 * INCH_M) == checks[1].capacity
