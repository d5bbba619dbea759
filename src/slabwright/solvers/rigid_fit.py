"""Best fit of one set of points to another by shift and turn, with the scale held at 1 or left free."""

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np

from slabwright.errors import OutOfRange
from slabwright.solvers.least_squares import Floats


class Scale(Enum):
    """Whether lengths may stretch in the fit."""

    FIXED = "fixed"
    FREE = "free"


@dataclass(frozen=True, slots=True, eq=False)
class PlaneFit:
    """X = scale (x cos t - y sin t) + shift_x, Y = scale (x sin t + y cos t) + shift_y.

    Attributes
    ----------
    angle_rad : float
        Counter-clockwise turn t. [rad]
    scale : float
    shift : (2,) float
    residuals : (n, 2) float
        Fitted minus given target; empty where the transformation was stated, not fitted.
    n_redundant : int
    """

    angle_rad: float
    scale: float
    shift: Floats
    residuals: Floats
    n_redundant: int = 0

    @classmethod
    def stated(cls, angle_rad: float, shift: tuple[float, float], scale: float = 1.0) -> "PlaneFit":
        """A known transformation."""
        return cls(angle_rad, scale, np.array(shift, dtype=float), np.zeros((0, 2)))

    @property
    def unit_error(self) -> float:
        """Standard error of one coordinate; 0 where nothing is redundant."""
        return math.sqrt(float((self.residuals**2).sum()) / self.n_redundant) if self.n_redundant > 0 else 0.0

    def apply(self, points: Floats) -> Floats:
        """Points carried over, (n, 2) to (n, 2)."""
        return np.asarray(self.scale * np.asarray(points) @ self._turn() + self.shift)

    def undo(self, points: Floats) -> Floats:
        """Points carried back."""
        return np.asarray((np.asarray(points) - self.shift) @ self._turn().T / self.scale)

    def _turn(self) -> Floats:
        cos, sin = math.cos(self.angle_rad), math.sin(self.angle_rad)
        return np.array([[cos, sin], [-sin, cos]])


def fitted(source: Floats, target: Floats, *, scale: Scale = Scale.FIXED, weights: Floats | None = None) -> PlaneFit:
    """Shift and turn (and stretch) that carries ``source`` nearest to ``target`` in the least-squares sense.

    Parameters
    ----------
    source, target : (n, 2) float
        At least two points apart.
    scale : Scale
    weights : (n,) float, optional
        One for each point.

    Raises
    ------
    OutOfRange
        For fewer than two points, or all on one spot.
    """
    source, target = np.asarray(source, dtype=float), np.asarray(target, dtype=float)
    weight = np.ones(len(source)) if weights is None else np.asarray(weights, dtype=float)
    if len(source) < 2:
        raise OutOfRange(f"a fit in plan needs two points or more (got {len(source)}).")
    centre_s, centre_t = (np.average(points, axis=0, weights=weight) for points in (source, target))
    a, b = source - centre_s, target - centre_t
    along = float(weight @ (a * b).sum(axis=1))
    across = float(weight @ (a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]))
    spread = float(weight @ (a**2).sum(axis=1))
    if spread <= 0.0 or (along == 0.0 and across == 0.0):
        raise OutOfRange("a fit in plan needs points that lie apart.")
    angle = math.atan2(across, along)
    stretch = math.hypot(along, across) / spread if scale is Scale.FREE else 1.0
    turned = PlaneFit.stated(angle, (0.0, 0.0), stretch)
    shift = centre_t - turned.apply(centre_s[None, :])[0]
    fit = PlaneFit(angle, stretch, shift, np.zeros((0, 2)))
    residuals = fit.apply(source) - target
    return PlaneFit(angle, stretch, shift, residuals, 2 * len(source) - (4 if scale is Scale.FREE else 3))
