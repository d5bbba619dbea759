"""AASHTO pavement guide 1993: how far a joint opens, and the sealant it then needs."""

from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import INCH_M

AASHTO_1993 = Source("AASHTO 1993", "Guide for Design of Pavement Structures, 1993")
JOINT_OPENING = Clause(AASHTO_1993, "joint movement", Basis.MEMORY)
SEALANT_SHAPE = Clause(Source("FHWA joint sealing", "Federal guidance on sealing joints in concrete"), "reservoir shape", Basis.MEMORY)


class BaseKind(Enum):
    """What the slab slides on; sets how much of its free movement it makes."""

    GRANULAR = "granular"
    STABILISED = "stabilised"


_FREEDOM = {BaseKind.GRANULAR: 0.80, BaseKind.STABILISED: 0.65}


@published("joint-opening", JOINT_OPENING)
def joint_opening_m(
    *,
    panel_length_m: float,
    shrinkage_strain: float,
    temp_drop_k: float,
    expansion_1_k: float = 9.9e-6,
    base: BaseKind = BaseKind.GRANULAR,
    working: Working | None = None,
) -> float:
    """How far a joint opens when its panels cool and dry.

    Parameters
    ----------
    panel_length_m : float
        Between joints. [m]
    shrinkage_strain : float
        Drying shrinkage of the slab. [-]
    temp_drop_k : float
        From set to the coldest. [K]
    expansion_1_k : float
        Thermal expansion of the concrete. [1/K]
    base : BaseKind
    working : Working, optional

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        For a length of nought or a negative strain or drop.
    """
    if panel_length_m <= 0 or shrinkage_strain < 0 or temp_drop_k < 0:
        raise OutOfRange("a joint opens with a panel length above nought and a strain and temperature drop not below it.")
    opening_in = (working or Working()).line(
        "dL = C*L*(alpha*dT + eps)",
        "in",
        C=_FREEDOM[base],
        L=(panel_length_m / INCH_M, "in"),
        alpha=(expansion_1_k / 1.8, "/°F"),
        dT=(temp_drop_k * 1.8, "°F"),
        eps=shrinkage_strain,
    )
    return opening_in * INCH_M


@dataclass(frozen=True, slots=True)
class SealantReservoir:
    """Width and depth of the sealant and diameter of the rod behind it. [m]"""

    width_m: float
    depth_m: float
    rod_m: float


@published("sealant-reservoir", SEALANT_SHAPE, validity="Silicone: twice as wide as deep, at least 1/4 in. deep.")
def sealant_reservoir(*, opening_m: float, strain: float = 0.25, least_width_m: float = INCH_M / 8) -> SealantReservoir:
    """Sealant that takes the opening of a joint without tearing.

    Parameters
    ----------
    opening_m : float
        Movement of the joint. [m]
    strain : float
        Extension the sealant allows. [-]
    least_width_m : float
        Width of the saw blade. [m]

    Returns
    -------
    SealantReservoir
        [m]

    Raises
    ------
    OutOfRange
        For a strain of nought.
    """
    if strain <= 0:
        raise OutOfRange(f"a sealant needs a strain above nought (got {strain:g}).")
    width = max(opening_m / strain, least_width_m)
    return SealantReservoir(width, max(width / 2, INCH_M / 4), 1.25 * width)
