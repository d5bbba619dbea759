"""Bradbury, Reinforced Concrete Pavements (1938), after Westergaard 1927: stress of a slab that warmth or drying would curl."""

import math
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import GRADIENT, INCH_M, PSI_PA

BRADBURY = Source("Bradbury 1938", "Bradbury, Reinforced Concrete Pavements, Wire Reinforcement Institute, 1938")
COEFFICIENT = Clause(BRADBURY, "warping coefficient, closed form of Westergaard 1927 behind the chart", Basis.QUOTED)
CURL = Clause(BRADBURY, "warping stress at interior, edge and corner", Basis.TEXT_SEEN)
_FAHRENHEIT = GRADIENT.units["degF/in"].factor * INCH_M
"""Kelvin in one degree Fahrenheit."""
_FULL_CONTACT = "Linear gradient, slab that stays in contact with springs all over; lift-off relieves it, by a fifth in the middle."


@published("warping-coefficient", COEFFICIENT, validity=_FULL_CONTACT)
def warping_coefficient(*, length_m: float, relative_stiffness_m: float) -> float:
    r"""Share of the stress of a held slab that one of finite length keeps in its middle.

    Parameters
    ----------
    length_m : float
        Of the slab, between free ends. [m]
    relative_stiffness_m : float
        Radius of relative stiffness. [m]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        If a length is nought or less.

    Notes
    -----
    .. math:: C = 1 - \frac{2\cos x\cosh x(\tan x + \tanh x)}{\sin 2x + \sinh 2x}, \quad x = \frac{L}{\ell\sqrt8}
    """
    if min(length_m, relative_stiffness_m) <= 0.0:
        raise OutOfRange("length and radius of relative stiffness must be above nought.")
    x = length_m / (relative_stiffness_m * math.sqrt(8.0))
    if x > 300.0:
        return 1.0
    top = 2.0 * (math.sin(x) * math.cosh(x) + math.cos(x) * math.sinh(x))
    return 1.0 - top / (math.sin(2.0 * x) + math.sinh(2.0 * x))


@dataclass(frozen=True, slots=True)
class CurlStress:
    """Stresses of a slab held flat by its weight and bonded springs.

    Attributes
    ----------
    interior_x_pa, interior_y_pa : float
        In the middle, along length and width. [Pa]
    edge_pa : float
        In the middle of a long edge, along it. [Pa]
    corner_pa : float
        Near a corner under a load, along the bisector. [Pa]
    held_pa : float
        Of a slab without end. [Pa]
    coefficient_x, coefficient_y : float
        Warping coefficients. [-]
    """

    interior_x_pa: float
    interior_y_pa: float
    edge_pa: float
    corner_pa: float
    held_pa: float
    coefficient_x: float
    coefficient_y: float


@published("bradbury-curl", CURL, validity=_FULL_CONTACT, limits={"poisson": (0.0, 0.5)})
def curl_stress(
    *, length_m: float, width_m: float, relative_stiffness_m: float, modulus_pa: float, difference_k: float, expansion_1_k: float = 10e-6,
    poisson: float = 0.15, contact_radius_m: float | None = None, coefficient_x: float | None = None, coefficient_y: float | None = None,
    working: Working | None = None,
) -> CurlStress:  # fmt: skip
    """Curling stresses of a rectangular slab between joints.

    Parameters
    ----------
    length_m, width_m : float
        Between joints or free edges. [m]
    relative_stiffness_m : float
        Radius of relative stiffness. [m]
    modulus_pa : float
        Of the concrete. [Pa]
    difference_k : float
        Temperature of one face above the other, or the drying that shortens as much. [K]
    expansion_1_k : float
        Thermal expansion of the concrete. [1/K]
    poisson : float
        Of the concrete. [-]
    contact_radius_m : float or None
        Of a load on the corner, whose stress adds up with the curl; None leaves the corner out. [m]
    coefficient_x, coefficient_y : float or None
        Warping coefficients read off the chart; None for their closed form. [-]

    Returns
    -------
    CurlStress
        [Pa] and [-]

    Raises
    ------
    OutOfRange
        If a length or the modulus is nought or less.
    """
    if modulus_pa <= 0.0 or (contact_radius_m is not None and contact_radius_m <= 0.0):
        raise OutOfRange("modulus and contact radius must be above nought.")
    working = working or Working()
    c_x, c_y = (
        warping_coefficient(length_m=side, relative_stiffness_m=relative_stiffness_m) if read is None else read
        for side, read in ((length_m, coefficient_x), (width_m, coefficient_y))
    )
    e, alpha, warmer = (modulus_pa / PSI_PA, "psi"), (expansion_1_k * _FAHRENHEIT, "/°F"), (difference_k / _FAHRENHEIT, "°F")
    interior_x = working.line(
        "sigma_x = E*alpha*dT/2*(C_x + nu*C_y)/(1 - nu**2)", "psi", C_x=c_x, C_y=c_y, nu=poisson, E=e, alpha=alpha, dT=warmer
    )
    interior_y = working.line(
        "sigma_y = E*alpha*dT/2*(C_y + nu*C_x)/(1 - nu**2)", "psi", C_x=c_x, C_y=c_y, nu=poisson, E=e, alpha=alpha, dT=warmer
    )
    edge = working.line("sigma_e = C*E*alpha*dT/2", "psi", C=c_x if length_m >= width_m else c_y, E=e, alpha=alpha, dT=warmer)
    corner = 0.0
    if contact_radius_m is not None:
        a, length = (contact_radius_m / INCH_M, "in"), (relative_stiffness_m / INCH_M, "in")
        corner = working.line("sigma_c = E*alpha*dT/(3*(1 - nu))*sqrt(a/l)", "psi", nu=poisson, a=a, l=length, E=e, alpha=alpha, dT=warmer)
    held = working.line("sigma_0 = E*alpha*dT/(2*(1 - nu))", "psi", nu=poisson, E=e, alpha=alpha, dT=warmer, note="slab without end")
    return CurlStress(interior_x * PSI_PA, interior_y * PSI_PA, edge * PSI_PA, corner * PSI_PA, held * PSI_PA, c_x, c_y)
