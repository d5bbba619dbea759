"""Statics of an edge form: the board between stakes, the kicker behind it, what lifts it."""

import math
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.units import FOOT_M, INCH_M, POUND_FORCE_N, PSF_PA, PSI_PA

BEAM_FORMULAS = Clause(
    Source("beam formulas", "Handbook formulas of continuous beams, three or more equal spans"), "uniform load", Basis.MEMORY
)
KICKER = arithmetic("balance of the form about its toe")
RUN_UNDER = arithmetic("liquid head on the underside of the board")


@dataclass(frozen=True, slots=True)
class Board:
    """A form board between stakes.

    Attributes
    ----------
    moment_nm : float
        [N·m]
    stress_pa : float
        In bending. [Pa]
    shear_pa : float
        Greatest. [Pa]
    deflection_m : float
        [m]
    """

    moment_nm: float
    stress_pa: float
    shear_pa: float
    deflection_m: float


@published("form-board", BEAM_FORMULAS, validity="Three or more equal spans, board bending about its flat.")
def form_board(
    *,
    thrust_n_m: float,
    stake_spacing_m: float,
    board_height_m: float,
    board_thickness_m: float,
    elastic_modulus_pa: float = 1.4e6 * PSI_PA,
    working: Working | None = None,
) -> Board:
    """Bending, shear and deflection of a board between stakes.

    Parameters
    ----------
    thrust_n_m : float
        On each length of board. [N/m]
    stake_spacing_m : float
        [m]
    board_height_m, board_thickness_m : float
        [m]
    elastic_modulus_pa : float
        [Pa]
    working : Working, optional

    Returns
    -------
    Board
        [N·m], [Pa], [Pa], [m]

    Raises
    ------
    OutOfRange
        For a size or spacing of nought.
    """
    if min(stake_spacing_m, board_height_m, board_thickness_m, elastic_modulus_pa) <= 0:
        raise OutOfRange("a form board needs a spacing, a height, a thickness and a modulus above nought.")
    work = working if working is not None else Working()
    w = (thrust_n_m / POUND_FORCE_N * INCH_M, "lb/in")
    length, b, t = (stake_spacing_m / INCH_M, "in"), (board_height_m / INCH_M, "in"), (board_thickness_m / INCH_M, "in")
    moment = work.line("M = w*L**2/10", "in-lb", w=w, L=length)
    stress = work.line("f_b = M/(b*t**2/6)", "psi", M=(moment, "in-lb"), b=b, t=t)
    shear = work.line("f_v = 1.5*0.6*w*L/(b*t)", "psi", w=w, L=length, b=b, t=t)
    sag = work.line("d = 0.0069*w*L**4/(E*(b*t**3/12))", "in", w=w, L=length, E=(elastic_modulus_pa / PSI_PA, "psi"), b=b, t=t)
    return Board(moment * POUND_FORCE_N * INCH_M, stress * PSI_PA, shear * PSI_PA, sag * INCH_M)


@published("form-section", BEAM_FORMULAS, validity="Three or more equal spans, the form bending about its upright axis.")
def form_section(
    *,
    thrust_n_m: float,
    stake_spacing_m: float,
    section_modulus_m3: float,
    second_moment_m4: float,
    shear_area_m2: float,
    elastic_modulus_pa: float = 29e6 * PSI_PA,
    working: Working | None = None,
) -> Board:
    """Bending, shear and deflection of a form of stated section, such as a steel one, between stakes.

    Parameters
    ----------
    thrust_n_m : float
        On each length of form. [N/m]
    stake_spacing_m : float
        [m]
    section_modulus_m3, second_moment_m4, shear_area_m2 : float
        Of the whole height of the form, bent outwards. [m³], [m⁴], [m²]
    elastic_modulus_pa : float
        [Pa]
    working : Working, optional

    Returns
    -------
    Board
        Its shear is the mean over the area given. [N·m], [Pa], [Pa], [m]

    Raises
    ------
    OutOfRange
        For a spacing or a section of nought.
    """
    if min(stake_spacing_m, section_modulus_m3, second_moment_m4, shear_area_m2, elastic_modulus_pa) <= 0:
        raise OutOfRange("a form's section needs a spacing, a section modulus, a second moment, a shear area and a modulus above nought.")
    work = working if working is not None else Working()
    w = (thrust_n_m / POUND_FORCE_N * INCH_M, "lb/in")
    length, modulus = (stake_spacing_m / INCH_M, "in"), (section_modulus_m3 / INCH_M**3, "in³")
    inertia, area = (second_moment_m4 / INCH_M**4, "in⁴"), (shear_area_m2 / INCH_M**2, "in²")
    moment = work.line("M = w*L**2/10", "in-lb", w=w, L=length)
    stress = work.line("f_b = M/S", "psi", M=(moment, "in-lb"), S=modulus)
    shear = work.line("f_v = 0.6*w*L/A", "psi", w=w, L=length, A=area)
    sag = work.line("d = 0.0069*w*L**4/(E*I)", "in", w=w, L=length, E=(elastic_modulus_pa / PSI_PA, "psi"), I=inertia)
    return Board(moment * POUND_FORCE_N * INCH_M, stress * PSI_PA, shear * PSI_PA, sag * INCH_M)


@published("form-lift", RUN_UNDER, validity="Where a kicker lifts the form and concrete has run under it.")
def form_lift_n(
    *,
    kicker_lift_n: float,
    head_pa: float,
    board_thickness_m: float,
    spacing_m: float,
    weight_n_m: float = 0.0,
    working: Working | None = None,
) -> float:
    """What lifts a form at each stake, less its own weight.

    Parameters
    ----------
    kicker_lift_n : float
        At each stake. [N]
    head_pa : float
        Liquid pressure at the foot of the form. [Pa]
    board_thickness_m, spacing_m : float
        [m]
    weight_n_m : float
        Of the form. [N/m]
    working : Working, optional

    Returns
    -------
    float
        Nought where the form is heavy enough by itself. [N]

    Raises
    ------
    OutOfRange
        For a negative figure.
    """
    if min(kicker_lift_n, head_pa, board_thickness_m, spacing_m, weight_n_m) < 0:
        raise OutOfRange("lift, head, sizes and weight of a form are nought or more.")
    pounds = (working if working is not None else Working()).line(
        "R = max(U + (p*t - g)*s, 0)",
        "lb",
        U=(kicker_lift_n / POUND_FORCE_N, "lb"),
        p=(head_pa / PSF_PA, "psf"),
        t=(board_thickness_m / FOOT_M, "ft"),
        g=(weight_n_m / POUND_FORCE_N * FOOT_M, "lb/ft"),
        s=(spacing_m / FOOT_M, "ft"),
    )
    return pounds * POUND_FORCE_N


@dataclass(frozen=True, slots=True)
class Kicker:
    """Forces of a raking kicker and at the toe of the form. [N]"""

    horizontal_n: float
    axial_n: float
    uplift_n: float
    toe_n: float


@published("form-kicker", KICKER)
def kicker(
    *,
    thrust_n_m: float,
    form_height_m: float,
    kicker_height_m: float,
    spacing_m: float,
    slope_rad: float = math.pi / 4,
    working: Working | None = None,
) -> Kicker:
    """Forces where a kicker holds a form whose toe is pinned by a stake.

    Parameters
    ----------
    thrust_n_m : float
        At a third of the height. [N/m]
    form_height_m, kicker_height_m, spacing_m : float
        [m]
    slope_rad : float
        Of the kicker above level. [rad]
    working : Working, optional

    Returns
    -------
    Kicker
        The uplift lifts the form: stakes and nails must hold it down. [N]

    Raises
    ------
    OutOfRange
        For sizes without meaning.
    """
    if min(form_height_m, kicker_height_m, spacing_m) <= 0 or not 0 < slope_rad < math.pi / 2:
        raise OutOfRange("a kicker needs heights and a spacing above nought and a slope between level and upright.")
    work = working or Working()
    thrust = (thrust_n_m / POUND_FORCE_N * FOOT_M, "lb/ft")
    s, h, h_b = (spacing_m / FOOT_M, "ft"), (form_height_m / FOOT_M, "ft"), (kicker_height_m / FOOT_M, "ft")
    push = work.line("H_b = F*s*(h/3)/h_b", "lb", F=thrust, s=s, h=h, h_b=h_b)
    axial = work.line("N = H_b/cos(theta)", "lb", H_b=(push, "lb"), theta=(slope_rad, "rad"))
    uplift = work.line("U = H_b*tan(theta)", "lb", H_b=(push, "lb"), theta=(slope_rad, "rad"))
    toe = work.line("V = F*s - H_b", "lb", F=thrust, s=s, H_b=(push, "lb"))
    return Kicker(*(value * POUND_FORCE_N for value in (push, axial, uplift, toe)))
