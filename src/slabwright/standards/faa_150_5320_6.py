"""FAA AC 150/5320-6 (editions E and F): subgrade modulus from the California bearing ratio."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import PCI_PA_M, PSI_PA

FAA_150_5320_6 = Source(
    "FAA AC 150/5320-6", "FAA Advisory Circular 150/5320-6, Airport Pavement Design and Evaluation, editions E (2009) and F (2016)"
)
UFC_3_260_02 = Source("UFC 3-260-02", "UFC 3-260-02, Pavement Design for Airfields, 30 June 2001")
PCA_1984 = Source("PCA 1984", "Portland Cement Association, Thickness Design for Concrete Highway and Street Pavements, 1984")
FROM_CBR = Clause(FAA_150_5320_6, "E = 1500 CBR psi with E = 26 k^1.284 (E), 20.15 k^1.284 (F)", Basis.MEMORY)
RESILIENT = Clause(UFC_3_260_02, "11-4", Basis.TEXT_SEEN)
BY_SUPPORT = Clause(PCA_1984, "table of approximate k by soil", Basis.MEMORY)
TYPICAL_PCI = {"low": (75.0, 120.0), "medium": (130.0, 170.0), "high": (180.0, 220.0), "very high": (250.0, 400.0)}
"""Typical k by support: fine-grained soil, sand and gravel with moderate fines, with few fines, cement-treated base. [pci]"""


@dataclass(frozen=True, slots=True)
class SubgradeEstimate:
    """Subgrade modulus by two editions of one rule, and the modulus it goes through.

    Attributes
    ----------
    lower_pa_m, upper_pa_m : float
        By the older and the newer edition. [Pa/m]
    resilient_pa : float
        Modulus of the soil. [Pa]
    """

    lower_pa_m: float
    upper_pa_m: float
    resilient_pa: float


@published(
    "subgrade-modulus-from-cbr",
    FROM_CBR,
    validity="Estimate for preliminary checks only; charts in use differ from it by a factor of up to two.",
)
def modulus_from_cbr(*, bearing_ratio: float, working: Working | None = None) -> SubgradeEstimate:
    """Subgrade modulus from a California bearing ratio.

    Parameters
    ----------
    bearing_ratio : float
        In the per cent that the test reports, 3 for a soft clay. [-]

    Returns
    -------
    SubgradeEstimate
        [Pa/m] and [Pa]

    Raises
    ------
    OutOfRange
        If the ratio is nought or less.
    """
    if bearing_ratio <= 0.0:
        raise OutOfRange(f"a bearing ratio must be above nought (got {bearing_ratio:g}); write the number the test reports.")
    working = working or Working()
    resilient = (working.line("M_R = 1500*CBR", "psi", CBR=bearing_ratio), "psi")
    lower = working.line("k = (M_R/26)**(1/1.284)", "pci", M_R=resilient, note="edition of 2009")
    upper = working.line("k = (M_R/20.15)**(1/1.284)", "pci", M_R=resilient, note="edition of 2016")
    return SubgradeEstimate(lower * PCI_PA_M, upper * PCI_PA_M, resilient[0] * PSI_PA)
