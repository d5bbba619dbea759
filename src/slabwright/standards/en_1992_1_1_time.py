"""EN 1992-1-1: strength over time and autogenous shrinkage."""

import math
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause
from slabwright.standards.en_1992_1_1 import EN_1992_1_1

STRENGTH_OVER_TIME = Clause(EN_1992_1_1, "3.1.2(6)", Basis.MEMORY)
STIFFNESS = Clause(EN_1992_1_1, "Table 3.1", Basis.MEMORY)
AUTOGENOUS = Clause(EN_1992_1_1, "3.1.4(6)", Basis.MEMORY)


class CementClass(Enum):
    """How fast the cement hardens."""

    RAPID = "R"
    NORMAL = "N"
    SLOW = "S"


_S = {CementClass.RAPID: 0.20, CementClass.NORMAL: 0.25, CementClass.SLOW: 0.38}


@published("strength-share-en", STRENGTH_OVER_TIME, validity="Equivalent age at 20 °C.")
def strength_share(*, age_days: float, cement: CementClass = CementClass.NORMAL) -> float:
    r"""Mean strength at an age over that at 28 days.

    Parameters
    ----------
    age_days : float
        [d]
    cement : CementClass
        [-]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        For an age not above nought.

    Notes
    -----
    .. math:: \beta_{cc} = \exp[s(1 - \sqrt{28/t})]
    """
    if age_days <= 0:
        raise OutOfRange("an age must be above nought.")
    return math.exp(_S[cement] * (1.0 - math.sqrt(28.0 / age_days)))


@published("concrete-modulus-en", STIFFNESS)
def mean_modulus_pa(*, strength_pa: float) -> float:
    """Mean modulus of elasticity from the characteristic cylinder strength.

    Parameters
    ----------
    strength_pa : float
        Characteristic. [Pa]

    Returns
    -------
    float
        [Pa]
    """
    return 22.0 * math.pow((strength_pa / 1e6 + 8.0) / 10.0, 0.3) * 1e9


@published("autogenous-strain", AUTOGENOUS, validity="Small for slab mixes.")
def autogenous_strain(*, strength_pa: float, age_days: float) -> float:
    """Shrinkage of the setting paste without any drying.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    age_days : float
        [d]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        For an age below nought.
    """
    if age_days < 0:
        raise OutOfRange("an age cannot be below nought.")
    return 2.5 * max(0.0, strength_pa / 1e6 - 10.0) * 1e-6 * (1.0 - math.exp(-0.2 * math.sqrt(age_days)))
