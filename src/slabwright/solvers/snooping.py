"""Search for gross errors among redundant measurements, one at a time (data snooping)."""

from dataclasses import dataclass, replace

import numpy as np

from slabwright.errors import SolverError
from slabwright.solvers.network import Adjustment, Network

CRITICAL_VALUE = 3.29
"""Two-sided limit of a standard normal value at 1 in 1,000: the usual one for testing each measurement."""

NONCENTRALITY = 4.13
"""Size of a standardised error that the test at 1 in 1,000 finds with a chance of 80 %."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A measurement set aside.

    Attributes
    ----------
    observation : int
        Number in the network as it was given.
    standardised : float
        Its residual over its own standard error, when it was the worst.
    gross_error : float
        Estimate of what it is out by, measured minus true, in its own unit.
    indistinct : tuple of int
        Other measurements the residuals would blame just as well; not empty where the bust cannot be pinned on one.
    """

    observation: int
    standardised: float
    gross_error: float
    indistinct: tuple[int, ...]


def smallest_findable_errors(network: Network, adjustment: Adjustment) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Size a gross error of each measurement must have to be found with a chance of 80 %.

    Returns
    -------
    (m,) float
        In the unit of each measurement; infinite where nothing checks it.
    """
    sd = np.array([one.sd for one in network.observations])
    with np.errstate(divide="ignore"):
        return np.where(adjustment.redundancies > 1e-9, NONCENTRALITY * sd / np.sqrt(adjustment.redundancies), np.inf)


def snooped(network: Network, critical: float = CRITICAL_VALUE) -> tuple[Adjustment, tuple[Suspect, ...], tuple[int, ...]]:
    """Adjust, set the worst measurement aside while its standardised residual is beyond the limit, and adjust again.

    Parameters
    ----------
    network : Network
    critical : float
        Limit of a standardised residual.

    Returns
    -------
    adjustment : Adjustment
        Of the measurements kept.
    suspects : tuple of Suspect
        In the order they were set aside.
    kept : tuple of int
        Numbers of the measurements kept.
    """
    kept = list(range(len(network.observations)))
    suspects: list[Suspect] = []
    adjustment = network.adjusted()
    while adjustment.n_redundant and (worst := int(np.abs(adjustment.standardised).argmax())) is not None:
        if abs(adjustment.standardised[worst]) <= critical:
            break
        rest = [number for number in kept if number != kept[worst]]
        try:
            again = replace(network, observations=[network.observations[number] for number in rest]).adjusted()
        except SolverError:
            break
        suspects.append(_suspect(adjustment, kept, worst))
        kept, adjustment = rest, again
    return adjustment, tuple(suspects), tuple(kept)


def _suspect(adjustment: Adjustment, kept: list[int], worst: int) -> Suspect:
    """The worst measurement, with those whose standardised residual is as great to within a hundredth."""
    size = np.abs(adjustment.standardised)
    alike = [kept[i] for i in np.flatnonzero(size > 0.99 * size[worst]) if i != worst]
    return Suspect(
        observation=kept[worst],
        standardised=float(adjustment.standardised[worst]),
        gross_error=float(-adjustment.residuals[worst] / adjustment.redundancies[worst]),
        indistinct=tuple(alike),
    )
