"""The haul loop against closed forms, hand work and an independent event simulator."""

import numpy as np
import pytest
import simpy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import ks_2samp

from slabwright.errors import OutOfRange
from slabwright.solvers.haul_loop import Duration, HaulLoop, Law, evenly, finite_source_busy

NONE = Duration(0.0, law=Law.FIXED)


def loop(**part):
    given_parts = {
        "n_carriers": 3, "amounts": (8.0,) * 10, "release": (0.0,) * 10, "fill_h": Duration(0.1), "out_h": Duration(0.5),
        "back_h": Duration(0.4), "clean_h": Duration(0.1), "pace_h": Duration(0.05),
    }  # fmt: skip
    return HaulLoop(**(given_parts | part))


def test_a_fixed_day_runs_as_worked_by_hand():
    """Two carriers, three loads: filled at 0, 0.1; the first is back at 0.1+0.5+0.4+0.1+0.4 = 1.5 and brings the third."""
    day = loop(n_carriers=2, amounts=(8.0,) * 3, release=(0.0,) * 3).simulate(1)

    assert pytest.approx([0.0, 0.1, 1.5]) == day.fill_start[0]
    assert pytest.approx([0.6, 0.7, 2.1]) == day.arrive[0]
    assert pytest.approx([0.6, 1.0, 2.1]) == day.start[0]
    assert pytest.approx([1.0, 1.4, 2.5]) == day.end[0]


def test_enough_carriers_keep_the_sink_busy_and_too_few_do_not():
    """Match factor: cycle 1.5 h over 0.4 h of emptying is 3.75 carriers; with 4 no gap after the first load, with 3 there is."""
    assert pytest.approx(0.0, abs=1e-9) == loop(n_carriers=4).simulate(1).gap.max()
    assert loop(n_carriers=3).simulate(1).gap.max() > 0.2


@pytest.mark.parametrize("n_carriers", [1, 2, 4, 7])
def test_the_machine_repair_queue_is_met_within_its_confidence_interval(n_carriers):
    """Finite-source M/M/1: share of busy time is 1 - p0 (queueing theory, exact); 400 loads a day, 60 days."""
    away, serve, loads = 1.0, 0.4, 400
    days = loop(
        n_carriers=n_carriers, amounts=(1.0,) * loads, release=(0.0,) * loads, fill_h=NONE, back_h=NONE, clean_h=NONE,
        out_h=Duration(away, law=Law.EXPONENTIAL), pace_h=Duration(serve, law=Law.EXPONENTIAL),
    ).simulate(60, seed=5)  # fmt: skip
    busy = (days.end - days.start).sum(axis=1) / days.finish
    error = 2.6 * busy.std(ddof=1) / np.sqrt(len(busy)) + 3.0 / loads

    assert abs(busy.mean() - finite_source_busy(n_carriers, away, serve)) < error


def test_one_carrier_is_busy_its_share_of_the_cycle():
    """1 - p0 for one carrier is serve / (serve + away)."""
    assert pytest.approx(0.4 / 1.4) == finite_source_busy(1, 1.0, 0.4)


def independent_finishes(one, n_days, seed):
    """The same loop in SimPy, drawing with NumPy."""
    draw = np.random.default_rng(seed)

    def lognormal(duration):
        sigma = np.sqrt(np.log1p(duration.variation**2))
        return duration.mean * np.exp(sigma * draw.standard_normal() - sigma**2 / 2) if duration.variation else duration.mean

    finishes = []
    for _ in range(n_days):
        env = simpy.Environment()
        source, sink, home = simpy.Resource(env), simpy.Resource(env), simpy.Store(env)
        ends = []

        def carry(carrier, amount, env=env, source=source, sink=sink, home=home, ends=ends):
            yield env.timeout(lognormal(one.out_h) + (draw.uniform(*one.setback_h) if draw.random() < one.setback_chance else 0.0))
            with sink.request() as turn:
                yield turn
                yield env.timeout(amount * lognormal(one.pace_h))
                ends.append(env.now)
            yield env.timeout(lognormal(one.clean_h) + lognormal(one.back_h))
            yield home.put(carrier)

        def dispatch(env=env, source=source, home=home, carry=carry):
            for number in range(one.n_carriers):
                yield home.put(number)
            for amount, release in zip(one.amounts, one.release, strict=True):
                carrier = yield home.get()
                yield env.timeout(max(0.0, release - env.now))
                with source.request() as turn:
                    yield turn
                    yield env.timeout(lognormal(one.fill_h))
                env.process(carry(carrier, amount))

        env.process(dispatch())
        env.run()
        finishes.append(max(ends))
    return np.array(finishes)


@pytest.mark.parametrize("case", range(20))
def test_finish_times_are_those_of_an_independent_simulator(case):
    """Twenty random loops; Kolmogorov-Smirnov at 1 % over all cases (0.01 / 20 each), 300 days against 3,000."""
    draw = np.random.default_rng(100 + case)
    n = int(draw.integers(5, 20))
    one = loop(
        n_carriers=int(draw.integers(1, 8)), amounts=tuple(draw.uniform(4, 9, n)), release=evenly(n, 0.0, float(draw.uniform(0.1, 0.4))),
        fill_h=Duration(0.12, 0.2), out_h=Duration(float(draw.uniform(0.2, 0.8)), 0.2), back_h=Duration(0.5, 0.15),
        pace_h=Duration(0.04, 0.25), setback_chance=0.05, setback_h=(0.3, 1.0),
    )  # fmt: skip

    assert ks_2samp(one.simulate(3000, seed=9).finish, independent_finishes(one, 300, case)).pvalue > 0.01 / 20


@settings(max_examples=25, deadline=None)
@given(n_carriers=st.integers(1, 9), amounts=st.lists(st.floats(0.5, 10), min_size=1, max_size=25), seed=st.integers(0, 1000))
def test_nothing_is_lost_and_times_follow_one_another(n_carriers, amounts, seed):
    """Amounts are conserved exactly; the sink empties one at a time; no carrier is in two places."""
    one = loop(
        n_carriers=n_carriers, amounts=tuple(amounts), release=(0.0,) * len(amounts), out_h=Duration(0.5, 0.3), pace_h=Duration(0.05, 0.3)
    )
    days = one.simulate(3, seed=seed)

    assert all(sorted(amounts) == sorted(day) for day in days.amount.tolist())
    assert (days.gap >= -1e-12).all()
    assert (days.wait >= -1e-12).all()
    assert (days.age > 0).all()


def test_a_day_does_not_depend_on_how_many_are_run_with_it():
    """Each day has its own stream."""
    one = loop(out_h=Duration(0.5, 0.3))

    assert np.array_equal(one.simulate(50, seed=3).end[10:20], one.simulate(10, seed=13).end)


@pytest.mark.parametrize(
    "part", [{"n_carriers": 0}, {"amounts": ()}, {"amounts": (0.0,) * 10}, {"pace_h": Duration(0.0)}, {"setback_chance": 1.5}]
)
def test_a_senseless_loop_is_refused(part):
    """Each by itself."""
    with pytest.raises(OutOfRange):
        loop(**part)
    with pytest.raises(OutOfRange):
        Duration(-1.0)
