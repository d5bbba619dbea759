"""ACI 318-19, chapter 25: development and laps of welded wire reinforcement."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards.aci_318_19 import ACI_318_19, strength_psi
from slabwright.units import INCH_M, PSI_PA

WIRE_DEVELOPMENT = Clause(ACI_318_19, "25.4.7.2(b)", Basis.MEMORY)
WIRE_LAP = Clause(ACI_318_19, "25.5.4.1", Basis.MEMORY)

WIRE_YIELD_PA = 65_000 * PSI_PA
"""Plain wire of ASTM A1064, W1.2 and larger. [Pa]"""


@dataclass(frozen=True, slots=True)
class WireLap:
    """Lap of plain welded wire.

    Attributes
    ----------
    development_m : float
        Of the wire, from its outermost cross wire. [m]
    lap_m : float
        Between the outermost cross wires of the two sheets. [m]
    """

    development_m: float
    lap_m: float


@published("lap-of-mesh", WIRE_LAP, validity="Plain welded wire in normalweight concrete.")
def lap_of_mesh(
    *,
    wire_area_m2: float,
    wire_spacing_m: float,
    cross_wire_spacing_m: float,
    strength_pa: float,
    yield_strength_pa: float = WIRE_YIELD_PA,
    twice_the_steel_needed: bool = False,
    working: Working | None = None,
) -> WireLap:
    """Lap of two sheets of plain welded wire in tension.

    Parameters
    ----------
    wire_area_m2 : float
        Of one lapped wire. [m²]
    wire_spacing_m : float
        Between the lapped wires. [m]
    cross_wire_spacing_m : float
        Between the wires across them. [m]
    strength_pa : float
        Specified compressive strength of the concrete. [Pa]
    yield_strength_pa : float
        Of the wire. [Pa]
    twice_the_steel_needed : bool
        True where the steel provided is at least twice what the analysis asks for.

    Returns
    -------
    WireLap
        [m]

    Raises
    ------
    OutOfRange
        For a wire or spacing of nought.

    Notes
    -----
    One cross-wire spacing and 2 in., 1.5 times the development length, and 6 in., whichever is longest; with twice the
    steel needed 1.5 times the development length and 2 in.
    """
    if min(wire_area_m2, wire_spacing_m, cross_wire_spacing_m) <= 0:
        raise OutOfRange("wire area and spacings must be above nought.")
    working = working or Working()
    development = working.line(
        "l_d = 0.27*A_b/s*f_y/(lam*min(sqrt(f_c), 100))", "in",
        A_b=(wire_area_m2 / INCH_M**2, "in²"), s=(wire_spacing_m / INCH_M, "in"), f_y=(yield_strength_pa / PSI_PA, "psi"), lam=1.0,
        f_c=(strength_psi(strength_pa), "psi"),
    )  # fmt: skip
    if twice_the_steel_needed:
        lap = working.line("l_st = max(1.5*l_d, 2)", "in", l_d=(development, "in"))
    else:
        lap = working.line("l_st = max(s_c + 2, 1.5*l_d, 6)", "in", s_c=(cross_wire_spacing_m / INCH_M, "in"), l_d=(development, "in"))
    return WireLap(development * INCH_M, lap * INCH_M)
