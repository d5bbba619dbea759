"""Curing and protection: days and strength, blankets and their end, what may come when."""

from dataclasses import replace

import numpy as np
import pytest
from tests.studies.first_week import FT, job, plan, weather

from slabwright.model.job import Building
from slabwright.model.loads import Anchor, LoadCase, Post, Reaction
from slabwright.model.supply import Mix
from slabwright.results.check import State
from slabwright.standards import curing_rules
from slabwright.standards.cold_weather import COLD_WEATHER, GREATEST_DROP, LEAST_TEMP
from slabwright.standards.osha_1926 import ERECTION
from slabwright.studies import curing, joints, pour_window, set_and_saw, shape
from slabwright.studies.curing.blankets import blanketed, layers_of_blanket
from slabwright.units import FOOT_M, GALLON_M3, PSI_PA, Family

STUDIES = (shape.STUDY, joints.STUDY, pour_window.STUDY, set_and_saw.STUDY, curing.STUDY)
POST = Post(name="P1", at=(15 * FT, 9 * FT), base_x_m=0.15, base_y_m=0.15, anchor=Anchor(), reactions={LoadCase.DEAD: Reaction(down_n=2e4)})
MILD = plan(STUDIES, job(posts=(POST,)), weather(days=4))
CHILLY = plan(STUDIES, job(), weather(-3, 8, -5, 1, 4, days=7, number=60))


def result(a_job, a_weather=None):
    return plan(STUDIES, a_job, a_weather or weather())[curing.STUDY]


@pytest.mark.published(curing_rules.CURING_DAYS, curing_rules.COVERAGE)
def test_a_mild_floor_is_cured_seven_days_with_compound_for_its_area():
    """7 days above 50 °F; 30 x 24 ft at 200 ft²/gal: 3.6 gal."""
    found = MILD[curing.STUDY]

    assert 7.0 == found.days
    assert pytest.approx(3.6) == found.compound_m3 / GALLON_M3
    assert pytest.approx(720 * FOOT_M**2 / curing_rules.COVERAGE_M2_M3) == found.compound_m3
    assert "Cure *7 days*, or until 2,4" in found.answer
    assert "3.6 gal" in found.answer
    assert () == found.protection


def test_type_three_cement_is_cured_three_days():
    """High-early strength (ACI 318-19 26.5.3.2)."""
    assert 3.0 == result(job(mix=replace(job().mix, cement_type="III"))).days


def test_strength_grows_with_every_day_and_ends_curing_at_its_share():
    """Monotone; the day of 70 % is where nine of ten have it."""
    found = MILD[curing.STUDY]
    floor = found.hardening["floor, placed last"]

    assert (np.diff(floor.strength_pa, axis=1) >= -1.0).all()
    assert found.strong_day is not None
    at = int(np.argmin(np.abs(floor.days - found.strong_day)))
    assert (floor.strength_pa[:, at + 1] >= 0.7 * 24.1e6).mean() >= 0.9
    assert floor.day_of(1e9) is None
    assert floor.at(3.0) < floor.at(7.0) < floor.at(28.0)


@pytest.mark.published(curing_rules.LOADING, curing_rules.SIDE_FORMS)
def test_loads_come_in_their_order_and_none_before_its_rule():
    """Feet after 24 h, side forms after 24 warm hours, framing after 3 days, vehicles after 7."""
    by_name = {wait.what: wait for wait in MILD[curing.STUDY].releases}

    assert 1.0 == by_name["feet on the floor"].day
    assert by_name["edge forms off"].day >= 1.0
    assert by_name["light framing"].day >= 3.0
    assert by_name["light vehicles"].day >= 7.0
    assert by_name["posts and frame"].zone == "pad P1"
    for wait in by_name.values():
        if wait.day is not None:
            assert wait.day >= wait.least_days - 1e-9


@pytest.mark.published(ERECTION)
def test_a_steel_frame_waits_for_three_quarters():
    """75 % by the federal rule; a wooden one by practice."""
    steel = result(job(posts=(POST,), building=Building(steel_frame=True)))
    frame = next(wait for wait in steel.releases if wait.what == "posts and frame")

    assert pytest.approx(0.75 * 24.1e6) == frame.strength_pa
    assert ERECTION == frame.clause
    assert any("87 % of their breakout" in one.question for one in steel.referrals)


def test_the_post_base_is_checked_on_green_concrete():
    """1.4 x 20 kN on 0.15 x 0.15 m at 75 % of 24.1 MPa: 0.60 x 0.85 x 18.075 MPa x 0.0225 m2 = 207.4 kN, by hand."""
    check = next(check for check in MILD[curing.STUDY].checks if check.key == "base.P1")

    assert pytest.approx(28e3) == check.demand
    assert pytest.approx(207.4e3, rel=0.002) == check.capacity
    assert check.steps
    assert State.HOLDS is check.state


@pytest.mark.published(COLD_WEATHER, LEAST_TEMP, GREATEST_DROP)
def test_a_chilly_week_is_covered_warm_enough_and_uncovered_without_a_shock():
    """-3 to 8 °C: blankets are asked for, keep what they promise, and come off when the next day's fall is within 50 °F."""
    found = CHILLY[curing.STUDY]
    floor, edge = found.protection

    assert "R" in found.answer or "heat an enclosure" in found.answer
    assert floor.bare_coldest_c < floor.kept_coldest_c
    assert pytest.approx((12.78, 10.0), abs=0.01) == (floor.least_c, edge.least_c)
    assert pytest.approx((50 / 1.8, 40 / 1.8)) == (floor.drop_limit_k, edge.drop_limit_k)
    for kept in found.protection:
        if kept.resistance_m2k_w is not None:
            assert kept.kept_coldest_c >= kept.least_c
        if kept.off_h is not None:
            assert kept.off_h >= 24.0 * kept.days - 1e-9
            assert kept.drop_k <= kept.drop_limit_k
    assert any("carbon monoxide" in caution.text for caution in found.cautions)
    assert {"kept.floor, placed last", "drop.edge"} <= {check.key for check in found.checks}


def test_a_hard_frost_is_beyond_blankets():
    """-14 to -4 °C: none tried is enough, the answer says heat, and no number of days is named below 40 °F."""
    found = result(job(), weather(-14, -4, -17, 2, 6, number=20, days=6))

    assert found.protection[0].resistance_m2k_w is None
    assert "heat an enclosure" in found.answer
    assert found.days is None or found.days >= 7.0
    assert State.FAILS in {check.state for check in found.checks}


def test_a_blanket_makes_colder_air_matter_less():
    """The same R leaves less of the cold: floor kept warmer than bare in every case; layers are counted in R 2."""
    assert CHILLY[curing.STUDY].protection[0].kept_coldest_c > CHILLY[curing.STUDY].protection[0].bare_coldest_c + 3.0
    assert 3 == len(blanketed(0.7, 72.0))
    assert 2 == len(blanketed(0.7))
    assert [1, 2, 3] == [layers_of_blanket(r * 0.1761101838) for r in (1.0, 4.0, 5.0)]


def test_an_si_job_reads_litres_and_megapascals():
    """And a weak mix that never reaches frost safety says so."""
    found = result(job(family=Family.SI, mix=Mix(strength_pa=17e6, placing_temp_c=18.0)))
    frost = next(wait for wait in found.releases if wait.what == "frost while it is wet")

    assert "MPa" in found.answer and " L of compound" in found.answer
    assert pytest.approx(3500.0) == frost.strength_pa / PSI_PA
    assert frost.day is None or frost.day > 14.0


def test_what_is_shown():
    """Strength over days and its lists; blankets only in the cold."""
    mild, cold = MILD.outcomes["curing"].presentation(), CHILLY.outcomes["curing"].presentation()

    assert ["What may come when", "Strength in place that nine members of ten reach"] == [table.title for table in mild.tables]
    assert "Blankets" == cold.tables[-1].title
    for shown in (mild, cold):
        assert all(len(row) == len(table.columns) for table in shown.tables for row in table.rows)
        assert ["strength"] == [picture.key for picture in shown.pictures]
