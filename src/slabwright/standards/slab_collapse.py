"""Collapse of a slab on the ground under one load: Meyerhof 1962, and the yield lines of TR34."""

import math
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.units import INCH_M, POUND_FORCE_N, PSI_PA

MEYERHOF = Source(
    "Meyerhof 1962",
    "Meyerhof, Load-Carrying Capacity of Concrete Pavements, Journal of the Soil Mechanics and Foundations Division, ASCE, 1962",
)
TR34 = Source("TR34", "Concrete Society Technical Report 34, Concrete Industrial Ground Floors, 3rd edition, 2003")
COLLAPSE = Clause(MEYERHOF, "limit load at interior, edge and corner; used by ACI 360R", Basis.MEMORY)
YIELD_LINES = Clause(TR34, "chapter 9, equations 9.8 to 9.10", Basis.MEMORY)


LIFTED_FAN = arithmetic("virtual work of a floor that folds in a fan round a pad that is lifted")


@dataclass(frozen=True, slots=True)
class CollapseLoad:
    """Load at which a slab fails, before any safety factor.

    Attributes
    ----------
    moment_nm_m : float
        Resisting moment of the plain section. [N·m/m]
    interior_n, edge_n, corner_n : float
        [N]
    """

    moment_nm_m: float
    interior_n: float
    edge_n: float
    corner_n: float


@published(
    "collapse-load",
    COLLAPSE,
    validity="Large slab, one load of radius up to some 0.3 radii of relative stiffness; divide by a safety of 2 to 3.",
)
def collapse_load(
    *, rupture_pa: float, thickness_m: float, contact_radius_m: float, relative_stiffness_m: float, working: Working | None = None
) -> CollapseLoad:
    """Load under which a plain slab on the ground breaks through, at interior, edge and corner.

    Parameters
    ----------
    rupture_pa : float
        Modulus of rupture. [Pa]
    thickness_m : float
        Of the slab. [m]
    contact_radius_m : float
        Of a circle of the loaded area. [m]
    relative_stiffness_m : float
        Radius of relative stiffness. [m]

    Returns
    -------
    CollapseLoad
        [N·m/m] and [N]

    Raises
    ------
    OutOfRange
        If a value is nought or less.
    """
    if min(rupture_pa, thickness_m, contact_radius_m, relative_stiffness_m) <= 0.0:
        raise OutOfRange("modulus of rupture, thickness, contact radius and radius of relative stiffness must be above nought.")
    working = working or Working()
    a, length = (contact_radius_m / INCH_M, "in"), (relative_stiffness_m / INCH_M, "in")
    m_0 = working.line("M_0 = f_r*h**2/6", "in-lb/in", f_r=(rupture_pa / PSI_PA, "psi"), h=(thickness_m / INCH_M, "in"))
    moment = (m_0, "in-lb/in")
    interior = working.line("P_i = 6*(1 + 2*a/l)*M_0", "lb", a=a, l=length, M_0=moment)
    edge = working.line("P_e = 3.5*(1 + 3*a/l)*M_0", "lb", a=a, l=length, M_0=moment)
    corner = working.line("P_c = 2*(1 + 4*a/l)*M_0", "lb", a=a, l=length, M_0=moment)
    return CollapseLoad(m_0 * POUND_FORCE_N, interior * POUND_FORCE_N, edge * POUND_FORCE_N, corner * POUND_FORCE_N)


@dataclass(frozen=True, slots=True)
class YieldLineLoad:
    """Load of a yield-line mechanism. [N]"""

    interior_n: float
    edge_n: float
    corner_n: float


@published("collapse-load-tr34", YIELD_LINES, validity="Slab whose bottom may crack and turn; linear in a/l between 0 and 0.2.")
def yield_line_load(*, positive_nm_m: float, negative_nm_m: float, contact_radius_m: float, relative_stiffness_m: float) -> YieldLineLoad:
    r"""Load under which a slab forms a fan of yield lines, by the practice of British floors.

    Parameters
    ----------
    positive_nm_m, negative_nm_m : float
        Moment that the section keeps after cracking at the bottom, and at which it cracks at the top. [N·m/m]
    contact_radius_m : float
        Of a circle of the loaded area. [m]
    relative_stiffness_m : float
        Radius of relative stiffness. [m]

    Returns
    -------
    YieldLineLoad
        [N]

    Raises
    ------
    OutOfRange
        If a moment is below nought or a length not above it.

    Notes
    -----
    Interior :math:`2\pi(M_p+M_n)` at a point and :math:`4\pi(M_p+M_n)/(1-a/3\ell)` from a/l = 0.2; edge
    :math:`\pi(M_p+M_n)/2+2M_n` and :math:`[\pi(M_p+M_n)+4M_n]/(1-2a/3\ell)`; corner :math:`2M_n` and
    :math:`4M_n/(1-a/\ell)`.
    """
    if min(positive_nm_m, negative_nm_m) < 0.0 or contact_radius_m < 0.0 or relative_stiffness_m <= 0.0:
        raise OutOfRange("moments and contact radius must not be below nought, the radius of relative stiffness above it.")
    both, ratio = positive_nm_m + negative_nm_m, contact_radius_m / relative_stiffness_m
    at_point = (2.0 * math.pi * both, math.pi * both / 2.0 + 2.0 * negative_nm_m, 2.0 * negative_nm_m)

    def spread(r: float) -> tuple[float, float, float]:
        return (
            4.0 * math.pi * both / (1.0 - r / 3.0),
            (math.pi * both + 4.0 * negative_nm_m) / (1.0 - 2.0 * r / 3.0),
            4.0 * negative_nm_m / (1.0 - r),
        )

    if ratio >= 0.2:
        return YieldLineLoad(*spread(ratio))
    return YieldLineLoad(*(a + (b - a) * ratio / 0.2 for a, b in zip(at_point, spread(0.2), strict=True)))


@dataclass(frozen=True, slots=True)
class LiftedFloor:
    """What a floor holds down before it folds, and how far out it then lifts. [N], [m]"""

    load_n: float
    radius_m: float


@published(
    "lifted-floor", LIFTED_FAN, validity="A floor all round the pad; beside an edge or a joint only the share of the circle that is there."
)
def lifted_floor(*, moment_nm_m: float, weight_pa: float, pad_radius_m: float) -> LiftedFloor:
    r"""Force at which a floor round a pad that is lifted folds along yield lines.

    Parameters
    ----------
    moment_nm_m : float
        Resisting moment with tension at the top. [N·m/m]
    weight_pa : float
        Of the floor. [Pa]
    pad_radius_m : float
        Of the circle as large as the pad. [m]

    Returns
    -------
    LiftedFloor
        [N], [m]

    Raises
    ------
    OutOfRange
        If a value is below nought, or nothing weighs.

    Notes
    -----
    The pad of radius :math:`a` rises by one, the floor with it as a cone that ends a gap :math:`g` farther out, where it lies on the
    ground and is taken to turn freely. Round the pad and along the rays it stretches at its top:

    .. math:: P(g) = \frac{\pi w}{3}\,g\,(g+3a) + 2\pi M\,\Bigl(1+\frac{a}{g}\Bigr), \qquad 2g^3+3ag^2 = \frac{6Ma}{w}

    the second for the gap of the least force. An upper bound, as of any mechanism.
    """
    if moment_nm_m < 0.0 or weight_pa <= 0.0 or pad_radius_m <= 0.0:
        raise OutOfRange("the moment must not be below nought, weight and radius must be above it.")
    a, right = pad_radius_m, 6.0 * moment_nm_m * pad_radius_m / weight_pa
    if right == 0.0:
        return LiftedFloor(0.0, a)
    import numpy as np

    gap = float(np.roots([2.0, 3.0 * a, 0.0, -right]).real.max())  # the one root above nought; the others lie below it
    load = math.pi * weight_pa / 3.0 * gap * (gap + 3.0 * a) + 2.0 * math.pi * moment_nm_m * (1.0 + a / gap)
    return LiftedFloor(load, a + gap)
