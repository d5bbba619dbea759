"""One pad under one load, or arrays of them: pressure under it, bending and shear at the faces of its post."""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import cast

import numpy as np
from numpy.typing import NDArray

from slabwright.results.working import Working
from slabwright.solvers.contact import Contact, contact_pressure
from slabwright.studies.bearing.written import units_of
from slabwright.units import Family

Array = NDArray[np.float64]
MOST_TILT = 1.0 - 1e-6
_HELD_TILT = 0.99


@dataclass(frozen=True, slots=True, kw_only=True)
class Mat:
    """Bars of a pad, alike each way.

    Attributes
    ----------
    name : str
    n_bars : int or None
        Each way; None where the spacing is given.
    spacing_m : float or None
    diameter_m, bar_area_m2, cover_m, yield_strength_pa : float
        [m], [m²], [m], [Pa]
    """

    name: str
    n_bars: int | None
    spacing_m: float | None
    diameter_m: float
    bar_area_m2: float
    cover_m: float
    yield_strength_pa: float

    def count(self, width_m: float) -> float:
        """Bars across a width; whole bars, also for arrays of widths."""
        if self.n_bars is not None:
            return float(self.n_bars)
        assert self.spacing_m is not None
        return cast(float, np.floor((width_m - 2 * self.cover_m) / self.spacing_m + 1e-9) + 1)

    def area_m2(self, width_m: float) -> float:
        """Steel across a width. [m²]"""
        return self.count(width_m) * self.bar_area_m2

    def between_m(self, width_m: float) -> float:
        """Spacing of the bars across a width. [m]"""
        if self.n_bars is None and self.spacing_m is not None:
            return self.spacing_m
        return (width_m - 2 * self.cover_m - self.diameter_m) / max(1.0, (self.n_bars or 2) - 1.0)


@dataclass(frozen=True, kw_only=True)
class PadCase:
    """A rectangular pad, the post on it and a factored load; every number may be an array of cases.

    Lengths run along the pad's own axes. Formulas take single numbers and arrays alike, so fields are declared as
    numbers; :class:`~slabwright.results.working.Sweep` works them over arrays.

    Attributes
    ----------
    size_x_m, size_y_m, depth_m : float
        Bottom and overall depth. [m]
    post_x_m, post_y_m : float
        Foot of the post. [m]
    offset_x_m, offset_y_m : float
        Of the post from the middle of the pad. [m]
    load_n : float
        Factored, positive down. [N]
    moment_x_nm, moment_y_nm : float
        Factored, at the bottom of the pad below the post. [N·m]
    weight_n : float
        Of the pad, factored. [N]
    strength_pa : float
        Of the concrete. [Pa]
    mat : Mat or None
    family : Family
        Units in which demands are written.
    """

    size_x_m: float
    size_y_m: float
    depth_m: float
    post_x_m: float
    post_y_m: float
    strength_pa: float
    load_n: float = 0.0
    moment_x_nm: float = 0.0
    moment_y_nm: float = 0.0
    weight_n: float = 0.0
    offset_x_m: float = 0.0
    offset_y_m: float = 0.0
    mat: Mat | None = None
    family: Family = Family.US

    def turned(self) -> "PadCase":
        """The same pad seen along its y axis; made once, so that its pressures are found once."""
        return self._turned

    @cached_property
    def _turned(self) -> "PadCase":
        return replace(
            self, size_x_m=self.size_y_m, size_y_m=self.size_x_m, post_x_m=self.post_y_m, post_y_m=self.post_x_m,
            moment_x_nm=self.moment_y_nm, moment_y_nm=self.moment_x_nm, offset_x_m=self.offset_y_m, offset_y_m=self.offset_x_m,
        )  # fmt: skip

    @cached_property
    def even(self) -> bool:
        """True where the load acts in the middle in every case, so that the pressure is even."""
        return not any(np.any(value) for value in (self.moment_x_nm, self.moment_y_nm, self.offset_x_m, self.offset_y_m))

    @cached_property
    def total_n(self) -> float:
        """Load and weight. [N]"""
        return self.load_n + self.weight_n

    @cached_property
    def bears(self) -> NDArray[np.bool_]:
        """True where the load and the weight together press downward."""
        return np.asarray(self.total_n) > 0

    @cached_property
    def tilt(self) -> Array:
        """How far out the load acts: 0 in the middle, 1 at a side, more where the pad tips."""
        ex, ey = self._eccentricities
        found: Array = np.maximum(2 * np.abs(ex) / self.size_x_m, 2 * np.abs(ey) / self.size_y_m)
        return found

    @cached_property
    def eccentricity_m(self) -> tuple[float, float]:
        """Of load and weight together from the middle of the pad. [m]"""
        ex, ey = self._eccentricities
        return cast(float, ex), cast(float, ey)

    @cached_property
    def _eccentricities(self) -> tuple[Array, Array]:
        total = np.where(self.bears, self.total_n, 1.0)
        ex = (self.load_n * self.offset_x_m + self.moment_x_nm) / total
        ey = (self.load_n * self.offset_y_m + self.moment_y_nm) / total
        return np.where(self.bears, ex, 0.0), np.where(self.bears, ey, 0.0)

    @cached_property
    def contact(self) -> Contact:
        """Soil pressure with the weight of the pad, loads farther out held in the outer hundredth of the half; where nothing bears, none.

        A pad that tips is refused by how far out its load acts; its concrete then meets all of the load at its side.
        """
        ex, ey = self._eccentricities
        held = np.minimum(1.0, _HELD_TILT / np.maximum(self.tilt, _HELD_TILT))
        return contact_pressure(np.where(self.bears, self.total_n, 1e-9), held * ex, held * ey, self.size_x_m, self.size_y_m)

    def projection_m(self, side: int) -> float:
        """From the face of the post to the side of the pad along x. [m]"""
        return self.size_x_m / 2 - side * self.offset_x_m - self.post_x_m / 2

    def face_moment_nm(self, side: int, working: Working) -> float:
        """Bending moment across the whole pad at the face of the post, towards +x or -x. [N·m]"""
        units = units_of(self.family)
        reach = self.projection_m(side)
        if self.even:
            pressure = self._even_pressure(working)
            found = working.line(
                "M_u = q_u*b*p**2/2", units.moment, q_u=pressure, b=units.length_of(self.size_y_m), p=units.length_of(reach)
            )
            return found * units.newton_metres
        _, soil, _ = self.contact.beyond(0, side, self.post_x_m / 2 + side * self.offset_x_m)
        own = self.weight_n / self.size_x_m * reach**2 / 2
        found = working.line(
            "M_u = M_soil - M_own", units.moment, _NET, M_soil=units.moment_of(cast(float, soil)), M_own=units.moment_of(own)
        )
        return found * units.newton_metres

    def lifting_moment_nm(self, side: int, working: Working) -> float:
        """Bending moment that stretches the top where the post is pulled up: half of the pull at the pad's side. [N·m]"""
        units = units_of(self.family)
        found = working.line(
            "M_u = max(0, -P_u)/2*p", units.moment, "half of the pull hangs at the pad's side at most",
            P_u=units.force_of(self.load_n), p=units.length_of(self.projection_m(side)),
        )  # fmt: skip
        return found * units.newton_metres

    def section_shear_n(self, side: int, away_m: float, working: Working) -> float:
        """Shear across the whole pad at a distance from the face of the post, towards +x or -x. [N]"""
        units = units_of(self.family)
        left = cast(float, np.maximum(self.projection_m(side) - away_m, 0.0))
        if self.even:
            pressure = self._even_pressure(working)
            found = working.line("V_u = q_u*b*p", units.force, q_u=pressure, b=units.length_of(self.size_y_m), p=units.length_of(left))
            return found * units.newtons
        soil, _, _ = self.contact.beyond(0, side, self.post_x_m / 2 + away_m + side * self.offset_x_m)
        own = self.weight_n / self.size_x_m * left
        found = working.line("V_u = V_soil - V_own", units.force, _NET, V_soil=units.force_of(cast(float, soil)), V_own=units.force_of(own))
        return found * units.newtons

    def _even_pressure(self, working: Working) -> tuple[float, str]:
        units = units_of(self.family)
        found = working.line(
            "q_u = P_u/(B*L)", units.pressure,
            P_u=units.force_of(self.load_n), B=units.length_of(self.size_x_m), L=units.length_of(self.size_y_m),
        )  # fmt: skip
        return found, units.pressure


def as_number(values: Array) -> float:
    """Rows of numbers where one is declared: every formula works them alike."""
    return cast(float, values)


_NET = "soil pressure beyond the section less the pad's own weight"
