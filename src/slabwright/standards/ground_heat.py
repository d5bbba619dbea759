"""Temperature of undisturbed ground through the year."""

import math

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source, arithmetic

ASHRAE_TRANS_71 = Source(
    "ASHRAE Trans. 71", "Earth temperature and thermal diffusivity at selected stations in the United States, ASHRAE Trans. 71, 1965"
)
YEARLY_WAVE = Clause(ASHRAE_TRANS_71, "T(z, t) of the yearly wave", Basis.TEXT_SEEN)
DAMPING = arithmetic("d = sqrt(a P / pi)")

YEAR_DAYS = 365.25


@published("ground-temperature", YEARLY_WAVE)
def ground_temperature_c(
    *, mean_c: float, amplitude_k: float, coldest_days: float, depth_m: float, day_days: float, diffusivity_m2_s: float = 5.0e-7
) -> float:
    r"""Temperature of undisturbed ground at a depth on a day.

    Parameters
    ----------
    mean_c : float
        Of the surface over the year. [°C]
    amplitude_k : float
        Of the yearly wave at the surface. [K]
    coldest_days : float
        Day of the year when the surface is coldest. [d]
    depth_m : float
        [m]
    day_days : float
        Day of the year. [d]
    diffusivity_m2_s : float
        Of the ground. [m²/s]

    Returns
    -------
    float
        [°C]

    Notes
    -----
    .. math:: T = T_m - A\,e^{-z\sqrt{\pi/(P a)}}\cos\frac{2\pi}{P}\Big(t - t_0 - \frac z2\sqrt{\frac{P}{\pi a}}\Big)
    """
    period_s = YEAR_DAYS * 86400.0
    depth = depth_m / damping_depth_m(diffusivity_m2_s=diffusivity_m2_s, period_days=YEAR_DAYS)
    phase = 2.0 * math.pi / period_s * (day_days - coldest_days) * 86400.0 - depth
    return mean_c - amplitude_k * math.exp(-depth) * math.cos(phase)


@published("damping-depth", DAMPING)
def damping_depth_m(*, diffusivity_m2_s: float, period_days: float = 1.0) -> float:
    """Depth at which a wave of temperature has shrunk to 1/e.

    Parameters
    ----------
    diffusivity_m2_s : float
        [m²/s]
    period_days : float
        [d]

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        For a diffusivity or a period not above nought.
    """
    if diffusivity_m2_s <= 0 or period_days <= 0:
        raise OutOfRange("diffusivity and period must be above nought.")
    return math.sqrt(diffusivity_m2_s * period_days * 86400.0 / math.pi)
