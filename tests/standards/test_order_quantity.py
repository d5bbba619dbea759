"""What to order: rounding, the critical ratio and expected sides, against integration and hand values."""

import pytest
from scipy.integrate import quad
from scipy.stats import norm

from slabwright.errors import OutOfRange
from slabwright.standards.order_quantity import BATCH_STEP, CRITICAL_RATIO, order_quantity, round_up_m3
from slabwright.units import CUBIC_YARD_M3


@pytest.mark.published(BATCH_STEP)
@pytest.mark.parametrize(("volume", "order"), [(21.49, 21.5), (16.681350000000002, 16.75), (9.0, 9.0), (9.0001, 9.25)])
def test_an_order_is_rounded_up_and_never_by_a_last_digit(volume, order):
    assert pytest.approx(order, abs=1e-9) == round_up_m3(volume_m3=volume * CUBIC_YARD_M3, step_m3=0.25 * CUBIC_YARD_M3) / CUBIC_YARD_M3


@pytest.mark.published(CRITICAL_RATIO)
def test_critical_ratio_of_unequal_costs():
    """Nine dear to one: order at the 90 % point, 1.2816 deviations above the mean."""
    order = order_quantity(mean_m3=20.0, sd_m3=1.0, short_cost=9.0, left_cost=1.0, step_m3=1e-6)

    assert pytest.approx(20 + 1.2816, abs=1e-4) == order.order_m3
    assert pytest.approx(0.10, abs=1e-5) == order.chance_short


def test_expected_sides_agree_with_integration():
    """SciPy's quadrature of the normal density."""
    order = order_quantity(mean_m3=20.0, sd_m3=0.8, risk=0.05)
    q = order.order_m3
    short, _ = quad(lambda v: (v - q) * norm.pdf(v, 20.0, 0.8), q, q + 10)
    left, _ = quad(lambda v: (q - v) * norm.pdf(v, 20.0, 0.8), q - 10, q)

    assert pytest.approx(short, rel=1e-6) == order.expected_short_m3
    assert pytest.approx(left, rel=1e-6) == order.expected_left_m3
    assert order.chance_short <= 0.05


def test_certain_need_is_rounded_up_only():
    order = order_quantity(mean_m3=1.0 * CUBIC_YARD_M3, sd_m3=0.0)

    assert pytest.approx(CUBIC_YARD_M3) == order.order_m3
    assert 0.0 == order.chance_short


def test_refusals():
    with pytest.raises(OutOfRange, match="both"):
        order_quantity(mean_m3=1, sd_m3=0.1, short_cost=2.0)
    with pytest.raises(OutOfRange, match="between 0 and 1"):
        order_quantity(mean_m3=1, sd_m3=0.1, risk=1.5)
    with pytest.raises(OutOfRange):
        round_up_m3(volume_m3=1, step_m3=0)
