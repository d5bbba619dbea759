"""ACI 318-19, chapters 7, 8, 13, 21 and 22: bending of reinforced pads, least steel, spacing."""

import math
from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards.aci_318_19 import ACI_318_19, strength_psi
from slabwright.units import INCH_M, POUND_FORCE_N, PSI_PA

FLEXURE = Clause(ACI_318_19, "22.2, 13.2.7.1, 21.2.2", Basis.MEMORY)
CRITICAL_SECTION = Clause(ACI_318_19, "Table 13.2.7.1", Basis.MEMORY)
MINIMUM_STEEL = Clause(ACI_318_19, "7.6.1.1, 8.6.1.1, 13.3.3.1", Basis.MEMORY)
SPACING = Clause(ACI_318_19, "7.7.2.3, 8.7.2.2", Basis.MEMORY)
CENTRAL_BAND = Clause(ACI_318_19, "13.3.3.3", Basis.MEMORY)
LEAST_DEPTH = Clause(ACI_318_19, "13.3.1.2", Basis.MEMORY)
EFFECTIVE_DEPTH = Clause(ACI_318_19, "20.5.1.3.1, geometry", Basis.DERIVED)

GRADE_60_PA = 60000 * PSI_PA
LEAST_DEPTH_M = 6 * INCH_M
"""Least effective depth of bottom bars in a footing. [m]"""


@dataclass(frozen=True, slots=True)
class Flexure:
    """Bending strength of a reinforced section.

    Attributes
    ----------
    block_depth_m : float
        Depth of the stress block. [m]
    tension_strain : float
        In the bars at the nominal strength.
    reduction : float
        Strength reduction factor.
    capacity_nm : float
        Design strength. [N·m]
    """

    block_depth_m: float
    tension_strain: float
    reduction: float
    capacity_nm: float


@published(
    "pad-flexure-reinforced", FLEXURE, validity="Rectangular section, bars on the tension side only, no axial force; strain 0.005 or more."
)
def flexure(
    *,
    strength_pa: float,
    width_m: float,
    depth_m: float,
    steel_area_m2: float,
    yield_strength_pa: float = GRADE_60_PA,
    working: Working | None = None,
) -> Flexure:
    """Bending strength of a reinforced pad at the face of its post.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    width_m : float
        Of the section. [m]
    depth_m : float
        Effective, to the centre of the bars. [m]
    steel_area_m2 : float
        Of the bars across the section. [m²]
    yield_strength_pa : float
        [Pa]

    Returns
    -------
    Flexure
        [m], [-], [-], [N·m]
    """
    working = working or Working()
    f_c, f_y = strength_psi(strength_pa), yield_strength_pa / PSI_PA
    area, b, d = steel_area_m2 / INCH_M**2, width_m / INCH_M, depth_m / INCH_M
    a = working.line("a = A_s*f_y/(0.85*f_c*b)", "in", A_s=(area, "in²"), f_y=(f_y, "psi"), f_c=(f_c, "psi"), b=(b, "in"))
    beta = working.line("beta_1 = min(0.85, max(0.65, 0.85 - 0.05*(f_c - 4000)/1000))", f_c=f_c)
    strain = working.line("epsilon_t = 0.003*(d*beta_1/a - 1)", d=(d, "in"), beta_1=beta, a=(a, "in"))
    yielding = working.line("epsilon_y = f_y/29000000", f_y=(f_y, "psi"))
    phi = working.line("phi = min(0.90, max(0.65, 0.65 + 0.25*(epsilon_t - epsilon_y)/0.003))", epsilon_t=strain, epsilon_y=yielding)
    capacity = working.line(
        "phi_Mn = phi*A_s*f_y*(d - a/2)", "in-lb", phi=phi, A_s=(area, "in²"), f_y=(f_y, "psi"), d=(d, "in"), a=(a, "in")
    )
    return Flexure(a * INCH_M, strain, phi, capacity * POUND_FORCE_N * INCH_M)


class PostKind(Enum):
    """What stands on the pad; decides where its bending is greatest."""

    COLUMN = "column"
    BASE_PLATE = "base plate"
    MASONRY_WALL = "masonry wall"


@published("pad-projection", CRITICAL_SECTION)
def projection_m(
    *, pad_m: float, post_m: float, plate_m: float = 0.0, kind: PostKind = PostKind.COLUMN, working: Working | None = None
) -> float:
    """From the critical section for bending to the side of a pad with its post in the middle.

    Parameters
    ----------
    pad_m, post_m, plate_m : float
        Pad, post and base plate in the direction of bending. [m]
    kind : PostKind
        A column at its face; a base plate half way between its edge and the post's face; a masonry wall half way
        between its middle and its face.

    Returns
    -------
    float
        [m]
    """
    working = working or Working()
    pad, post, plate = pad_m / INCH_M, post_m / INCH_M, plate_m / INCH_M
    if kind is PostKind.BASE_PLATE:
        return working.line("p = (B - (c + s)/2)/2", "in", B=(pad, "in"), c=(post, "in"), s=(plate, "in")) * INCH_M
    if kind is PostKind.MASONRY_WALL:
        return working.line("p = B/2 - c/4", "in", B=(pad, "in"), c=(post, "in")) * INCH_M
    return working.line("p = (B - c)/2", "in", B=(pad, "in"), c=(post, "in")) * INCH_M


@dataclass(frozen=True, slots=True)
class EffectiveDepths:
    """Depths to the centres of two crossing layers of bars and their average. [m]"""

    outer_m: float
    inner_m: float
    mean_m: float


def effective_depths(*, thickness_m: float, cover_m: float, bar_diameter_m: float) -> EffectiveDepths:
    """Effective depths of a mat of like bars each way.

    Parameters
    ----------
    thickness_m, cover_m, bar_diameter_m : float
        [m]

    Returns
    -------
    EffectiveDepths
        [m]

    Raises
    ------
    OutOfRange
        If no depth is left above the bars.
    """
    outer_m = thickness_m - cover_m - bar_diameter_m / 2
    inner_m = outer_m - bar_diameter_m
    if inner_m <= 0:
        raise OutOfRange("the cover leaves no depth above the bars; make the pad deeper.")
    return EffectiveDepths(outer_m, inner_m, (outer_m + inner_m) / 2)


@dataclass(frozen=True, slots=True)
class MinimumSteel:
    """Least steel of a footing section.

    Attributes
    ----------
    area_m2 : float
        [m²]
    spacing_m : float
        Greatest, centre to centre. [m]
    n_bars : int
        Of the bar that was given; 0 where none was. By area alone.
    """

    area_m2: float
    spacing_m: float
    n_bars: int


@published("minimum-steel", MINIMUM_STEEL, validity="Footings, deformed bars.")
def minimum_steel(*, width_m: float, thickness_m: float, bar_area_m2: float = 0.0, working: Working | None = None) -> MinimumSteel:
    """Least steel and greatest spacing of bars in a footing.

    Parameters
    ----------
    width_m, thickness_m : float
        Of the section. [m]
    bar_area_m2 : float
        Of one bar, to count bars. [m²]

    Returns
    -------
    MinimumSteel
        [m²], [m]
    """
    working = working or Working()
    area = minimum_steel_area_m2(width_m=width_m, thickness_m=thickness_m, working=working)
    spacing = working.line("s_max = min(3*h, 18)", "in", h=(thickness_m / INCH_M, "in"))
    return MinimumSteel(area, spacing * INCH_M, math.ceil(area / bar_area_m2 - 1e-9) if bar_area_m2 else 0)


def minimum_steel_area_m2(*, width_m: float, thickness_m: float, working: Working | None = None) -> float:
    """Least steel across a footing section, 0.0018 of it.

    Parameters
    ----------
    width_m, thickness_m : float
        [m]

    Returns
    -------
    float
        [m²]
    """
    working = working or Working()
    return working.line("A_min = 0.0018*b*h", "in²", b=(width_m / INCH_M, "in"), h=(thickness_m / INCH_M, "in")) * INCH_M**2


@published("central-band", CENTRAL_BAND)
def central_band_share(*, long_side_m: float, short_side_m: float, working: Working | None = None) -> float:
    """Share of the short bars of an oblong footing that belongs in the middle band, as wide as the short side.

    Parameters
    ----------
    long_side_m, short_side_m : float
        [m]

    Returns
    -------
    float
        A fraction. [-]
    """
    working = working or Working()
    beta = working.line("beta = L/B", L=long_side_m, B=short_side_m)
    return working.line("gamma_s = 2/(beta + 1)", beta=beta)
