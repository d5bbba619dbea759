"""Development, laps, hooks and cast-in anchors by the concrete code."""

import math

import pytest

from slabwright.errors import OutOfRange
from slabwright.standards import aci_318_19_anchor_shear as in_shear
from slabwright.standards import aci_318_19_anchors as anchors
from slabwright.standards import aci_318_19_development as bars
from slabwright.standards.aci_318_19_anchors import AnchorKind
from slabwright.standards.aci_318_19_development import HookAngle, LapClass
from slabwright.standards.astm_a615 import BARS
from tests.standards.us import IN, IN2, LB, PSI, close


@pytest.mark.published(bars.DEVELOPMENT)
@pytest.mark.parametrize(
    ("bar", "strength", "length_in"),
    [
        (4, 2500, 24.0), (5, 2500, 30.0), (4, 3000, 21.91), (5, 3000, 27.39), (4, 4000, 18.97), (5, 4000, 23.72),
        (7, 3000, 47.93), (8, 3000, 54.77), (8, 4000, 47.43),
    ],
)  # fmt: skip
def test_development_length(bar, strength, length_in):
    """54.8 in. for No. 8 at 3,000 psi seen in a textbook example. The divisor 25 already holds 0.8: not to be applied twice."""
    found = bars.development_length_m(bar_diameter_m=BARS[bar].diameter_m, strength_pa=strength * PSI)

    assert close(length_in) == found / IN


@pytest.mark.published(bars.LAP)
@pytest.mark.parametrize(
    ("bar", "strength", "class_a_in", "class_b", "class_b_in"),
    [(4, 3000, 22, 28.48, 29), (5, 3000, 28, 35.6, 36), (4, 4000, 19, 24.67, 25), (5, 4000, 24, 30.83, 31)],
)
def test_lap_lengths(bar, strength, class_a_in, class_b, class_b_in):
    """Classes A and B, rounded up to whole inches."""
    common = {"bar_diameter_m": BARS[bar].diameter_m, "strength_pa": strength * PSI}
    a, b = (bars.lap_length_m(**common, lap_class=one) / IN for one in (LapClass.A, LapClass.B))

    assert (class_a_in, class_b_in) == (math.ceil(a), math.ceil(b))
    assert close(class_b) == b


@pytest.mark.published(bars.GENERAL_DEVELOPMENT)
@pytest.mark.parametrize(("c_b", "length_in"), [(3.3125, 16.43), (1.0, 25.67)])
def test_general_development_length(c_b, length_in):
    """No. 5 at 3,000 psi; 3 in. of cover against soil brings the ratio to its cap 2.5."""
    found = bars.general_development_length_m(bar_diameter_m=0.625 * IN, strength_pa=3000 * PSI, cover_or_half_spacing_m=c_b * IN)

    assert close(length_in, 0.002) == found / IN


@pytest.mark.published(bars.HOOKED_DEVELOPMENT)
@pytest.mark.parametrize(("diameter", "length_in"), [(0.5, 6.0), (0.625, 7.873), (0.75, 10.349)])
def test_hooked_development_length(diameter, length_in):
    """3,000 psi; the first is the least of 6 in. (by the formula 5.633)."""
    found = bars.hooked_development_length_m(bar_diameter_m=diameter * IN, strength_pa=3000 * PSI)

    assert close(length_in, 0.002) == found / IN


@pytest.mark.published(bars.COMPRESSION_LAP)
@pytest.mark.parametrize(("bar", "length_in"), [(3, 12.0), (4, 15.0), (5, 18.75), (6, 22.5), (8, 30.0)])
def test_compression_laps(bar, length_in):
    assert close(length_in, 1e-9) == bars.compression_lap_length_m(bar_diameter_m=BARS[bar].diameter_m) / IN


@pytest.mark.published(bars.HOOK)
@pytest.mark.parametrize(
    ("diameter", "bend", "ext90", "ext180", "a90", "j180"),
    [
        (0.375, 2.25, 4.5, 2.5, 6.0, 3.0),
        (0.5, 3.0, 6.0, 2.5, 8.0, 4.0),
        (0.625, 3.75, 7.5, 2.5, 10.0, 5.0),
        (0.75, 4.5, 9.0, 3.0, 12.0, 6.0),
    ],
)
def test_standard_hooks(diameter, bend, ext90, ext180, a90, j180):
    """Bend 6 diameters; 12 diameters beyond 90 degrees, 4 diameters or 2.5 in. beyond 180."""
    quarter, half = (bars.hook(bar_diameter_m=diameter * IN, angle=angle) for angle in (HookAngle.QUARTER, HookAngle.HALF))

    assert (close(bend), close(ext90), close(a90)) == (quarter.bend_diameter_m / IN, quarter.extension_m / IN, quarter.outside_m / IN)
    assert (close(ext180), close(j180)) == (half.extension_m / IN, half.outside_m / IN)


@pytest.mark.published(bars.TIE_HOOK)
@pytest.mark.parametrize(("diameter", "bend", "extension"), [(0.375, 1.5, 3.0), (0.5, 2.0, 3.0), (0.625, 2.5, 3.75)])
def test_tie_hooks(diameter, bend, extension):
    hook = bars.tie_hook(bar_diameter_m=diameter * IN)

    assert (close(bend), close(extension)) == (hook.bend_diameter_m / IN, hook.extension_m / IN)


@pytest.mark.published(bars.DEVELOPMENT, bars.HOOKED_DEVELOPMENT)
def test_a_straight_bar_does_not_develop_in_a_small_pad_but_a_hook_does():
    """36 in. pad, 6 in. post, 3 in. side cover: 12 in. available, 21.91 in. straight, 6 in. hooked."""
    available = (36 - 6) / 2 - 3
    straight = bars.development_length_m(bar_diameter_m=0.5 * IN, strength_pa=3000 * PSI) / IN
    hooked = bars.hooked_development_length_m(bar_diameter_m=0.5 * IN, strength_pa=3000 * PSI) / IN

    assert 12.0 == available
    assert straight > available >= hooked


@pytest.mark.published(anchors.BREAKOUT)
def test_breakout_of_a_bolt_near_one_edge():
    """1/2 in. bolt 7 in. deep, 1.75 in. from the edge, 2,500 psi (equations seen, k_c 24 from memory)."""
    found = anchors.breakout(strength_pa=2500 * PSI, embedment_m=7 * IN, edge_west_m=1.75 * IN)

    assert (close(22224, 0.002), close(441), close(257.25)) == (found.basic_n / LB, found.single_area_m2 / IN2, found.area_m2 / IN2)
    assert (close(0.75), close(9723, 0.002), close(6806, 0.002)) == (found.edge_factor, found.strength_n / LB, found.capacity_n / LB)


@pytest.mark.published(anchors.DEEP_BREAKOUT)
def test_breakout_of_deep_headed_bolts():
    """12 in. at 4,000 psi: 63,648 lb by the power 5/3, 63,098 by 1.5 (equation and range seen)."""
    common = {"strength_pa": 4000 * PSI, "embedment_m": 12 * IN}

    assert close(63648) == anchors.breakout(**common, deep_formula=True).basic_n / LB
    assert close(63098) == anchors.breakout(**common).basic_n / LB


def test_three_near_edges_shorten_the_embedment_that_counts():
    """Hand: 12 in. deep, edges 4, 4, 6 in. and one far: h_ef = 6/1.5 = 4 in."""
    found = anchors.breakout(strength_pa=2500 * PSI, embedment_m=12 * IN, edge_west_m=4 * IN, edge_east_m=4 * IN, edge_south_m=6 * IN)

    assert close(24 * 50 * 8) == found.basic_n / LB


@pytest.mark.published(anchors.PULLOUT)
def test_pullout_of_bent_and_headed_bolts():
    """1/2 in.: bent 2.25 in., 1,772 lb; hex head, 4,074 lb (from memory). Prefer headed."""
    bent = anchors.pullout_n(strength_pa=2500 * PSI, kind=AnchorKind.HOOKED, diameter_m=0.5 * IN, hook_m=2.25 * IN)
    headed = anchors.pullout_n(strength_pa=2500 * PSI, kind=AnchorKind.HEADED, diameter_m=0.5 * IN)

    assert (close(1772, 0.002), close(4074, 0.002)) == (bent / LB, headed / LB)
    assert (
        close(0.7 * 0.9 * 2500 * 1.5 * 0.5) == anchors.pullout_n(strength_pa=2500 * PSI, kind=AnchorKind.HOOKED, diameter_m=0.5 * IN) / LB
    )


def test_a_hook_too_long_is_refused():
    with pytest.raises(OutOfRange, match=r"3 to 4.5 diameters"):
        anchors.pullout_n(strength_pa=2500 * PSI, kind=AnchorKind.HOOKED, diameter_m=0.5 * IN, hook_m=3 * IN)


@pytest.mark.published(anchors.STEEL_TENSION)
def test_steel_of_a_half_inch_rod():
    """0.142 in² at 58 ksi: 8,236 lb nominal, 6,177 design."""
    area = anchors.rod(diameter_m=0.5 * IN).tension_area_m2
    found = anchors.steel_tension_n(area_m2=area, steel_strength_pa=58000 * PSI)

    assert (close(0.142), close(6177, 0.002)) == (area / IN2, found / LB)


@pytest.mark.published(anchors.INTERACTION)
@pytest.mark.parametrize(("tension", "shear", "holds"), [(0.15, 0.95, True), (0.5, 0.6, True), (0.7, 0.6, False)])
def test_interaction(tension, shear, holds):
    assert holds == (anchors.interaction(tension_ratio=tension, shear_ratio=shear) <= 1.0)


def test_side_blowout_only_where_the_anchor_is_deep():
    """Hand: 12 in. deep, 3 in. from the edge, head 0.654 in², 2,500 psi: 160*3*sqrt(0.654)*50 = 19,409 lb; at a corner 3 in. half."""
    common = {"strength_pa": 2500 * PSI, "edge_m": 3 * IN, "head_area_m2": 0.654 * IN2}

    assert anchors.side_blowout_n(embedment_m=7.5 * IN, **common) is None
    assert close(0.7 * 19409) == anchors.side_blowout_n(embedment_m=12 * IN, **common) / LB
    assert close(0.7 * 19409 / 2) == anchors.side_blowout_n(embedment_m=12 * IN, crossing_edge_m=3 * IN, **common) / LB


def test_shear_breakout_towards_an_edge():
    """Hand: 3/4 in. rod, 6 in. from the edge, 4,000 psi, deep and wide concrete.

    l_e/d_a = 8: 7*8^0.2*sqrt(0.75) = 9.19, so the cap 9 governs: 9*63.25*6^1.5 = 8,365 lb; areas alike.
    """
    found = in_shear.shear_breakout(strength_pa=4000 * PSI, diameter_m=0.75 * IN, embedment_m=12 * IN, edge_m=6 * IN)

    assert (close(8365), close(162), close(162), close(0.7 * 8365)) == (
        found.basic_n / LB, found.area_m2 / IN2, found.single_area_m2 / IN2, found.capacity_n / LB,
    )  # fmt: skip


def test_thin_concrete_gives_back_part_of_the_lost_area():
    """Hand: 6 in. edge, 4 in. thick: area 18*4 = 72 in², factor sqrt(9/4) = 1.5: 72/162*1.5 = 0.667."""
    found = in_shear.shear_breakout(strength_pa=4000 * PSI, diameter_m=0.75 * IN, embedment_m=12 * IN, edge_m=6 * IN, thickness_m=4 * IN)

    assert close(2 / 3 * 8365) == found.strength_n / LB


def test_steel_in_shear_and_prying_out():
    """0.65*0.6*0.142*58000 = 3,212 lb; a deep anchor pries out at twice its breakout."""
    assert close(3212) == in_shear.steel_shear_n(area_m2=0.142 * IN2, steel_strength_pa=58000 * PSI) / LB
    assert close(0.7 * 2 * 9723) == in_shear.pryout_n(breakout_n=9723 * LB, embedment_m=7 * IN) / LB
    assert close(0.7 * 9723) == in_shear.pryout_n(breakout_n=9723 * LB, embedment_m=2 * IN) / LB
