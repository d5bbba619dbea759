"""Stiff concrete that stands: yield stress from slump, and what a lift that has stood still presses."""

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import STANDARD_GRAVITY_M_S2

FERRARIS_1998 = Source("Ferraris and de Larrard 1998", "Testing and modelling of fresh concrete rheology, NISTIR 6094, 1998")
OVARLEZ_2006 = Source(
    "Ovarlez and Roussel 2006", "A physical model for the prediction of lateral stress exerted by self-compacting concrete, 2006"
)
YIELD_STRESS = Clause(FERRARIS_1998, "slump to yield stress", Basis.MEMORY)
STANDING_LIFT = Clause(OVARLEZ_2006, "pressure of concrete that builds up while it stands", Basis.MEMORY)


@published("yield-stress-from-slump", YIELD_STRESS, validity="Ordinary concrete, slump 100 mm and more.", limits={"slump_m": (0.10, 0.28)})
def yield_stress_pa(*, slump_m: float, unit_weight_kg_m3: float = 2400.0, working: Working | None = None) -> float:
    """Shear stress below which fresh concrete stands still.

    Parameters
    ----------
    slump_m : float
        [m]
    unit_weight_kg_m3 : float
        Fresh. [kg/m³]
    working : Working, optional

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        For a slump outside 0 to 300 mm.
    """
    if not 0 <= slump_m <= 0.300:
        raise OutOfRange(f"a slump lies between 0 and 300 mm (got {slump_m * 1000:g} mm).")
    return (working or Working()).line("tau_0 = rho/347*(300 - s) + 212", "Pa", rho=(unit_weight_kg_m3, "kg/m³"), s=(slump_m * 1000, "mm"))


@published(
    "standing-lift-pressure",
    STANDING_LIFT,
    validity="For information: tells why a first lift that has stood presses less; never a design value for forms.",
)
def standing_lift_pressure_pa(
    *,
    depth_m: float,
    form_width_m: float,
    yield_stress_pa: float,
    rest_s: float,
    build_up_pa_s: float = 0.5,
    unit_weight_kg_m3: float = 2400.0,
    working: Working | None = None,
) -> float:
    """Pressure at the foot of a lift that has stood still for a while.

    Parameters
    ----------
    depth_m : float
        Of the lift. [m]
    form_width_m : float
        Distance of the faces it hangs on. [m]
    yield_stress_pa : float
        When placed. [Pa]
    rest_s : float
        Since it was placed and last vibrated. [s]
    build_up_pa_s : float
        Structural build-up, 0.1 to 1.7 Pa/s from slow to fast. [Pa/s]
    unit_weight_kg_m3 : float
        [kg/m³]
    working : Working, optional

    Returns
    -------
    float
        Not under nought. [Pa]

    Raises
    ------
    OutOfRange
        For sizes of nought or a negative time.
    """
    if min(depth_m, form_width_m) <= 0 or rest_s < 0 or yield_stress_pa < 0:
        raise OutOfRange("a standing lift needs a depth and a width above nought and a rest not below it.")
    work = working or Working()
    head = work.line("p_h = gamma*h", "Pa", gamma=(unit_weight_kg_m3 * STANDARD_GRAVITY_M_S2, "N/m³"), h=(depth_m, "m"))
    stress = work.line("tau = tau_0 + A*t", "Pa", tau_0=(yield_stress_pa, "Pa"), A=(build_up_pa_s, "Pa/s"), t=(rest_s, "s"))
    return max(work.line("p = p_h - 2*tau*h/e", "Pa", p_h=(head, "Pa"), tau=(stress, "Pa"), h=(depth_m, "m"), e=(form_width_m, "m")), 0.0)
