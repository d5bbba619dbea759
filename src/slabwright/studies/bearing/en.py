"""Pads by EN 1992-1-1, as plain and as reinforced concrete."""

from typing import cast

import numpy as np

from slabwright.results.working import Working
from slabwright.standards import en_1992_1_1 as en
from slabwright.standards import en_1992_1_1_bars as bars
from slabwright.standards import en_1992_1_1_punching as punching
from slabwright.studies.bearing.aci import depth_to_steel_m
from slabwright.studies.bearing.case import Mat, PadCase
from slabwright.studies.bearing.probes import Design, Kind, Pair, Run

# Perimeters tried between the face and twice the effective depth, in effective depths.
_DISTANCES = (0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0)


def _mat(case: PadCase) -> Mat:
    assert case.mat is not None
    return case.mat


def _plain(case: PadCase, side: int, working: Working) -> Pair:
    """Thickness that a footing of plain concrete needs, from its projection and the greatest pressure under it."""
    pressure = case.load_n / (case.size_x_m * case.size_y_m) if case.even else cast(float, case.contact.highest)
    needed = en.plain_footing_thickness_m(
        strength_pa=case.strength_pa,
        projection_m=case.projection_m(side),
        pressure_pa=cast(float, np.maximum(pressure, 0.0)),
        working=working,
    )
    return needed, case.depth_m


def _base(case: PadCase, side: int, working: Working) -> Pair:  # noqa: ARG001 - alike every way
    turned = case.turned()
    spread = np.minimum.reduce(np.broadcast_arrays(*(one.projection_m(way) for one in (case, turned) for way in (1, -1))))
    spread = np.maximum(spread, 0.0)
    area = np.minimum(case.post_x_m + 2 * spread, 3 * case.post_x_m) * np.minimum(case.post_y_m + 2 * spread, 3 * case.post_y_m)
    capacity = en.loaded_area_capacity_n(
        strength_pa=case.strength_pa, loaded_area_m2=case.post_x_m * case.post_y_m, spread_area_m2=cast(float, area), working=working
    )
    return case.load_n, capacity


def _written_depth(case: PadCase, working: Working) -> float:
    mat = _mat(case)
    working.line(
        "d = h - c - phi", "mm", "to the middle of both layers", h=(case.depth_m * 1e3, "mm"), c=(mat.cover_m * 1e3, "mm"),
        phi=(mat.diameter_m * 1e3, "mm"),
    )  # fmt: skip
    return depth_to_steel_m(case)


def _flexure(case: PadCase, side: int, working: Working) -> Pair:
    demand = case.face_moment_nm(side, working)
    found = en.flexure(
        strength_pa=case.strength_pa, width_m=case.size_y_m, depth_m=_written_depth(case, working),
        steel_area_m2=_mat(case).area_m2(case.size_y_m), yield_strength_pa=_mat(case).yield_strength_pa, working=working,
    )  # fmt: skip
    return demand, found.capacity_nm


def _shear(case: PadCase, side: int, working: Working) -> Pair:
    depth = _written_depth(case, working)
    demand = case.section_shear_n(side, depth, working)
    found = en.shear_strength(
        strength_pa=case.strength_pa, width_m=case.size_y_m, depth_m=depth, steel_area_m2=_mat(case).area_m2(case.size_y_m), working=working
    )
    capacity = working.line(
        "V_Rd = v_Rd*b*d/1000", "kN", v_Rd=(found.stress_pa / 1e6, "MPa"), b=(case.size_y_m * 1e3, "mm"), d=(depth * 1e3, "mm")
    )
    return demand, capacity * 1e3


def _punching(factor: float) -> Run:
    def run(case: PadCase, side: int, working: Working) -> Pair:  # noqa: ARG001 - alike every way
        depth = _written_depth(case, working)
        # a perimeter may not leave the pad: it ends at the nearest side
        nearest = np.minimum.reduce(np.broadcast_arrays(*(one.projection_m(way) for one in (case, case.turned()) for way in (1, -1))))
        distance = cast(float, np.minimum(factor * depth, np.maximum(nearest, 1e-3)))
        moment = None if case.even else cast(float, np.hypot(case.moment_x_nm, case.moment_y_nm))
        found = punching.punching(
            strength_pa=case.strength_pa, post_x_m=case.post_x_m, post_y_m=case.post_y_m, depth_m=depth, distance_m=distance,
            width_m=case.size_y_m, steel_area_m2=_mat(case).area_m2(case.size_y_m), load_n=case.load_n,
            pressure_pa=case.load_n / (case.size_x_m * case.size_y_m), moment_nm=moment, working=working,
        )  # fmt: skip
        return found.demand_n, found.capacity_n

    return run


def _face(case: PadCase, side: int, working: Working) -> Pair:  # noqa: ARG001 - alike every way
    capacity = punching.face_capacity_n(
        strength_pa=case.strength_pa, post_x_m=case.post_x_m, post_y_m=case.post_y_m, depth_m=_written_depth(case, working), working=working
    )
    return case.load_n, capacity


def _steel(case: PadCase, side: int, working: Working) -> Pair:  # noqa: ARG001 - alike on both sides
    mat = _mat(case)
    required = en.minimum_steel_m2(
        strength_pa=case.strength_pa, width_m=case.size_y_m, depth_m=_written_depth(case, working), yield_strength_pa=mat.yield_strength_pa,
        working=working,
    )  # fmt: skip
    provided = working.line("A_s = n*A_b", "mm²", n=mat.count(case.size_y_m), A_b=(mat.bar_area_m2 * 1e6, "mm²"))
    return required, provided / 1e6


def _spacing(case: PadCase, side: int, working: Working) -> Pair:  # noqa: ARG001 - alike on both sides
    most = working.line("s_max = min(3*h, 400)", "mm", h=(case.depth_m * 1e3, "mm"))
    return _mat(case).between_m(case.size_y_m), most / 1e3


def _development(case: PadCase, side: int, working: Working) -> Pair:
    mat = _mat(case)
    demand, capacity = _flexure(case, side, working)
    needed = bars.anchorage_length_m(
        bar_diameter_m=mat.diameter_m, strength_pa=case.strength_pa, yield_strength_pa=mat.yield_strength_pa,
        stress_ratio=cast(float, np.maximum(demand / capacity, 0.0)), working=working,
    )  # fmt: skip
    available = working.line(
        "l = p - c", "mm", "from the post's face to the end cover", p=(case.projection_m(side) * 1e3, "mm"), c=(mat.cover_m * 1e3, "mm")
    )
    return needed, cast(float, np.maximum(available, 1.0)) / 1e3


def _lifting(case: PadCase, side: int, working: Working) -> Pair:
    demand = case.lifting_moment_nm(side, working)
    return demand, en.plain_flexure_nm(strength_pa=case.strength_pa, width_m=case.size_y_m, thickness_m=case.depth_m, working=working)


WHEN_LIFTED = Kind(key="lifting", name="Bending of the pad when it is lifted", suffix="nm", clause=en.PLAIN_FLEXURE, run=_lifting)

PLAIN = Design(
    name="plain concrete",
    kinds=(
        Kind(key="flexure", name="Depth of a plain footing by its projection", suffix="m", clause=en.PLAIN_FOOTING, run=_plain, thin=True),
        Kind(
            key="base", name="Pressure on the concrete under the post", suffix="n", clause=en.LOADED_AREA, run=_base, every_way=False,
            remedy="Give the post a larger foot.",
        ),
    ),
)  # fmt: skip

_MORE = "More or thicker bars, or a deeper pad."
REINFORCED = Design(
    name="reinforced concrete",
    kinds=(
        Kind(key="flexure", name="Bending at the post's face", suffix="nm", clause=en.FLEXURE, run=_flexure, thin=True, remedy=_MORE),
        Kind(key="shear", name="One-way shear", suffix="n", clause=en.ONE_WAY_SHEAR, run=_shear, thin=True, remedy=_MORE),
        *(
            Kind(
                key="punching", name=f"Punching at {factor:g} effective depths", suffix="n",
                clause=punching.PUNCHING, run=_punching(factor), every_way=False, thin=True,
            )
            for factor in _DISTANCES
        ),
        Kind(
            key="punching_face", name="Punching at the post's face", suffix="n", clause=punching.AT_THE_FACE, run=_face, every_way=False,
            thin=True, remedy="Give the post a larger foot.",
        ),
        *PLAIN.kinds[1:],
        Kind(key="steel", name="Least steel", suffix="m2", clause=en.MINIMUM_STEEL, run=_steel, detail=True, remedy=_MORE),
        Kind(key="spacing", name="Spacing of bars", suffix="m", clause=en.SPACING, run=_spacing, detail=True, remedy="Set bars closer."),
        Kind(
            key="development", name="Anchorage of bars beyond the post's face", suffix="m", clause=bars.ANCHORAGE, run=_development,
            detail=True, remedy="Use thinner bars or a wider pad.",
        ),
    ),
)  # fmt: skip
