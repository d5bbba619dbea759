"""EN 1992-1-1, 8.7.5: laps of welded mesh."""

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause
from slabwright.standards.en_1992_1_1 import EN_1992_1_1

SECONDARY_LAP = Clause(EN_1992_1_1, "Table 8.4, laps of secondary wires", Basis.MEMORY)

# largest wire mm, least lap mm, whole spaces
_LAPS = ((6.0, 150.0, 1), (8.5, 250.0, 2), (12.0, 350.0, 2))


@published("lap-of-mesh-en", SECONDARY_LAP, validity="Secondary wires; mesh that only holds cracks, wires up to 12 mm.")
def lap_of_mesh_m(*, wire_diameter_m: float, cross_wire_spacing_m: float) -> float:
    """Lap of two sheets of welded mesh that distributes cracks.

    Parameters
    ----------
    wire_diameter_m : float
        Of the lapped wires. [m]
    cross_wire_spacing_m : float
        Between the wires across them. [m]

    Returns
    -------
    float
        The least length of the table, and at least one or two spaces. [m]

    Raises
    ------
    OutOfRange
        For thicker wires than the table has.
    """
    for largest_mm, least_mm, spaces in _LAPS:
        if wire_diameter_m * 1000 <= largest_mm + 1e-9:
            return max(least_mm / 1000, spaces * cross_wire_spacing_m)
    raise OutOfRange("the table of mesh laps ends at wires of 12 mm; ask the engineer for the lap.")
