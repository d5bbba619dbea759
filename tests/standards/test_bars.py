"""Bars by name, across families."""

import pytest

from slabwright.errors import OutOfRange
from slabwright.sources import Basis, Clause
from slabwright.standards.astm_a615 import BAR_TABLE
from slabwright.standards.bars import EN_10080, bar
from slabwright.units import INCH_M


@pytest.mark.published(BAR_TABLE)
@pytest.mark.parametrize(("size", "diameter_in", "area_in2"), [("No.4", 0.500, 0.20), ("#5", 0.625, 0.31), ("no. 8", 1.000, 0.79)])
def test_us_bars_by_any_way_of_writing(size, diameter_in, area_in2):
    """ASTM A615 Table 1, as printed."""
    found = bar(size=size)

    assert pytest.approx(diameter_in) == found.diameter_m / INCH_M
    assert pytest.approx(area_in2) == found.area_m2 / INCH_M**2


@pytest.mark.published(Clause(EN_10080, "Table 6", Basis.MEMORY))
@pytest.mark.parametrize(
    ("size", "area_mm2", "mass_kg_m"), [("H10", 78.5, 0.617), ("H12", 113, 0.888), ("H16", 201, 1.58), ("N20", 314, 2.47)]
)
def test_metric_bars(size, area_mm2, mass_kg_m):
    """EN 10080 Table 6 as printed, to its rounding; from memory."""
    found = bar(size=size)

    assert pytest.approx(area_mm2, rel=2e-3) == found.area_m2 * 1e6
    assert pytest.approx(mass_kg_m, rel=3e-3) == found.mass_kg_m


@pytest.mark.parametrize("size", ["4", "No.12", "H11", "M12", "", "No.4 bar"])
def test_a_bar_that_is_not_made_is_refused(size):
    """The message says how to write one."""
    with pytest.raises(OutOfRange, match='write "No\\.4"'):
        bar(size=size)
