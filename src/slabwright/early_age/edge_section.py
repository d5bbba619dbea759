"""The thickened edge as a section: the deep rim beside the thin floor, the face in its form, the ground outside."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.concrete import Concrete
from slabwright.early_age.drivers import HOUR_S, Drivers
from slabwright.early_age.simulate import BARE, Cover, History
from slabwright.early_age.zones import BASE_CAPACITY_J_M3K, BASE_CONDUCTIVITY_W_MK, Ground, soil_layer
from slabwright.model.concrete import Edge
from slabwright.model.ground import BaseCourse, Soil
from slabwright.solvers.heat.column import Film
from slabwright.solvers.heat.march import LATENT_HEAT_J_KG, STEFAN_BOLTZMANN_W_M2K4
from slabwright.solvers.heat.section import VOID, Exposure, Material, Section, SectionRun, conduct_section
from slabwright.sources import practice
from slabwright.standards.sky_and_sun import EMISSIVITY

Floats = NDArray[np.float64]
OUTSIDE_M, INSIDE_M, DEEP_M = 0.6, 1.0, 2.0
FORM_M2K_W = 0.038 / 0.13
FORM_BOARD = practice("the face stands behind a 1 1/2 in. board of 0.13 W/mK throughout; the ground outside is as warm as bare ground")
_CONCRETE, _BASE, _SOIL = 0, 1, 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EdgeSection:
    """Temperatures of the edge's section.

    Attributes
    ----------
    section : Section
        x from the form line inward, y from the top of the floor downward.
    run : SectionRun
        Hours after placing.
    floor_m, edge_m, rim_m : float
        Depth of floor and edge, width of the edge under the floor. [m]
    """

    section: Section
    run: SectionRun
    floor_m: float
    edge_m: float
    rim_m: float

    @property
    def concrete(self) -> NDArray[np.bool_]:
        """Where the section is concrete."""
        return np.asarray(self.section.material == _CONCRETE)

    @property
    def hottest_c(self) -> float:
        """Highest temperature within the concrete. [°C]"""
        return float(self.run.temps_c[:, self.concrete].max())

    @property
    def hottest_h(self) -> float:
        """When that is, hours after placing. [h]"""
        return float(self.run.times_s[self.run.temps_c[:, self.concrete].max(axis=1).argmax()] / HOUR_S)

    @property
    def corner_c(self) -> float:
        """Lowest temperature of the top corner at the form. [°C]"""
        column = int(np.searchsorted(self.section.x_m, 0.0))
        return float(self.run.temps_c[:, 0, column].min())

    @property
    def largest_difference_k(self) -> float:
        """Greatest difference between the rim's core and its own top or face at one moment. [K]"""
        rim = (self.section.x_mid_m > 0.0) & (self.section.x_mid_m < self.rim_m)
        temps = np.where(self.concrete[:, rim], self.run.temps_c[:, :, rim], np.nan)
        core = np.nanmax(temps, axis=(1, 2))
        return float((core - np.minimum(np.nanmin(temps[:, 0], axis=1), np.nanmin(temps[:, :, 0], axis=1))).max())


def edge_section(
    edge: Edge,
    floor_m: float,
    concrete: Concrete,
    drivers: Drivers,
    ground: Ground,
    soil: Soil,
    base: BaseCourse | None,
    history: History,
    covers: tuple[Cover, ...],
    *,
    hours: float = 48.0,
    step_s: float = 1800.0,
) -> EdgeSection:
    """Carry the edge's section through the first days, in the nominal weather.

    Parameters
    ----------
    edge, floor_m, concrete, drivers, ground, soil, base
        What lies where, in which weather.
    history : History
        Of the floor beside it; its surface tells what the top gives off, so that far from the edge both agree.
    covers : tuple of Cover
        Those of the history.
    hours, step_s : float
    """
    section = _section(edge, floor_m, concrete, soil, base)
    placed = float(history.placed_h[0])
    below = np.maximum(section.y_mid_m[:, None] - floor_m, 0.0) + np.zeros((1, section.x_mid_m.size))
    start = ground.profile(placed, below.ravel()).reshape(below.shape)
    start = np.where(section.material == _CONCRETE, history.top_c[0, 0], start)
    times = HOUR_S * history.times_h
    film, rest = _top(history, drivers, covers)
    air = drivers.air_c[0]
    outside = ground.temps_c[:, 0]

    hour = placed + np.arange(0.0, hours + 2.0)
    in_air = np.interp(hour, np.arange(air.size), air)
    bare = np.interp(hour, np.arange(outside.size), outside)
    side_film = 1.0 / (1.0 / np.interp(hour, np.arange(air.size), drivers.film_w_m2k[0] + 5.0) + FORM_M2K_W)
    clock = HOUR_S * (hour - placed)
    faces = [
        Exposure(film=Film(lambda t: np.interp(t, times, film), lambda t: np.interp(t, times, rest)), up=True, materials=(_CONCRETE,)),
        Exposure(
            film=Film(lambda t: np.interp(t, clock, side_film), lambda t: np.interp(t, clock, in_air)), up=False, materials=(_CONCRETE,)
        ),
        Exposure(film=Film(1e4, lambda t: np.interp(t, clock, bare)), up=True, materials=(_SOIL, _BASE)),
    ]
    run = conduct_section(
        section, start_c=start, exposures=faces, bottom_c=ground.deep_c, duration_s=hours * HOUR_S, step_s=step_s, every=2,
        reaction=concrete.reaction,
    )  # fmt: skip
    return EdgeSection(section=section, run=run, floor_m=floor_m, edge_m=edge.depth_m, rim_m=_rim_m(edge, floor_m))


def _rim_m(edge: Edge, floor_m: float) -> float:
    return edge.width_m + edge.run * (edge.depth_m - floor_m)


def _section(edge: Edge, floor_m: float, concrete: Concrete, soil: Soil, base: BaseCourse | None) -> Section:
    wide = _rim_m(edge, floor_m)
    x = np.concatenate(
        [-np.geomspace(OUTSIDE_M, 0.03, 9), np.linspace(0.0, wide, max(6, round(wide / 0.035))), wide + np.geomspace(0.03, INSIDE_M, 10)]
    )
    grade = min(max(edge.top_above_grade_m, 0.0), edge.depth_m)
    y = np.concatenate(
        [
            np.linspace(0.0, floor_m, 7),
            np.linspace(floor_m, edge.depth_m, max(4, round((edge.depth_m - floor_m) / 0.035) + 1))[1:],
            edge.depth_m + np.geomspace(0.04, DEEP_M, 11),
        ]
    )
    xs, ys = np.meshgrid(0.5 * (x[1:] + x[:-1]), 0.5 * (y[1:] + y[:-1]))
    material = np.full(xs.shape, _SOIL, dtype=np.int64)
    if base is not None:
        material[(xs > wide) & (ys > floor_m) & (ys < floor_m + base.thickness_m)] = _BASE
    inner = edge.width_m + edge.run * np.maximum(edge.depth_m - ys, 0.0)
    material[(xs > 0) & ((ys < floor_m) | ((ys < edge.depth_m) & (xs < inner)))] = _CONCRETE
    material[(xs < 0) & (ys < grade)] = VOID
    ground = soil_layer(soil)
    return Section(
        x_m=x,
        y_m=y,
        material=material,
        materials=(
            Material(
                conductivity_w_mk=concrete.conductivity_w_mk,
                heat_capacity_j_m3k=concrete.heat_capacity_j_m3k,
                reaction_j_m3=concrete.heat_j_m3,
                softening=concrete.softening,
            ),
            Material(conductivity_w_mk=BASE_CONDUCTIVITY_W_MK, heat_capacity_j_m3k=BASE_CAPACITY_J_M3K),
            Material(conductivity_w_mk=ground.conductivity_w_mk, heat_capacity_j_m3k=ground.heat_capacity_j_m3k),
        ),
    )


def _top(history: History, drivers: Drivers, covers: tuple[Cover, ...]) -> tuple[Floats, Floats]:
    """Film of the floor's surface and the temperature it answers to, such that together they give what the surface gave off."""
    hour = history.placed_h[0] + history.times_h
    met = {
        name: np.interp(hour, np.arange(drivers.n_hours), getattr(drivers, name)[0])
        for name in ("air_c", "sky_c", "film_w_m2k", "sun_w_m2")
    }
    covered = history.times_h >= np.nan_to_num(history.covered_h[0], nan=np.inf)
    later = covers[1] if len(covers) > 1 else BARE
    absorbed = np.where(covered, later.absorptivity, covers[0].absorptivity) * met["sun_w_m2"]
    resistance = np.where(covered, later.resistance_m2k_w, covers[0].resistance_m2k_w)
    top = history.top_c[0]
    mean_k = 0.5 * (top + met["sky_c"]) + 273.15
    radiant = 4.0 * EMISSIVITY * STEFAN_BOLTZMANN_W_M2K4 * mean_k**3
    film = met["film_w_m2k"] + radiant
    latent = LATENT_HEAT_J_KG * np.gradient(history.lost_kg_m2[0], HOUR_S * history.times_h)
    rest = (met["film_w_m2k"] * met["air_c"] + radiant * met["sky_c"] + absorbed - latent * (resistance <= 0)) / film
    return 1.0 / (1.0 / film + resistance), rest
