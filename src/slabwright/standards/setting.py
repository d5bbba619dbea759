"""When concrete sets: ASTM C403, NT BUILD 476, degrees of hydration at set, and the rule of temperature."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import PSI_PA

ASTM_C403 = Source("ASTM C403", "Test Method for Time of Setting of Concrete Mixtures by Penetration Resistance, 2016")
NT_BUILD_476 = Source("NT BUILD 476", "Concrete, fresh: initial setting time and activation energy during setting, 1996")
SETTING_2004 = Source("Setting 2004", "Prediction of Concrete Setting, 2004, after work of 1980 on concrete's early properties")
NRMCA_CIP_27 = Source("NRMCA CIP 27", "Concrete in Practice 27, Cold Weather Concreting")
PENETRATION = Clause(ASTM_C403, "initial set 500 psi, final set 4000 psi of penetration resistance", Basis.TEXT_SEEN)
SET_HEAT = Clause(NT_BUILD_476, "6.3: initial set when 12.5 kJ per kg of cement are set free", Basis.TEXT_SEEN)
SET_DEGREE = Clause(SETTING_2004, "degree of hydration 0.15 w/cm at initial, 0.26 w/cm at final set", Basis.MEMORY)
SET_RULE = Clause(NRMCA_CIP_27, "a drop of 20 °F doubles the time of setting", Basis.TEXT_SEEN)
SET_STRENGTH = Clause(ASTM_C403, "final set answers to a cylinder strength of about 100 psi", Basis.MEMORY)

INITIAL_PENETRATION_PA = 500.0 * PSI_PA
FINAL_PENETRATION_PA = 4000.0 * PSI_PA
INITIAL_SET_HEAT_J_KG = 12.5e3
STRENGTH_AT_FINAL_SET_PA = 100.0 * PSI_PA


@published("set-time", SET_RULE, validity="Rule of thumb; equals an activation energy near 43 kJ/mol between 10 and 21 °C.")
def set_time_h(*, set_at_70f_h: float, temp_c: float, working: Working | None = None) -> float:
    """Time of setting at a temperature from that at 70 °F (21.1 °C).

    Parameters
    ----------
    set_at_70f_h : float
        Time of setting at 70 °F. [h]
    temp_c : float
        Of the concrete. [°C]

    Returns
    -------
    float
        [h]

    Raises
    ------
    OutOfRange
        For a time not above nought.
    """
    if set_at_70f_h <= 0:
        raise OutOfRange("a time of setting must be above nought.")
    return (working or Working()).line("t = t_70*2**((70 - T)/20)", "h", t_70=(set_at_70f_h, "h"), T=(1.8 * temp_c + 32.0, "°F"))


@dataclass(frozen=True, slots=True)
class SetDegrees:
    """Degrees of hydration at initial and at final set. [-]"""

    initial: float
    final: float


@published("set-degrees", SET_DEGREE, validity="Recalled coefficients; calibrate to a penetration test of the job mix.")
def set_degrees(*, w_cm: float) -> SetDegrees:
    """Degree of hydration at which a mix sets.

    Parameters
    ----------
    w_cm : float
        Water over cementitious material by mass. [-]

    Returns
    -------
    SetDegrees
        [-]

    Raises
    ------
    OutOfRange
        For a ratio not above nought.
    """
    if w_cm <= 0:
        raise OutOfRange("a water-cement ratio must be above nought.")
    return SetDegrees(0.15 * w_cm, 0.26 * w_cm)
