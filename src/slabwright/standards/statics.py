"""Statics of a rigid footing on ground that carries no tension."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import arithmetic
from slabwright.units import FORCE, LENGTH, PRESSURE, Family, in_unit

FOOTING_PRESSURE = arithmetic("equilibrium of a rigid footing, linear soil pressure, no tension")


@dataclass(frozen=True, slots=True)
class FootingPressure:
    """Pressure under a footing.

    Attributes
    ----------
    highest_pa, lowest_pa : float
        At the most and the least loaded corner. [Pa]
    contact : float
        Part of the bottom that bears, 0 to 1.
    """

    highest_pa: float
    lowest_pa: float
    contact: float


@published("footing-pressure", FOOTING_PRESSURE, validity="Rigid rectangular footing, linear soil pressure, no tension.")
def footing_pressure(
    *,
    load_n: float,
    size_x_m: float,
    size_y_m: float,
    eccentricity_x_m: float = 0.0,
    eccentricity_y_m: float = 0.0,
    family: Family = Family.US,
    working: Working | None = None,
) -> FootingPressure:
    """Pressure under a rectangular footing for a load anywhere inside it.

    Parameters
    ----------
    load_n : float
        All that stands on the ground, downward. [N]
    size_x_m, size_y_m : float
        Sides. [m]
    eccentricity_x_m, eccentricity_y_m : float
        Of the load from the middle. [m]
    family : Family
        Units in which the working is written.

    Returns
    -------
    FootingPressure
        [Pa]

    Raises
    ------
    OutOfRange
        If the load is not downward or acts on or outside a side.

    Notes
    -----
    Inside the kern ``P/A (1 + 6 e_x/L_x + 6 e_y/L_y)``; beyond it, one way, ``2P / 3 L_y (L_x/2 - e_x)``; beyond it both
    ways the plane of pressure is balanced on the part in contact by exact integration.
    """
    if not load_n > 0:
        raise OutOfRange("the load on a footing must act downward; a footing that is lifted has no pressure.")
    if min(size_x_m, size_y_m) <= 0:
        raise OutOfRange("a footing needs sides above nought.")
    ex, ey = abs(eccentricity_x_m), abs(eccentricity_y_m)
    if ex >= size_x_m / 2 or ey >= size_y_m / 2:
        raise OutOfRange("the load acts outside the footing, so it tips; move the post or widen the footing.")
    working = working or Working()
    us = family is Family.US
    feet, force, pressure = ("ft", "lb", "psf") if us else ("m", "kN", "kPa")
    p = (in_unit(load_n, FORCE, force), force)
    sides = [(in_unit(side, LENGTH, feet), feet) for side in (size_x_m, size_y_m, ex, ey)]
    unit = PRESSURE.units[pressure].factor
    if ex / size_x_m + ey / size_y_m <= (1 + 1e-12) / 6:
        if ex == ey == 0.0:
            highest = lowest = working.line("q = P/(L_x*L_y)", pressure, P=p, L_x=sides[0], L_y=sides[1])
        else:
            symbols = {"L_x": sides[0], "L_y": sides[1], "e_x": sides[2], "e_y": sides[3]}
            highest = _line(working, "q_max = P/(L_x*L_y)*(1 + 6*e_x/L_x + 6*e_y/L_y)", pressure, P=p, **symbols)
            lowest = _line(working, "q_min = P/(L_x*L_y)*(1 - 6*e_x/L_x - 6*e_y/L_y)", pressure, P=p, **symbols)
        return FootingPressure(highest * unit, max(0.0, lowest) * unit, 1.0)
    if min(ex, ey) == 0.0:
        along, across, e = (sides[0], sides[1], sides[2]) if ey == 0.0 else (sides[1], sides[0], sides[3])
        bearing = working.line("r = 3*(L/2 - e)", feet, L=along, e=e, note="length in contact")
        highest = working.line("q_max = 2*P/(r*B)", pressure, P=p, r=(bearing, feet), B=across)
        return FootingPressure(highest * unit, 0.0, bearing / along[0])
    return _two_way(load_n, size_x_m, size_y_m, ex, ey, pressure, unit, working)


def _line(working: Working, formula: str, unit: str, **values: tuple[float, str]) -> float:
    return working.line(formula, unit, "", **values)


def _two_way(
    load: float, size_x: float, size_y: float, ex: float, ey: float, written: str, unit: float, working: Working
) -> FootingPressure:
    from slabwright.solvers.contact_plane import balanced_plane, contact_share

    plane = balanced_plane(ex / size_x, ey / size_y)
    mean, gain_x, gain_y = (load / (size_x * size_y) * one for one in (plane[0], plane[1] / 2, plane[2] / 2))
    highest = working.line(
        "q_max = q_0 + q_x + q_y", written,
        note="plane of pressure balanced on the part in contact: at the middle, and what it gains to each side",
        q_0=(mean / unit, written), q_x=(gain_x / unit, written), q_y=(gain_y / unit, written),
    )  # fmt: skip
    return FootingPressure(highest * unit, max(0.0, mean - gain_x - gain_y), contact_share(plane))
