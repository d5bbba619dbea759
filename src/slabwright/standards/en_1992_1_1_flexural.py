"""EN 1992-1-1:2004: flexural tensile strength of plain concrete."""

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards.en_1992_1_1 import EN_1992_1_1, cylinder_mpa, mean_tensile_mpa

FLEXURAL = Clause(EN_1992_1_1, "3.1.8, equation 3.23", Basis.MEMORY)


@published("flexural-strength-en", FLEXURAL, validity="Mean values, C12/15 to C50/60.")
def flexural_strength_pa(*, strength_pa: float, thickness_m: float, working: Working | None = None) -> float:
    """Mean flexural tensile strength of a section of plain concrete.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    thickness_m : float
        Of the section. [m]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        If the thickness is nought or less.
    """
    if thickness_m <= 0.0:
        raise OutOfRange(f"thickness must be above nought (got {thickness_m:g}).")
    working = working or Working()
    f_ctm = mean_tensile_mpa(cylinder_mpa(strength_pa), working)
    return 1e6 * working.line("f_ctm_fl = max(1.6 - h/1000, 1)*f_ctm", "MPa", h=(thickness_m * 1e3, "mm"), f_ctm=(f_ctm, "MPa"))
