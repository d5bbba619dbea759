"""Pads by ACI 318-19, as plain and as reinforced concrete."""

from typing import cast

import numpy as np

from slabwright.results.working import Sweep, Working
from slabwright.sources import Clause
from slabwright.standards import aci_318_19_development as bars
from slabwright.standards import aci_318_19_flexure as flexure
from slabwright.standards import aci_318_19_plain as plain
from slabwright.standards import aci_318_19_shear as shear
from slabwright.standards.aci_318_19_shear import PostPlace
from slabwright.studies.bearing.case import Mat, PadCase
from slabwright.studies.bearing.probes import Design, Kind, Pair, Run
from slabwright.units import INCH_M, POUND_FORCE_N


def _plain_flexure(case: PadCase, side: int, working: Working) -> Pair:
    demand = case.face_moment_nm(side, working)
    return demand, plain.flexure_capacity_nm(strength_pa=case.strength_pa, width_m=case.size_y_m, thickness_m=case.depth_m, working=working)


def _plain_shear(case: PadCase, side: int, working: Working) -> Pair:
    effective = plain.effective_thickness_m(case.depth_m, working=working)
    demand = case.section_shear_n(side, effective, working)
    return demand, plain.one_way_shear_n(strength_pa=case.strength_pa, width_m=case.size_y_m, effective_m=effective, working=working)


def _plain_punching(place: PostPlace) -> Run:
    def run(case: PadCase, side: int, working: Working) -> Pair:
        effective = plain.effective_thickness_m(case.depth_m, working=working)
        lines = _perimeter(case, side, effective, place, working)
        demand = _punching_load_n(case, lines, working)
        capacity = plain.two_way_capacity_n(
            strength_pa=case.strength_pa, post_x_m=case.post_x_m, post_y_m=case.post_y_m, perimeter_m=lines.length_m, effective_m=effective,
            working=working,
        )  # fmt: skip
        return demand, capacity

    return run


def _perimeter(case: PadCase, side: int, depth: float, place: PostPlace, working: Working) -> shear.Perimeter:
    """Perimeter towards the side looked at; the corner's second side is the nearer one across."""
    across = cast(float, np.minimum(case.turned().projection_m(1), case.turned().projection_m(-1)))
    return shear.punching_perimeter(
        post_1_m=case.post_x_m, post_2_m=case.post_y_m, depth_m=depth, place=place, reach_1_m=case.projection_m(side), reach_2_m=across,
        working=working,
    )  # fmt: skip


def _punching_load_n(case: PadCase, lines: shear.Perimeter, working: Working) -> float:
    """Load less the pressure within the perimeter, as far as that lies on the pad. [N]"""
    inside = cast(float, np.minimum(lines.side_1_m, case.size_x_m) * np.minimum(lines.side_2_m, case.size_y_m))
    return (
        working.line(
            "V_u = P_u*(1 - A_o/A)", "lb", "A_o inside the perimeter, A the whole pad",
            P_u=(case.load_n / POUND_FORCE_N, "lb"), A_o=(inside / INCH_M**2, "in²"), A=(case.size_x_m * case.size_y_m / INCH_M**2, "in²"),
        )
        * POUND_FORCE_N
    )  # fmt: skip


def _bearing(*, is_plain: bool) -> Run:
    def run(case: PadCase, side: int, working: Working) -> Pair:  # noqa: ARG001 - alike every way
        turned = case.turned()
        spread = np.minimum.reduce(
            np.broadcast_arrays(*(one.projection_m(way) for one in (case, turned) for way in (1, -1)), 2 * np.asarray(case.depth_m))
        )
        spread = np.maximum(spread, 0.0)
        support = (case.post_x_m + 2 * spread) * (case.post_y_m + 2 * spread)
        capacity = shear.bearing_on_concrete_n(
            strength_pa=case.strength_pa, loaded_area_m2=case.post_x_m * case.post_y_m, support_area_m2=cast(float, support),
            plain=is_plain, working=working,
        )  # fmt: skip
        return case.load_n, capacity

    return run


def _thickness(case: PadCase, side: int, working: Working) -> Pair:  # noqa: ARG001 - alike every way
    least = working.line("h_min = 8", "in")
    return least * INCH_M, case.depth_m


_FLEXURE = "Bending at the post's face"
_BASE = "Pressure on the concrete under the post"
_FOOT = "Give the post a larger foot."
_ANCHORAGE = "Anchorage of bars beyond the post's face"
_MORE = "More or thicker bars, or a deeper pad."
_PLACES = {PostPlace.INTERIOR: "", PostPlace.EDGE: ", post near a side of the pad", PostPlace.CORNER: ", post near a corner of the pad"}


def _lifting(case: PadCase, side: int, working: Working) -> Pair:
    demand = case.lifting_moment_nm(side, working)
    return demand, plain.flexure_capacity_nm(strength_pa=case.strength_pa, width_m=case.size_y_m, thickness_m=case.depth_m, working=working)


_WHEN_LIFTED = Kind(key="lifting", name="Bending of the pad when it is lifted", suffix="nm", clause=plain.FLEXURE, run=_lifting)


def plain_design(places: tuple[PostPlace, ...], *, lifted: bool = False) -> Design:
    """Checks of a pad as plain concrete; ``places`` are the perimeters to try, ``lifted`` where wind pulls it up."""
    punching = (
        Kind(
            key="punching", name=f"Punching{_PLACES[place]}", suffix="n", clause=plain.TWO_WAY_SHEAR, run=_plain_punching(place),
            every_way=place is not PostPlace.INTERIOR, thin=True,
        )
        for place in places
    )  # fmt: skip
    return Design(
        name="plain concrete",
        kinds=(
            Kind(key="flexure", name=_FLEXURE, suffix="nm", clause=plain.FLEXURE, run=_plain_flexure, thin=True),
            Kind(key="shear", name="One-way shear", suffix="n", clause=plain.ONE_WAY_SHEAR, run=_plain_shear, thin=True),
            *punching,
            *((_WHEN_LIFTED,) if lifted else ()),
            Kind(key="base", name=_BASE, suffix="n", clause=shear.BEARING, run=_bearing(is_plain=True), every_way=False, remedy=_FOOT),
            Kind(
                key="thickness", detail=True, name="Least depth of plain concrete", suffix="m", clause=plain.LEAST_THICKNESS,
                run=_thickness, every_way=False,
            ),
        ),
    )  # fmt: skip


def _mat(case: PadCase) -> Mat:
    assert case.mat is not None
    return case.mat


def depth_to_steel_m(case: PadCase) -> float:
    """Effective depth to the middle of both layers. [m]"""
    mat = _mat(case)
    return cast(float, np.maximum(case.depth_m - mat.cover_m - mat.diameter_m, 1e-3))


def _written_depth(case: PadCase, working: Working) -> float:
    mat, depth = _mat(case), depth_to_steel_m(case)
    working.line(
        "d = h - c - d_b", "in", "to the middle of both layers",
        h=(case.depth_m / INCH_M, "in"), c=(mat.cover_m / INCH_M, "in"), d_b=(mat.diameter_m / INCH_M, "in"),
    )  # fmt: skip
    return depth


def _flexure(case: PadCase, side: int, working: Working) -> Pair:
    demand = case.face_moment_nm(side, working)
    found = flexure.flexure(
        strength_pa=case.strength_pa, width_m=case.size_y_m, depth_m=_written_depth(case, working),
        steel_area_m2=_mat(case).area_m2(case.size_y_m), yield_strength_pa=_mat(case).yield_strength_pa, working=working,
    )  # fmt: skip
    return demand, found.capacity_nm


def _shear(case: PadCase, side: int, working: Working) -> Pair:
    depth = _written_depth(case, working)
    demand = case.section_shear_n(side, depth, working)
    found = shear.one_way_shear(
        strength_pa=case.strength_pa, width_m=case.size_y_m, depth_m=depth, steel_area_m2=_mat(case).area_m2(case.size_y_m), working=working
    )
    return demand, found.capacity_n


def _punching(place: PostPlace) -> Run:
    def run(case: PadCase, side: int, working: Working) -> Pair:
        depth = _written_depth(case, working)
        area = case.size_x_m * case.size_y_m
        across = cast(float, np.minimum(case.turned().projection_m(1), case.turned().projection_m(-1)))
        lines = _perimeter(case, side, depth, place, Sweep())
        inside = np.minimum(lines.side_1_m, case.size_x_m) * np.minimum(lines.side_2_m, case.size_y_m)
        # pressure that relieves the perimeter, spread over all of it so that what lies beyond the pad relieves nothing
        pressure = cast(float, case.load_n / area * inside / lines.area_m2)
        found = shear.two_way_shear(
            strength_pa=case.strength_pa, post_x_m=case.post_x_m, post_y_m=case.post_y_m, depth_m=depth, load_n=case.load_n,
            pressure_pa=pressure, place=place, reach_x_m=case.projection_m(side), reach_y_m=across,
            moment_x_nm=None if case.even else abs(case.moment_x_nm), moment_y_nm=None if case.even else abs(case.moment_y_nm),
            working=working,
        )  # fmt: skip
        return found.demand_n, found.capacity_n

    return run


def _steel(case: PadCase, side: int, working: Working) -> Pair:  # noqa: ARG001 - alike on both sides
    required = flexure.minimum_steel_area_m2(width_m=case.size_y_m, thickness_m=case.depth_m, working=working)
    provided = working.line("A_s = n*A_b", "in²", n=_mat(case).count(case.size_y_m), A_b=(_mat(case).bar_area_m2 / INCH_M**2, "in²"))
    return required, provided * INCH_M**2


def _spacing(case: PadCase, side: int, working: Working) -> Pair:  # noqa: ARG001 - alike on both sides
    most = working.line("s_max = min(3*h, 18)", "in", h=(case.depth_m / INCH_M, "in"))
    return _mat(case).between_m(case.size_y_m), most * INCH_M


def _steel_depth(case: PadCase, side: int, working: Working) -> Pair:  # noqa: ARG001 - alike every way
    return flexure.LEAST_DEPTH_M, _written_depth(case, working)


def _development(case: PadCase, side: int, working: Working) -> Pair:
    mat = _mat(case)
    straight = bars.development_length_m(
        bar_diameter_m=mat.diameter_m, strength_pa=case.strength_pa, yield_strength_pa=mat.yield_strength_pa, working=working
    )
    hooked = bars.hooked_development_length_m(
        bar_diameter_m=mat.diameter_m, strength_pa=case.strength_pa, yield_strength_pa=mat.yield_strength_pa, working=working
    )
    available = working.line(
        "l = p - c",
        "in",
        "from the post's face to the end cover",
        p=(case.projection_m(side) / INCH_M, "in"),
        c=(mat.cover_m / INCH_M, "in"),
    )
    needed = working.line(
        "l_req = min(l_d, max(l_dh, min(l_d, l)))", "in", "straight where there is room, else hooked",
        l_d=(straight / INCH_M, "in"), l_dh=(hooked / INCH_M, "in"), l=(available, "in"),
    )  # fmt: skip
    return needed * INCH_M, cast(float, np.maximum(available, 0.01)) * INCH_M


def needs_hooks(case: PadCase) -> bool:
    """True where straight bars do not develop between the post's face and the pad's side."""
    mat = _mat(case)
    straight = bars.development_length_m(
        bar_diameter_m=mat.diameter_m, strength_pa=case.strength_pa, yield_strength_pa=mat.yield_strength_pa
    )
    room = min(one.projection_m(side) for one in (case, case.turned()) for side in (1, -1)) - mat.cover_m
    return straight > room


def _detail(key: str, name: str, suffix: str, clause: Clause, run: Run, remedy: str) -> Kind:
    return Kind(key=key, name=name, suffix=suffix, clause=clause, run=run, detail=True, remedy=remedy)


def reinforced_design(places: tuple[PostPlace, ...], *, lifted: bool = False) -> Design:
    """Checks of a pad as reinforced concrete; ``places`` are the perimeters to try, ``lifted`` where wind pulls it up.

    Pads have bars at the bottom only, so what stretches their top is carried by plain concrete.
    """
    punching = (
        Kind(
            key="punching", name=f"Punching{_PLACES[place]}", suffix="n", clause=shear.TWO_WAY_SHEAR, run=_punching(place),
            every_way=place is not PostPlace.INTERIOR, thin=True,
        )
        for place in places
    )  # fmt: skip
    return Design(
        name="reinforced concrete",
        kinds=(
            Kind(key="flexure", name=_FLEXURE, suffix="nm", clause=flexure.FLEXURE, run=_flexure, thin=True, remedy=_MORE),
            Kind(key="shear", name="One-way shear", suffix="n", clause=shear.ONE_WAY_SHEAR, run=_shear, thin=True, remedy=_MORE),
            *punching,
            *((_WHEN_LIFTED,) if lifted else ()),
            Kind(key="base", name=_BASE, suffix="n", clause=shear.BEARING, run=_bearing(is_plain=False), every_way=False, remedy=_FOOT),
            _detail("steel", "Least steel", "m2", flexure.MINIMUM_STEEL, _steel, _MORE),
            _detail("spacing", "Spacing of bars", "m", flexure.SPACING, _spacing, "Set bars closer."),
            _detail("depth", "Depth to the bars", "m", flexure.LEAST_DEPTH, _steel_depth, "Make the pad deeper."),
            _detail("development", _ANCHORAGE, "m", bars.DEVELOPMENT, _development, "Use thinner bars or a wider pad."),
        ),
    )  # fmt: skip
