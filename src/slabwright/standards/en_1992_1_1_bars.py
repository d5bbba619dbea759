"""EN 1992-1-1, section 8: anchorage and laps of bars."""

from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards.en_1992_1_1 import EN_1992_1_1, GAMMA_C, GAMMA_S, cylinder_mpa, mean_tensile_mpa

ANCHORAGE = Clause(EN_1992_1_1, "8.4.2 to 8.4.4", Basis.MEMORY)
LAP = Clause(EN_1992_1_1, "8.7.3", Basis.MEMORY)


@published("anchorage-length-en", ANCHORAGE, validity="Ribbed bars up to 32 mm in tension; all alpha factors 1.")
def anchorage_length_m(
    *,
    bar_diameter_m: float,
    strength_pa: float,
    yield_strength_pa: float = 500e6,
    stress_ratio: float = 1.0,
    good_bond: bool = True,
    working: Working | None = None,
) -> float:
    """Design anchorage length of a straight bar in tension.

    Parameters
    ----------
    bar_diameter_m : float
        [m]
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    yield_strength_pa : float
        Characteristic. [Pa]
    stress_ratio : float
        Steel needed over steel provided. [-]
    good_bond : bool
        False for top bars with more than 250 mm of concrete below.

    Returns
    -------
    float
        At least 0.3 of the full length, 10 diameters and 100 mm. [m]
    """
    working = working or Working()
    f_ctm = mean_tensile_mpa(cylinder_mpa(strength_pa), working)
    f_ctd = working.line("f_ctd = 0.7*f_ctm/gamma_c", "MPa", f_ctm=(f_ctm, "MPa"), gamma_c=GAMMA_C)
    f_bd = working.line("f_bd = 2.25*eta_1*f_ctd", "MPa", eta_1=1.0 if good_bond else 0.7, f_ctd=(f_ctd, "MPa"))
    phi = (bar_diameter_m * 1e3, "mm")
    full = working.line(
        "l_b = phi/4*f_yk/gamma_s/f_bd", "mm", phi=phi, f_yk=(yield_strength_pa / 1e6, "MPa"), gamma_s=GAMMA_S, f_bd=(f_bd, "MPa")
    )
    return working.line("l_bd = max(r*l_b, 0.3*l_b, 10*phi, 100)", "mm", r=stress_ratio, l_b=(full, "mm"), phi=phi) / 1e3


@published("lap-length-en", LAP, validity="All bars lapped in one place; other alpha factors 1.")
def lap_length_m(
    *,
    bar_diameter_m: float,
    strength_pa: float,
    yield_strength_pa: float = 500e6,
    stress_ratio: float = 1.0,
    good_bond: bool = True,
    working: Working | None = None,
) -> float:
    """Lap of bars in tension.

    Parameters
    ----------
    bar_diameter_m : float
        [m]
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    yield_strength_pa : float
        Characteristic. [Pa]
    stress_ratio : float
        Steel needed over steel provided. [-]
    good_bond : bool
        False for top bars with more than 250 mm of concrete below.

    Returns
    -------
    float
        At least 15 diameters and 200 mm. [m]
    """
    working = working or Working()
    anchorage_m = anchorage_length_m(
        bar_diameter_m=bar_diameter_m, strength_pa=strength_pa, yield_strength_pa=yield_strength_pa, stress_ratio=stress_ratio,
        good_bond=good_bond, working=working,
    )  # fmt: skip
    length = working.line(
        "l_0 = max(alpha_6*l_bd, 15*phi, 200)", "mm", alpha_6=1.5, l_bd=(anchorage_m * 1e3, "mm"), phi=(bar_diameter_m * 1e3, "mm")
    )
    return length / 1e3
