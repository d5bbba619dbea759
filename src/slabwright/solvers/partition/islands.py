"""Round holes in a region at which lines end: a line through the middle of one meets it, any other loses what it runs through it."""

from dataclasses import dataclass

import numpy as np

from slabwright.solvers.partition.layout import LOST_WEIGHT, Floats

_ON = 1e-4


@dataclass(frozen=True, slots=True)
class Islands:
    """Holes with four corners each, which turn to where lines come from.

    Attributes
    ----------
    at : (n, 2) array
        Their middles.
    reach : (n,) array
        From the middle to a corner.
    worth : float
        Length of line that it may take to meet one corner more.
    """

    at: Floats
    reach: Floats
    worth: float

    @classmethod
    def none(cls) -> "Islands":
        """No holes."""
        return cls(np.empty((0, 2)), np.empty(0), 0.0)

    def moved(self, shift: Floats) -> "Islands":
        """The same holes elsewhere."""
        return Islands(self.at + shift, self.reach, self.worth)

    def all_missed(self) -> float:
        """Cost of a layout that meets no corner; each that is met takes its worth off."""
        return 4.0 * self.worth * len(self.at)

    def charge(self, starts: Floats, ends: Floats) -> Floats:
        """What the islands add to the cost of straight stretches from (n, 2) to (n, 2).

        Less the worth of the corners met and the length inside, where there is no concrete to cut; a stretch past the middle loses
        what lies inside.

        Returns
        -------
        ndarray
            Shape (n,).
        """
        if not len(self.at) or not len(starts):
            return np.zeros(len(starts))
        run = ends - starts
        length = np.maximum(np.hypot(*run.T), _ON)[:, None]
        unit = run / length
        to_middle = self.at[None] - starts[:, None]
        ahead = np.einsum("nkd,nd->nk", to_middle, unit)
        aside = np.abs(to_middle[..., 0] * unit[:, None, 1] - to_middle[..., 1] * unit[:, None, 0])
        half = np.sqrt(np.maximum(self.reach**2 - aside**2, 0.0))
        inside = np.maximum(np.minimum(ahead + half, length) - np.maximum(ahead - half, 0.0), 0.0)
        through = aside < _ON
        met = np.where(through, (ahead > -_ON) & (ahead < length - _ON), 0) + np.where(through, (ahead > _ON) & (ahead < length + _ON), 0)
        return np.asarray(np.where(through, -inside - self.worth * met, LOST_WEIGHT * inside).sum(axis=1))
