"""ACI 318-19, chapter 25: development, laps and hooks of bars."""

from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards.aci_318_19 import ACI_318_19, strength_psi
from slabwright.standards.aci_318_19_flexure import GRADE_60_PA
from slabwright.units import INCH_M, PSI_PA

DEVELOPMENT = Clause(ACI_318_19, "Table 25.4.2.3", Basis.QUOTED)
GENERAL_DEVELOPMENT = Clause(ACI_318_19, "25.4.2.4a", Basis.TEXT_SEEN)
EXCESS_STEEL = Clause(ACI_318_19, "25.4.10.1", Basis.MEMORY)
LAP = Clause(ACI_318_19, "25.5.2.1", Basis.QUOTED)
COMPRESSION_LAP = Clause(ACI_318_19, "25.5.5.1", Basis.TEXT_SEEN)
HOOKED_DEVELOPMENT = Clause(ACI_318_19, "25.4.3", Basis.QUOTED)
HOOK = Clause(ACI_318_19, "Table 25.3.1", Basis.QUOTED)
TIE_HOOK = Clause(ACI_318_19, "Table 25.3.2", Basis.QUOTED)

_LARGE_BAR_M = 0.8 * INCH_M
_MORE_THAN_NO8_M = 1.05 * INCH_M


def _grade_factor(yield_strength_pa: float) -> float:
    """psi_g: 1.0 to 60 ksi, 1.15 at 80, 1.3 at 100 ksi, in steps."""
    ksi = yield_strength_pa / PSI_PA / 1000
    return 1.0 if ksi <= 60.5 else 1.15 if ksi <= 80.5 else 1.3


@published("development-length", DEVELOPMENT, validity="Deformed bars in tension, normalweight concrete.")
def development_length_m(
    *,
    bar_diameter_m: float,
    strength_pa: float,
    yield_strength_pa: float = GRADE_60_PA,
    top_bar: bool = False,
    epoxy_coated: bool = False,
    well_spaced: bool = True,
    working: Working | None = None,
) -> float:
    """Development length of a straight bar in tension, by the short table.

    Parameters
    ----------
    bar_diameter_m : float
        Nominal. [m]
    strength_pa : float
        Specified compressive strength of the concrete. [Pa]
    yield_strength_pa : float
        [Pa]
    top_bar : bool
        True with more than 12 in. of fresh concrete below.
    epoxy_coated : bool
        True takes the higher factor, 1.5.
    well_spaced : bool
        True with a clear spacing of 2 diameters and a cover of 1 diameter or more.

    Returns
    -------
    float
        At least 12 in. [m]

    Notes
    -----
    The divisor 25 of small bars already holds the size factor 0.8.
    """
    working = working or Working()
    small = bar_diameter_m <= _LARGE_BAR_M
    divisor = (25.0 if small else 20.0) if well_spaced else (50 / 3 if small else 40 / 3)
    top, coating = 1.3 if top_bar else 1.0, 1.5 if epoxy_coated else 1.0
    length_in = working.line(
        "l_d = max(12, f_y*min(psi_t*psi_e, 1.7)*psi_g/(n*lam*min(sqrt(f_c), 100))*d_b)", "in",
        f_y=(yield_strength_pa / PSI_PA, "psi"), psi_t=top, psi_e=coating, psi_g=_grade_factor(yield_strength_pa), n=divisor, lam=1.0,
        f_c=(strength_psi(strength_pa), "psi"), d_b=(bar_diameter_m / INCH_M, "in"),
    )  # fmt: skip
    return length_in * INCH_M


@published("development-length-general", GENERAL_DEVELOPMENT, validity="Deformed bars in tension, uncoated, normalweight concrete.")
def general_development_length_m(
    *,
    bar_diameter_m: float,
    strength_pa: float,
    cover_or_half_spacing_m: float,
    yield_strength_pa: float = GRADE_60_PA,
    top_bar: bool = False,
    working: Working | None = None,
) -> float:
    """Development length of a straight bar in tension, by the general equation without stirrups.

    Parameters
    ----------
    bar_diameter_m : float
        Nominal. [m]
    strength_pa : float
        Specified compressive strength of the concrete. [Pa]
    cover_or_half_spacing_m : float
        Smaller of the distance from the bar's centre to the nearest face and half the bar spacing. [m]
    yield_strength_pa : float
        [Pa]
    top_bar : bool
        True with more than 12 in. of fresh concrete below.

    Returns
    -------
    float
        At least 12 in. [m]
    """
    working = working or Working()
    d_b = bar_diameter_m / INCH_M
    confinement = working.line("c = min(2.5, c_b/d_b)", c_b=(cover_or_half_spacing_m / INCH_M, "in"), d_b=(d_b, "in"))
    length_in = working.line(
        "l_d = max(12, (3/40)*f_y/(lam*min(sqrt(f_c), 100))*psi_t*psi_s*psi_g/c*d_b)", "in",
        f_y=(yield_strength_pa / PSI_PA, "psi"), lam=1.0, f_c=(strength_psi(strength_pa), "psi"), psi_t=1.3 if top_bar else 1.0,
        psi_s=0.8 if bar_diameter_m <= _LARGE_BAR_M else 1.0, psi_g=_grade_factor(yield_strength_pa), c=confinement, d_b=(d_b, "in"),
    )  # fmt: skip
    return length_in * INCH_M


class LapClass(Enum):
    """Class of a tension lap."""

    A = "A"
    B = "B"


@published("lap-length", LAP, validity="Deformed bars up to No. 11 in tension, normalweight concrete.")
def lap_length_m(
    *,
    bar_diameter_m: float,
    strength_pa: float,
    yield_strength_pa: float = GRADE_60_PA,
    lap_class: LapClass = LapClass.B,
    top_bar: bool = False,
    epoxy_coated: bool = False,
    well_spaced: bool = True,
    working: Working | None = None,
) -> float:
    """Length of a lap in tension.

    Parameters
    ----------
    bar_diameter_m : float
        Nominal. [m]
    strength_pa : float
        Specified compressive strength of the concrete. [Pa]
    yield_strength_pa : float
        [Pa]
    lap_class : LapClass
        A where there is twice the steel needed and half the bars at most are lapped in one place; otherwise B.
    top_bar, epoxy_coated, well_spaced : bool
        As for the development length.

    Returns
    -------
    float
        At least 12 in. [m]
    """
    working = working or Working()
    development_m = development_length_m(
        bar_diameter_m=bar_diameter_m, strength_pa=strength_pa, yield_strength_pa=yield_strength_pa, top_bar=top_bar,
        epoxy_coated=epoxy_coated, well_spaced=well_spaced, working=working,
    )  # fmt: skip
    factor = {LapClass.A: 1.0, LapClass.B: 1.3}[lap_class]
    return working.line("l_st = max(12, k*l_d)", "in", k=factor, l_d=(development_m / INCH_M, "in")) * INCH_M


@published("compression-lap", COMPRESSION_LAP, validity="Grade 60 or less, 3,000 psi or more.")
def compression_lap_length_m(*, bar_diameter_m: float, yield_strength_pa: float = GRADE_60_PA, working: Working | None = None) -> float:
    """Length of a lap in compression.

    Parameters
    ----------
    bar_diameter_m : float
        Nominal. [m]
    yield_strength_pa : float
        [Pa]

    Returns
    -------
    float
        At least 12 in. [m]
    """
    working = working or Working()
    length_in = working.line(
        "l_sc = max(12, 0.0005*f_y*d_b)", "in", f_y=(yield_strength_pa / PSI_PA, "psi"), d_b=(bar_diameter_m / INCH_M, "in")
    )
    return length_in * INCH_M


@published("hooked-development-length", HOOKED_DEVELOPMENT, validity="Standard hooks, normalweight concrete.")
def hooked_development_length_m(
    *,
    bar_diameter_m: float,
    strength_pa: float,
    yield_strength_pa: float = GRADE_60_PA,
    epoxy_coated: bool = False,
    spaced_6_diameters: bool = True,
    side_cover_6_diameters: bool = True,
    working: Working | None = None,
) -> float:
    """Development length of a bar that ends in a standard hook, from the critical section to the hook's outside.

    Parameters
    ----------
    bar_diameter_m : float
        Nominal. [m]
    strength_pa : float
        Specified compressive strength of the concrete. [Pa]
    yield_strength_pa : float
        [Pa]
    epoxy_coated : bool
    spaced_6_diameters, side_cover_6_diameters : bool
        True where bars lie 6 diameters apart, and 6 diameters from the side.

    Returns
    -------
    float
        At least 8 diameters and 6 in. [m]
    """
    working = working or Working()
    f_c, d_b = strength_psi(strength_pa), bar_diameter_m / INCH_M
    psi_c = working.line("psi_c = min(1, f_c/15000 + 0.6)", f_c=(f_c, "psi"))
    length_in = working.line(
        "l_dh = max(f_y*psi_e*psi_r*psi_o*psi_c/(55*lam*min(sqrt(f_c), 100))*d_b**1.5, 8*d_b, 6)", "in",
        f_y=(yield_strength_pa / PSI_PA, "psi"), psi_e=1.2 if epoxy_coated else 1.0, psi_r=1.0 if spaced_6_diameters else 1.6,
        psi_o=1.0 if side_cover_6_diameters else 1.25, psi_c=psi_c, lam=1.0, f_c=(f_c, "psi"), d_b=(d_b, "in"),
    )  # fmt: skip
    return length_in * INCH_M


class HookAngle(Enum):
    """Bend of a standard hook, in degrees."""

    QUARTER = "90"
    HALF = "180"


@dataclass(frozen=True, slots=True)
class Hook:
    """Standard hook.

    Attributes
    ----------
    bend_diameter_m : float
        Inside. [m]
    extension_m : float
        Straight beyond the bend. [m]
    outside_m : float
        Of a 90 degree hook its leg from the outside of the bar; of a 180 degree hook its height. [m]
    """

    bend_diameter_m: float
    extension_m: float
    outside_m: float


@published("hook", HOOK, validity="Deformed bars No. 3 to No. 11.")
def hook(*, bar_diameter_m: float, angle: HookAngle = HookAngle.QUARTER, working: Working | None = None) -> Hook:
    """Standard hook of a bar in tension.

    Parameters
    ----------
    bar_diameter_m : float
        Nominal. [m]
    angle : HookAngle
        90 or 180 degrees.

    Returns
    -------
    Hook
        [m]
    """
    working = working or Working()
    if bar_diameter_m > 1.5 * INCH_M:
        raise OutOfRange("hooks are tabulated here up to No. 11; ask the engineer for larger bars.")
    d_b = (bar_diameter_m / INCH_M, "in")
    times = 6 if bar_diameter_m <= _MORE_THAN_NO8_M else 8
    bend = working.line("D = n*d_b", "in", n=times, d_b=d_b)
    if angle is HookAngle.QUARTER:
        extension = working.line("l_ext = 12*d_b", "in", d_b=d_b)
        outside = working.line("A = l_ext + D/2 + d_b", "in", l_ext=(extension, "in"), D=(bend, "in"), d_b=d_b)
    else:
        extension = working.line("l_ext = max(4*d_b, 2.5)", "in", d_b=d_b)
        outside = working.line("J = D + 2*d_b", "in", D=(bend, "in"), d_b=d_b)
    return Hook(bend * INCH_M, extension * INCH_M, outside * INCH_M)


@published("tie-hook", TIE_HOOK, validity="Ties and stirrups No. 3 to No. 5, hooks of 90 or 135 degrees.")
def tie_hook(*, bar_diameter_m: float, working: Working | None = None) -> Hook:
    """Hook of a tie or stirrup.

    Parameters
    ----------
    bar_diameter_m : float
        Nominal. [m]

    Returns
    -------
    Hook
        [m]
    """
    working = working or Working()
    d_b = (bar_diameter_m / INCH_M, "in")
    bend = working.line("D = 4*d_b", "in", d_b=d_b)
    extension = working.line("l_ext = max(6*d_b, 3)", "in", d_b=d_b)
    outside = working.line("A = l_ext + D/2 + d_b", "in", l_ext=(extension, "in"), D=(bend, "in"), d_b=d_b)
    return Hook(bend * INCH_M, extension * INCH_M, outside * INCH_M)
