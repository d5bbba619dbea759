"""ACI 117-10: tolerances of concrete construction that this foundation is held to."""

from dataclasses import dataclass

from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import INCH_M

ACI_117_10 = Source("ACI 117-10", "Specification for Tolerances for Concrete Construction and Materials (ACI 117-10)")
SLAB_THICKNESS = Clause(ACI_117_10, "4.5.4", Basis.QUOTED)
SLAB_ELEVATION = Clause(ACI_117_10, "4.4.1", Basis.QUOTED)
FINE_GRADE = Clause(ACI_117_10, "4.4.5", Basis.QUOTED)
FOOTING = Clause(ACI_117_10, "section 3", Basis.MEMORY)
ANCHOR_POSITION = Clause(ACI_117_10, "2.3", Basis.QUOTED)

SLAB_TOP_M = 0.75 * INCH_M
"""Top of a slab on the ground, up or down. [m]"""
FINE_GRADE_M = 0.75 * INCH_M
"""Top of the base under a slab, up or down. [m]"""
ANCHOR_POSITION_M = 0.25 * INCH_M
"""Plan position of anchor bolts from 1/2 to 7/8 in., any direction. [m]"""


@dataclass(frozen=True, slots=True)
class SlabThicknessLimits:
    """Thinnest a slab on the ground may be found; there is no limit upward. [m]"""

    least_mean_m: float
    least_single_m: float


@published("slab-thickness-tolerance", SLAB_THICKNESS, validity="As specified unless the contract says otherwise.")
def slab_thickness_limits(*, thickness_m: float) -> SlabThicknessLimits:
    """Least average and least single sample of the thickness of a slab on the ground.

    Parameters
    ----------
    thickness_m : float
        As drawn. [m]

    Returns
    -------
    SlabThicknessLimits
        3/8 in. less for the average, 3/4 in. less for any one sample. [m]
    """
    return SlabThicknessLimits(thickness_m - 0.375 * INCH_M, thickness_m - 0.75 * INCH_M)


@dataclass(frozen=True, slots=True)
class FootingTolerances:
    """Limits a footing is held to.

    Attributes
    ----------
    oversize_m, undersize_m : float
        Of a formed plan dimension. [m]
    least_thickness_m : float
        [m]
    offset_m : float
        From its drawn place. [m]
    top_high_m, top_low_m : float
        Top elevation above and below drawn. [m]
    """

    oversize_m: float
    undersize_m: float
    least_thickness_m: float
    offset_m: float
    top_high_m: float
    top_low_m: float


@published("footing-tolerances", FOOTING, validity="Formed footings; under masonry the top is held to 1/2 in. both ways.")
def footing_tolerances(*, width_m: float, thickness_m: float, under_masonry: bool = False) -> FootingTolerances:
    """Plan size, thickness, place and level of a footing.

    Parameters
    ----------
    width_m : float
        In the direction of the offset. [m]
    thickness_m : float
        As drawn. [m]
    under_masonry : bool

    Returns
    -------
    FootingTolerances
        [m]
    """
    return FootingTolerances(
        oversize_m=2 * INCH_M,
        undersize_m=0.5 * INCH_M,
        least_thickness_m=0.95 * thickness_m,
        offset_m=min(0.02 * width_m, 2 * INCH_M),
        top_high_m=0.5 * INCH_M,
        top_low_m=(0.5 if under_masonry else 2.0) * INCH_M,
    )
