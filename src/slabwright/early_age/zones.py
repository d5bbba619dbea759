"""Where the concrete lies: floor, edge and pads as columns of layers, on ground at the temperature the weather left it."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.concrete import Concrete
from slabwright.early_age.drivers import HOUR_S, Drivers
from slabwright.errors import OutOfRange
from slabwright.model.ground import BaseCourse, Insulation, Soil
from slabwright.solvers.heat.column import Column, Layer, carry, one_member
from slabwright.solvers.heat.data import Phases
from slabwright.sources import practice
from slabwright.standards.ashrae_fundamentals import SoilKind, soil_conductivity_w_mk
from slabwright.standards.sky_and_sun import EMISSIVITY

Floats = NDArray[np.float64]
GROUND_DEPTH_M = 2.0
BASE_CONDUCTIVITY_W_MK, BASE_CAPACITY_J_M3K = 0.8, 1.5e6
SOIL_CAPACITY_J_M3K = 2.0e6
GROUND_ABSORPTIVITY, GROUND_WETNESS = 0.65, 0.3
SPIN_UP_DAYS = 4
GROUND = practice(
    "base course 0.8 W/mK; bare ground takes up 65 % of the sun and evaporates 30 % of what water would; 2 m down it stays at the mean "
    "of the air"
)


class ZoneKind(Enum):
    """What a zone is a part of."""

    FLOOR = "floor"
    EDGE = "edge"
    PAD = "pad"
    STRIP = "strip"


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A part of the concrete of one depth.

    Attributes
    ----------
    name : str
        As it stands in sentences, such as ``floor, placed first``.
    kind : ZoneKind
    depth_m : float
        From the top of the floor. [m]
    placed_after_h : float
        Hours after the start of the pour. [h]
    layers_below : tuple of Layer
        From under the concrete down.
    ground_offset_m : float
        Depth of undisturbed ground at which the layers below begin. [m]
    """

    name: str
    kind: ZoneKind
    depth_m: float
    placed_after_h: float = 0.0
    layers_below: tuple[Layer, ...] = ()
    ground_offset_m: float = 0.0

    def column(self, concrete: Concrete, n_cells: int = 10) -> Column:
        """Concrete on what lies below it."""
        top = Layer(
            thickness_m=self.depth_m,
            conductivity_w_mk=concrete.conductivity_w_mk,
            heat_capacity_j_m3k=concrete.heat_capacity_j_m3k,
            n_cells=n_cells,
            reaction_j_m3=concrete.heat_j_m3,
            softening=concrete.softening,
        )
        return Column.of(top, *self.layers_below)


def soil_layer(soil: Soil, depth_m: float = GROUND_DEPTH_M) -> Layer:
    """The bearing ground, conductivity the middle of its design values."""
    kind = _soil_kind(soil.soil_class)
    conductivity = 0.5 * sum(soil_conductivity_w_mk(soil=kind, high=high) for high in (False, True))
    return Layer(
        thickness_m=depth_m, conductivity_w_mk=conductivity, heat_capacity_j_m3k=SOIL_CAPACITY_J_M3K, n_cells=8, growth=1.45
    )  # fmt: skip


def _soil_kind(soil_class: str) -> SoilKind:
    first = soil_class.strip().upper()[:1]
    return {"G": SoilKind.SAND, "S": SoilKind.SAND, "M": SoilKind.SILT, "C": SoilKind.CLAY}.get(first, SoilKind.LOAM)


def layers_under(kind: ZoneKind, soil: Soil, base: BaseCourse | None, insulation: Sequence[Insulation]) -> tuple[Layer, ...]:
    """What lies under a zone: board and base course under the floor, soil under everything."""
    found = []
    boards = [board for board in insulation if board.place == ("floor" if kind is ZoneKind.FLOOR else "edge")]
    for board in boards:
        conductivity = board.thickness_m / board.resistance_m2k_w
        found.append(Layer(thickness_m=board.thickness_m, conductivity_w_mk=conductivity, heat_capacity_j_m3k=4e4, n_cells=3))
    if kind is ZoneKind.FLOOR and base is not None:
        found.append(
            Layer(
                thickness_m=base.thickness_m, conductivity_w_mk=BASE_CONDUCTIVITY_W_MK, heat_capacity_j_m3k=BASE_CAPACITY_J_M3K, n_cells=3
            )
        )
    return (*found, soil_layer(soil))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ground:
    """Temperature of the bare ground by hour and depth before concrete covers it.

    Attributes
    ----------
    depths_m : array (n_nodes)
    temps_c : array (n_hours, n_nodes)
    deep_c : float
        Far below, steady. [°C]
    """

    depths_m: Floats
    temps_c: Floats
    deep_c: float

    def profile(self, hour: float, depths_m: Floats) -> Floats:
        """Temperatures at depths at an hour. [°C]"""
        i = min(max(int(hour), 0), self.temps_c.shape[0] - 2)
        part = min(max(hour - i, 0.0), 1.0)
        row = (1.0 - part) * self.temps_c[i] + part * self.temps_c[i + 1]
        return np.asarray(np.interp(depths_m, self.depths_m, row, right=self.deep_c))

    def surface_c(self, hour: float) -> float:
        """Temperature of its face at an hour. [°C]"""
        return float(self.profile(hour, np.zeros(1))[0])


def bare_ground(drivers: Drivers, soil: Soil, base: BaseCourse | None) -> Ground:
    """Run the bare ground through the weather, its first day repeated beforehand until the start is forgotten.

    Raises
    ------
    OutOfRange
        For weather of less than a day.
    """
    if drivers.n_hours < 24:
        raise OutOfRange("ground needs a day of weather at least.")
    column = Column.of(*layers_under(ZoneKind.FLOOR, soil, base, ()))
    deep = float(drivers.air_c[0].mean())
    before = np.tile(np.arange(24), SPIN_UP_DAYS)
    order = np.concatenate([before, np.arange(drivers.n_hours)])
    outside = drivers.outside(deep)
    outside = outside._replace(
        air_c=outside.air_c[:1, order], film=outside.film[:1, order], sky_c=outside.sky_c[:1, order], sun=outside.sun[:1, order],
        transfer=outside.transfer[:1, order], vapour_pa=outside.vapour_pa[:1, order], foot_c=outside.foot_c[:1],
        foot_film=outside.foot_film[:1],
    )  # fmt: skip
    bare = Phases(
        np.zeros((1, 1)),
        np.array([np.inf]),
        np.zeros(1),
        np.array([GROUND_ABSORPTIVITY]),
        np.array([EMISSIVITY]),
        np.array([GROUND_WETNESS]),
    )
    records = carry(
        column.chain(deep),
        one_member(None)._replace(skin_kg_m2=np.array([1e9])),
        outside,
        bare,
        n_steps=4 * (order.size - 1),
        step_s=HOUR_S / 4,
        every=4,
        keep_field=True,
    )
    return Ground(depths_m=column.depths_m, temps_c=records.field[0, before.size :], deep_c=deep)


def start_temps(zone: Zone, column: Column, concrete_c: float, ground: Ground, hour: float) -> Floats:
    """Temperatures of a zone's nodes when it is placed: concrete as delivered, ground as it lies. [°C]"""
    below = column.depths_m - zone.depth_m + zone.ground_offset_m
    temps = ground.profile(hour, np.maximum(below, 0.0))
    temps[: column.n_reacting] = concrete_c
    return temps
