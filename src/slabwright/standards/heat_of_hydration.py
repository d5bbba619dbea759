"""Heat of hydration from the composition of the mix: the regression of 2005, and what it rests on."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic, practice

HYDRATION_2005 = Source(
    "ACI Materials Journal 102(1)", "Heat of Hydration Models for Cementitious Materials, ACI Materials Journal 102(1), 2005, pp. 24-33"
)
ASTM_C150 = Source("ASTM C150", "Specification for Portland Cement, 2020")
NISTIR_6551 = Source("NISTIR 6551", "Computer Model to Predict the Surface Temperature and Time-of-Wetness of Concrete Pavements, 2000")
DISSERTATION_2002 = Source(
    "dissertation 2002", "Concrete Hydration, Temperature Development, and Setting at Early-Ages, dissertation, 2002"
)
THERMAL_EXPANSION = Source(
    "Concrete Construction, thermal coefficients", "Concrete Construction magazine, Thermal coefficients of concretes"
)
ULTIMATE_DEGREE = Clause(HYDRATION_2005, "ultimate degree, first term of 1966", Basis.TEXT_SEEN)
CURVE = Clause(HYDRATION_2005, "tau, beta, E, Hu; reference 21.1 °C", Basis.MEMORY)
BOGUE = Clause(ASTM_C150, "Annex A1", Basis.MEMORY)
THERMAL = Clause(NISTIR_6551, "Table 1", Basis.TEXT_SEEN)
CHANGING = Clause(DISSERTATION_2002, "conductivity and heat of hydrated cement over the degree", Basis.MEMORY)
EXPANSION = Clause(THERMAL_EXPANSION, "by aggregate", Basis.TEXT_SEEN)
TYPICAL = practice("a typical composition for the cement type where the mill certificate is not at hand")

REFERENCE_C = 21.1
CONDUCTIVITY_SOFTENING = 0.33 / 1.33
CONDUCTIVITY_FRESH = 1.33
"""Conductivity of fresh over hardened concrete, and the fraction of it lost at full hydration."""

EXPANSION_1_K: Mapping[str, float] = MappingProxyType(
    {name: per_f * 1.8e-6 for name, per_f in
     (("quartz", 6.6), ("sandstone", 6.5), ("gravel", 6.0), ("granite", 5.3), ("basalt", 4.8), ("limestone", 3.8))}
)  # fmt: skip
"""Thermal expansion of concrete by its aggregate. [1/K]"""


@dataclass(frozen=True, slots=True)
class Phases:
    """Compounds of a cement, as mass fractions. [-]"""

    c3s: float
    c2s: float
    c3a: float
    c4af: float


@published("cement-phases", BOGUE, validity="Alumina over iron oxide of 0.64 or more.")
def cement_phases(*, cao: float, sio2: float, al2o3: float, fe2o3: float, so3: float) -> Phases:
    """Compounds of a cement from its oxides.

    Parameters
    ----------
    cao, sio2, al2o3, fe2o3, so3 : float
        Mass fractions. [-]

    Returns
    -------
    Phases
        [-]

    Raises
    ------
    OutOfRange
        For an alumina ratio below 0.64, for which the standard has another set.
    """
    if al2o3 < 0.64 * fe2o3:
        raise OutOfRange("alumina over iron oxide is below 0.64; the standard's other equations apply.")
    c3s = 4.071 * cao - 7.600 * sio2 - 6.718 * al2o3 - 1.430 * fe2o3 - 2.852 * so3
    return Phases(c3s, 2.867 * sio2 - 0.7544 * c3s, 2.650 * al2o3 - 1.692 * fe2o3, 3.043 * fe2o3)


@dataclass(frozen=True, slots=True)
class HydrationParameters:
    """How a mix hydrates over its equivalent age at 21.1 °C.

    Attributes
    ----------
    ultimate : float
        Degree that is never passed. [-]
    tau_h : float
        Time scale. [h]
    beta : float
        Shape. [-]
    activation_j_mol : float
        Activation energy. [J/mol]
    heat_j_kg : float
        Heat of full hydration per mass of cementitious material. [J/kg]
    """

    ultimate: float
    tau_h: float
    beta: float
    activation_j_mol: float
    heat_j_kg: float


@published(
    "hydration-parameters",
    CURVE,
    validity="Regression on laboratory mixes without chemical admixtures; recalled exponents, to be laid beside the paper.",
)
def hydration_parameters(
    *, w_cm: float, c3s: float = 0.57, c2s: float = 0.16, c3a: float = 0.09, c4af: float = 0.08, so3: float = 0.029, mgo: float = 0.02,
    free_cao: float = 0.01, fineness_m2_kg: float = 370.0, fly_ash: float = 0.0, fly_ash_cao: float = 0.10, slag: float = 0.0,
    working: Working | None = None,
) -> HydrationParameters:  # fmt: skip
    """How a mix hydrates, from its composition; the defaults are a typical Type I cement.

    Parameters
    ----------
    w_cm : float
        Water over cementitious material by mass. [-]
    c3s, c2s, c3a, c4af, so3, mgo, free_cao : float
        Mass fractions of the cement. [-]
    fineness_m2_kg : float
        Blaine surface of the cement. [m²/kg]
    fly_ash, slag : float
        Mass fractions of the cementitious material. [-]
    fly_ash_cao : float
        Lime in the fly ash, a mass fraction. [-]

    Returns
    -------
    HydrationParameters

    Raises
    ------
    OutOfRange
        For a ratio, a fineness or a fraction without meaning.
    """
    shares = (c3s, c2s, c3a, c4af, so3, mgo, free_cao, fly_ash, fly_ash_cao, slag)
    if w_cm <= 0 or fineness_m2_kg <= 0 or min(shares) < 0 or fly_ash + slag >= 1 or min(c3s, c3a, c4af, so3) <= 0:
        raise OutOfRange("w/cm and fineness must be above nought; compounds and additions are mass fractions from 0 to 1.")
    work = working or Working()
    ultimate = work.line("alpha_u = min(1, 1.031*w/(0.194 + w) + 0.50*p_FA + 0.30*p_SLAG)", w=w_cm, p_FA=fly_ash, p_SLAG=slag)
    tau = work.line(
        "tau = 66.78*C3A**-0.154*C3S**-0.401*B**-0.804*SO3**-0.758*exp(2.187*p_SLAG + 9.50*p_FA*CaO_FA)", "h",
        C3A=c3a, C3S=c3s, B=(fineness_m2_kg, "m²/kg"), SO3=so3, CaO_FA=fly_ash_cao, p_FA=fly_ash, p_SLAG=slag,
    )  # fmt: skip
    beta = work.line(
        "beta = 181.4*C3A**0.146*C3S**0.227*B**-0.535*SO3**0.558*exp(-0.647*p_SLAG)",
        C3A=c3a, C3S=c3s, B=(fineness_m2_kg, "m²/kg"), SO3=so3, p_SLAG=slag,
    )  # fmt: skip
    factor = work.line("f_E = 1 - 1.05*p_FA*(1 - CaO_FA/0.40) + 0.40*p_SLAG", CaO_FA=fly_ash_cao, p_FA=fly_ash, p_SLAG=slag)
    energy = work.line("E = 22100*f_E*C3A**0.30*C4AF**0.25*B**0.35", "J/mol", f_E=factor, C3A=c3a, C4AF=c4af, B=(fineness_m2_kg, "m²/kg"))
    cement = work.line(
        "H_cem = 500*C3S + 260*C2S + 866*C3A + 420*C4AF + 624*SO3 + 1186*CaO + 850*MgO", "J/g",
        C3S=c3s, C2S=c2s, C3A=c3a, C4AF=c4af, SO3=so3, CaO=free_cao, MgO=mgo,
    )  # fmt: skip
    heat = work.line(
        "H_u = H_cem*(1 - p_FA - p_SLAG) + 461*p_SLAG + 1800*CaO_FA*p_FA",
        "J/g",
        H_cem=(cement, "J/g"),
        CaO_FA=fly_ash_cao,
        p_FA=fly_ash,
        p_SLAG=slag,
    )
    return HydrationParameters(ultimate, tau, beta, energy, heat * 1e3)


@published("degree-of-hydration", CURVE)
def degree_of_hydration(*, age_h: float, ultimate: float, tau_h: float, beta: float) -> float:
    r"""Degree of hydration at an equivalent age.

    Parameters
    ----------
    age_h : float
        Equivalent age at 21.1 °C. [h]
    ultimate : float
        Degree that is never passed. [-]
    tau_h : float
        Time scale. [h]
    beta : float
        Shape. [-]

    Returns
    -------
    float
        [-]

    Notes
    -----
    .. math:: \alpha = \alpha_u \exp[-(\tau/t_e)^\beta]
    """
    return ultimate * math.exp(-math.pow(tau_h / age_h, beta)) if age_h > 0 else 0.0


@published("adiabatic-rise", arithmetic("C H alpha / (rho c)"))
def adiabatic_rise_k(
    *, cement_kg_m3: float, heat_j_kg: float, degree: float, density_kg_m3: float = 2350.0, specific_heat_j_kgk: float = 1000.0,
    working: Working | None = None,
) -> float:  # fmt: skip
    """Rise of temperature where no heat leaves.

    Parameters
    ----------
    cement_kg_m3 : float
        Cementitious material. [kg/m³]
    heat_j_kg : float
        Of full hydration. [J/kg]
    degree : float
        Of hydration, a fraction. [-]
    density_kg_m3 : float
        Of the concrete. [kg/m³]
    specific_heat_j_kgk : float
        [J/kgK]

    Returns
    -------
    float
        [K]

    Raises
    ------
    OutOfRange
        For a density or specific heat not above nought.
    """
    if density_kg_m3 <= 0 or specific_heat_j_kgk <= 0:
        raise OutOfRange("density and specific heat must be above nought.")
    return (working or Working()).line(
        "dT = C*H*alpha/(rho*c)", "K", C=(cement_kg_m3, "kg/m³"), H=(heat_j_kg, "J/kg"), alpha=degree, rho=(density_kg_m3, "kg/m³"),
        c=(specific_heat_j_kgk, "J/kgK"),
    )  # fmt: skip


@published("conductivity-over-hydration", CHANGING)
def conductivity_w_mk(*, hardened_w_mk: float, degree: float) -> float:
    """Conductivity of concrete on its way to hardening.

    Parameters
    ----------
    hardened_w_mk : float
        Of hardened concrete. [W/mK]
    degree : float
        Of hydration over its ultimate, a fraction. [-]

    Returns
    -------
    float
        [W/mK]
    """
    return hardened_w_mk * (1.33 - 0.33 * degree)


def hydrated_cement_specific_heat_j_kgk(*, temp_c: float) -> float:
    """Fictitious specific heat of hydrated cement, 8.4 T + 339. [J/kgK]"""
    return 8.4 * temp_c + 339.0
