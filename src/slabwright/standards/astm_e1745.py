"""ASTM E1745 and E1643: the sheet under the slab, its classes and its laying."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import INCH_M, PERMEANCE, POUND_FORCE_N

ASTM_E1745 = Source("ASTM E1745", "Standard Specification for Plastic Water Vapor Retarders Used in Contact with Soil or Granular Fill")
ASTM_E1643 = Source("ASTM E1643-18", "Standard Practice for Selection, Design, Installation and Inspection of Water Vapor Retarders")
SHEET_CLASSES = Clause(ASTM_E1745, "2011/2017, Table 1", Basis.TEXT_SEEN)
LAYING = Clause(ASTM_E1643, "section 6", Basis.MEMORY)

PERM_KG_PA_S_M2 = PERMEANCE.units["perm"].factor
GREATEST_PERMEANCE_KG_PA_S_M2 = 0.1 * PERM_KG_PA_S_M2
"""Of every class, new and after conditioning; the 1997 edition allowed 0.3 perm. [kg/Pa·s·m²]"""
LEAST_LAP_M = 6 * INCH_M
"""Laps, sealed and laid in the direction of placing. [m]"""
LEAST_PATCH_M = 6 * INCH_M
"""Patch beyond the damage on every side. [m]"""


@dataclass(frozen=True, slots=True)
class SheetClass:
    """Least properties of a class of sheet.

    Attributes
    ----------
    name : str
    tensile_n_m : float
        Tensile strength per width. [N/m]
    puncture_kg : float
        Dart mass withstood. [kg]
    """

    name: str
    tensile_n_m: float
    puncture_kg: float


SHEETS: Mapping[str, SheetClass] = MappingProxyType(
    {
        name: SheetClass(name, tensile_lb_in * POUND_FORCE_N / INCH_M, puncture_g / 1000)
        for name, tensile_lb_in, puncture_g in (("A", 45.0, 2200), ("B", 30.0, 1700), ("C", 13.6, 475))
    }
)


@published("sheet-class", SHEET_CLASSES)
def sheet_class(*, name: str) -> SheetClass:
    """Least tensile strength and puncture resistance of a sheet class.

    Parameters
    ----------
    name : str
        ``A``, ``B`` or ``C``.

    Returns
    -------
    SheetClass
        [N/m], [kg]

    Raises
    ------
    OutOfRange
        For another class.
    """
    if name.strip().upper() not in SHEETS:
        raise OutOfRange(f'"{name}" is no sheet class; write A, B or C.')
    return SHEETS[name.strip().upper()]
