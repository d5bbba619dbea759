"""Set and saw: windows in the usual hours, the sense of every influence, what waits and what fails."""

from dataclasses import replace

import numpy as np
import pytest
from tests.studies.first_week import FT, job, plan, weather

from slabwright.early_age.sawing import evening
from slabwright.early_age.windows import Saw
from slabwright.model.supply import Crew, JointKind, JointWishes
from slabwright.model.weather import WeatherKind
from slabwright.results.check import State
from slabwright.standards.subgrade_drag import SAW_HOURS
from slabwright.studies import joints, pour_window, set_and_saw, shape
from slabwright.studies.set_and_saw.days import uncut_length_m
from slabwright.studies.set_and_saw.saw import lines_in_window
from slabwright.study import Waiting
from slabwright.units import Family

STUDIES = (shape.STUDY, joints.STUDY, pour_window.STUDY, set_and_saw.STUDY)
MILD = plan(STUDIES, job(), weather())


def result(a_job=None, a_weather=None, **site):
    return plan(STUDIES, a_job or job(), a_weather or weather(), **site)[set_and_saw.STUDY]


@pytest.mark.published(SAW_HOURS)
def test_on_a_mild_day_everything_falls_into_the_usual_hours():
    """Float before trowel before saw; the wet saw starts 4 to 12 h after placing; the answer tells the hours."""
    found = MILD[set_and_saw.STUDY]
    first = found.days[0]

    assert first.finishing.float_from.middle_h < first.finishing.trowel_until.middle_h < first.windows[Saw.CONVENTIONAL].start_h
    assert 4.0 <= first.windows[Saw.CONVENTIONAL].start_h <= 12.0
    assert "with the wet saw: the first floor sets at" in found.answer or "no hour" in found.answer


def test_the_balance_of_energy_is_reported_and_closes_in_every_member():
    """Two zones of 200 members and two of 60, to a thousandth and far better."""
    found = MILD[set_and_saw.STUDY]

    assert found.gap < 1e-6
    assert found.edge is not None and found.edge.run.balance.gap < 1e-3
    assert "energy balance" in MILD.outcomes["set_and_saw"].presentation().tables[0].note


def test_zones_are_floor_twice_edge_and_the_deepest_pad():
    """First and last concrete of the floor, the edge and pad half-way through; deeper parts are warmer."""
    names = {day.zone.name: day for day in MILD[set_and_saw.STUDY].days}

    assert ["floor, placed first", "floor, placed last", "edge", "pad P1"] == list(names)
    assert names["edge"].peak_c > names["floor, placed first"].peak_c + 3.0
    assert 0.0 < names["edge"].zone.placed_after_h < names["floor, placed last"].zone.placed_after_h
    assert pytest.approx(30 * FT) == uncut_length_m(MILD[shape.STUDY].foundation)


def test_lines_are_sawn_in_the_joints_order_as_their_concrete_gets_ready():
    """Every line of the joints study, whole lengths, none before its youngest concrete is ready."""
    found, wanted = MILD[set_and_saw.STUDY], MILD[joints.STUDY].joints
    lengths = {}
    for cut in found.cuts:
        name = cut.line.name.rstrip("abcdefgh")
        lengths[name] = lengths.get(name, 0.0) + cut.line.length_m
        assert cut.start_h >= cut.line.ready_h - 1e-9

    assert {joint.name: pytest.approx(joint.length_m) for joint in wanted} == lengths


def test_a_long_line_along_the_pour_is_sawn_in_pieces():
    """Four hours of placing: a line across is one piece, one along is four, each ready later than the one before."""
    foundation = MILD[shape.STUDY].foundation
    window = MILD[set_and_saw.STUDY].days[0].windows[Saw.CONVENTIONAL]
    along, across = (
        joints.study.JointLine(name=n, start=a, end=b, kind=JointKind.SAW, depth_m=0.03, lost_m=0.0, opening_m=0.0)
        for n, a, b in (("A", (0.0, 3.0), (30 * FT, 3.0)), ("B", (3.0, 0.0), (3.0, 24 * FT)))
    )
    lines = lines_in_window((along, across), foundation, 4.0, window, window)

    assert ["Aa", "Ab", "Ac", "Ad", "B"] == [line.name for line in lines]
    assert pytest.approx(1.0) == lines[1].ready_h - lines[0].ready_h
    assert pytest.approx(window.start_h + 1.0) == lines[0].ready_h
    assert pytest.approx(window.end_h + 4.0 * 3.0 / (30 * FT)) == lines[4].latest_h
    assert 5 == len(evening(lines, n_saws=2, speed_m_h=45.0))


def test_curing_at_the_crew_s_hour_is_not_curing_at_set():
    """Stated hours are kept: cured two hours after placing, the floor loses less water and its skin pulls less."""
    early = result(job(crew=replace(job().crew, curing_hour_h=9.0)))
    late = result(job(crew=replace(job().crew, curing_hour_h=18.0)))

    assert pytest.approx(2.0, abs=0.01) == early.days[0].history.covered_h[0]
    assert early.days[0].history.lost_kg_m2[0, -1] < late.days[0].history.lost_kg_m2[0, -1] - 0.5
    assert not any("state the hour" in one.statement for one in early.assumptions)
    assert any("state the hour" in one.statement for one in MILD[set_and_saw.STUDY].assumptions)


def test_an_early_entry_saw_starts_sooner_and_tooled_joints_need_none():
    """The job's own kind of joint decides."""
    early = result(job(joints=JointWishes(kind=JointKind.EARLY_ENTRY)))
    tooled = result(job(joints=JointWishes(kind=JointKind.TOOLED)))

    assert Saw.EARLY_ENTRY is early.saw
    assert early.days[0].windows[Saw.EARLY_ENTRY].start_h < early.days[0].windows[Saw.CONVENTIONAL].start_h
    assert "early-entry saw" in early.answer or "no hour" in early.answer
    assert () == tooled.cuts
    assert "Work the tooled joints before" in tooled.answer


def test_a_slow_saw_is_late_and_more_saws_help():
    """2 m/h: the last line is through after its window, the check fails and says how many saws would do or that none does."""
    slow = result(job(crew=replace(job().crew, saw_speed_m_h=2.0)))
    check = next(check for check in slow.checks if check.key == "saw.window")

    assert State.FAILS is check.state
    assert "saw" in check.remedy
    assert any("only after the window" in one.question for one in slow.referrals)
    assert "too late for some" in slow.answer or "no hour" in slow.answer


def test_a_cold_snap_after_the_pour_cracks_more():
    """Air 8 K colder from the evening on: more members have cracked by the next morning, and the fixed floor pulls harder."""
    base = weather(days=2.5)
    colder = {
        name: tuple(value - (8.0 if hour > 20 else 0.0) for hour, value in enumerate(getattr(base.hours, name)))
        for name in ("air_temp_c", "dew_point_c")
    }
    mild, snap = (result(a_weather=replace(base, hours=hours)).days[0] for hours in (base.hours, replace(base.hours, **colder)))
    at = int(np.argmin(np.abs(mild.history.times_h - 24.0)))

    assert mild.history.placed_h[0] == snap.history.placed_h[0]
    assert snap.cracking.chance(0.4)[at] > mild.cracking.chance(0.4)[at]
    assert np.median(snap.cracking.ratio(1.0)[:, at]) > np.median(mild.cracking.ratio(1.0)[:, at])


def test_frost_that_reaches_green_concrete_fails_its_check():
    """-10 to -2 °C: freezing before 500 psi in the floor; when it does not even set, the answer says so."""
    found = result(a_weather=weather(-10, -2, -12, 2, 6, number=20))
    check = next(check for check in found.checks if check.key == "freezing.floor, placed first")

    band = plan(STUDIES, job(), weather(-10, -2, -12, 2, 6, number=20)).outcomes["set_and_saw"].presentation().pictures[0]

    assert State.FAILS is check.state
    assert "may freeze" in {getattr(item, "text", "") for item in band.items}
    assert "not set" in found.answer or "not start" in found.answer or "sets at" in found.answer


def test_without_an_edge_the_floating_slab_decides():
    """No rim to anchor it: the chance of a crack is that of friction alone."""
    free = result(job(edge=None, pads=()))

    assert free.edge is None
    assert np.array_equal(free.days[0].windows[Saw.CONVENTIONAL].chance, free.days[0].cracking.chance(0.0))
    assert ["floor, placed first", "floor, placed last"] == [day.zone.name for day in free.days]


def test_a_record_has_one_course_and_the_same_seed_the_same_answer():
    """Weather that was measured is not disturbed."""
    found = result(a_weather=weather(kind=WeatherKind.RECORD))

    assert 1 == found.drivers.n_courses
    assert found.answer == result(a_weather=weather(kind=WeatherKind.RECORD)).answer


def test_without_weather_it_waits_for_the_pour():
    """Its own reason is the pour window's."""
    outcome = plan(STUDIES, job(), None).outcomes["set_and_saw"].result

    assert isinstance(outcome, Waiting)
    assert "Which hour do we start to pour?" in outcome.reason


def test_what_is_shown():
    """Band, stress and section; tables of zones, lines, windows and stress in its parts, in SI or US alike."""
    shown = MILD.outcomes["set_and_saw"].presentation()
    titles = [table.title for table in shown.tables]

    assert ["band", "stress", "edge"] == [picture.key for picture in shown.pictures]
    assert ["Set, warmth and strength", "The saw's list", "When a saw may cut", "Stress at the surface, fully held, in its parts"] == titles
    assert all(len(row) == len(table.columns) for table in shown.tables for row in table.rows)
    parts = shown.tables[3].rows[-1]
    assert all(isinstance(value, float) for value in parts[:6])
    assert "may freeze" not in {getattr(item, "text", "") for item in shown.pictures[0].items}
    assert plan(STUDIES, job(family=Family.SI, crew=Crew(placing_rate_m3_h=14.0)), weather()).outcomes["set_and_saw"].presentation().tables
