"""Statics of an edge form: the board between stakes, the stake in the ground, the kicker behind it."""

import math
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.units import FOOT_M, INCH_M, PCF_KG_M3, POUND_FORCE_N, PSF_PA, PSI_PA

BEAM_FORMULAS = Clause(
    Source("beam formulas", "Handbook formulas of continuous beams, three or more equal spans"), "uniform load", Basis.MEMORY
)
BROMS_1964 = Source("Broms 1964", "Lateral resistance of piles in cohesionless soils, ASCE J. Soil Mech. and Found. Div. 90 SM3, 1964")
STAKE = Clause(BROMS_1964, "short rigid pile, free head", Basis.MEMORY)
KICKER = arithmetic("balance of the form about its toe")
NAVFAC_DM_7 = Source("NAVFAC DM-7.2", "Foundations and Earth Structures, Design Manual 7.2, Naval Facilities Engineering Command, 1982")
PULL_OUT = Clause(NAVFAC_DM_7, "chapter 5, driven pile in sand under tension: K 0.6, timber on soil 3/4 of its angle", Basis.MEMORY)
RUN_UNDER = arithmetic("liquid head on the underside of the board")

_TENSION_K = 0.6
"""Least of the range for a driven pile that is pulled; of a stake that a hammer loosened no more is counted."""


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


@published("stake-capacity", STAKE, validity="Ultimate, in sand, stake free to turn at its head; divide by a safety factor.")
def stake_capacity_n(
    *,
    width_m: float,
    embedment_m: float,
    load_height_m: float,
    soil_weight_kg_m3: float = 110 * PCF_KG_M3,
    friction_rad: float = math.radians(30),
    working: Working | None = None,
) -> float:
    """Push that a stake in sand holds at its head before it turns over.

    Parameters
    ----------
    width_m : float
        Of the stake. [m]
    embedment_m : float
        In firm ground. [m]
    load_height_m : float
        Of the push above ground. [m]
    soil_weight_kg_m3 : float
        [kg/m³]
    friction_rad : float
        Angle of friction. [rad]
    working : Working, optional

    Returns
    -------
    float
        Ultimate. [N]

    Raises
    ------
    OutOfRange
        For sizes of nought or a friction angle outside 0 to 45 degrees.
    """
    if min(width_m, embedment_m) <= 0 or load_height_m < 0 or not 0 < friction_rad <= math.pi / 4:
        raise OutOfRange("a stake needs a width and an embedment above nought and a friction angle up to 45°.")
    work = working or Working()
    passive = work.line("K_p = tan(pi/4 + phi/2)**2", "", phi=(friction_rad, "rad"))
    pounds = work.line(
        "H_u = 0.5*gamma*d*L**3*K_p/(e + L)",
        "lb",
        gamma=(soil_weight_kg_m3 / PCF_KG_M3, "pcf"),
        d=(width_m / FOOT_M, "ft"),
        L=(embedment_m / FOOT_M, "ft"),
        K_p=passive,
        e=(load_height_m / FOOT_M, "ft"),
    )
    return pounds * POUND_FORCE_N


@published("stake-depth", STAKE, validity="In sand, pushed at the ground, stake free to turn at its head.")
def stake_depth_m(
    *,
    push_n: float,
    width_m: float,
    safety_factor: float,
    soil_weight_kg_m3: float = 110 * PCF_KG_M3,
    friction_rad: float = math.radians(30),
) -> float:
    """How deep a stake is driven to hold a push at the ground.

    Parameters
    ----------
    push_n : float
        [N]
    width_m : float
        Of the stake. [m]
    safety_factor : float
        [-]
    soil_weight_kg_m3 : float
        [kg/m³]
    friction_rad : float
        Angle of friction. [rad]

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        For a negative push or a width of nought.
    """
    if push_n < 0:
        raise OutOfRange(f"a push is nought or more (got {push_n:g} N).")
    one_metre = stake_capacity_n(
        width_m=width_m, embedment_m=1.0, load_height_m=0.0, soil_weight_kg_m3=soil_weight_kg_m3, friction_rad=friction_rad
    )
    return math.sqrt(safety_factor * push_n / one_metre)


@published("stake-pull-out", PULL_OUT, validity="Ultimate, timber stake driven into sand; divide by a safety factor.")
def stake_pull_out_n(
    *,
    width_m: float,
    embedment_m: float,
    soil_weight_kg_m3: float = 110 * PCF_KG_M3,
    friction_rad: float = math.radians(30),
    working: Working | None = None,
) -> float:
    """What holds a square stake in sand against being lifted: friction on its four sides.

    Parameters
    ----------
    width_m, embedment_m : float
        [m]
    soil_weight_kg_m3 : float
        [kg/m³]
    friction_rad : float
        Angle of friction of the sand. [rad]
    working : Working, optional

    Returns
    -------
    float
        Ultimate. [N]

    Raises
    ------
    OutOfRange
        For sizes of nought.
    """
    if min(width_m, embedment_m, soil_weight_kg_m3) <= 0 or not 0 < friction_rad <= math.pi / 4:
        raise OutOfRange("a stake needs a width and an embedment above nought and a friction angle up to 45°.")
    work = working if working is not None else Working()
    pounds = work.line(
        "T_u = K*(gamma*L/2)*tan(0.75*phi)*4*d*L",
        "lb",
        K=_TENSION_K,
        gamma=(soil_weight_kg_m3 / PCF_KG_M3, "pcf"),
        L=(embedment_m / FOOT_M, "ft"),
        phi=(friction_rad, "rad"),
        d=(width_m / FOOT_M, "ft"),
    )
    return pounds * POUND_FORCE_N


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
