"""Combinations of loads and dead weight against uplift."""

import pytest

from slabwright.model.combinations import Level
from slabwright.model.job import LoadStandard
from slabwright.standards import asce_7, en_1990
from slabwright.standards.load_combinations import combinations_of, load_combinations
from tests.standards.us import IN, KIP, LB, close

LOADS = {"dead_n": 6.0 * KIP, "live_n": 8.0 * KIP, "snow_n": 5.0 * KIP, "wind_n": -9.0 * KIP}


def kips(**choices):
    return {name.removesuffix("_n"): value / KIP for name, value in load_combinations(**LOADS, **choices).items()}


@pytest.mark.published(asce_7.SERVICE_16)
def test_allowable_stress_combinations():
    """D 6, L 8, S 5, W -9 kip (equations seen in an adopted IBC 1605.3.1)."""
    found = kips()

    assert close(14.0) == found["D + L"]
    assert close(11.0) == found["D + S"]
    assert close(15.75) == found["D + 0.75L + 0.75S"] == max(found.values())
    assert close(-1.8) == found["0.6D + 0.6W"] == min(found.values())


@pytest.mark.published(asce_7.STRENGTH_16)
def test_strength_combinations():
    """The same loads (equations seen in an adopted IBC 1605.2)."""
    found, reduced = kips(level=Level.STRENGTH), kips(level=Level.STRENGTH, reduced_live=True)

    assert close(8.4) == found["1.4D"]
    assert close(22.5) == found["1.2D + 1.6L + 0.5S"]
    assert close(23.2) == found["1.2D + 1.6S + L"]
    assert close(19.2) == reduced["1.2D + 1.6S + 0.5L"]
    assert close(-3.6) == found["0.9D + W"]


@pytest.mark.published(asce_7.SERVICE_22, asce_7.STRENGTH_22)
def test_snow_of_the_2022_edition_is_at_strength_level():
    """0.7S beside dead load in service, 1.0S leading and 0.3S beside in strength (from memory)."""
    service = kips(standard=LoadStandard.ASCE_7_22)
    strength = kips(standard=LoadStandard.ASCE_7_22, level=Level.STRENGTH)

    assert close(6 + 0.7 * 5) == service["D + 0.7S"]
    assert close(1.2 * 6 + 5 + 8) == strength["1.2D + S + L"]
    assert close(1.2 * 6 + 1.6 * 8 + 0.3 * 5) == strength["1.2D + 1.6L + 0.3S"]


@pytest.mark.published(en_1990.STRENGTH, en_1990.SERVICE, en_1990.STABILITY)
def test_combinations_of_the_eurocode():
    """Equation 6.10 with snow leading, the characteristic sum, and 0.9G with 1.5W (from memory)."""
    strength = kips(standard=LoadStandard.EN_1990, level=Level.STRENGTH)
    service = kips(standard=LoadStandard.EN_1990)
    stability = kips(standard=LoadStandard.EN_1990, level=Level.STABILITY)

    assert close(1.35 * 6 + 1.5 * 8 + 0.75 * 5 + 0.9 * -9) == strength["1.35G + 1.5Q + 0.75S + 0.9W"]
    assert close(6 + 5 + 0.7 * 8 + 0.6 * -9) == service["G + S + 0.7Q + 0.6W"]
    assert close(0.9 * 6 - 1.5 * 9) == stability["0.9G + 1.5W"]


@pytest.mark.parametrize("standard", list(LoadStandard))
def test_no_combination_is_listed_twice(standard):
    for level in Level:
        names = [one.name for one in combinations_of(standard).at(level)]

        assert len(set(names)) == len(names)


@pytest.mark.published(asce_7.COUNTERACTING)
def test_dead_weight_against_uplift():
    """30 x 30 x 24 in. pad, 12 in. of a 4 in. slab each side, 800 lb of post, 3,000 lb of uplift: 2,025 against 1,800 lb."""
    found = asce_7.uplift_weight(
        uplift_n=3000 * LB, pad_x_m=30 * IN, pad_y_m=30 * IN, pad_depth_m=24 * IN, post_dead_n=800 * LB, slab_thickness_m=4 * IN,
        slab_reach_m=12 * IN,
    )  # fmt: skip

    assert (close(1875), close(700), close(2025), close(1800)) == (
        found.pad_n / LB, found.slab_n / LB, found.resistance_n / LB, found.demand_n / LB,
    )  # fmt: skip
