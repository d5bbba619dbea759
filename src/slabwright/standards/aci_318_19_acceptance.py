"""ACI 318-19 chapter 26: how many tests, and when the strength is accepted."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause
from slabwright.standards.aci_318_19 import ACI_318_19
from slabwright.units import CUBIC_YARD_M3, FOOT_M, PSI_PA

FREQUENCY = Clause(ACI_318_19, "26.12.2", Basis.QUOTED)
ACCEPTANCE = Clause(ACI_318_19, "26.12.3", Basis.TEXT_SEEN)
CORES = Clause(ACI_318_19, "26.12.4.1", Basis.MEMORY)

SAMPLE_VOLUME_M3 = 150 * CUBIC_YARD_M3
SAMPLE_AREA_M2 = 5000 * FOOT_M**2
WAIVER_VOLUME_M3 = 50 * CUBIC_YARD_M3
"""Below it the building official may waive tests on evidence. [m³]"""


@published("test-samples", FREQUENCY)
def n_samples(*, volume_m3: float, area_m2: float) -> int:
    """Strength samples of one day's placing of one mix.

    Parameters
    ----------
    volume_m3 : float
        Placed that day. [m³]
    area_m2 : float
        Of slabs placed that day. [m²]

    Returns
    -------
    int
        One at least, one to 150 yd³, one to 5,000 ft².

    Raises
    ------
    OutOfRange
        For a volume of nought.
    """
    if volume_m3 <= 0 or area_m2 < 0:
        raise OutOfRange("samples need a volume above nought and an area not below it.")
    return max(1, math.ceil(volume_m3 / SAMPLE_VOLUME_M3 - 1e-9), math.ceil(area_m2 / SAMPLE_AREA_M2 - 1e-9))


@dataclass(frozen=True, slots=True)
class Acceptance:
    """Whether both rules hold, and the figures that decide. [Pa]"""

    averages_hold: bool
    singles_hold: bool
    least_average_pa: float
    least_single_pa: float
    least_single_allowed_pa: float

    @property
    def holds(self) -> bool:
        """Both rules."""
        return self.averages_hold and self.singles_hold


@published("strength-acceptance", ACCEPTANCE, validity="A test is the mean of two 6 x 12 in. or three 4 x 8 in. cylinders of one age.")
def strength_acceptance(*, strength_pa: float, tests_pa: Sequence[float]) -> Acceptance:
    """Average of every three tests in a row at least the strength; no test too far below it.

    Parameters
    ----------
    strength_pa : float
        Specified. [Pa]
    tests_pa : sequence of float
        In the order taken. [Pa]

    Returns
    -------
    Acceptance
        With fewer than three tests the average is of those there are. [Pa]

    Raises
    ------
    OutOfRange
        Without a test or a strength.
    """
    if not tests_pa or strength_pa <= 0 or min(tests_pa) <= 0:
        raise OutOfRange("acceptance needs a strength and at least one test above nought.")
    width = min(3, len(tests_pa))
    averages = [sum(tests_pa[i : i + width]) / width for i in range(len(tests_pa) - width + 1)]
    allowed = strength_pa - 500 * PSI_PA if strength_pa <= 5000 * PSI_PA * (1 + 1e-9) else 0.90 * strength_pa
    hair = 1e-9 * strength_pa
    return Acceptance(min(averages) >= strength_pa - hair, min(tests_pa) >= allowed - hair, min(averages), min(tests_pa), allowed)


@published("core-acceptance", CORES)
def core_acceptance(*, strength_pa: float, cores_pa: Sequence[float]) -> Acceptance:
    """Three cores: their average at least 85 per cent of the strength, none under 75.

    Parameters
    ----------
    strength_pa : float
        Specified. [Pa]
    cores_pa : sequence of float
        [Pa]

    Returns
    -------
    Acceptance
        [Pa]

    Raises
    ------
    OutOfRange
        With fewer than three cores.
    """
    if len(cores_pa) < 3 or strength_pa <= 0:
        raise OutOfRange(f"cores are judged by threes (got {len(cores_pa)}).")
    average, least = sum(cores_pa) / len(cores_pa), min(cores_pa)
    return Acceptance(average >= 0.85 * strength_pa, least >= 0.75 * strength_pa, average, least, 0.75 * strength_pa)
