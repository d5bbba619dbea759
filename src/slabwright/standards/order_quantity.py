"""How much to order when the need is uncertain, and rounding to what the plant batches."""

import math
from dataclasses import dataclass
from statistics import NormalDist

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.units import CUBIC_YARD_M3

INVENTORY = Source("Arrow, Harris & Marschak 1951", "Arrow, Harris, Marschak: Optimal Inventory Policy, Econometrica 19, 1951")
CRITICAL_RATIO = Clause(INVENTORY, "one order against an uncertain need: critical ratio", Basis.MEMORY)
BATCH_STEP = practice("plants batch to the quarter yard, or the quarter of a cubic metre")

STEP_M3 = 0.25 * CUBIC_YARD_M3


@dataclass(frozen=True, slots=True)
class OrderQuantity:
    """What to order.

    Attributes
    ----------
    order_m3 : float
        Rounded up to the step. [m³]
    chance_short : float
        Of needing more than that. [-]
    expected_left_m3, expected_short_m3 : float
        On the average. [m³]
    """

    order_m3: float
    chance_short: float
    expected_left_m3: float
    expected_short_m3: float


@published("order-quantity", CRITICAL_RATIO, validity="Need normally distributed; for the whole distribution see the study of the grade.")
def order_quantity(
    *,
    mean_m3: float,
    sd_m3: float,
    risk: float = 0.05,
    short_cost: float | None = None,
    left_cost: float | None = None,
    step_m3: float = STEP_M3,
) -> OrderQuantity:
    """Quantity to order for a chance of running short, or for the least expected cost.

    Parameters
    ----------
    mean_m3, sd_m3 : float
        Of what the work will take. [m³]
    risk : float
        Accepted chance of running short, 0 to 1. [-]
    short_cost, left_cost : float or None
        Cost of a unit too little and of a unit too much; together they take the place of the risk.
    step_m3 : float
        What the plant batches to. [m³]

    Returns
    -------
    OrderQuantity
    """
    if (short_cost is None) != (left_cost is None):
        raise OutOfRange("give both short_cost and left_cost, or neither.")
    if short_cost is not None and left_cost is not None:
        if min(short_cost, left_cost) <= 0:
            raise OutOfRange("both costs must be above nought.")
        risk = left_cost / (short_cost + left_cost)
    if not 0 < risk < 1 or sd_m3 < 0 or not step_m3 > 0:
        raise OutOfRange(f"the risk must lie between 0 and 1 (got {risk!r}), the scatter not below nought, the step above it.")
    normal = NormalDist()
    order = round_up_m3(volume_m3=mean_m3 + sd_m3 * normal.inv_cdf(1.0 - risk), step_m3=step_m3)
    if sd_m3 == 0:
        return OrderQuantity(order, 0.0, order - mean_m3, 0.0)
    z = (order - mean_m3) / sd_m3
    short = sd_m3 * (normal.pdf(z) - z * (1.0 - normal.cdf(z)))
    return OrderQuantity(order, 1.0 - normal.cdf(z), order - mean_m3 + short, short)


@published("round-order", BATCH_STEP)
def round_up_m3(*, volume_m3: float, step_m3: float = STEP_M3) -> float:
    """A volume rounded up to the plant's step; a float's last digit does not count.

    Parameters
    ----------
    volume_m3, step_m3 : float
        [m³]

    Returns
    -------
    float
        [m³]
    """
    if not step_m3 > 0:
        raise OutOfRange("the step must be above nought.")
    return math.ceil(volume_m3 / step_m3 - 1e-9) * step_m3
