"""Hetényi, Beams on Elastic Foundation (1946): closed forms for a strip on springs."""

import math
from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import INCH_M, PCI_PA_M, POUND_FORCE_N, PSI_PA

HETENYI = Source("Hetényi 1946", "Hetényi, Beams on Elastic Foundation, University of Michigan Press, 1946")
CLOSED_FORMS = Clause(HETENYI, "infinite and semi-infinite beam, point load; coefficients from memory", Basis.QUOTED)
PARTIAL_LOAD = Clause(HETENYI, "infinite beam, uniform load over a length", Basis.MEMORY)
LENGTH_CLASSES = Clause(HETENYI, "classification of beams", Basis.MEMORY)


@dataclass(frozen=True, slots=True)
class BeamOnGround:
    """A strip on springs under one point load.

    Attributes
    ----------
    characteristic_m : float
        Length in which the deflection dies away, 1/λ. [m]
    deflection_m, pressure_pa, moment_nm, stress_pa : float
        Under a load far from the ends: settlement, soil pressure, bending moment, bending stress. [m], [Pa], [N·m], [Pa]
    end_deflection_m, end_moment_nm, end_moment_at_m : float
        Under a load at the end: its settlement; greatest moment and how far in it lies. [m], [N·m], [m]
    """

    characteristic_m: float
    deflection_m: float
    pressure_pa: float
    moment_nm: float
    stress_pa: float
    end_deflection_m: float
    end_moment_nm: float
    end_moment_at_m: float


@published("beam-on-elastic-foundation", CLOSED_FORMS, validity="Long beam (λL above π), springs that stay in contact.")
def beam_on_elastic_foundation(
    *,
    modulus_pa: float,
    width_m: float,
    thickness_m: float,
    subgrade_modulus_pa_m: float,
    load_n: float,
    working: Working | None = None,
) -> BeamOnGround:
    """Settlement, pressure and bending of a long strip on springs under a point load, in its length and at its end.

    Parameters
    ----------
    modulus_pa : float
        Of the concrete. [Pa]
    width_m, thickness_m : float
        Of the strip. [m]
    subgrade_modulus_pa_m : float
        Of the ground. [Pa/m]
    load_n : float
        [N]

    Returns
    -------
    BeamOnGround
        [m], [Pa], [N·m]
    """
    if min(modulus_pa, width_m, thickness_m, subgrade_modulus_pa_m) <= 0:
        raise OutOfRange("modulus, width, thickness and subgrade modulus of a strip must be above nought.")
    working = working or Working()
    b, h, p = (width_m / INCH_M, "in"), (thickness_m / INCH_M, "in"), (load_n / POUND_FORCE_N, "lb")
    e = (modulus_pa / PSI_PA, "psi")
    inertia = working.line("I = b*h**3/12", "in⁴", b=b, h=h)
    k = working.line("k = k_0*b", "lb/in²", k_0=(subgrade_modulus_pa_m / PCI_PA_M, "pci"), b=b)
    lam = working.line("lam = (k/(4*E*I))**0.25", "1/in", k=(k, "lb/in²"), E=e, I=(inertia, "in⁴"))
    y = working.line("y_0 = P*lam/(2*k)", "in", P=p, lam=(lam, "1/in"), k=(k, "lb/in²"))
    pressure = working.line("p_0 = k_0*y_0", "psi", k_0=(subgrade_modulus_pa_m / PCI_PA_M, "pci"), y_0=(y, "in"))
    moment = working.line("M_0 = P/(4*lam)", "in-lb", P=p, lam=(lam, "1/in"))
    stress = working.line("sigma_0 = 6*M_0/(b*h**2)", "psi", M_0=(moment, "in-lb"), b=b, h=h)
    y_end = working.line("y_e = 2*P*lam/k", "in", P=p, lam=(lam, "1/in"), k=(k, "lb/in²"))
    m_end = working.line("M_e = P/lam*exp(-pi/4)*sin(pi/4)", "in-lb", P=p, lam=(lam, "1/in"))
    x_end = working.line("x_e = pi/(4*lam)", "in", lam=(lam, "1/in"))
    lb_in = POUND_FORCE_N * INCH_M
    return BeamOnGround(
        INCH_M / lam, y * INCH_M, pressure * PSI_PA, moment * lb_in, stress * PSI_PA, y_end * INCH_M, m_end * lb_in, x_end * INCH_M
    )


@dataclass(frozen=True, slots=True)
class MiddleOfLoad:
    """Settlement and moment in the middle of a loaded length. [m], [N·m]"""

    deflection_m: float
    moment_nm: float


@published("beam-partial-load", PARTIAL_LOAD, validity="Infinite beam.")
def partial_load(
    *, characteristic_m: float, line_spring_pa: float, load_n_m: float, half_length_m: float, working: Working | None = None
) -> MiddleOfLoad:
    """Settlement and moment of a long strip in the middle of a uniformly loaded length.

    Parameters
    ----------
    characteristic_m : float
        1/λ of the strip. [m]
    line_spring_pa : float
        Subgrade modulus times width. [Pa]
    load_n_m : float
        [N/m]
    half_length_m : float
        Half of the loaded length. [m]

    Returns
    -------
    MiddleOfLoad
        [m], [N·m]
    """
    working = working or Working()
    lam = (INCH_M / characteristic_m, "1/in")
    q = (load_n_m / (POUND_FORCE_N / INCH_M), "lb/in")
    z = working.line("z = lam*a", lam=lam, a=(half_length_m / INCH_M, "in"))
    y = working.line("y = q/k*(1 - exp(-z)*cos(z))", "in", q=q, k=(line_spring_pa / PSI_PA, "lb/in²"), z=z)
    moment = working.line("M = q/(2*lam**2)*exp(-z)*sin(z)", "in-lb", q=q, lam=lam, z=z)
    return MiddleOfLoad(y * INCH_M, moment * POUND_FORCE_N * INCH_M)


class BeamLength(Enum):
    """How far one end of a strip feels the other."""

    RIGID = "rigid"
    MEDIUM = "medium"
    LONG = "long"


def beam_length(*, length_m: float, characteristic_m: float) -> BeamLength:
    """Class of a strip by its length over its characteristic length.

    Parameters
    ----------
    length_m, characteristic_m : float
        [m]

    Returns
    -------
    BeamLength
        Rigid up to π/4, long above π.
    """
    ratio = length_m / characteristic_m
    if ratio < math.pi / 4:
        return BeamLength.RIGID
    return BeamLength.LONG if ratio > math.pi else BeamLength.MEDIUM
