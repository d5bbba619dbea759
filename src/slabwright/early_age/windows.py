"""When to float, when the saw may start and when it must be through: read off the histories, as bands over the members."""

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.cracking import ANCHORED, Cracking
from slabwright.early_age.simulate import History, crossing
from slabwright.sources import practice
from slabwright.standards.subgrade_drag import CONVENTIONAL_HOURS_H, EARLY_ENTRY_HOURS_H
from slabwright.units import PSI_PA

Floats = NDArray[np.float64]
RAVEL_CONVENTIONAL_PA = 500.0 * PSI_PA
RAVEL_EARLY_PA = 150.0 * PSI_PA
RAVELLING = practice(
    "no ravelling: early-entry saw from final set and 150 psi (1 MPa), wet saw from 500 psi (3.5 MPa) at the surface; a trial cut decides"
)
CRACK_LIMIT = 0.10
CRACK_CHANCE = practice("sawing is late when the chance of an uncontrolled crack passes 10 %")
STARTED_SHARE = 0.80
LEAST_WINDOW_H = 4.0


class Saw(Enum):
    """How joints are cut."""

    CONVENTIONAL = "wet saw"
    EARLY_ENTRY = "early-entry saw"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A time with its scatter: early (10 % of members), middle and late (90 %), hours after placing. [h]"""

    early_h: float
    middle_h: float
    late_h: float

    @classmethod
    def of(cls, hours: Floats) -> "Band | None":
        """From one value per member; None where half of them or more never get there."""
        if np.isnan(hours).mean() >= 0.5:
            return None
        filled = np.where(np.isnan(hours), np.nanmax(hours), hours)
        early, middle, late = np.quantile(filled, (0.1, 0.5, 0.9))
        return cls(early_h=float(early), middle_h=float(middle), late_h=float(late))


@dataclass(frozen=True, slots=True, kw_only=True)
class Finishing:
    """Finishing of one zone, hours after placing; None where it does not happen within the hours looked at.

    Attributes
    ----------
    bleed_end : Band or None
        Bleeding has ended: at initial set, or when the water has risen.
    float_from : Band or None
        Initial set: a boot leaves about a quarter of an inch, the power float may go on.
    trowel_until : Band or None
        Final set: nothing closes any more.
    dries_at : Band or None
        The sheen is gone and the surface draws on its own water.
    """

    bleed_end: Band | None
    float_from: Band | None
    trowel_until: Band | None
    dries_at: Band | None


def finishing(history: History) -> Finishing:
    """Finishing windows of a zone."""
    concrete = history.concrete
    risen_h = 1000.0 * concrete.bleed_share * history.zone.depth_m / concrete.bleed_kg_m2_h
    dry = crossing(history.times_h[1:], -history.water_kg_m2[:, 1:], 1e-6)
    return Finishing(
        bleed_end=Band.of(np.fmin(history.initial_set_h, risen_h)),
        float_from=Band.of(history.initial_set_h),
        trowel_until=Band.of(history.final_set_h),
        dries_at=Band.of(dry),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SawWindow:
    """When one kind of saw may cut a zone, hours after placing.

    Attributes
    ----------
    saw : Saw
    start_h : float or None
        Four members of five no longer ravel; None where that is not reached.
    end_h : float
        The chance of an uncontrolled crack passes its limit, or the usual hours are over. [h]
    by_cracking : bool
        True where cracking ends the window, False where only the guide's usual hours do.
    chance : array (n_times)
        Of an uncontrolled crack by each time of the history, anchored by the edge.
    """

    saw: Saw
    start_h: float | None
    end_h: float
    by_cracking: bool
    chance: Floats

    @property
    def length_h(self) -> float:
        """Hours between start and end; below nought where it is late before it may start. [h]"""
        return self.end_h - self.start_h if self.start_h is not None else -self.end_h


def saw_window(found: Cracking, saw: Saw, held: float = ANCHORED) -> SawWindow:
    """When a zone may be sawn.

    Parameters
    ----------
    found : Cracking
    saw : Saw
    held : float
        Fraction of the axial part that is held.
    """
    history = found.history
    start = _start_h(history, saw)
    chance = found.chance(held)
    late = crossing(history.times_h, chance[None, :], CRACK_LIMIT)[0]
    usual = (CONVENTIONAL_HOURS_H if saw is Saw.CONVENTIONAL else EARLY_ENTRY_HOURS_H)[1]
    outer = max(usual, (start or 0.0) + LEAST_WINDOW_H)
    by_cracking = not np.isnan(late) and late < outer
    return SawWindow(saw=saw, start_h=start, end_h=float(late) if by_cracking else outer, by_cracking=bool(by_cracking), chance=chance)


def _start_h(history: History, saw: Saw) -> float | None:
    level = RAVEL_CONVENTIONAL_PA if saw is Saw.CONVENTIONAL else RAVEL_EARLY_PA
    ready = history.when(history.top_strength_pa, level)
    if saw is Saw.EARLY_ENTRY:
        ready = np.maximum(ready, history.final_set_h)
    if np.isnan(ready).mean() > 1.0 - STARTED_SHARE:
        return None
    return float(np.quantile(np.where(np.isnan(ready), np.inf, ready), STARTED_SHARE, method="lower"))
