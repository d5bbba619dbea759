"""Shift and turn in plan: stated figures, an independent way, and going there and back."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.errors import OutOfRange
from slabwright.solvers.rigid_fit import PlaneFit, Scale, fitted
from slabwright.sources import arithmetic

LOCAL = np.array([[0.0, 0.0], [12.0, 0.0], [12.0, 8.0], [0.0, 8.0]])
SITE = np.array([[1000.003, 2000.002], [1010.390, 2006.001], [1006.393, 2012.930], [996.001, 2006.929]])


@pytest.mark.published(arithmetic("rigid transformation, 30° and (1000, 2000)"))
def test_a_stated_transformation_and_its_undoing():
    fit = PlaneFit.stated(math.radians(30), (1000.0, 2000.0))

    assert np.allclose([[1006.160254, 2009.330127]], fit.apply(np.array([[10.0, 5.0]])), atol=1e-6)
    assert np.allclose([[10.0, 5.0]], fit.undo(fit.apply(np.array([[10.0, 5.0]]))), atol=1e-9)


@pytest.mark.published(arithmetic("four-parameter transformation by least squares, four points; also as complex-number regression"))
def test_fit_with_free_scale():
    fit = fitted(LOCAL, SITE, scale=Scale.FREE)

    assert pytest.approx(0.99984348, abs=1e-8) == fit.scale
    assert pytest.approx(30.003906, abs=1e-5) == math.degrees(fit.angle_rad)
    assert pytest.approx([1000.0015385, 2000.0021923], abs=1e-6) == fit.shift
    expected = [-0.0014615, 0.0001923, 0.0018077, 0.0009615, -0.0010385, -0.0011923, 0.0006923, 0.0000385]
    assert pytest.approx(expected, abs=1e-7) == fit.residuals.ravel()
    assert pytest.approx(0.00152857, abs=1e-7) == fit.unit_error
    assert pytest.approx([0.865855769, 0.499980769], abs=1e-8) == [
        fit.scale * math.cos(fit.angle_rad),
        fit.scale * math.sin(fit.angle_rad),
    ]


def test_fixed_scale_agrees_with_the_singular_value_way():
    """Kabsch's solution by singular values (NumPy), the classic independent form."""
    fit = fitted(LOCAL, SITE)

    a, b = LOCAL - LOCAL.mean(axis=0), SITE - SITE.mean(axis=0)
    left, _, right = np.linalg.svd(a.T @ b)
    sign = np.sign(np.linalg.det(left @ right))
    turn = left @ np.diag([1.0, sign]) @ right
    assert np.allclose(a @ turn + SITE.mean(axis=0), fit.apply(LOCAL), atol=1e-9)
    assert 1.0 == fit.scale
    assert 5 == fit.n_redundant


@given(angle=st.floats(-3.1, 3.1), east=st.floats(-500, 500), north=st.floats(-500, 500))
@settings(max_examples=40, deadline=None)
def test_a_moved_figure_is_found_again(angle, east, north):
    moved = PlaneFit.stated(angle, (east, north)).apply(LOCAL)
    fit = fitted(LOCAL, moved)

    assert np.allclose(0.0, fit.residuals, atol=1e-9)
    assert np.allclose(LOCAL, fit.undo(moved), atol=1e-9)


def test_a_heavy_point_is_followed():
    shifted = LOCAL.copy()
    shifted[0] += [0.1, 0.0]
    light = fitted(LOCAL, shifted).residuals[0]
    heavy = fitted(LOCAL, shifted, weights=np.array([100.0, 1.0, 1.0, 1.0])).residuals[0]

    assert np.hypot(*heavy) < 0.1 * np.hypot(*light)


def test_too_little_to_fit():
    with pytest.raises(OutOfRange, match="two points"):
        fitted(LOCAL[:1], SITE[:1])
    with pytest.raises(OutOfRange, match="apart"):
        fitted(LOCAL[[0, 0]], SITE[[0, 0]])
