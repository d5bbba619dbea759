"""Figures as the basis of a line tells them."""

from dataclasses import dataclass

from slabwright.units import AREA, LENGTH, MASS, VOLUME, Family, format_quantity


@dataclass(frozen=True, slots=True)
class Words:
    """Quantities in the units a person of one family reads, three digits long."""

    family: Family

    @property
    def is_us(self) -> bool:
        """True for US customary units."""
        return self.family is Family.US

    def either(self, us_m: float, si_m: float) -> float:
        """A rule of thumb in the round figures of one family. [m]"""
        return us_m if self.is_us else si_m

    def volume(self, value_m3: float, digits: int = 3) -> str:
        """Concrete, stone and soil."""
        return format_quantity(value_m3, VOLUME, self.family, digits=digits)

    def area(self, value_m2: float) -> str:
        """Floors and faces."""
        return format_quantity(value_m2, AREA, self.family, digits=4)

    def size(self, value_m: float) -> str:
        """Thicknesses and depths."""
        return format_quantity(value_m, LENGTH, self.family)

    def run(self, value_m: float) -> str:
        """Long lengths, in whole feet or metres."""
        return format_quantity(value_m, LENGTH, self.family, unit="ft" if self.is_us else "m", digits=4)

    def mass(self, value_kg: float) -> str:
        """Steel and stone."""
        return format_quantity(value_kg, MASS, self.family, digits=4)
