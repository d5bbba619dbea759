"""The order list: concrete to the load, everything else, prices. Figures of the four jobs are those of their description."""

import math
from dataclasses import replace
from decimal import Decimal
from functools import cache
from types import MappingProxyType

import numpy as np
import pytest
from hypothesis import given, settings
from tests.strategies import slabs

from slabwright.files.examples import example_names, example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.concrete import Edge, Floor, Pad, Strip
from slabwright.model.ground import BaseCourse, Insulation, Retarder
from slabwright.model.job import Codes, ConcreteStandard, Job
from slabwright.model.loads import Post
from slabwright.model.steel import Bars, Face, Mesh, Zone
from slabwright.model.supply import Forms, JointWishes, PlacingMethod, Plant, Prices
from slabwright.results.lines import Reckoned
from slabwright.results.picture import Area
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.studies import quantities, shape
from slabwright.studies.quantities.ground import base_m3
from slabwright.studies.quantities.steel import n_inside_corners
from slabwright.study import Inputs, run_studies
from slabwright.units import CUBIC_YARD_M3, FOOT_M, GALLON_M3, INCH_M, US_TON_KG, Family

LEAFLET = Clause(Source("NRMCA CIP 8", "Discrepancies in Yield"), "order 4 to 10 % over plan dimensions", Basis.QUOTED)
CHAIRS = Clause(Source("slab reinforcing notes", "Engineering course notes on slab-on-grade reinforcing"), "chairs", Basis.TEXT_SEEN)
FLOOR = Floor(outline=((0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)), thickness_m=0.1)
YARD = Job(name="yard", floor=FLOOR, family=Family.SI, plant=Plant(truck_m3=6.0, min_load_m3=3.0))


def plan(job):
    return run_studies((shape.STUDY, quantities.STUDY), Inputs(job=job))


def result_of(job):
    return plan(job)[quantities.STUDY]


@cache
def example(name):
    return result_of(parse_job(example_text(name)).job)


def lines_of(result):
    return {line.key: line for line in result.lines}


@pytest.mark.parametrize(
    ("name", "unit_m3", "neat", "ordered"),
    [
        ("store", CUBIC_YARD_M3, 26.68, 29.1),
        ("shelter", CUBIC_YARD_M3, 217.33, 233.0),
        ("station", CUBIC_YARD_M3, 133.2, 145.0),
        ("dairy", 1.0, 92.39, 100.7),
    ],
)
def test_the_order_comes_near_what_the_job_orders(name, unit_m3, neat, ordered):
    """The descriptions order what suffices on 95 days of 100, from a simulation; allowances line by line come within 1.5 % of it."""
    order = example(name).order

    assert pytest.approx(neat, abs=0.05) == order.neat_m3 / unit_m3
    assert pytest.approx(ordered, rel=0.015) == order.order_m3 / unit_m3


@pytest.mark.published(LEAFLET)
@pytest.mark.parametrize("name", example_names())
def test_allowances_lie_where_the_trade_orders(name):
    """4 to 10 % over plan."""
    order = example(name).order

    assert 0.04 <= order.allowance_m3 / order.neat_m3 <= 0.10


@pytest.mark.parametrize("name", example_names())
def test_parts_and_allowances_add_up_to_the_order(name):
    parts = [line.quantity for line in example(name).lines if line.part_of == "concrete"]

    assert pytest.approx(example(name).order.order_m3, rel=1e-12) == math.fsum(parts)
    assert lines_of(example(name))["concrete"].quantity == example(name).order.order_m3


def test_loads_of_the_store():
    """Two of 10 yd³ and a balance load of 7 to 9 1/2."""
    loads = example("store").order.loads

    assert 2 == loads.n_full
    assert 7.0 <= loads.balance_m3 / CUBIC_YARD_M3 <= 9.5
    assert "held until measured" in example("store").answer


def test_loads_of_the_shelter_are_what_the_road_takes():
    """25 of 9 yd³ and a balance load of 4 to 9."""
    loads = example("shelter").order.loads

    assert 25 == loads.n_full
    assert 4.0 <= loads.balance_m3 / CUBIC_YARD_M3 <= 9.0


def test_rectangles_come_out_short_and_the_caution_says_by_how_much():
    """Store, by hand: floor 16.667, edge 132 x 1 x 15/12 and pads 2 x 2.5² x 9/12 ft³ as rectangles, 23.125 yd³ against 26.681."""
    plain_yd3 = 1080 * 5 / 12 / 27 + 132 * 15 / 12 / 27 + 2 * 6.25 * 9 / 12 / 27
    (caution,) = [one.text for one in example("store").cautions if "rectangles" in one.text]

    assert pytest.approx(26.681 - 3.556, abs=0.001) == plain_yd3
    assert "23.1 yd³" in caution
    assert "3.56 yd³ short" in caution


def test_a_floor_alone_gets_no_warning_of_rectangles():
    assert not any("rectangles" in one.text for one in result_of(YARD).cautions)


def test_each_allowance_by_hand():
    """Upright edge 0.4 wide, 0.5 deep, floor 0.1, 10 m x 8 m, no pump: 13 mm of cut, 6 mm of form and base, 2 % and 1 % of neat."""
    job = replace(YARD, edge=Edge(depth_m=0.5, width_m=0.4, run=0.0))
    lines = lines_of(result_of(job))
    ring, inner = 36 * 0.4 - 4 * 0.16, 36 - 8 * 0.4
    neat = 8.0 + ring * 0.4

    assert pytest.approx(0.013 * (ring + inner * 0.4), rel=1e-6) == lines["concrete.overdig"].quantity
    assert pytest.approx(0.006 * 36 * 0.5, rel=1e-6) == lines["concrete.bulge"].quantity
    assert pytest.approx(0.006 * (80 - ring), rel=1e-6) == lines["concrete.base_bias"].quantity
    assert pytest.approx(0.02 * neat) == lines["concrete.loss"].quantity
    assert pytest.approx(0.01 * neat) == lines["concrete.spill"].quantity
    assert "concrete.pump" not in lines
    assert 0.0 <= lines["concrete.rounding"].quantity < 0.25


@pytest.mark.published(arithmetic("a base low by 1/4 in. costs 1 yd³ to 1,296 ft²"))
def test_a_quarter_inch_of_low_base_costs_a_yard_to_1296_square_feet():
    side = math.sqrt(1296) * FOOT_M
    floor = replace(FLOOR, outline=((0.0, 0.0), (side, 0.0), (side, side), (0.0, side)))
    lines = lines_of(result_of(replace(YARD, floor=floor, family=Family.US)))

    assert pytest.approx(1.0, rel=1e-9) == lines["concrete.base_bias"].quantity / CUBIC_YARD_M3


def test_a_pump_keeps_what_is_in_it():
    pumped = lines_of(result_of(replace(YARD, plant=replace(YARD.plant, method=PlacingMethod.BOOM_PUMP))))

    assert pytest.approx(0.84) == pumped["concrete.pump"].quantity
    assert pytest.approx(0.44, abs=0.005) == math.pi / 4 * 0.125**2 * 36


def test_a_small_balance_load_is_told_with_a_way_round_it():
    """8.25 m³ ordered of 6 m³ trucks leaves 2.25, below 3: the last two may bring 4.125 each."""
    result = result_of(YARD)

    assert pytest.approx(2.75) == result.order.loads.balance_m3
    assert result.order.is_short_load
    assert any("short load" in one.text for one in result.cautions)
    assert "the last two bring 4.38 m³ each" in lines_of(result)["concrete.loads"].basis


def test_allowances_that_stand_out_are_told():
    """A thin floor: a quarter inch of low base alone is 7 %."""
    result = result_of(replace(YARD, floor=replace(FLOOR, thickness_m=0.06)))

    assert any("4 to 10 % over plan" in one.text for one in result.cautions)


def test_base_under_an_upright_edge_by_hand():
    """0.2 of base over the floor less the edge's 0.4 m ring, which cuts right through; loose and tons from it."""
    job = replace(YARD, edge=Edge(depth_m=0.5, width_m=0.4, run=0.0))
    job = replace(job, base=BaseCourse(thickness_m=0.2, shrink_factor=1.25, loose_density_kg_m3=1600.0))
    lines = lines_of(result_of(job))
    compacted = 0.2 * (80 - (36 * 0.4 - 4 * 0.16))

    assert pytest.approx(compacted, rel=1e-9) == lines["base.compacted"].quantity
    assert pytest.approx(compacted * 1.05 * 1.25) == lines["base.loose"].quantity
    assert pytest.approx(compacted * 1.05 * 1.25 * 1600) == lines["base"].quantity
    assert "t" == lines["base"].unit


def test_base_thins_out_under_a_sloped_edge():
    """At 45 degrees the underside runs through the base: between offsets B and B + r its mean thickness is half; mitred at corners.

    Taken away: what the ring B, r = 0.4 holds between 0 and 0.2 below the floor, by the closed form for each level.
    """
    job = replace(YARD, edge=Edge(depth_m=0.5, width_m=0.4, run=1.0))
    cast = plan(job)[shape.STUDY]

    def ring_m3(e):
        return e * (36 * (0.4 + e / 2) - 4 * (0.16 + 0.4 * e + e * e / 3))

    assert pytest.approx(80 * 0.2 - (ring_m3(0.4) - ring_m3(0.2)), rel=1e-9) == base_m3(cast, 0.2)


@settings(max_examples=15, deadline=None)
@given(slabs())
def test_base_lies_between_nothing_and_the_whole_floor(job):
    floor, edge, strips, pads = job
    cast = plan(Job(name="any", floor=floor, edge=edge, strips=tuple(strips), pads=tuple(pads)))[shape.STUDY]

    assert -1e-9 <= base_m3(cast, 0.1) <= cast.foundation.region.area * 0.1 + 1e-9


def test_digging_and_cut_by_hand():
    """Base 0.2 under a 0.1 floor whose top is 0.15 above grade: 0.15 to cut; the edge 0.2 deeper than the base."""
    edge = Edge(depth_m=0.5, width_m=0.4, run=0.0, top_above_grade_m=0.15)
    lines = lines_of(result_of(replace(YARD, edge=edge, base=BaseCourse(thickness_m=0.2))))
    ring = 36 * 0.4 - 4 * 0.16

    assert pytest.approx(ring * 0.2, rel=1e-9) == lines["dig"].quantity
    assert pytest.approx(ring * 0.2 * 1.25) == lines["dig.loose"].quantity
    assert pytest.approx(80 * 0.15) == lines["cut"].quantity
    assert "fill" not in lines


def test_a_high_floor_needs_fill_and_a_pad_outside_is_dug_from_grade():
    edge = Edge(depth_m=0.9, width_m=0.4, run=0.0, top_above_grade_m=0.5)
    pad = Pad(name="P1", at=(5.0, 0.0), size_x_m=1.0, size_y_m=1.0, depth_m=0.9)
    with_pad = lines_of(result_of(replace(YARD, edge=edge, pads=(pad,))))
    without = lines_of(result_of(replace(YARD, edge=edge)))

    assert pytest.approx(80 * 0.4) == without["fill"].quantity
    outside, inside = 0.5 * 0.4, 1.0 * 0.1 * 0.8
    assert pytest.approx(without["dig"].quantity + outside + inside, rel=1e-6) == with_pad["dig"].quantity


def test_retarder_under_everything_or_under_the_floor_only():
    """Upright edge: floor and bottoms make up the plan, its inner face comes on top; or the floor without the ring."""
    job = replace(YARD, edge=Edge(depth_m=0.5, width_m=0.4, run=0.0))
    sheet = Retarder(thickness_m=0.0003, roll_width_m=4.0, roll_length_m=25.0, lap_m=0.3)
    factor = 100 / (3.7 * 24.7) * 1.05
    ring, inner = 36 * 0.4 - 4 * 0.16, 36 - 8 * 0.4
    for under, covered in ((True, 80 + inner * 0.4), (False, 80 - ring)):
        lines = lines_of(result_of(replace(job, retarder=replace(sheet, under_edge=under))))
        assert pytest.approx(covered * factor, rel=1e-6) == lines["sheet.retarder.area"].quantity
        assert math.ceil(covered * factor / 100) == lines["sheet.retarder"].quantity
        assert pytest.approx(covered / 3.7 * 1.1, rel=1e-6) == lines["sheet.tape"].quantity


def test_insulation_of_floor_margin_and_edge():
    boards = (
        Insulation(place="floor", thickness_m=0.05, resistance_m2k_w=1.5, width_m=1.0),
        Insulation(place="edge", thickness_m=0.05, resistance_m2k_w=1.5),
        Insulation(place="edge", thickness_m=0.03, resistance_m2k_w=1.0, width_m=0.6),
    )
    lines = lines_of(result_of(replace(YARD, edge=Edge(depth_m=0.5, width_m=0.4), insulation=boards)))

    assert pytest.approx((80 - 8 * 6) * 1.05) == lines["sheet.insulation.floor"].quantity
    assert pytest.approx(36 * 0.5 * 1.05) == lines["sheet.insulation.edge"].quantity
    assert pytest.approx(36 * 0.6 * 1.05) == lines["sheet.insulation.edge.2"].quantity


@pytest.mark.parametrize(("name", "edge_bars"), [("store", 24), ("shelter", 84), ("dairy", 68)])
def test_edge_bars_of_the_jobs(name, edge_bars):
    """Rounds of 20 ft bars lapped 20 or 25 in., of 6 m bars lapped 600 mm."""
    found = [line.quantity for line in example(name).lines if line.key.startswith("steel.bars.edge")]

    assert edge_bars == sum(found)


def test_mesh_of_the_store():
    """Eight sheets of 8 ft x 20 ft with laps of 8 in., 1,280 ft² for 1,080."""
    line = lines_of(example("store"))["steel.mesh"]

    assert 8 == line.quantity
    assert pytest.approx(1280 / 1080 - 1) == line.waste
    assert Reckoned.BY_RULE is line.reckoned


def test_joints_of_even_grids():
    """The store's 132 ft and the dairy's 127 m are even grids; the laid-out joints of the others differ."""
    assert pytest.approx(132.0) == lines_of(example("store"))["joints.saw"].quantity / FOOT_M
    assert pytest.approx(127.0) == lines_of(example("dairy"))["joints.saw"].quantity


@pytest.mark.published(CHAIRS)
@pytest.mark.parametrize(("area_ft2", "chairs"), [(600, 24), (1210, 49)])
def test_chairs_where_no_spacing_is_stated(area_ft2, chairs):
    """One to 25 ft² of mesh."""
    side = math.sqrt(area_ft2) * FOOT_M
    floor = replace(FLOOR, outline=((0.0, 0.0), (side, 0.0), (side, side), (0.0, side)))
    lines = lines_of(result_of(replace(YARD, floor=floor, mesh=Mesh(style="6x6-W2.9xW2.9"))))

    assert chairs == lines["steel.chairs"].quantity


def bars_of(job, **set_of):
    return {key: line for key, line in lines_of(result_of(replace(job, bars=(Bars(**set_of),)))).items() if key.startswith("steel.bars")}


def test_bars_by_zone_by_hand():
    """6 m stock; H12 laps 40 diameters, 480 mm, where none is stated."""
    strip = Strip(name="S1", line=((2.0, 4.0), (8.0, 4.0), (8.0, 7.0)), width_m=0.4, depth_m=0.3)
    pads = tuple(Pad(name=f"P{k}", at=(2.0 + 3 * k, 2.0), size_x_m=1.0, size_y_m=1.4, depth_m=0.6) for k in range(3))
    posts = tuple(Post(name=f"P{k}", at=(2.0 + 3 * k, 2.0), base_x_m=0.2, base_y_m=0.2) for k in range(3))
    job = replace(YARD, edge=Edge(depth_m=0.5, width_m=0.4), strips=(strip,), pads=pads, posts=posts)

    assert 3 * math.ceil(36 / 5.52) == bars_of(job, zone=Zone.EDGE, size="H12", n_bars=3)["steel.bars.edge.H12"].quantity
    assert 2 * 2 == bars_of(job, zone=Zone.STRIPS, size="H12", n_bars=2)["steel.bars.strips.H12"].quantity
    assert math.ceil(2 * 80 / 0.2 / 5.52) == bars_of(job, zone=Zone.FLOOR, size="H12", spacing_m=0.2)["steel.bars.floor.H12"].quantity
    pads_only = bars_of(job, zone=Zone.PADS, size="H12", n_bars=4, cover_m=0.075, only=("P0", "P2"))["steel.bars.pads.H12"]
    assert 3 == pads_only.quantity
    assert "16 pieces" in pads_only.basis
    ties = bars_of(job, zone=Zone.TIES, size="H12", n_bars=1, length_m=4.0)["steel.bars.ties.H12"]
    assert 3 == ties.quantity


def test_pad_bars_share_stock():
    """Eight of 0.85 m and eight of 1.25 m: 6 m gives four long and one short; 16.8 m of steel needs three bars and a little."""
    pads = (Pad(name="P1", at=(5.0, 4.0), size_x_m=1.0, size_y_m=1.4, depth_m=0.6),)
    line = bars_of(replace(YARD, pads=pads), zone=Zone.PADS, size="H12", n_bars=8, cover_m=0.075)["steel.bars.pads.H12"]

    assert 3 == line.quantity
    assert pytest.approx(3 * 6 / (8 * 0.85 + 8 * 1.25) - 1) == line.waste


def test_diagonals_at_inside_corners_and_block_outs():
    ell = ((0.0, 0.0), (12.0, 0.0), (12.0, 5.0), (7.0, 5.0), (7.0, 9.0), (0.0, 9.0))
    hole = ((2.0, 2.0), (3.0, 2.0), (3.0, 3.0), (2.0, 3.0))
    job = replace(YARD, floor=replace(FLOOR, outline=ell, block_outs=(hole,)))
    corner = bars_of(job, zone=Zone.RE_ENTRANT, size="H16", n_bars=2, length_m=1.2)["steel.bars.corners.H16"]
    round_hole = bars_of(job, zone=Zone.BLOCK_OUTS, size="H12", n_bars=1, length_m=1.2)["steel.bars.block_outs.H12"]

    assert 1 == corner.quantity
    assert "2 of 1.2 m at each of 1 inside corners" in corner.basis
    assert 1 == round_hole.quantity


def test_station_has_three_inside_corners():
    """(57, 6), (67, 6) and (48, 32)."""
    ring = parse_job(example_text("station")).job.floor.outline

    assert 3 == n_inside_corners(np.asarray([*ring, ring[0]]))


def test_mass_of_bars_is_that_of_the_stock():
    """24 No.4 round the edge and 2 in the pads, 20 ft at 0.668 lb/ft: 347.4 lb."""
    line = lines_of(example("store"))["steel.bars"]

    assert pytest.approx(26 * 20 * 0.668, rel=1e-9) == line.quantity / 0.45359237
    assert Face.TOP.value in lines_of(example("store"))["steel.bars.edge.No.4.2"].item


def test_forms_by_height():
    """Edge 0.5 deep with a pad to 0.7 at the form line over 1 m."""
    pad = Pad(name="P1", at=(5.0, 0.5), size_x_m=1.0, size_y_m=1.0, depth_m=0.7)
    job = replace(YARD, edge=Edge(depth_m=0.5, width_m=0.4, run=0.0), pads=(pad,), forms=Forms(stake_spacing_m=1.0))
    lines = lines_of(result_of(job))

    assert pytest.approx(36 * 1.08, rel=1e-5) == lines["forms.board"].quantity
    assert pytest.approx(35.0, abs=1e-4) == lines["forms.board.500_mm"].quantity
    assert pytest.approx(1.0, abs=1e-4) == lines["forms.board.700_mm"].quantity
    assert 36 + 4 == lines["forms.stakes"].quantity
    assert 20 == lines["forms.braces"].quantity


def test_isolated_posts_get_a_diamond():
    post = Post(name="P1", at=(5.0, 4.0), base_x_m=0.2, base_y_m=0.2, isolated=True)
    lines = lines_of(result_of(replace(YARD, posts=(post, replace(post, name="P2", isolated=False)))))

    assert pytest.approx(4 * 2 * 0.2) == lines["joints.isolation"].quantity
    assert "joints.isolation" not in lines_of(result_of(YARD))


def test_a_floor_within_the_spacing_needs_no_joint():
    wide = replace(YARD, joints=JointWishes(max_spacing_m=12.0))

    assert "joints.saw" not in lines_of(result_of(wide))


def test_curing_compound_covers_floor_and_sides():
    """1,080 ft² and 132 ft x 8 in. at 200 ft² to the gallon."""
    assert pytest.approx((1080 + 132 * 8 / 12) / 200) == lines_of(example("store"))["cure.compound"].quantity / GALLON_M3


def test_specimens_by_code():
    """233.5 yd³ over 7,936 ft²: two samples by volume and by area; cubes to the European way."""
    assert 2 * 5 == lines_of(example("shelter"))["tests.specimens"].quantity
    european = replace(YARD, codes=Codes(concrete=ConcreteStandard.EN_1992))
    assert ("Test cubes", 3.0) == (
        lines_of(result_of(european))["tests.specimens"].item,
        lines_of(result_of(european))["tests.specimens"].quantity,
    )


def test_prices_make_costs():
    """Store: 29 yd³ at $158; one more inch over 1,080 ft² is 3 1/3 yd³, $526.67."""
    costs = example("store").costs

    assert Decimal("4582.00") == costs.total
    assert "$526.67" == costs.text(costs.thicker_cost)
    assert pytest.approx(1080 / 324) == costs.thicker_m3 / CUBIC_YARD_M3


def test_fees_apply_where_they_should():
    fees = MappingProxyType({"short_load": Decimal(95), "pump": Decimal(1250), "standby_per_min": Decimal("1.75")})
    prices = Prices(currency="€", per_unit=MappingProxyType({"concrete": Decimal(150), "base": Decimal("0.02")}), fees=fees)
    job = replace(YARD, prices=prices, base=BaseCourse(thickness_m=0.1, shrink_factor=1.2, loose_density_kg_m3=1500.0))
    chute = result_of(job).costs
    pumped = result_of(replace(job, plant=replace(job.plant, method=PlacingMethod.LINE_PUMP))).costs

    assert ["concrete", "base", "fee.short_load"] == [one.key for one in chute.costs]
    assert "fee.pump" in [one.key for one in pumped.costs]
    assert Decimal("0.02") * Decimal(repr(8.0 * 1.05 * 1.2 * 1500)) == chute.costs[1].amount
    assert pytest.approx(0.025 * 80) == chute.thicker_m3


def test_without_prices_there_are_no_costs():
    assert result_of(YARD).costs is None
    assert ["Concrete, from the shape to the order"] == [one.title for one in plan(YARD).outcomes["quantities"].presentation().tables]


def test_the_ladder_ends_at_the_order():
    outcome = plan(parse_job(example_text("store")).job).outcomes["quantities"]
    ladder, costs = outcome.presentation().tables

    assert pytest.approx(outcome.result.order.order_m3) == ladder.rows[-1][2]
    assert "All that has a price" == costs.rows[-1][0]
    assert "One more inch of floor takes $526.67" in costs.note


@pytest.mark.parametrize("name", example_names())
def test_the_bar_and_the_loads_are_drawn_to_one_scale(name):
    """Ten metres of drawing for the order; every load in it; the balance load told apart."""
    outcome = plan(parse_job(example_text(name)).job).outcomes["quantities"]
    (picture,) = outcome.presentation().pictures
    order = outcome.result.order
    areas = [item for item in picture.items if isinstance(item, Area)]
    parts = [area for area in areas if not area.label.startswith("load")]
    loads = [area for area in areas if area.label.startswith("load")]

    assert pytest.approx(10.0) == sum(area.outline[1][0] - area.outline[0][0] for area in parts)
    assert order.loads.n_loads == len(loads)
    widths = [area.outline[1][0] - area.outline[0][0] for area in loads]
    assert pytest.approx(10.0, abs=0.05 * len(loads)) == sum(widths)
    assert ["none"] * order.loads.n_full + ["sparse"] == [area.hatch.value for area in loads]


@pytest.mark.parametrize("name", example_names())
def test_every_line_says_how_it_was_reckoned_and_where_from(name):
    keys = [line.key for line in example(name).lines]

    assert len(set(keys)) == len(keys)
    for line in example(name).lines:
        assert line.basis
        assert line.clause is not None
        assert math.isfinite(line.quantity)
        assert line.quantity >= 0.0
        assert bool(line.waste) <= bool(line.waste_reason)
        assert not line.part_of or line.part_of in keys


def test_a_job_with_little_in_it_still_gets_an_order():
    """Outline, thickness, edge and pads."""
    pad = Pad(name="P1", at=(5.0, 4.0), size_x_m=1.0, size_y_m=1.0, depth_m=0.6)
    result = result_of(replace(YARD, edge=Edge(depth_m=0.5, width_m=0.4), pads=(pad,)))

    assert {"concrete", "dig", "forms.board", "cure.compound", "tests.specimens"} <= set(lines_of(result))
    assert len(result.assumptions) >= 5


def test_base_of_the_store_in_tons():
    """4 in. of stone: 30 ft x 36 ft less the edge's ring and the pads, about 16.7 tons with 5 % of waste at 100 pcf loose."""
    lines = lines_of(example("store"))

    assert pytest.approx(lines["base.compacted"].quantity * 1.05 * 1.2 * 100 * 0.45359237 / FOOT_M**3, rel=1e-6) == lines["base"].quantity
    assert 4 * INCH_M * 1080 * FOOT_M**2 > lines["base.compacted"].quantity
    assert pytest.approx(16.7, abs=0.05) == lines["base"].quantity / US_TON_KG
