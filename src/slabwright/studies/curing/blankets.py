"""Blankets: what resistance keeps the concrete warm enough, and when it may come off without a shock."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from slabwright.early_age.simulate import BARE, COMPOUND_AT_SET, Cover, History
from slabwright.early_age.zones import Zone
from slabwright.sources import practice
from slabwright.standards.ashrae_fundamentals import BLANKET_R, R_VALUE
from slabwright.standards.cold_weather import FREEZE_SAFE_PA, coldest_concrete_c, greatest_cooling_k, protection_days

R_TRIED = (2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 14.0)
REMOVAL_STEP_H = 6.0
BLANKET_AT_SET = practice("blankets go on at final set, when the surface takes them")

Run = Callable[[Zone, tuple[Cover, ...], float], History]
"""Carries a zone under covers for so many hours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Protection:
    """Protection of one zone against the cold.

    Attributes
    ----------
    zone : Zone
    resistance_m2k_w : float or None
        Least of those tried that keeps it warm enough; None where none does. [m²K/W]
    bare_coldest_c, kept_coldest_c : float
        Lowest surface temperature over the days of protection, one member in ten below, without and with blankets. [°C]
    least_c : float
        What the guide asks for. [°C]
    days : float
        Of protection. [d]
    off_h : float or None
        Earliest hour after placing when the blanket may come off; None where not within the weather. [h]
    drop_k : float
        Fall of the surface in the 24 hours after that. [K]
    drop_limit_k : float
    """

    zone: Zone
    resistance_m2k_w: float | None
    bare_coldest_c: float
    kept_coldest_c: float
    least_c: float
    days: float
    off_h: float | None
    drop_k: float
    drop_limit_k: float


def blanketed(resistance_m2k_w: float, off_h: float | None = None) -> tuple[Cover, ...]:
    """Bare, then a blanket from final set, then cured and open again where it comes off."""
    blanket = Cover(from_h=None, resistance_m2k_w=resistance_m2k_w, absorptivity=0.7, wetness=0.0)
    if off_h is None:
        return BARE, blanket
    return BARE, blanket, Cover(from_h=off_h)


def protect(zone: Zone, run: Run, hours: float, *, type_iii: bool) -> Protection:
    """Find the blanket of a zone and the hour it may come off.

    Parameters
    ----------
    zone : Zone
    run : callable
    hours : float
        Of weather after placing. [h]
    type_iii : bool
        High-early cement shortens protection.
    """
    days = protection_days(type_iii=type_iii)
    least, limit = coldest_concrete_c(least_dimension_m=zone.depth_m), greatest_cooling_k(least_dimension_m=zone.depth_m)
    kept_h = min(24.0 * days, hours - 1.0)
    bare = _coldest(run(zone, (BARE, COMPOUND_AT_SET), kept_h))
    chosen, kept = None, bare
    for r in R_TRIED:
        history = run(zone, blanketed(r * R_VALUE), kept_h)
        kept = _coldest(history)
        chosen = r * R_VALUE
        if kept >= least:
            break
    enough = kept >= least
    off, drop = _removal(zone, run, chosen or 0.0, kept_h, hours, limit)
    return Protection(
        zone=zone,
        resistance_m2k_w=chosen if enough else None,
        bare_coldest_c=bare,
        kept_coldest_c=kept,
        least_c=least,
        days=days,
        off_h=off,
        drop_k=drop,
        drop_limit_k=limit,
    )


def _coldest(history: History) -> float:
    """Lowest surface temperature from set on, one member in ten below."""
    after = history.times_h[None, :] >= np.nan_to_num(history.final_set_h, nan=0.0)[:, None]
    return float(np.quantile(np.where(after, history.top_c, np.inf).min(axis=1), 0.1))


def _removal(zone: Zone, run: Run, resistance: float, kept_h: float, hours: float, limit_k: float) -> tuple[float | None, float]:
    """Earliest hour after protection at which the next day's fall is within the limit and the strength is safe from frost."""
    drop = 0.0
    for off in np.arange(kept_h, hours - 24.0, REMOVAL_STEP_H):
        history = run(zone, blanketed(resistance, float(off)), float(off) + 24.0)
        at = int(np.argmin(np.abs(history.times_h - off)))
        fall = history.top_c[:, at : at + 1] - np.minimum.accumulate(history.top_c[:, at:], axis=1)
        drop = float(np.quantile(fall.max(axis=1), 0.9))
        strong = float(np.quantile(history.top_strength_pa[:, at], 0.1)) >= FREEZE_SAFE_PA
        if strong and drop <= limit_k:
            return float(off), drop
    return None, drop


def layers_of_blanket(resistance_m2k_w: float) -> int:
    """Layers of the weakest usual curing blanket that make a resistance."""
    return max(1, int(np.ceil(resistance_m2k_w / R_VALUE / BLANKET_R[0] - 1e-3)))
