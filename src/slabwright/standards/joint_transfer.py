"""Stiffness of a joint that passes shear on, from how well it does so (Crovetti 1994, after Ioannides and Korovesis)."""

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import INCH_M, PCI_PA_M, PSI_PA

CROVETTI = Source(
    "Crovetti 1994", "Crovetti, Design and Evaluation of Jointed Concrete Pavement Systems, 1994, after Ioannides and Korovesis 1990"
)
EFFICIENCY = Clause(CROVETTI, "efficiency against stiffness of the joint, q/(k l)", Basis.MEMORY)


@published("joint-stiffness", EFFICIENCY, validity="Edge load beside a long joint without moment; efficiency from 0.05 to 0.95.")
def joint_stiffness_pa(
    *, efficiency: float, subgrade_modulus_pa_m: float, relative_stiffness_m: float, working: Working | None = None
) -> float:
    r"""Shear per length of joint for a step of one, from the deflection efficiency of the joint.

    Parameters
    ----------
    efficiency : float
        Deflection of the unloaded edge over that of the loaded one. [-]
    subgrade_modulus_pa_m : float
        Of the ground. [Pa/m]
    relative_stiffness_m : float
        Radius of relative stiffness. [m]

    Returns
    -------
    float
        Force per length and step. [Pa]

    Raises
    ------
    OutOfRange
        For an efficiency that is not between 0 and 1.

    Notes
    -----
    .. math:: \frac{\Delta_U}{\Delta_L} = \frac{1}{1 + 1.2\,(q/k\ell)^{-0.849}}
    """
    if not 0.0 < efficiency < 1.0 or min(subgrade_modulus_pa_m, relative_stiffness_m) <= 0.0:
        raise OutOfRange(f"efficiency must lie between 0 and 1, modulus and radius above nought (got {efficiency:g}).")
    q = (working or Working()).line(
        "q = k*l*(1.2*eta/(1 - eta))**(1/0.849)", "psi",
        k=(subgrade_modulus_pa_m / PCI_PA_M, "pci"), l=(relative_stiffness_m / INCH_M, "in"), eta=efficiency,
    )  # fmt: skip
    return q * PSI_PA
