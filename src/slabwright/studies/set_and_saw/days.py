"""The first days of every zone: many members, and what is read off them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.concrete import Concrete
from slabwright.early_age.cracking import Cracking, cracking
from slabwright.early_age.drivers import Drivers
from slabwright.early_age.pour import Delivered
from slabwright.early_age.simulate import Cover, History, Scatter, simulate
from slabwright.early_age.windows import Finishing, Saw, SawWindow, finishing, saw_window
from slabwright.early_age.zones import Ground, Zone, ZoneKind, layers_under
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.job import Job
from slabwright.standards.cold_weather import FREEZE_SAFE_PA
from slabwright.standards.subgrade_drag import drag_friction

Floats = NDArray[np.float64]
N_MEMBERS, N_DEEP = 200, 60
"""Members of the floor, which may crack, and of the deeper parts, which are asked for warmth, set and strength only."""
HOURS = 60.0
SHOWN_H = (12.0, 24.0, 48.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ZoneDays:
    """One zone's first days.

    Attributes
    ----------
    zone : Zone
    history : History
    cracking : Cracking
    finishing : Finishing
    windows : dict of Saw to SawWindow
    freeze_chance : float
        Of freezing before 500 psi. [-]
    """

    zone: Zone
    history: History
    cracking: Cracking
    finishing: Finishing
    windows: dict[Saw, SawWindow]
    freeze_chance: float

    @property
    def peak_c(self) -> float:
        """Highest temperature at mid-depth, middle of the members. [°C]"""
        return float(np.median(self.history.middle_c.max(axis=1)))

    def strength_pa(self, hour: float, share: float) -> float:
        """Strength of the surface that a share of the members stays below at an hour after placing. [Pa]"""
        at = int(np.argmin(np.abs(self.history.times_h - hour)))
        return float(np.quantile(self.history.top_strength_pa[:, at], share))


def zones_of(job: Job, foundation: Foundation, placing_h: float) -> tuple[Zone, ...]:
    """Floor placed first and last, the edge, the deepest pad and the deepest strip."""
    below = layers_under(ZoneKind.FLOOR, job.soil, job.base, job.insulation)
    depth = job.floor.thickness_m
    found = [
        Zone(name="floor, placed first", kind=ZoneKind.FLOOR, depth_m=depth, layers_below=below),
        Zone(name="floor, placed last", kind=ZoneKind.FLOOR, depth_m=depth, placed_after_h=placing_h, layers_below=below),
    ]
    kinds = {PartKind.EDGE: ZoneKind.EDGE, PartKind.PAD: ZoneKind.PAD, PartKind.STRIP: ZoneKind.STRIP}
    for part_kind, kind in kinds.items():
        parts = [part for part in foundation.parts if part.kind is part_kind]
        if not parts:
            continue
        deepest = max(parts, key=lambda part: part.depth_m)
        name = "edge" if kind is ZoneKind.EDGE else f"{kind.value} {deepest.name}"
        found.append(
            Zone(
                name=name,
                kind=kind,
                depth_m=deepest.depth_m,
                placed_after_h=0.5 * placing_h,
                layers_below=layers_under(kind, job.soil, job.base, job.insulation),
                ground_offset_m=deepest.depth_m - depth,
            )
        )
    return tuple(found)


def uncut_length_m(foundation: Foundation) -> float:
    """Longest way across the floor before any joint is cut. [m]"""
    low_x, low_y, high_x, high_y = foundation.region.bounds
    return float(max(high_x - low_x, high_y - low_y))


def carried(
    zone: Zone, job: Job, concrete: Concrete, drivers: Drivers, ground: Ground, delivered: Delivered, *, start_hour: float,
    covers: tuple[Cover, ...], uncut_m: float, held: float, rng: np.random.Generator, hours: float = HOURS,
) -> ZoneDays:  # fmt: skip
    """Carry one zone's members and read windows off them."""
    n_members = N_MEMBERS if zone.kind is ZoneKind.FLOOR else N_DEEP
    placed = start_hour + zone.placed_after_h
    history = simulate(
        zone, concrete, drivers, ground, placed_h=np.full(n_members, placed), concrete_c=np.full(n_members, delivered.at(placed)),
        scatter=Scatter.drawn(n_members, rng), courses=np.arange(n_members) % drivers.n_courses, covers=covers, hours=hours,
    )  # fmt: skip
    friction = drag_friction(stated=job.soil.friction, on_sheet=job.retarder is not None)
    pull = cracking(history, uncut_m=uncut_m, friction=friction)
    green = (history.top_c < 0.0) & (history.top_strength_pa < FREEZE_SAFE_PA)
    return ZoneDays(
        zone=zone,
        history=history,
        cracking=pull,
        finishing=finishing(history),
        windows={saw: saw_window(pull, saw, held) for saw in Saw},
        freeze_chance=float(green.any(axis=1).mean()),
    )
