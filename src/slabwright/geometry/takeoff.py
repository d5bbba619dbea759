"""What is read off the shape for the order: volumes by part, contact areas, form faces, digging and base."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from slabwright.geometry.soffit import integrals

if TYPE_CHECKING:
    from slabwright.geometry.foundation import Foundation, Part, PartKind


@dataclass(frozen=True, slots=True)
class PartVolume:
    """What one part adds to the concrete.

    Attributes
    ----------
    part : Part
    inside_m3 : float
        Within the form line, beyond the parts attributed before it. [m³]
    outside_m3 : float
        Outside the form line. [m³]
    """

    part: "Part"
    inside_m3: float
    outside_m3: float


@dataclass(frozen=True, slots=True)
class Volumes:
    """Concrete by part, overlaps counted once."""

    parts: tuple[PartVolume, ...]

    @property
    def total_m3(self) -> float:
        """All concrete. [m³]"""
        return sum(one.inside_m3 + one.outside_m3 for one in self.parts)

    @property
    def outside_m3(self) -> float:
        """Concrete outside the form line. [m³]"""
        return sum(one.outside_m3 for one in self.parts)

    def of_kind_m3(self, kind: "PartKind") -> float:
        """What all parts of a kind add within the form line. [m³]"""
        return sum(one.inside_m3 for one in self.parts if one.part.kind is kind)


def volumes(foundation: "Foundation") -> Volumes:
    """Volume by part; see :class:`~slabwright.geometry.foundation.Foundation` for the order."""
    slab = foundation.parts[0].below
    inside = {**foundation.soffit.added_m3, 0: float(integrals(slab.pieces, slab.planes).sum())}
    outside = foundation.outside.added_m3
    return Volumes(tuple(PartVolume(part, inside.get(k, 0.0), outside.get(k, 0.0)) for k, part in enumerate(foundation.parts)))
