"""Trucks against the placing point: how many, how far apart, how well matched."""

import math
from collections.abc import Sequence

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic

BURT_2008 = Source("Burt and Caccetta 2008", "Match factor for heterogeneous truck and loader fleets, corrigendum, 2008")
MATCH_FACTOR = Clause(BURT_2008, "equations 14 to 16", Basis.QUOTED)
SPACING = arithmetic("what the placing point takes in that time")


@published("truck-spacing", SPACING)
def truck_spacing_s(*, load_m3: float, placing_rate_m3_h: float, working: Working | None = None) -> float:
    """Time between trucks that feeds a placing rate without a hole or a queue.

    Parameters
    ----------
    load_m3 : float
        [m³]
    placing_rate_m3_h : float
        [m³/h]
    working : Working, optional

    Returns
    -------
    float
        [s]

    Raises
    ------
    OutOfRange
        For a load or a rate of nought.
    """
    if min(load_m3, placing_rate_m3_h) <= 0:
        raise OutOfRange("truck spacing needs a load and a placing rate above nought.")
    return 60 * (working or Working()).line("t = 60*V/R", "min", V=(load_m3, "m³"), R=(placing_rate_m3_h, "m³/h"))


@published("match-factor", MATCH_FACTOR, validity="Below 1 the placing point waits, above 1 trucks queue.")
def match_factor(*, n_trucks: int, cycle_s: float, discharge_s: Sequence[float], working: Working | None = None) -> float:
    """Trucks arriving against trucks that can be emptied.

    Parameters
    ----------
    n_trucks : int
    cycle_s : float
        Of a truck, discharge included, waits not. [s]
    discharge_s : sequence of float
        At each placing point. [s]
    working : Working, optional

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        Without a truck, a point or a time.
    """
    if n_trucks < 1 or cycle_s <= 0 or not discharge_s or min(discharge_s) <= 0:
        raise OutOfRange("a match factor needs a truck, a cycle and the time of at least one placing point.")
    per_second = sum(1 / one for one in discharge_s)
    return (working or Working()).line("MF = N/(T*m)", "", N=n_trucks, T=(cycle_s / 60, "min"), m=(60 * per_second, "loads/min"))


@published("placing-rate", arithmetic("the slowest of pump, delivery, discharge and crew"))
def placing_rate_m3_h(
    *, method_rate_m3_h: float, load_m3: float, interval_s: float, discharge_s: float, n_people: int, rate_each_m3_h: float
) -> float:
    """Rate that the slowest of method, delivery, discharge and crew leaves.

    Parameters
    ----------
    method_rate_m3_h : float
        Of the pump or chute. [m³/h]
    load_m3 : float
        [m³]
    interval_s, discharge_s : float
        Between trucks, and to empty one. [s]
    n_people : int
    rate_each_m3_h : float
        One person places. [m³/h]

    Returns
    -------
    float
        [m³/h]

    Raises
    ------
    OutOfRange
        For a rate, a load or a time of nought.
    """
    if min(method_rate_m3_h, load_m3, interval_s, discharge_s, rate_each_m3_h) <= 0 or n_people < 1:
        raise OutOfRange("a placing rate needs every rate, load and time above nought and somebody to place.")
    return min(method_rate_m3_h, 3600 * load_m3 / interval_s, 3600 * load_m3 / discharge_s, n_people * rate_each_m3_h)


@published("truck-loop", arithmetic("round trip over unloading, rounded up, not more than the loads"))
def n_trucks(*, volume_m3: float, load_m3: float, cycle_s: float, discharge_s: float) -> int:
    """Trucks in the loop that keep the placing point busy.

    Parameters
    ----------
    volume_m3, load_m3 : float
        [m³]
    cycle_s, discharge_s : float
        Round trip with discharge, and discharge alone. [s]

    Returns
    -------
    int

    Raises
    ------
    OutOfRange
        For a volume, load or time of nought.
    """
    if min(volume_m3, load_m3, cycle_s, discharge_s) <= 0:
        raise OutOfRange("the loop needs a volume, a load and times above nought.")
    return min(math.ceil(cycle_s / discharge_s - 1e-9), math.ceil(volume_m3 / load_m3 - 1e-9))
