"""ASTM A1064: wire and welded wire reinforcement, by style."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, INCH_M, POUND_KG, PSI_PA

ASTM_A1064 = Source("ASTM A1064", "Standard Specification for Carbon-Steel Wire and Welded Wire Reinforcement for Concrete")
WIRE = Clause(ASTM_A1064, "Table 1, W-number in hundredths of a square inch", Basis.QUOTED)
WIRE_STRENGTH = Clause(ASTM_A1064, "tension requirements of plain wire", Basis.MEMORY)
SMALLER_WIRE = Clause(ASTM_A1064, "the smaller wire of a style, 40 per cent", Basis.TEXT_SEEN)
STYLES = Clause(
    Source("welded wire styles 1975", "New welded wire fabric numbering system explained, trade journal, October 1975"),
    "Table 1, common stock styles",
    Basis.TEXT_SEEN,
)

SMALLEST_RATIO = 0.4
"""Least area of the smaller wire over that of the larger. [-]"""


@dataclass(frozen=True, slots=True)
class Mesh:
    """Welded mesh.

    Attributes
    ----------
    name : str
    wire_diameter_m, cross_wire_diameter_m : float
        Of the wires along the sheet and across it. [m]
    wire_spacing_m, cross_wire_spacing_m : float
        Between the wires along, and between those across. [m]
    area_m2_m, cross_area_m2_m : float
        Steel per width, along and across. [m²/m]
    mass_kg_m2 : float
        As delivered. [kg/m²]
    """

    name: str
    wire_diameter_m: float
    cross_wire_diameter_m: float
    wire_spacing_m: float
    cross_wire_spacing_m: float
    area_m2_m: float
    cross_area_m2_m: float
    mass_kg_m2: float


# style: lb per 100 ft², overhangs of the sheet's edges included
_MASS_LB: Mapping[tuple[float, float], int] = MappingProxyType(
    {(6, 1.4): 21, (6, 2.0): 29, (6, 2.9): 42, (6, 4.0): 58, (4, 1.4): 31, (4, 2.0): 43, (4, 2.9): 62, (4, 4.0): 85, (6, 5.5): 80}
)
_STYLE = re.compile(r"^\s*(\d+)\s*x\s*(\d+)\s*-\s*([WD])\s*([\d.]+)(?:\s*[x/]\s*[WD]\s*([\d.]+))?\s*$", re.IGNORECASE)


def wire_diameter_m(*, w_number: float) -> float:
    """Diameter of a wire by its W- or D-number.

    Parameters
    ----------
    w_number : float
        Hundredths of a square inch. [-]

    Returns
    -------
    float
        [m]
    """
    if w_number <= 0:
        raise OutOfRange("a wire number must be above nought, such as W2.9.")
    return math.sqrt(4 * w_number / 100 / math.pi) * INCH_M


def wire_yield_pa(*, w_number: float) -> float:
    """Yield strength of plain wire in welded reinforcement: 65 ksi, below W1.2 56 ksi.

    Parameters
    ----------
    w_number : float
        [-]

    Returns
    -------
    float
        [Pa]
    """
    return (65_000 if w_number >= 1.2 else 56_000) * PSI_PA


def mesh_of_style(*, style: str) -> Mesh:
    """Properties of a US style.

    Parameters
    ----------
    style : str
        ``6x6-W2.9xW2.9``; the second wire may be left out when both are alike.

    Returns
    -------
    Mesh
        Mass from the table of stock styles; of others 3.40 lb/ft to a square inch of wire, without overhangs.

    Raises
    ------
    OutOfRange
        For another way of writing, or wires too unequal to be welded.
    """
    match = _STYLE.match(style)
    if match is None:
        raise OutOfRange(f'"{style}" is no US mesh style; write it as "6x6-W2.9xW2.9".')
    spacing, cross_spacing = float(match[1]), float(match[2])
    wire, cross_wire = float(match[4]), float(match[5] or match[4])
    if min(wire, cross_wire) < SMALLEST_RATIO * max(wire, cross_wire):
        raise OutOfRange(f'"{style}": the smaller wire must have 40 % of the area of the larger; check the style.')
    area, cross_area = wire / 100 * 12 / spacing, cross_wire / 100 * 12 / cross_spacing
    alike = spacing == cross_spacing and wire == cross_wire
    pounds = _MASS_LB.get((spacing, wire), 340.0 * (area + cross_area)) if alike else 340.0 * (area + cross_area)
    return Mesh(
        name=style.strip(),
        wire_diameter_m=wire_diameter_m(w_number=wire),
        cross_wire_diameter_m=wire_diameter_m(w_number=cross_wire),
        wire_spacing_m=spacing * INCH_M,
        cross_wire_spacing_m=cross_spacing * INCH_M,
        area_m2_m=area * INCH_M**2 / FOOT_M,
        cross_area_m2_m=cross_area * INCH_M**2 / FOOT_M,
        mass_kg_m2=pounds * POUND_KG / (100 * FOOT_M**2),
    )
