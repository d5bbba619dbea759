"""What sets the spacing of joints on a job, and what steel wider panels need; worked by hand from the published rules."""

from dataclasses import replace

import pytest

from slabwright.model.concrete import Floor, ThicknessRegion
from slabwright.model.ground import Retarder, Soil
from slabwright.model.job import Building, Codes, Enclosure, Job, MinimumRules
from slabwright.model.steel import Bars, Face, Mesh, Zone
from slabwright.model.supply import JointWishes, Mix
from slabwright.results.check import State
from slabwright.studies import joints, shape
from slabwright.studies.joints.drying import Drying
from slabwright.studies.joints.spacing import Part, floor_steel, spacing_of
from slabwright.study import Inputs, run_studies
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M, POUND_KG, PSI_PA

SQUARE = ((0.0, 0.0), (36 * FOOT_M, 0.0), (36 * FOOT_M, 36 * FOOT_M), (0.0, 36 * FOOT_M))
MIX = Mix(
    strength_pa=4000 * PSI_PA, slump_m=4 * INCH_M, cement_kg_m3=540 * POUND_KG / CUBIC_YARD_M3, air=0.02, aggregate_size_m=0.75 * INCH_M
)
PLAIN = Job(name="plain", floor=Floor(outline=SQUARE, thickness_m=4 * INCH_M), mix=MIX)
MESH = Mesh(style="6x6-W4.0xW4.0", cover_m=1.5 * INCH_M)


def spacing(job):
    return spacing_of(job, Drying.of(job))


def rule(found, words):
    return next(one for one in found.rules if words in one.name)


def test_ordinary_concrete_has_joints_at_thirty_thicknesses():
    """4 in., 3/4 in. stone, 4 in. of slump: table and usual number both 10 ft; 776 millionths is 30 to the whole thickness."""
    found = spacing(PLAIN)

    assert pytest.approx(30) == found.n_thicknesses
    assert "as usual" in found.governing.name
    assert pytest.approx(10) == rule(found, "slump").spacings_m[0] / FOOT_M
    assert pytest.approx(10) == rule(found, "shrinkage").spacings_m[0] / FOOT_M


def test_small_stone_brings_joints_closer_and_a_stiff_mix_only_offers_more():
    """Stone under 3/4 in. at 5 in. of slump: 8 ft. Slump of 3 in.: the table gives 12 ft, the usual 10 ft rule until the job asks."""
    small = spacing(replace(PLAIN, mix=replace(MIX, aggregate_size_m=0.375 * INCH_M, slump_m=5 * INCH_M)))
    stiff = spacing(replace(PLAIN, mix=replace(MIX, slump_m=3 * INCH_M)))

    assert pytest.approx(8) == small.governing.spacings_m[0] / FOOT_M
    assert "stone" in small.governing.name
    assert pytest.approx(24) == small.n_thicknesses
    assert pytest.approx(30) == stiff.n_thicknesses
    assert pytest.approx(12) == rule(stiff, "slump").spacings_m[0] / FOOT_M
    assert Part.ALLOWS is rule(stiff, "slump").part


def test_concrete_that_shrinks_more_than_usual_has_closer_joints():
    """0.09 % tested: 30 x 879/999 = 26.4, told as 26 thicknesses; 0.05 % offers 36 and changes nothing."""
    much, little = (spacing(replace(PLAIN, mix=replace(MIX, shrinkage=one))) for one in (0.0009, 0.0005))

    assert 26.0 == much.n_thicknesses
    assert "900 millionths in the end, which is high" in much.governing.name
    assert 30.0 == little.n_thicknesses
    assert pytest.approx(12) == rule(little, "shrinkage").spacings_m[0] / FOOT_M


def test_a_number_that_the_job_states_rules_and_the_others_stand_beside_it():
    """36 thicknesses of 4 in. are 12 ft; table and shrinkage ask for less and say so. 7 in.: 21 ft are cut to the cap of 18."""
    asked = spacing(replace(PLAIN, joints=JointWishes(spacing_thicknesses=36)))
    thick = spacing(replace(PLAIN, floor=replace(PLAIN.floor, thickness_m=7 * INCH_M), joints=JointWishes(spacing_thicknesses=36)))

    assert 36.0 == asked.n_thicknesses
    assert "as the job asks" in asked.governing.name
    assert Part.OUTRANKED is rule(asked, "slump").part
    assert Part.OUTRANKED is rule(asked, "shrinkage").part
    assert pytest.approx(10) == asked.plain_m(4 * INCH_M) / FOOT_M
    assert "cap" in thick.governing.name
    assert pytest.approx(18) == thick.cap_m / FOOT_M


def test_the_european_cap_is_5_m():
    """7 in. at 30 thicknesses would be 5.33 m."""
    job = replace(PLAIN, floor=replace(PLAIN.floor, thickness_m=7 * INCH_M), codes=Codes(minimums=MinimumRules.EUROPEAN))

    assert 5.0 == spacing(job).cap_m


def test_panels_wider_than_the_concrete_allows_fail_without_steel_and_pass_with_it():
    """Asked for 36 thicknesses: 12 ft panels need 0.15 % of 4 in. x 12 in. = 0.072 in²/ft; W4.0 at 6 in. has 0.080, W2.9 0.058."""
    wishes = JointWishes(spacing_thicknesses=36)
    states, checks = {}, {}
    for name, steel in (("none", None), ("light", replace(MESH, style="6x6-W2.9xW2.9")), ("enough", MESH)):
        result = run_studies((shape.STUDY, joints.STUDY), Inputs(job=replace(PLAIN, joints=wishes, mesh=steel)))[joints.STUDY]
        checks[name] = next(check for check in result.checks if check.key == "steel")
        states[name] = checks[name].state

    assert {"none": State.FAILS, "light": State.FAILS, "enough": State.HOLDS} == states
    assert pytest.approx(0.072, rel=1e-3) == checks["none"].demand * FOOT_M / INCH_M**2
    assert pytest.approx(0.080, rel=1e-3) == checks["enough"].capacity * FOOT_M / INCH_M**2
    assert "Ask for 30 thicknesses" in checks["none"].remedy


def test_steel_lifts_the_cap_only_where_the_job_asks_and_has_enough():
    """7 in. of 150 pcf on stone: W4.0 is 0.095 % and lifts nothing; No.4 at 12 in. is 0.238 %.

    Its length by drag, 2 x 0.20 x 40,000/(1.5 x 87.5) = 121.9 ft, so 75 ft rule; the 20 ft asked for come first.
    """
    floor = replace(PLAIN.floor, thickness_m=7 * INCH_M)
    bars = (
        Bars(zone=Zone.FLOOR, size="No.4", face=Face.TOP, spacing_m=12 * INCH_M, cover_m=2 * INCH_M, yield_strength_pa=60_000 * PSI_PA),
    )
    dense = replace(MIX, unit_weight_kg_m3=150 * POUND_KG / FOOT_M**3)
    job = replace(PLAIN, floor=floor, mix=dense, joints=JointWishes(wider_by_steel=True, max_spacing_m=20 * FOOT_M))
    light, heavy, silent = (
        spacing(replace(job, mesh=MESH)),
        spacing(replace(job, bars=bars)),
        spacing(replace(job, bars=bars, joints=JointWishes(spacing_thicknesses=36))),
    )

    assert pytest.approx(18) == light.cap_m / FOOT_M
    assert pytest.approx(20) == heavy.cap_m / FOOT_M
    assert pytest.approx(121.9, rel=1e-3) == rule(heavy, "taken by steel").spacings_m[0] / FOOT_M
    assert pytest.approx(75) == rule(heavy, "longest reinforced").spacings_m[0] / FOOT_M
    assert 36.0 == heavy.n_thicknesses
    assert pytest.approx(18) == silent.cap_m / FOOT_M


def test_a_wish_for_steel_that_is_not_there_is_answered():
    """W2.9 at 6 in. in 4 in. is 0.058/48 = 0.12 %; with W4.0, 0.17 %, nothing is to be said."""
    wish = replace(PLAIN, joints=JointWishes(wider_by_steel=True))
    said = [
        " ".join(
            one.text
            for one in run_studies((shape.STUDY, joints.STUDY), Inputs(job=replace(wish, mesh=replace(MESH, style=style))))[
                joints.STUDY
            ].cautions
        )
        for style in ("6x6-W2.9xW2.9", "6x6-W4.0xW4.0")
    ]

    assert "has 0.12 % of it, and 0.15 % is the least" in said[0]
    assert "is the least" not in said[1]


def test_only_steel_in_the_upper_half_counts():
    """Mesh 2 in. down in 4 in. is at mid-depth and counts, 2 1/2 in. down not; bottom bars at 1 in. lie 3 in. down."""
    low = Bars(zone=Zone.FLOOR, size="No.4", face=Face.BOTTOM, spacing_m=0.3, cover_m=1 * INCH_M)

    assert floor_steel(replace(PLAIN, mesh=replace(MESH, cover_m=2 * INCH_M))) is not None
    assert floor_steel(replace(PLAIN, mesh=replace(MESH, cover_m=2.5 * INCH_M))) is None
    assert floor_steel(replace(PLAIN, bars=(low,))) is None


def test_a_sheet_or_a_stated_friction_changes_the_drag():
    """By the formula the length goes with one over the friction: 1.5 on stone, 1.0 on a sheet, what the soil states before both."""
    on_stone, on_sheet, stated = (
        rule(spacing(job), "drag").spacings_m[0]
        for job in (PLAIN, replace(PLAIN, retarder=Retarder(thickness_m=2.5e-4)), replace(PLAIN, soil=Soil(friction=2.0)))
    )

    assert pytest.approx(1.5) == on_sheet / on_stone
    assert pytest.approx(0.75) == stated / on_stone


def test_what_the_floor_dries_by_follows_mix_air_and_depth():
    """No mix or one without cement: the standard's 780. A test comes first. Drier air and thinner floors shrink more, by the year."""
    tested = Drying.of(replace(PLAIN, mix=replace(MIX, shrinkage=0.0006)))
    heated, closed, open_air = (
        Drying.of(replace(PLAIN, building=Building(enclosure=one))) for one in (Enclosure.HEATED, Enclosure.ENCLOSED, Enclosure.OPEN)
    )

    assert 780e-6 == Drying.of(replace(PLAIN, mix=None)).standard == Drying.of(replace(PLAIN, mix=replace(MIX, cement_kg_m3=None))).standard
    assert (0.0006, True, ()) == (tested.standard, tested.is_tested, tested.steps)
    assert heated.after_a_year(0.1) > closed.after_a_year(0.1) > open_air.after_a_year(0.1)
    assert closed.after_a_year(0.1) > closed.after_a_year(0.2) > closed.after_a_year(0.5)


def test_a_floor_that_slides_worse_pulls_harder():
    """One floor with its joints on ground of friction 0.5 and 2.0: no panel is eased by the rougher ground."""
    smooth, rough = (
        run_studies((shape.STUDY, joints.STUDY), Inputs(job=replace(PLAIN, soil=Soil(friction=one))))[joints.STUDY] for one in (0.5, 2.0)
    )

    assert (0.5, 2.0) == (smooth.restraint.friction, rough.restraint.friction)
    assert all(b > a for a, b in zip(smooth.panel_index, rough.panel_index, strict=True))


def test_the_spacing_is_checked_where_it_is_nearest_its_limit_and_explains_itself():
    """A wing of 4 in. beside 7 in. allows 10 ft, not 17 1/2: the check stands at the panel that uses most of its own limit."""
    wing = ((0.0, 0.0), (12 * FOOT_M, 0.0), (12 * FOOT_M, 36 * FOOT_M), (0.0, 36 * FOOT_M))
    floor = Floor(outline=SQUARE, thickness_m=7 * INCH_M, thickness_regions=(ThicknessRegion(within=wing, thickness_m=4 * INCH_M),))
    result = run_studies((shape.STUDY, joints.STUDY), Inputs(job=replace(PLAIN, floor=floor)))[joints.STUDY]
    check = next(one for one in result.checks if one.key == "spacing")

    assert pytest.approx(10, abs=0.01) == check.capacity / FOOT_M
    assert State.HOLDS is check.state
    assert ["g_s", "g_psi", "g_c", "g_a", "eps_u", "n", "L"] == [step.result.symbol for step in check.steps]


def test_the_page_says_which_rule_sets_the_spacing():
    """Answer, sheet and table name the same rule, the table with the others below it."""
    plan = run_studies((shape.STUDY, joints.STUDY), Inputs(job=replace(PLAIN, mix=replace(MIX, shrinkage=0.0009))))
    shown = plan.outcomes["joints"].presentation()
    sheet = next(one for one in shown.pictures if one.key == "joints")
    table = next(one for one in shown.tables if one.title == "What sets the spacing")
    said = "Joints stand at most 8'-8\" apart: drying shrinkage of 900 millionths in the end, which is high."

    assert said in plan[joints.STUDY].answer
    assert said in sheet.notes
    assert "Drying shrinkage of 900 millionths in the end, which is high" == table.rows[0][0]
    assert "sets the spacing" == table.rows[0][2]
    assert 5 == len(table.rows)
