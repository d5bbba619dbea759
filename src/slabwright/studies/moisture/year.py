"""A year of the floor's surface against the dew point of the air over it, as built and with insulation."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.concrete import HARDENED_CONDUCTIVITY_W_MK, SPECIFIC_HEAT_J_KGK
from slabwright.early_age.drivers import HOUR_S, Drivers
from slabwright.early_age.zones import BASE_CAPACITY_J_M3K, BASE_CONDUCTIVITY_W_MK, soil_layer
from slabwright.model.ground import BaseCourse, Insulation, Soil
from slabwright.solvers.heat.column import Balance, Column, Layer, carry, one_member
from slabwright.solvers.heat.data import Channel, Kind, Outside, Phases
from slabwright.sources import practice
from slabwright.standards.ashrae_fundamentals import R_VALUE
from slabwright.studies.moisture.rooms import Room

Floats = NDArray[np.float64]
STEP_S = 1800.0
DEEP_M = 3.0
TRIED_R_M2K_W = 10.0 * R_VALUE
EDGE_STRIP_M = 0.6
EDGE_STRIP = practice("the outer 2 ft (0.6 m) of the floor answer to the outside air through as much soil, and the insulation of the edge")
PERIMETER_FILM_W_M2K = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """A floor as it might be built.

    Attributes
    ----------
    name : str
    under_m2k_w : float
        Resistance under the slab. [m²K/W]
    edge_m2k_w : float or None
        Resistance at the edge, for the outer strip; None for the inner floor. [m²K/W]
    """

    name: str
    under_m2k_w: float = 0.0
    edge_m2k_w: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Year:
    """One variant's year; arrays (n_hours).

    Attributes
    ----------
    variant : Variant
    surface_c, below_c : array
        Temperature of the surface and under the slab. [°C]
    wet : bool array
        Surface at or below the dew point.
    gap : float
        Fraction by which its energy balance fails to close.
    """

    variant: Variant
    surface_c: Floats
    below_c: Floats
    wet: NDArray[np.bool_]
    gap: float

    def hours_by_month(self, months: NDArray[np.int64]) -> list[int]:
        """Hours of sweating in each month, January first."""
        return [int(self.wet[months == month].sum()) for month in range(1, 13)]


def variants(insulation: Sequence[Insulation], *, has_edge: bool) -> tuple[Variant, ...]:
    """As built, with R 10 under the slab where it has less; and the outer strip, bare and with R 10 at its edge."""
    under = sum(board.resistance_m2k_w for board in insulation if board.place == "floor")
    edge = sum(board.resistance_m2k_w for board in insulation if board.place in ("edge", "skirt"))
    found = [Variant(name="inner floor, as drawn", under_m2k_w=under)]
    if under < TRIED_R_M2K_W:
        found.append(Variant(name="inner floor, R 10 below", under_m2k_w=TRIED_R_M2K_W))
    else:
        found.append(Variant(name="inner floor, nothing below"))
    if has_edge:
        found.append(Variant(name="outer strip, as drawn", under_m2k_w=under, edge_m2k_w=edge))
        if edge < TRIED_R_M2K_W:
            found.append(Variant(name="outer strip, R 10 at the edge", under_m2k_w=under, edge_m2k_w=TRIED_R_M2K_W))
    return tuple(found)


def a_year(
    variant: Variant, thickness_m: float, unit_weight_kg_m3: float, soil: Soil, base: BaseCourse | None, room: Room, drivers: Drivers
) -> Year:
    """Carry a floor through its year, after one year of running in.

    Raises
    ------
    NotConverged
        If a step finds no temperature.
    """
    column, slab_nodes, foot_film = _column(variant, thickness_m, unit_weight_kg_m3, soil, base)
    n = room.air_c.size
    deep = float(drivers.air_c[0].mean())
    outer = variant.edge_m2k_w is not None
    foot = drivers.air_c[0] if outer else np.full(n, deep)

    def twice(values: Floats) -> Floats:
        return np.ascontiguousarray(np.tile(values, 2)[None, :])

    nought = np.zeros((1, 1))
    outside = Outside(
        HOUR_S, twice(room.air_c), twice(room.film_w_m2k), nought, nought, nought, nought, twice(foot), np.full((1, 1), foot_film),
        Kind.EXCHANGE, Kind.EXCHANGE if outer else Kind.HELD,
    )  # fmt: skip
    bare = Phases(np.zeros((1, 1)), np.array([np.inf]), np.zeros(1), np.zeros(1), np.zeros(1), np.zeros(1))
    every = round(HOUR_S / STEP_S)
    records = carry(
        column.chain(deep), one_member(None), outside, bare, n_steps=every * (2 * n - 1), step_s=STEP_S, every=every, keep_field=True
    )
    surface = records.channels[0, n:, Channel.TOP]
    return Year(
        variant=variant,
        surface_c=surface,
        below_c=records.field[0, n:, slab_nodes],
        wet=surface <= room.dew_c,
        gap=Balance.of(records.balance[0]).gap,
    )


def _column(
    variant: Variant, thickness_m: float, unit_weight_kg_m3: float, soil: Soil, base: BaseCourse | None
) -> tuple[Column, int, float]:
    capacity = unit_weight_kg_m3 * SPECIFIC_HEAT_J_KGK
    layers = [Layer(thickness_m=thickness_m, conductivity_w_mk=HARDENED_CONDUCTIVITY_W_MK, heat_capacity_j_m3k=capacity, n_cells=6)]
    if variant.under_m2k_w > 0:
        layers.append(Layer(thickness_m=0.05, conductivity_w_mk=0.05 / variant.under_m2k_w, heat_capacity_j_m3k=4e4, n_cells=3))
    if base is not None:
        layers.append(
            Layer(
                thickness_m=base.thickness_m, conductivity_w_mk=BASE_CONDUCTIVITY_W_MK, heat_capacity_j_m3k=BASE_CAPACITY_J_M3K, n_cells=3
            )
        )
    outer = variant.edge_m2k_w is not None
    ground = soil_layer(soil, EDGE_STRIP_M if outer else DEEP_M)
    layers.append(ground)
    film = 1.0 / ((variant.edge_m2k_w or 0.0) + 1.0 / PERIMETER_FILM_W_M2K) if outer else 0.0
    return Column.of(*layers), 6, film
