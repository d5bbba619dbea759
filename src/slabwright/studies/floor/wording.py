"""Values of the floor in words, each in the unit that suits it."""

from slabwright.studies.floor.reading import Figure
from slabwright.units import DIMENSIONS, Family, format_quantity

BENDING = ("pa", "psi", "MPa")
GROUND = ("pa", "psf", "kPa")
MOVEMENT = ("m", "mil", "mm")
"""Suffix, and the written unit for US and SI."""
_NEXT_TO_NOTHING = 1e-4


def unit_of(kind: tuple[str, str, str], family: Family) -> str:
    """The written unit of a kind of figure."""
    return kind[1] if family is Family.US else kind[2]


def value_text(figure: Figure, family: Family) -> str:
    """A headline figure with its unit: tension in psi or MPa, ground in psf or kPa, movements in mils or millimetres."""
    if figure.suffix:
        kind = MOVEMENT if figure.suffix == "m" else GROUND if "ground" in figure.name else BENDING
        return format_quantity(figure.value, DIMENSIONS[figure.suffix], family, unit=unit_of(kind, family), digits=3)
    if "share" in figure.name:
        return f"{100.0 * figure.value:.0f} %"
    return f"1/{1.0 / figure.value:,.0f}" if figure.value > _NEXT_TO_NOTHING else "below 1/10,000"
