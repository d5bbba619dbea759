"""The concrete-encased electrode of the US electrical code: what footing steel must be to earth a building."""

from dataclasses import dataclass

from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, INCH_M

NFPA_70 = Source("NFPA 70", "National Electrical Code, editions 2008 to 2023")
ELECTRODE = Clause(NFPA_70, "250.52(A)(3): 20 ft of 1/2 in. bar, 2 in. of concrete, footing in direct contact with the earth", Basis.QUOTED)
NO_CONTACT = Clause(NFPA_70, "250.52(A)(3), note: a sheet or insulation between concrete and earth is no direct contact", Basis.QUOTED)


@dataclass(frozen=True, slots=True)
class ElectrodeRule:
    """Least dimensions of a concrete-encased electrode.

    Attributes
    ----------
    length_m, diameter_m, cover_m : float
        Of bare or zinc-coated bar, its concrete all round. [m]
    """

    length_m: float
    diameter_m: float
    cover_m: float


@published("encased-electrode", ELECTRODE, validity="Footing in direct contact with the earth; no sheet, no insulation between.")
def electrode_rule() -> ElectrodeRule:
    """Least bar that serves as earth electrode.

    Returns
    -------
    ElectrodeRule
        Length, diameter and cover. [m]
    """
    return ElectrodeRule(20 * FOOT_M, 0.5 * INCH_M, 2 * INCH_M)
