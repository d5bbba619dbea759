"""One way to name a bar, whatever family made it: ``No.4``, ``#13M``, ``H12``, ``N16``, ``15M``."""

import math
import re

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.standards.astm_a615 import ASTM_A615, BARS, SOFT_METRIC_BARS, Bar

EN_10080 = Source("EN 10080", "EN 10080:2005, Steel for the reinforcement of concrete: weldable reinforcing steel")
METRIC_SIZES = Clause(EN_10080, "Table 6, nominal diameters; areas from the nominal circle, 7850 kg/m³", Basis.MEMORY)
BAR_SIZES = Clause(ASTM_A615, "Table 1; metric bars by EN 10080, Table 6", Basis.TEXT_SEEN)

STEEL_DENSITY_KG_M3 = 7850.0
_METRIC_MM = (6, 8, 10, 12, 14, 16, 18, 20, 25, 28, 32, 40)
# CSA G30.18, from memory: diameter mm, area mm²
_CANADIAN = {10: (11.3, 100), 15: (16.0, 200), 20: (19.5, 300), 25: (25.2, 500), 30: (29.9, 700), 35: (35.7, 1000)}
_US = re.compile(r"^(?:no\.?|#)\s*(\d+)$", re.IGNORECASE)
_SOFT = re.compile(r"^#(\d+)M$", re.IGNORECASE)
_METRIC = re.compile(r"^(?:[HTBNDRY]|dia|ø|Φ|φ|HD)\s*(\d+)$", re.IGNORECASE)
_CANADA = re.compile(r"^(\d+)M$", re.IGNORECASE)


@published("bar", BAR_SIZES)
def bar(*, size: str) -> Bar:
    """Nominal diameter, area and mass of a bar.

    Parameters
    ----------
    size : str
        ``No.3`` to ``No.11``, ``#10M`` to ``#36M``, ``H6`` to ``H40`` (also T, B, N, D, Y), ``10M`` to ``35M``.

    Returns
    -------
    Bar
        [m], [m²], [kg/m]

    Raises
    ------
    OutOfRange
        For a size that is not made or another way of writing.
    """
    name = size.strip()
    if (match := _US.match(name)) and int(match[1]) in BARS:
        return BARS[int(match[1])]
    if (match := _SOFT.match(name)) and int(match[1]) in SOFT_METRIC_BARS:
        return SOFT_METRIC_BARS[int(match[1])]
    if (match := _METRIC.match(name)) and int(match[1]) in _METRIC_MM:
        diameter = int(match[1]) / 1000
        area = math.pi * diameter**2 / 4
        return Bar(name.upper(), diameter, area, area * STEEL_DENSITY_KG_M3)
    if (match := _CANADA.match(name)) and int(match[1]) in _CANADIAN:
        diameter_mm, area_mm2 = _CANADIAN[int(match[1])]
        return Bar(name.upper(), diameter_mm / 1e3, area_mm2 / 1e6, area_mm2 / 1e6 * STEEL_DENSITY_KG_M3)
    raise OutOfRange(f'"{size}" is no bar that is made; write "No.4", "#13M", "H12", "N16" or "15M".')
