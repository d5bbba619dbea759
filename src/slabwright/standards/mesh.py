"""One way to name a mesh, whatever family made it: ``6x6-W2.9xW2.9``, ``A252``, ``SL82``."""

import math
from collections.abc import Mapping
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.standards.astm_a1064 import STYLES, Mesh, mesh_of_style
from slabwright.standards.bars import STEEL_DENSITY_KG_M3

BS_4483 = Source("BS 4483:2005", "Steel fabric for the reinforcement of concrete")
FABRICS = Clause(BS_4483, "Table 1, square mesh; A142 to A252 seen quoted", Basis.QUOTED)
AS_NZS_4671 = Source("AS/NZS 4671", "Steel reinforcing materials, square mesh SL")
SQUARE_MESH = Clause(AS_NZS_4671, "square mesh at 200 mm", Basis.MEMORY)

# name: wire mm; all at 200 mm both ways
_WIRES_MM: Mapping[str, float] = MappingProxyType(
    {
        "A98": 5.0, "A142": 6.0, "A193": 7.0, "A252": 8.0, "A393": 10.0,
        "SL52": 4.75, "SL62": 6.0, "SL72": 6.75, "SL82": 7.6, "SL92": 8.6, "SL102": 9.5,
    }
)  # fmt: skip
_SPACING_M = 0.2


@published("mesh", STYLES)
def mesh(*, style: str) -> Mesh:
    """Wires, spacing, steel and mass of a mesh.

    Parameters
    ----------
    style : str
        ``6x6-W2.9xW2.9`` and the like, ``A98`` to ``A393``, ``SL52`` to ``SL102``.

    Returns
    -------
    Mesh
        [m], [m²/m], [kg/m²]

    Raises
    ------
    OutOfRange
        For a style that is not known.
    """
    name = style.strip().upper().replace(" ", "")
    if name not in _WIRES_MM:
        try:
            return mesh_of_style(style=style)
        except OutOfRange as unknown:
            if "smaller wire" in str(unknown):
                raise
            raise OutOfRange(f'"{style}" is no mesh that is made; write "6x6-W2.9xW2.9", "A252" or "SL82".') from None
    diameter = _WIRES_MM[name] / 1000
    area = math.pi * diameter**2 / 4 / _SPACING_M
    return Mesh(
        name=name,
        wire_diameter_m=diameter,
        cross_wire_diameter_m=diameter,
        wire_spacing_m=_SPACING_M,
        cross_wire_spacing_m=_SPACING_M,
        area_m2_m=area,
        cross_area_m2_m=area,
        mass_kg_m2=2 * area * STEEL_DENSITY_KG_M3,
    )
