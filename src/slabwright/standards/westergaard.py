"""Westergaard's slab on springs: radius of relative stiffness; interior, edge and corner loads, with their later corrections."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import INCH_M, PCI_PA_M, POUND_FORCE_N, PSI_PA

WESTERGAARD = Source(
    "Westergaard 1926", "Westergaard, Stresses in Concrete Pavements Computed by Theoretical Analysis, Public Roads 7, 1926"
)
HUANG = Source("Huang 2004", "Huang, Pavement Analysis and Design, 2nd edition, 2004")
IOANNIDES = Source(
    "TRR 1043", "Ioannides, Thompson and Barenberg, Westergaard Solutions Reconsidered, Transportation Research Record 1043, 1985"
)
RADIUS = Clause(WESTERGAARD, "radius of relative stiffness; results in Huang, Pavement Analysis and Design, 2004, ch. 4", Basis.TEXT_SEEN)
CONTACT_RADIUS = Clause(WESTERGAARD, "equivalent radius for small loads", Basis.QUOTED)
ORIGINAL = Clause(WESTERGAARD, "interior, edge and corner as printed in 1926, nu = 0.15", Basis.TEXT_SEEN)
INTERIOR = Clause(HUANG, "equations 4.17 to 4.20", Basis.QUOTED)
EDGE = Clause(IOANNIDES, "circle and semicircle at an edge; Huang 2004, equations 4.21 to 4.25", Basis.QUOTED)
CORNER = Clause(IOANNIDES, "corner, Westergaard 1926 and regression of 1985; Huang 2004, ch. 4", Basis.QUOTED)
_INFINITE = "Large slab of one thickness on springs; edges some three radii of relative stiffness from an interior load."


@published("radius-of-relative-stiffness", RADIUS, validity="Uniform thickness on springs.", limits={"poisson": (0.0, 0.5)})
def radius_of_relative_stiffness_m(
    *,
    modulus_pa: float,
    thickness_m: float,
    subgrade_modulus_pa_m: float,
    poisson: float = 0.15,
    working: Working | None = None,
) -> float:
    """Length that measures how far a slab spreads a load.

    Parameters
    ----------
    modulus_pa : float
        Of the concrete. [Pa]
    thickness_m : float
        Of the slab. [m]
    subgrade_modulus_pa_m : float
        Of the ground. [Pa/m]
    poisson : float
        Of the concrete. [-]

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        If a value is nought or less.
    """
    if min(modulus_pa, thickness_m, subgrade_modulus_pa_m) <= 0:
        raise OutOfRange("modulus, thickness and subgrade modulus must be above nought.")
    working = working or Working()
    length_in = working.line(
        "l = (E*h**3/(12*(1 - nu**2)*k))**0.25", "in",
        E=(modulus_pa / PSI_PA, "psi"), h=(thickness_m / INCH_M, "in"), nu=poisson, k=(subgrade_modulus_pa_m / PCI_PA_M, "pci"),
    )  # fmt: skip
    return length_in * INCH_M


@published("equivalent-contact-radius", CONTACT_RADIUS, validity="Circular contact.")
def equivalent_contact_radius_m(*, contact_radius_m: float, thickness_m: float, working: Working | None = None) -> float:
    """Radius that thin-plate formulas take for a load smaller than the slab is thick.

    Parameters
    ----------
    contact_radius_m : float
        Of the load. [m]
    thickness_m : float
        Of the slab. [m]

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        If a length is nought or less.
    """
    _refuse_nought(contact_radius=contact_radius_m, thickness=thickness_m)
    working = working or Working()
    a, h = (contact_radius_m / INCH_M, "in"), (thickness_m / INCH_M, "in")
    if a[0] >= 1.724 * h[0]:
        return working.line("b = a", "in", a=a) * INCH_M
    return working.line("b = sqrt(1.6*a**2 + h**2) - 0.675*h", "in", a=a, h=h) * INCH_M


@dataclass(frozen=True, slots=True)
class LoadedSlab:
    """Greatest stress and deflection under one load.

    Attributes
    ----------
    stress_pa : float
        Bending stress: at the bottom in the interior and at an edge, at the top away from a corner. [Pa]
    deflection_m : float
        Under the load. [m]
    """

    stress_pa: float
    deflection_m: float


@published("westergaard-interior", INTERIOR, validity=_INFINITE, limits={"poisson": (0.0, 0.5)})
def interior_load(
    *, load_n: float, contact_radius_m: float, thickness_m: float, modulus_pa: float, subgrade_modulus_pa_m: float, poisson: float = 0.15,
    working: Working | None = None,
) -> LoadedSlab:  # fmt: skip
    """Stress and deflection under a load far from every edge.

    Parameters
    ----------
    load_n : float
        [N]
    contact_radius_m : float
        Of a circle of the loaded area. [m]
    thickness_m : float
        Of the slab. [m]
    modulus_pa : float
        Of the concrete. [Pa]
    subgrade_modulus_pa_m : float
        Of the ground. [Pa/m]
    poisson : float
        Of the concrete. [-]

    Returns
    -------
    LoadedSlab
        [Pa] and [m]

    Raises
    ------
    OutOfRange
        If a value is nought or less.
    """
    working = working or Working()
    p, a, h, _, k, length = _given(load_n, contact_radius_m, thickness_m, modulus_pa, subgrade_modulus_pa_m, poisson, working)
    b_m = equivalent_contact_radius_m(contact_radius_m=contact_radius_m, thickness_m=thickness_m, working=working)
    stress = working.line(
        "sigma = 3*(1 + nu)*P/(2*pi*h**2)*(ln(l/b) + 0.6159)", "psi", nu=poisson, P=p, h=h, l=length, b=(b_m / INCH_M, "in")
    )
    deflection = working.line("Delta = P/(8*k*l**2)*(1 + (ln(a/(2*l)) - 0.673)*(a/l)**2/(2*pi))", "in", P=p, k=k, l=length, a=a)
    return LoadedSlab(stress * PSI_PA, deflection * INCH_M)


@published("westergaard-edge", EDGE, validity=_INFINITE, limits={"poisson": (0.0, 0.5)})
def edge_load(
    *, load_n: float, contact_radius_m: float, thickness_m: float, modulus_pa: float, subgrade_modulus_pa_m: float, poisson: float = 0.15,
    semicircle: bool = False, working: Working | None = None,
) -> LoadedSlab:  # fmt: skip
    """Stress and deflection under a load at a free edge, far from corners.

    Parameters
    ----------
    load_n : float
        [N]
    contact_radius_m : float
        Of the circle that touches the edge, or of the semicircle on it. [m]
    thickness_m : float
        Of the slab. [m]
    modulus_pa : float
        Of the concrete. [Pa]
    subgrade_modulus_pa_m : float
        Of the ground. [Pa/m]
    poisson : float
        Of the concrete. [-]
    semicircle : bool
        True for a load whose straight side lies on the edge.

    Returns
    -------
    LoadedSlab
        [Pa] and [m]

    Raises
    ------
    OutOfRange
        If a value is nought or less.

    Notes
    -----
    The radius is that of the load itself: the equivalent radius of small loads has no place in these forms.
    """
    working = working or Working()
    p, a, h, e, k, length = _given(load_n, contact_radius_m, thickness_m, modulus_pa, subgrade_modulus_pa_m, poisson, working)
    tail = "3.84 - 4*nu/3 + (1 + 2*nu)*a/(2*l)" if semicircle else "1.84 - 4*nu/3 + (1 - nu)/2 + 1.18*(1 + 2*nu)*a/l"
    factor = "(0.323 + 0.17*nu)" if semicircle else "(0.76 + 0.4*nu)"
    stress = working.line(
        f"sigma = 3*(1 + nu)*P/(pi*(3 + nu)*h**2)*(ln(E*h**3/(100*k*a**4)) + {tail})", "psi", nu=poisson, P=p, h=h, E=e, k=k, a=a, l=length
    )
    deflection = working.line(
        f"Delta = sqrt(2 + 1.2*nu)*P/sqrt(E*h**3*k)*(1 - {factor}*a/l)", "in", nu=poisson, P=p, E=e, h=h, k=k, a=a, l=length
    )
    return LoadedSlab(stress * PSI_PA, deflection * INCH_M)


@dataclass(frozen=True, slots=True)
class CornerLoad:
    """Stress and deflection of a loaded corner, by the formula of 1926 and by the regression of 1985.

    Attributes
    ----------
    stress_pa, deflection_m : float
        Regression of 1985. [Pa], [m]
    stress_1926_pa, deflection_1926_m : float
        [Pa], [m]
    crack_distance_m : float
        From the corner to where the top is most stressed, along the bisector. [m]
    """

    stress_pa: float
    deflection_m: float
    stress_1926_pa: float
    deflection_1926_m: float
    crack_distance_m: float


@published("westergaard-corner", CORNER, validity=f"{_INFINITE} Side of the equal square up to 0.4 radii for the regression.")
def corner_load(
    *, load_n: float, contact_radius_m: float, thickness_m: float, modulus_pa: float, subgrade_modulus_pa_m: float, poisson: float = 0.15,
    working: Working | None = None,
) -> CornerLoad:  # fmt: skip
    """Stress and deflection of a free corner under a load that touches both edges.

    Parameters
    ----------
    load_n : float
        [N]
    contact_radius_m : float
        Of a circle of the loaded area. [m]
    thickness_m : float
        Of the slab. [m]
    modulus_pa : float
        Of the concrete. [Pa]
    subgrade_modulus_pa_m : float
        Of the ground. [Pa/m]
    poisson : float
        Of the concrete. [-]

    Returns
    -------
    CornerLoad
        [Pa] and [m]

    Raises
    ------
    OutOfRange
        If a value is nought or less.
    """
    working = working or Working()
    p, a, h, _, k, length = _given(load_n, contact_radius_m, thickness_m, modulus_pa, subgrade_modulus_pa_m, poisson, working)
    c = (working.line("c = 1.772*a", "in", a=a, note="side of the square of equal area"), "in")
    stress = working.line("sigma = 3*P/h**2*(1 - (c/l)**0.72)", "psi", P=p, h=h, c=c, l=length)
    deflection = working.line("Delta = P/(k*l**2)*(1.205 - 0.69*c/l)", "in", P=p, k=k, l=length, c=c)
    stress_1926 = working.line("sigma_1926 = 3*P/h**2*(1 - (a*sqrt(2)/l)**0.6)", "psi", P=p, h=h, a=a, l=length)
    deflection_1926 = working.line("Delta_1926 = P/(k*l**2)*(1.1 - 0.88*a*sqrt(2)/l)", "in", P=p, k=k, l=length, a=a)
    crack = working.line("x = 2.58*sqrt(a*l)", "in", a=a, l=length)
    return CornerLoad(stress * PSI_PA, deflection * INCH_M, stress_1926 * PSI_PA, deflection_1926 * INCH_M, crack * INCH_M)


@dataclass(frozen=True, slots=True)
class OriginalStresses:
    """Stresses by the formulas as first printed. [Pa]"""

    interior_pa: float
    edge_pa: float
    corner_pa: float


@published("westergaard-1926", ORIGINAL, validity=f"{_INFINITE} Poisson's ratio 0.15 is built in.")
def original_stresses(
    *, load_n: float, contact_radius_m: float, thickness_m: float, modulus_pa: float, subgrade_modulus_pa_m: float,
    working: Working | None = None,
) -> OriginalStresses:  # fmt: skip
    """Interior, edge and corner stress by the formulas that textbooks and older codes print.

    Parameters
    ----------
    load_n : float
        [N]
    contact_radius_m : float
        Of the load. [m]
    thickness_m : float
        Of the slab. [m]
    modulus_pa : float
        Of the concrete. [Pa]
    subgrade_modulus_pa_m : float
        Of the ground. [Pa/m]

    Returns
    -------
    OriginalStresses
        [Pa]

    Raises
    ------
    OutOfRange
        If a value is nought or less.
    """
    working = working or Working()
    p, a, h, _, _, length = _given(load_n, contact_radius_m, thickness_m, modulus_pa, subgrade_modulus_pa_m, 0.15, working)
    b_m = equivalent_contact_radius_m(contact_radius_m=contact_radius_m, thickness_m=thickness_m, working=working)
    b = (b_m / INCH_M, "in")
    interior = working.line("sigma_i = 0.316*P/h**2*(4*ln(l/b)/ln(10) + 1.069)", "psi", P=p, h=h, l=length, b=b)
    edge = working.line("sigma_e = 0.572*P/h**2*(4*ln(l/b)/ln(10) + 0.359)", "psi", P=p, h=h, l=length, b=b)
    corner = working.line("sigma_c = 3*P/h**2*(1 - (a*sqrt(2)/l)**0.6)", "psi", P=p, h=h, a=a, l=length)
    return OriginalStresses(interior * PSI_PA, edge * PSI_PA, corner * PSI_PA)


_Given = tuple[float, str]


def _given(
    load_n: float, contact_radius_m: float, thickness_m: float, modulus_pa: float, k_pa_m: float, poisson: float, working: Working
) -> tuple[_Given, _Given, _Given, _Given, _Given, _Given]:
    """P, a, h, E, k and l in the printed units."""
    _refuse_nought(load=load_n, contact_radius=contact_radius_m)
    length_m = radius_of_relative_stiffness_m(
        modulus_pa=modulus_pa, thickness_m=thickness_m, subgrade_modulus_pa_m=k_pa_m, poisson=poisson, working=working
    )
    return (
        (load_n / POUND_FORCE_N, "lb"), (contact_radius_m / INCH_M, "in"), (thickness_m / INCH_M, "in"), (modulus_pa / PSI_PA, "psi"),
        (k_pa_m / PCI_PA_M, "pci"), (length_m / INCH_M, "in"),
    )  # fmt: skip


def _refuse_nought(**values: float) -> None:
    for name, value in values.items():
        if value <= 0.0:
            raise OutOfRange(f"{name.replace('_', ' ')} must be above nought (got {value:g}).")
