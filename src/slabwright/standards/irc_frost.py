"""International Residential Code: frost-protected shallow footings of heated buildings."""

from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.standards.irc import FROST_PROTECTION, INSULATION_R
from slabwright.units import INCH_M, THERMAL_RESISTANCE

_R = THERMAL_RESISTANCE.units["R"].factor
_KELVIN_DAYS = 5 / 9  # of one °F·day


@dataclass(frozen=True, slots=True)
class FrostProtection:
    """Insulation of a frost-protected footing; nought where none is asked for.

    Attributes
    ----------
    depth_m : float
        Least depth of the footing. [m]
    vertical_m2k_w, along_walls_m2k_w, at_corners_m2k_w : float
        Thermal resistance on the wall, lying along walls, lying at corners. [m²K/W]
    width_m, corner_width_m, corner_length_m : float
        Dimensions A, B and C of the lying boards. [m]
    """

    depth_m: float
    vertical_m2k_w: float
    along_walls_m2k_w: float
    at_corners_m2k_w: float
    width_m: float
    corner_width_m: float
    corner_length_m: float


# air-freezing index in °F·days: depth in, vertical R, R along walls, R at corners, A, B, C in
_TABLE = (
    (1500, 12, 4.5, 0.0, 0.0, 0, 0, 0),
    (2000, 14, 5.6, 0.0, 0.0, 0, 0, 0),
    (2500, 16, 6.7, 1.7, 4.9, 12, 24, 40),
    (3000, 16, 7.8, 6.5, 8.6, 12, 24, 40),
    (3500, 16, 9.0, 8.0, 11.2, 24, 30, 60),
    (4000, 16, 10.1, 10.5, 13.1, 24, 36, 60),
)


@published(
    "frost-protection",
    FROST_PROTECTION,
    validity="Buildings kept at 64 °F or more in the monthly mean; not for unheated garages and porches.",
    limits={"freezing_index_kd": (0.0, 4000 * _KELVIN_DAYS)},
)
def frost_protection(*, freezing_index_kd: float) -> FrostProtection:
    """Depth and insulation of a frost-protected footing by air-freezing index.

    Parameters
    ----------
    freezing_index_kd : float
        Air-freezing index. [K·d]

    Returns
    -------
    FrostProtection
        [m] and [m²K/W]

    Raises
    ------
    OutOfRange
        Above the table's last line.

    Notes
    -----
    Resistances and the depth are interpolated; the widths of lying boards are those of the next colder line.
    """
    index = freezing_index_kd / _KELVIN_DAYS
    if not 0 <= index <= 4000 * (1 + 1e-9):
        raise OutOfRange("the frost-protection table ends at 4000 °F·days; ask the engineer.")
    colder = next(i for i, line in enumerate(_TABLE) if index <= line[0] * (1 + 1e-9))
    high = _TABLE[colder]
    low = _TABLE[max(0, colder - 1)]
    along = 0.0 if low is high else (index - low[0]) / (high[0] - low[0])
    depth, vertical, walls, corners = (a + along * (b - a) if low is not high else b for a, b in zip(low[1:5], high[1:5], strict=True))
    return FrostProtection(depth * INCH_M, vertical * _R, walls * _R, corners * _R, high[5] * INCH_M, high[6] * INCH_M, high[7] * INCH_M)


class InsulationKind(Enum):
    """Board, with its design resistance below ground in the 2000 edition; later editions differ slightly."""

    EPS_II = "EPS type II"
    EPS_IX = "EPS type IX"
    XPS = "XPS"


_R_PER_INCH = {InsulationKind.EPS_II: 2.4, InsulationKind.EPS_IX: 3.2, InsulationKind.XPS: 4.5}


@published("insulation-thickness", INSULATION_R)
def insulation_thickness_m(*, resistance_m2k_w: float, kind: InsulationKind) -> float:
    """Thickness of board below ground for a thermal resistance.

    Parameters
    ----------
    resistance_m2k_w : float
        [m²K/W]
    kind : InsulationKind

    Returns
    -------
    float
        [m]
    """
    return resistance_m2k_w / _R / _R_PER_INCH[kind] * INCH_M
