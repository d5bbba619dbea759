"""What the trade's surveys say of waiting: from placing to the first float, and how long a lift stays live."""

import math

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source, practice

ASCC_15 = Source("ASCC position statement 15", "Setting time of concrete in floors, survey of contractors")
WAIT_TO_FLOAT = Clause(ASCC_15, "wait from placing to power float at 50, 70 and 90 °F", Basis.QUOTED)
LIVE_SHARE = practice("a lift stays live for two thirds of the wait to the float; calibrate with your own pours")

_WAITS = ((10.0, 4.25), (21.111, 2.75), (32.222, 1.75))
KNIT_SHARE = 2 / 3
LEAST_KNIT_H = 0.5
"""What a deep lift should settle before the floor covers it: common practice, no source. [h]"""


@published("wait-to-float", WAIT_TO_FLOAT, limits={"temp_c": (10.0, 32.3)})
def wait_to_float_h(*, temp_c: float) -> float:
    """Wait from placing until a power float may go on.

    Parameters
    ----------
    temp_c : float
        Of air and concrete. [°C]

    Returns
    -------
    float
        Read along a straight line of its logarithm between the temperatures surveyed, and beyond them. [h]

    Raises
    ------
    OutOfRange
        Below freezing, where concrete does not set in a useful time.
    """
    if temp_c <= 0:
        raise OutOfRange(f"at {temp_c:.0f} °C concrete does not set in a useful time; warm it and keep it warm.")
    (t0, w0), (t1, w1) = (_WAITS[0], _WAITS[1]) if temp_c <= _WAITS[1][0] else (_WAITS[1], _WAITS[2])
    share = (temp_c - t0) / (t1 - t0)
    return math.exp(math.log(w0) + share * (math.log(w1) - math.log(w0)))


@published("knit-limit", LIVE_SHARE)
def knit_limit_h(*, temp_c: float) -> float:
    """Age at which an edge lift can no longer be knitted to the floor that covers it.

    Parameters
    ----------
    temp_c : float
        [°C]

    Returns
    -------
    float
        Two thirds of the wait to the float. [h]
    """
    return KNIT_SHARE * wait_to_float_h(temp_c=temp_c)
