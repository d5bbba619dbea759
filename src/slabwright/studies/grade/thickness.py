"""Where the floor will be thin, how likely that is, and what the contract's samples would say."""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from slabwright.model.job import Tolerances
from slabwright.studies.grade.surface import BaseSurface

N_SAMPLES = 10
"""Samples of a usual coring programme, for the chance that one of them fails."""

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinPlace:
    """A place where the floor is expected to be thinner than it may be.

    Attributes
    ----------
    at : (x, y)
        [m]
    below_m : float
        Thinner than drawn by so much. [m]
    chance : float
        Of being thinner than a single sample may be.
    measured : bool
        True at a shot, False between shots.
    """

    at: tuple[float, float]
    below_m: float
    chance: float
    measured: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ThicknessOutlook:
    """The floor as it would be poured on this base.

    Attributes
    ----------
    mean_m : float
        Mean extra thickness. [m]
    bias_sd_m, bumps_m : float
        Standard deviation of that mean; scatter of the surface about it. [m]
    thin_share : float
        Expected part of the area thinner than a single sample may be.
    thin_share_high : float
        Not exceeded with a chance of 95 %.
    chance_mean_low : float
        That the mean of the samples falls below what it may be.
    chance_sample_low : float
        That at least one of :data:`N_SAMPLES` random samples falls below what one may be.
    places : tuple of ThinPlace
        Worst first.
    """

    mean_m: float
    bias_sd_m: float
    bumps_m: float
    thin_share: float
    thin_share_high: float
    chance_mean_low: float
    chance_sample_low: float
    places: tuple[ThinPlace, ...]


def outlook(surface: BaseSurface, tolerances: Tolerances) -> ThicknessOutlook:
    """Judge the surface against the thickness rules.

    Parameters
    ----------
    surface : BaseSurface
    tolerances : Tolerances
    """
    thin = surface.draws_m < -tolerances.thickness_minus_single_m
    share = thin.mean(axis=1)
    return ThicknessOutlook(
        mean_m=surface.bias_m,
        bias_sd_m=surface.bias_sd_m,
        bumps_m=surface.bumps_m,
        thin_share=float(share.mean()),
        thin_share_high=float(np.quantile(share, 0.95)),
        chance_mean_low=float((surface.draws_m.mean(axis=1) < -tolerances.thickness_minus_mean_m).mean()),
        chance_sample_low=float((1.0 - (1.0 - share) ** N_SAMPLES).mean()),
        places=_thin_places(surface, tolerances.thickness_minus_single_m),
    )


def _thin_places(surface: BaseSurface, single_m: float) -> tuple[ThinPlace, ...]:
    """Shots that are too thin, and the middle of every other patch of the map that is expected to be."""
    from scipy.ndimage import label

    if not surface.measured:
        return ()
    places = [
        ThinPlace(
            at=shot.at,
            below_m=-shot.deviation_m,
            chance=float(_NORMAL.cdf((-single_m - shot.deviation_m) / max(surface.datum_sd_m, 1e-6))),
            measured=True,
        )
        for shot in surface.shots
        if shot.deviation_m < -single_m
    ]
    table, spread = surface.nodes.spread(surface.mean_m), surface.nodes.spread(surface.sd_m)
    patches, count = label(np.nan_to_num(table, nan=np.inf) < -single_m, structure=np.ones((3, 3)))
    for number in range(1, count + 1):
        rows, columns = np.nonzero(patches == number)
        worst = int(np.argmin(table[rows, columns]))
        at = (float(surface.nodes.xs[columns[worst]]), float(surface.nodes.ys[rows[worst]]))
        reach = 2.0 * surface.nodes.cell_m * max(1.0, len(rows) ** 0.5)
        if any(np.hypot(at[0] - one.at[0], at[1] - one.at[1]) < reach for one in places):
            continue
        deviation, sd = float(table[rows[worst], columns[worst]]), float(spread[rows[worst], columns[worst]])
        places.append(
            ThinPlace(at=at, below_m=-deviation, chance=float(_NORMAL.cdf((-single_m - deviation) / max(sd, 1e-6))), measured=False)
        )
    return tuple(sorted(places, key=lambda place: -place.below_m))
