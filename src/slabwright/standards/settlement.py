"""Settlement of a footing: elastic half-space, and strain-influence factors on sand (FHWA NHI-06-089)."""

import math
from collections.abc import Mapping
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import PRESSURE

ELASTICITY = Source("Timoshenko & Goodier", "Timoshenko and Goodier, Theory of Elasticity, 3rd ed., 1970, on the work of Boussinesq")
FHWA_SOILS = Source("FHWA NHI-06-089", "Soils and Foundations Reference Manual, volume II, FHWA NHI-06-089, 2006")
RIGID_DISC = Clause(ELASTICITY, "rigid circular die on a half-space", Basis.MEMORY)
FLEXIBLE_RECTANGLE = Clause(ELASTICITY, "uniform load on a rectangle", Basis.MEMORY)
STRAIN_INFLUENCE = Clause(FHWA_SOILS, "8.5.1, after Schmertmann and others 1978", Basis.MEMORY)
MODULUS_FROM_BLOWS = Clause(FHWA_SOILS, "table of elastic constants from N1(60)", Basis.MEMORY)

# modulus in tsf per blow
_TSF_PER_BLOW: Mapping[str, float] = MappingProxyType({"ML": 4, "SM": 4, "SC": 4, "SP": 7, "SW": 7, "GP": 12, "GW": 12, "GM": 12, "GC": 12})


@published("settlement-elastic", RIGID_DISC, validity="Rigid footing at the surface of deep uniform ground, as a disc of equal area.")
def rigid_settlement_m(
    *, load_n: float, size_x_m: float, size_y_m: float, soil_modulus_pa: float, poisson: float = 0.3, working: Working | None = None
) -> float:
    """Settlement of a rigid footing on an elastic half-space.

    Parameters
    ----------
    load_n : float
        Net. [N]
    size_x_m, size_y_m : float
        [m]
    soil_modulus_pa : float
        [Pa]
    poisson : float
        Of the soil. [-]

    Returns
    -------
    float
        [m]
    """
    if min(size_x_m, size_y_m, soil_modulus_pa) <= 0:
        raise OutOfRange("size and soil modulus must be above nought.")
    working = working or Working()
    diameter = working.line("D = sqrt(4*L_x*L_y/pi)", "m", L_x=(size_x_m, "m"), L_y=(size_y_m, "m"), note="disc of equal area")
    settlement_mm = working.line(
        "s = P*(1 - nu**2)/(E*D)", "mm", P=(load_n / 1e3, "kN"), nu=poisson, E=(soil_modulus_pa / 1e6, "MPa"), D=(diameter, "m")
    )
    return settlement_mm / 1e3


@published("settlement-flexible", FLEXIBLE_RECTANGLE, validity="Uniform pressure at the surface of deep uniform ground.")
def flexible_corner_settlement_m(
    *, pressure_pa: float, size_x_m: float, size_y_m: float, soil_modulus_pa: float, poisson: float = 0.3
) -> float:
    """Settlement of the corner of a uniformly loaded rectangle on an elastic half-space.

    Parameters
    ----------
    pressure_pa : float
        [Pa]
    size_x_m, size_y_m : float
        [m]
    soil_modulus_pa : float
        [Pa]
    poisson : float
        Of the soil. [-]

    Returns
    -------
    float
        [m]

    Notes
    -----
    Four rectangles of half the size meet in the middle, which therefore settles twice as much.
    """
    a, b = size_x_m, size_y_m
    diagonal = math.hypot(a, b)
    return (
        pressure_pa * (1 - poisson**2) / (math.pi * soil_modulus_pa) * (b * math.log((a + diagonal) / b) + a * math.log((b + diagonal) / a))
    )


@published("soil-modulus-from-blows", MODULUS_FROM_BLOWS, validity="Sands, gravels and non-plastic silts; corrected blow count.")
def modulus_from_blows_pa(*, n_blows: float, soil_class: str, working: Working | None = None) -> float:
    """Elastic modulus of granular ground from the standard penetration test.

    Parameters
    ----------
    n_blows : float
        Corrected, N1(60). [-]
    soil_class : str
        Unified class, such as ``SM``.

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        For clay, where the method does not hold.
    """
    key = soil_class.strip().upper()
    if key not in _TSF_PER_BLOW:
        raise OutOfRange(f'blow counts give no modulus for soil class "{soil_class}"; a soils report must.')
    working = working or Working()
    modulus = working.line("E_s = f*N", "tsf", f=_TSF_PER_BLOW[key], N=n_blows)
    return modulus * PRESSURE.units["tsf"].factor


@published(
    "settlement-strain-influence",
    STRAIN_INFLUENCE,
    validity="Granular ground of one modulus to 2 widths (square) or 4 widths (strip) below.",
)
def strain_influence_settlement_m(
    *,
    pressure_pa: float,
    width_m: float,
    length_m: float,
    soil_modulus_pa: float,
    overburden_pa: float,
    soil_weight_n_m3: float,
    years: float = 1.0,
    working: Working | None = None,
) -> float:
    """Settlement of a footing on sand or gravel from strain-influence factors.

    Parameters
    ----------
    pressure_pa : float
        Under the footing, gross. [Pa]
    width_m, length_m : float
        Shorter and longer side. [m]
    soil_modulus_pa : float
        From blow counts. [Pa]
    overburden_pa : float
        Effective, at the footing's level before digging. [Pa]
    soil_weight_n_m3 : float
        Effective unit weight below. [N/m³]
    years : float
        After loading, for creep. [-]

    Returns
    -------
    float
        [m]
    """
    if pressure_pa <= overburden_pa:
        return 0.0
    working = working or Working()
    net = working.line("Delta_p = q - p_0", "kPa", q=(pressure_pa / 1e3, "kPa"), p_0=(overburden_pa / 1e3, "kPa"))
    shape = min(max((length_m / width_m - 1) / 9, 0.0), 1.0)
    first, peak_depth, end_depth, factor = (low + shape * (high - low) for low, high in ((0.1, 0.2), (0.5, 1.0), (2.0, 4.0), (1.25, 1.75)))
    at_peak = (overburden_pa + soil_weight_n_m3 * peak_depth * width_m) / 1e3
    peak = working.line("I_p = 0.5 + 0.1*sqrt(Delta_p/p_p)", Delta_p=(net, "kPa"), p_p=(at_peak, "kPa"))
    area = working.line(
        "A = (I_0 + I_p)/2*z_p + I_p*(z_e - z_p)/2", "m",
        I_0=first, I_p=peak, z_p=(peak_depth * width_m, "m"), z_e=(end_depth * width_m, "m"), note="area of the strain-influence diagram",
    )  # fmt: skip
    depth = working.line("C_1 = max(0.5, 1 - 0.5*p_0/Delta_p)", p_0=(overburden_pa / 1e3, "kPa"), Delta_p=(net, "kPa"))
    creep = working.line("C_2 = 1 + 0.2*log(t/0.1)/log(10)", t=years)
    settlement_mm = working.line(
        "s = C_1*C_2*Delta_p*A/(X*E_s)", "mm",
        C_1=depth, C_2=creep, Delta_p=(net, "kPa"), A=(area, "m"), X=factor, E_s=(soil_modulus_pa / 1e6, "MPa"),
    )  # fmt: skip
    return settlement_mm / 1e3
