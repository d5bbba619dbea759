"""A scan of the base to a surface: placed on the plan, gridded in blocks, cleaned, thinned to shots."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.errors import OutOfRange
from slabwright.files.surveyfile.clouds import cloud_blocks
from slabwright.files.surveyfile.columns import Sheet
from slabwright.files.surveyfile.judge import OFF_DATUM_M, deviations_m
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.survey import SCANNER, BaseSurvey, Rejected, ScanSurface, Shot
from slabwright.solvers.rigid_fit import PlaneFit
from slabwright.solvers.scan_grid import Frame, Ground, ScanGrid
from slabwright.units import LENGTH, Family, format_quantity

Floats = NDArray[np.float64]

CELL_M = 0.10
LAYER_M = 0.004
MOST_SHOTS = 2000
_ABOVE_M, _BELOW_M = 0.36, 0.36
_GROUND_M = 0.020
_OBJECT_M, _PROUD_M = 0.60, 0.025
_NEAR_M = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ScanPlace:
    """How a scan lies on the plan.

    Attributes
    ----------
    unit_m : float
        Length of one unit of the file. [m]
    fit : PlaneFit or None
        From the scan's axes to the plan's; None where they are the plan's.
    floor_level_m : float
        Finished floor level in the scan's heights. [m]
    """

    unit_m: float = 1.0
    fit: PlaneFit | None = None
    floor_level_m: float = 0.0


def read_scan(sheet: Sheet, path: Path, foundation: Foundation, place: ScanPlace, family: Family) -> BaseSurvey:
    """Read a scan into shots, with its fine surface beside them.

    Parameters
    ----------
    sheet : Sheet
        Takes the findings.
    path : Path
        LAS, LAZ, PLY or XYZ.
    foundation : Foundation
    place : ScanPlace
    family : Family
        Units of the messages.
    """
    reader = _Scan(sheet, foundation, place, family)
    grid = reader.gridded(path)
    if grid is None:
        return BaseSurvey(shots=(), instrument=SCANNER, source=path.name)
    try:
        ground = grid.ground(thickness=_GROUND_M, object_size=_OBJECT_M, object_height=_PROUD_M)
    except OutOfRange as error:
        beyond = grid.n_out_of_height > 0.5 * grid.n_seen
        sheet.refuse(
            "the scan", "lies far below or above the base; check the height of the finished floor in the scan." if beyond else str(error)
        )
        return BaseSurvey(shots=(), instrument=SCANNER, source=path.name)
    return reader.surveyed(ground, grid.n_seen, path.name)


@dataclass(slots=True)
class _Scan:
    sheet: Sheet
    foundation: Foundation
    place: ScanPlace
    family: Family

    def gridded(self, path: Path) -> ScanGrid | None:
        """Every block placed on the plan and counted; None where the first already shows that it cannot be."""
        x1, y1, x2, y2 = self.foundation.region.bounds
        thickness = max(part.depth_m for part in self.foundation.parts if part.kind is PartKind.FLOOR)
        frame = Frame.over((x1, y1), (x2, y2), cell=CELL_M, z_low=-thickness - _BELOW_M, z_high=-thickness + _ABOVE_M, layer=LAYER_M)
        grid = ScanGrid(frame)
        for number, (x, y, z) in enumerate(self._placed(path)):
            if number == 0 and not self._plausible(x, y, z):
                return None
            grid.add(x, y, z)
        return grid

    def _placed(self, path: Path) -> Iterator[tuple[Floats, Floats, Floats]]:
        unit, fit = self.place.unit_m, self.place.fit
        for x, y, z in cloud_blocks(path):
            if unit != 1.0:
                x, y, z = x * unit, y * unit, z * unit
            if fit is not None:
                x, y = fit.apply(np.column_stack([x, y])).T
            yield x, y, z - self.place.floor_level_m

    def _plausible(self, x: Floats, y: Floats, z: Floats) -> bool:
        """Look at the first block: which way is up, is it here, is it the right size."""
        few = slice(None, None, max(1, len(x) // 20_000))
        sample = np.column_stack([x[few], y[few], z[few]])
        sample = sample[np.isfinite(sample).all(axis=1)]
        if len(sample) < 10:
            self.sheet.refuse("the scan", "holds hardly a point.")
            return False
        up = _thin_axis(sample)
        if up != 2:
            self.sheet.refuse("the scan", f"is flat along {'xy'[up]}, not along z: its {'xy'[up]} axis points up. Turn it so that z is up.")
            return False
        inside = self._share_inside(sample)
        better = next((name for name, factor in _UNITS if self._share_inside(sample * factor) > 0.9), "")
        if inside < 0.05 or (inside < 0.5 and better):
            hint = f" It would fit if its unit were {better}." if better else ""
            self.sheet.refuse("the scan", f"does not lie on the floor; give two corners or more in its axes.{hint}")
            return False
        return True

    def _share_inside(self, sample: Floats) -> float:
        return float(shapely.contains_xy(self.foundation.region.buffer(_NEAR_M), sample[:, 0], sample[:, 1]).mean())

    def surveyed(self, ground: Ground, n_points: int, source: str) -> BaseSurvey:
        """The floor's own part of the ground, and block means of it as shots."""
        frame = ground.frame
        x, y = np.meshgrid(*frame.centres())
        places = np.column_stack([x.ravel(), y.ravel()])
        numbers = self.foundation.part_at(places)
        floor = np.array([part.kind is PartKind.FLOOR for part in self.foundation.parts])
        on_floor = ((numbers >= 0) & floor[np.maximum(numbers, 0)]).reshape(x.shape)
        level = np.where(on_floor, ground.height, np.nan)
        if not np.isfinite(level).any():
            self.sheet.refuse("the scan", "shows no base of the floor.")
            return BaseSurvey(shots=(), instrument=SCANNER, source=source)
        shots = _block_means(frame, level)
        self._datum(shots)
        rejected = self._told(ground, on_floor)
        corner = (frame.x_low, frame.y_low)
        surface = ScanSurface(corner=corner, cell_m=frame.cell, level_m=level.astype(np.float32), n_points=n_points)
        return BaseSurvey(shots=shots, instrument=SCANNER, rejected=rejected, source=source, scan=surface)

    def _datum(self, shots: tuple[Shot, ...]) -> None:
        median = float(np.median(deviations_m(shots, self.foundation)))
        if abs(median) > OFF_DATUM_M:
            where = "below" if median > 0 else "above"
            off = format_quantity(abs(median), LENGTH, self.family)
            self.sheet.refuse(
                "the scan", f"the base would lie {off} {where} its design; check the height of the finished floor in the scan."
            )

    def _told(self, ground: Ground, on_floor: NDArray[np.bool_]) -> tuple[Rejected, ...]:
        """What stood on the base, place by place, and what was not used in all."""
        rejected = []
        for place, proud in _standing_things(ground, on_floor):
            height = format_quantity(proud, LENGTH, self.family)
            reason = f"something stands {height} proud of the base here; a tool, or a heap to shave."
            rejected.append(Rejected(name="scan", at=place, reason=reason))
        counts: Mapping[str, int] = {
            "outside the floor": ground.n_outside,
            "above the ground": ground.n_high + ground.n_above_ground,
            "below the ground": ground.n_low + ground.n_below_ground,
        }
        for where, count in counts.items():
            if count:
                self.sheet.warn("the scan", f"{count:,} points {where} were not used.")
        unseen = float((on_floor & ~np.isfinite(ground.height)).sum() / max(1, on_floor.sum()))
        if unseen > 0.02:
            self.sheet.warn(
                "the scan", f"{100 * unseen:.0f} % of the base was not seen; it is filled in from around, with its uncertainty."
            )
        for gone in rejected:
            self.sheet.warn("the scan", f"not used: {gone.reason}")
        return tuple(rejected)


_UNITS = (("feet", 0.3048), ("millimetres", 0.001), ("inches", 0.0254))


def _thin_axis(sample: Floats) -> int:
    """The axis nearest to the direction in which the points spread least."""
    low, high = np.percentile(sample, [5, 95], axis=0)
    core = sample[((sample >= low) & (sample <= high)).all(axis=1)]
    core = core if len(core) >= 10 else sample
    _, _, directions = np.linalg.svd(core - core.mean(axis=0), full_matrices=False)
    return int(np.argmax(np.abs(directions[2])))


def _block_means(frame: Frame, level: Floats) -> tuple[Shot, ...]:
    """Means over square blocks of cells, as large as keeps them to :data:`MOST_SHOTS`."""
    seen = int(np.isfinite(level).sum())
    size = max(1, math.ceil(math.sqrt(seen / MOST_SHOTS)))
    while True:
        rows, columns = (np.arange(n) // size for n in level.shape)
        width = int(columns.max()) + 1
        block = rows[:, None] * width + columns[None, :]
        known = np.isfinite(level)
        n = np.bincount(block[known], minlength=int(block.max()) + 1)
        if int((n > 0).sum()) <= MOST_SHOTS:
            break
        size += 1
    x, y = np.meshgrid(*frame.centres())
    used = np.flatnonzero(n)
    mean_x, mean_y, mean_z = (np.bincount(block[known], values[known], minlength=len(n))[used] / n[used] for values in (x, y, level))
    return tuple(
        Shot(at=(float(a), float(b)), level_m=float(c), name=f"scan {number}")
        for number, (a, b, c) in enumerate(zip(mean_x, mean_y, mean_z, strict=True), start=1)
    )


def _standing_things(ground: Ground, on_floor: NDArray[np.bool_]) -> list[tuple[tuple[float, float], float]]:
    """Middle and height of each thing that stood on the floor's base."""
    import scipy.ndimage

    labels, count = scipy.ndimage.label(ground.standing & on_floor, structure=np.ones((3, 3)))
    x, y = ground.frame.centres()
    things = []
    for number in range(1, count + 1):
        rows, columns = np.nonzero(labels == number)
        proud = float(ground.proud[rows, columns].max())
        things.append(((float(x[columns].mean()), float(y[rows].mean())), proud))
    return things
