"""Setting out and judging stakes: figures worked by hand, planted mistakes, and the published offset and level examples."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from tests.strategies import lettered_outlines

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.concrete import Floor, Pad
from slabwright.model.site import Site
from slabwright.model.survey import (
    TOTAL_STATION,
    FormLevel,
    FormLog,
    LevelBook,
    LevelReading,
    Measured,
    Measurement,
    SettingOutSurvey,
)
from slabwright.results.check import State
from slabwright.sources import arithmetic
from slabwright.studies import lines
from slabwright.studies.lines.layout import board_line, crossing, setting_out
from slabwright.studies.lines.staked import staked
from slabwright.study import Inputs, Waiting, run_studies
from slabwright.units import FOOT_M, INCH_M

L_SHAPE = ((0.0, 0.0), (12.0, 0.0), (12.0, 5.0), (7.0, 5.0), (7.0, 9.0), (0.0, 9.0))
DESIGN = {"A": (0.0, 0.0), "B": (30.0, 0.0), "C": (30.0, 36.0), "D": (0.0, 36.0)}
SIX = ("AB", "BC", "CD", "DA", "AC", "BD")


@pytest.fixture(scope="module")
def store():
    return parse_job(example_text("store"), "store").job


def taped(places, pairs=SIX, errors=None, names=None):
    """Distances between places in feet, with errors in feet added, under other names where given."""
    names = names or {}
    return tuple(
        Measurement(
            kind=Measured.DISTANCE,
            at=names.get(a, a),
            to=names.get(b, b),
            value=(math.dist(places[a], places[b]) + (errors or {}).get(a + b, 0.0)) * FOOT_M,
        )
        for a, b in pairs
    )


def placed(places, angle=0.5, shift=(1000.0, 2000.0)):
    """Total-station coordinates in axes of their own."""
    found = []
    for name, (x, y) in places.items():
        east = shift[0] + FOOT_M * (x * math.cos(angle) - y * math.sin(angle))
        north = shift[1] + FOOT_M * (x * math.sin(angle) + y * math.cos(angle))
        for kind, value in ((Measured.X, east), (Measured.Y, north)):
            found.append(Measurement(kind=kind, at=name, value=value, instrument=TOTAL_STATION))
    return tuple(found)


def outcome(job, measurements=(), held=(), **site):
    survey = SettingOutSurvey(measurements=tuple(measurements), held=held) if measurements else None
    return run_studies([lines.STUDY], Inputs(job=job, site=Site(measurements=survey, **site))).outcomes["lines"]


def result(job, measurements=(), held=(), **site):
    return outcome(job, measurements, held, **site).result


def test_without_measurements_the_sheet_is_there(store):
    """30 x 36 ft: the diagonal is 46.8615 ft, 46 ft 10 3/8 in. to the eighth."""
    found = outcome(store)

    assert "46'-10 3/8\"" in found.result.answer
    assert State.HOLDS is found.state
    assert ["A", "B", "C", "D"] == [stake.name for stake in found.result.setting_out.corners]
    assert 4 == len(found.result.setting_out.strings)
    shown = found.presentation()
    assert "setting-out" in [picture.key for picture in shown.pictures]
    assert "Offsets from two strings" in [table.title for table in shown.tables]


@pytest.mark.published(arithmetic("mitred offset of a right-angled outline: A' = A + P o + 4 o², P' = P + 8 o"))
def test_line_of_batter_boards_round_an_l():
    boards = board_line(shapely.Polygon(L_SHAPE), 1.5)

    assert pytest.approx((88.0, 42.0)) == (shapely.Polygon(L_SHAPE).area, shapely.Polygon(L_SHAPE).length)
    assert pytest.approx((160.0, 54.0), abs=1e-9) == (boards.area, boards.length)


def test_an_l_has_two_rectangles_to_check_and_strings_that_cross_at_its_corners():
    """[0, 12] x [0, 5] and [0, 7] x [0, 9]: diagonals 13 and √130; the inner corner's strings run through."""
    sheet = setting_out(L_SHAPE, (), (), (), ())

    assert sorted([13.0, math.sqrt(130)]) == pytest.approx(sorted(one.diagonal_m for one in sheet.rectangles))
    assert {("A", "B", "C"), ("A", "E", "F")} == {tuple(name for name in one.corners if "×" not in name)[:3] for one in sheet.rectangles}
    by_corner = {stake.name: stake.at for stake in sheet.corners}
    for name, place in by_corner.items():
        over = [string for string in sheet.strings if name in string.corners]
        assert 2 == len(over)
        assert crossing(*over) == pytest.approx(place, abs=1e-9)
    for string in sheet.strings:
        for end in (string.start, string.end):
            assert pytest.approx(sheet.board_offset_m) == shapely.Polygon(L_SHAPE).exterior.distance(shapely.Point(end))


@given(outline=lettered_outlines())
@settings(max_examples=25, deadline=None)
def test_rectangles_cover_every_right_angled_outline(outline):
    sheet = setting_out(outline, (), (), (), ())
    plan = shapely.Polygon(outline)
    covered = shapely.union_all([shapely.Polygon(one.places) for one in sheet.rectangles])

    assert covered.symmetric_difference(plan).area < 0.01 * plan.area
    for one in sheet.rectangles:
        assert pytest.approx(one.diagonal_m) == math.dist(one.places[0], one.places[2])
        assert pytest.approx(one.diagonal_m) == math.dist(one.places[1], one.places[3])


def test_offsets_are_square_distances_from_two_strings(store):
    offsets = {one.stake: one for one in result(store).setting_out.offsets}

    assert pytest.approx((9.0, 15.0)) == (offsets["P1"].first_m / FOOT_M, offsets["P1"].second_m / FOOT_M)
    assert pytest.approx((2.0, 6.0)) == (offsets["conduit for light"].first_m / FOOT_M, offsets["conduit for light"].second_m / FOOT_M)


def test_boards_clear_a_pad_that_reaches_outside_the_forms():
    pad = Pad(name="P1", at=(0.2, 4.0), size_x_m=1.0, size_y_m=1.0, depth_m=0.8)
    sheet = setting_out(L_SHAPE, (pad,), (), (), ())

    assert pytest.approx(1.2 + 0.3) == sheet.board_offset_m


def test_a_right_outline_moves_no_stake(store):
    found = outcome(store, taped(DESIGN))

    assert State.HOLDS is found.state
    assert () == found.result.verdict.moves
    assert "no stake moves" in found.result.answer


@pytest.mark.published(arithmetic("rack of a rectangle from its diagonals"))
def test_a_racked_outline_is_slid_back_by_its_rack():
    """40 x 24 ft racked by 0.4373 in.: two stakes move along one long side, each by that much."""
    job = replace(
        parse_job(example_text("store"), "store").job,
        floor=Floor(outline=tuple((x * FOOT_M, y * FOOT_M) for x, y in ((0, 0), (40, 0), (40, 24), (0, 24))), thickness_m=0.127),
        pads=(), posts=(), pipes=(), embeds=(),
    )  # fmt: skip
    rack = 0.4373 / 12
    places = {"A": (0, 0), "B": (40, 0), "C": (40 + rack, math.sqrt(24**2 - rack**2)), "D": (rack, math.sqrt(24**2 - rack**2))}
    moves = result(job, taped(places)).verdict.moves

    assert {move.stake for move in moves} in ({"A", "B"}, {"C", "D"})
    assert pytest.approx([0.4373, 0.4373], abs=0.01) == [move.distance_m / INCH_M for move in moves]
    assert all(abs(move.north_m) < 0.1 * move.distance_m for move in moves)


def test_a_stray_corner_is_named_with_amount_and_direction(store):
    """C stands 0.04 ft (1/2 in.) east and 0.01 ft (1/8 in.) south of its place."""
    strayed = {**DESIGN, "C": (30.04, 35.99)}
    for measurements in (taped(strayed), placed(strayed), (*placed(strayed), *taped(strayed, ("AC", "BD")))):
        found = outcome(store, measurements)
        (move,) = found.result.verdict.moves
        assert "C" == move.stake
        assert pytest.approx((-0.04, 0.01), abs=0.0006) == (move.east_m / FOOT_M, move.north_m / FOOT_M)
        assert "Move stake C *1/2 in west and 1/8 in north*." == found.result.answer
        assert State.FAILS is found.state
        after = [abs(check.after_m - check.design_m) / check.tolerance_m for check in found.result.verdict.checks]
        assert max(after) < 0.2


def test_held_stakes_do_not_move(store):
    strayed = {**DESIGN, "C": (30.04, 35.99)}
    found = result(store, taped(strayed), held=("C", "B"))

    assert found.verdict.moves
    assert {"B", "C"}.isdisjoint(move.stake for move in found.verdict.moves)
    assert pytest.approx(0.0, abs=1e-6) == found.staked.point("B").off_m


def test_four_sides_alone_do_not_tell(store):
    found = outcome(store, taped(DESIGN, SIX[:4]))

    assert State.FAILS is found.state
    assert found.result.staked is None
    assert found.result.undetermined.measure in ((("A", "C"),), (("B", "D"),))
    assert "Too little is measured" in found.result.answer
    assert "setting-out" in [picture.key for picture in found.presentation().pictures]


def test_a_misread_foot_is_pinned_on_the_diagonal_by_the_design(store):
    """One spare measurement cannot tell which of six is wrong; without A–C the figure is the drawn one."""
    found = outcome(store, taped(DESIGN, errors={"AC": 1.0}))

    aside = [one for one in found.result.staked.residuals if one.set_aside]
    assert [("A", "C")] == [(one.measurement.at, one.measurement.to) for one in aside]
    assert pytest.approx(-1.0, abs=0.01) == aside[0].residual / FOOT_M
    assert any("A to C reads 12 in too long" in caution.text for caution in found.result.cautions)
    assert any("measure A C again" == task.what for task in found.result.tasks)
    assert () == found.result.verdict.moves


def test_two_stakes_taken_for_each_other_are_found(store):
    """C and D exchanged in the notes; in a rectangle exchanging A and B would explain the lengths as well."""
    found = result(store, taped(DESIGN, names={"C": "D", "D": "C"}))

    assert {("A", "B"), ("C", "D")} == set(found.staked.swapped)
    assert () == found.verdict.moves
    assert any("taken for each other" in one.statement for one in found.assumptions)


def test_a_tape_at_fault_is_told(store):
    found = result(store, taped({name: (1.003 * x, 1.003 * y) for name, (x, y) in DESIGN.items()}))

    assert pytest.approx(1.003, abs=1e-5) == found.staked.scale
    assert any("1 in 333 too long" in caution.text for caution in found.cautions)


def test_an_unknown_stake_waits_with_its_name(store):
    found = result(store, (Measurement(kind=Measured.DISTANCE, at="A", to="Q", value=5.0),))

    assert isinstance(found, Waiting)
    assert '"Q"' in found.reason


def test_adjusted_sides_carry_their_standard_errors(store):
    """Repeated 150 times with 2 mm of noise, the adjusted diagonal scatters by its stated error (± 12 % at two sigma)."""
    rng = np.random.default_rng(1)
    sheet = setting_out(tuple((x * FOOT_M, y * FOOT_M) for x, y in DESIGN.values()), (), (), (), ())
    found = []
    for _ in range(150):
        noisy = tuple(replace(one, value=one.value + rng.normal(0, 0.002), sd=0.002) for one in taped(DESIGN))
        found.append(staked(SettingOutSurvey(measurements=noisy), sheet.stakes).length("A", "C"))
    lengths, stated = np.array(found).T
    assert pytest.approx(np.mean(stated), rel=0.14) == np.std(lengths)


def test_settled_forms_are_raised_where_they_settled(store):
    """Station 1 went down 5 mm (limit 1/8 in. = 3.2 mm): raise it 3/16 in.; the edge there would be 5 mm shallow."""
    levels = (
        FormLevel(name="1", at=(0.0, 0.0), before_m=0.0, after_m=-0.005),
        FormLevel(name="2", at=(9.144, 0.0), before_m=0.0, after_m=-0.001),
        FormLevel(name="3", at=(9.144, 10.97), before_m=0.001, after_m=0.0),
        FormLevel(name="4", at=(0.0, 10.97), before_m=0.0, after_m=-0.001),
    )
    found = outcome(store, form_levels=FormLog(levels=levels))
    forms = found.result.forms

    assert State.FAILS is found.state
    assert ["1"] == [station.name for station in forms.stations if abs(station.settled_m) > store.tolerances.form_settlement_m]
    assert pytest.approx(store.edge.depth_m - 0.005) == forms.stations[0].edge_depth_m
    assert pytest.approx(-0.00175) == forms.mean_off_m
    assert any("raise the form 3/16 in" in task.what for task in found.result.tasks)
    assert "forms" in [picture.key for picture in found.presentation().pictures]


def test_a_tilt_of_the_forms_changes_the_volume_by_its_mean(store):
    """A whole side 10 mm low: 5 mm on the average over 30 x 36 ft is 0.5017 m³ less."""
    levels = [FormLevel(name=str(i), at=at, before_m=0.0, after_m=after) for i, (at, after) in enumerate(
        [((0.0, 0.0), -0.01), ((9.144, 0.0), -0.01), ((9.144, 10.9728), 0.0), ((0.0, 10.9728), 0.0)]
    )]  # fmt: skip
    forms = result(store, form_levels=FormLog(levels=tuple(levels))).forms

    assert pytest.approx(-0.005 * 9.144 * 10.9728) == forms.volume_m3
    assert pytest.approx(0.01) == forms.tilt_m


def test_a_bust_of_a_tenth_in_a_level_run_is_told(store):
    """Loop of two set-ups that misses by 0.1 m."""
    book = LevelBook(
        readings=(
            LevelReading(point="BM", back_m=1.500, known_m=100.0),
            LevelReading(point="T1", fore_m=1.200, back_m=1.100),
            LevelReading(point="BM", fore_m=1.300, known_m=100.0),
        )
    )
    found = outcome(store, level_book=book)
    (check,) = [one for one in found.result.checks if one.key == "levels.closure"]

    assert pytest.approx(0.1) == check.demand
    assert pytest.approx(0.012 * math.sqrt(0.12)) == check.capacity
    assert "a tenth of a metre" in check.remedy
    assert State.FAILS is found.state


def test_a_run_within_its_limit_is_shared_out(store):
    book = LevelBook(
        readings=(
            LevelReading(point="BM", back_m=1.500, known_m=100.0),
            LevelReading(point="T1", fore_m=1.200, back_m=1.100),
            LevelReading(point="BM", fore_m=1.398, known_m=100.0),
        ),
        length_m=120.0,
    )
    levels = result(store, level_book=book).levels

    assert pytest.approx(0.002) == levels.closure.misclosure_m
    assert pytest.approx((100.0, 100.299, 100.0)) == levels.levels_m


def test_a_misbooked_level_is_told(store):
    """The published page that books 100.415 where its readings give 101.305."""
    book = LevelBook(
        readings=(
            LevelReading(point="BM", back_m=1.855, known_m=100.0),
            LevelReading(point="A", between_m=2.410, booked_m=99.445),
            LevelReading(point="B", between_m=1.280, booked_m=100.575),
            LevelReading(point="CP1", fore_m=0.995, back_m=2.165, booked_m=100.860),
            LevelReading(point="C", fore_m=1.720, booked_m=100.415),
        )
    )
    found = result(store, level_book=book)

    assert [("C", 100.415)] == [(point, booked) for point, booked, _ in found.levels.misbooked]
    assert pytest.approx(101.305) == found.levels.levels_m[-1]


@pytest.mark.parametrize("name", ["store", "shelter", "station", "dairy"])
def test_every_example_can_be_set_out(name):
    found = outcome(parse_job(example_text(name), name).job)

    assert State.HOLDS is found.state
    assert found.presentation().pictures[0].items
    assert len({stake.name for stake in found.result.setting_out.stakes}) == len(found.result.setting_out.stakes)
