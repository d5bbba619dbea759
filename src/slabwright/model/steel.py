"""Mesh and bars, by zone."""

from dataclasses import dataclass
from enum import Enum


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """Welded wire reinforcement of the floor.

    Attributes
    ----------
    style : str
        As its standard writes it: ``6x6-W2.9xW2.9``, ``A252``.
    sheet_length_m, sheet_width_m : float
        A roll is a long sheet. [m]
    roll : bool
    lap_m : float
        Overlap of sheets, outside wire to outside wire. [m]
    cover_m : float
        From the top of the floor. [m]
    chair_spacing_m : float or None
    cut_out : tuple of str
        Pads over which the mesh is cut out, by name; it runs on over all others.
    """

    style: str
    sheet_length_m: float = 6.096
    sheet_width_m: float = 2.4384
    roll: bool = False
    lap_m: float = 0.2032
    cover_m: float = 0.0508
    chair_spacing_m: float | None = None
    cut_out: tuple[str, ...] = ()


class Zone(Enum):
    """Where bars lie."""

    EDGE = "edge"
    PADS = "pads"
    STRIPS = "strips"
    FLOOR = "floor"
    RE_ENTRANT = "re-entrant corners"
    BLOCK_OUTS = "block-outs"
    JOINT_DOWELS = "joint dowels"
    TIES = "ties"


class Face(Enum):
    """Which face of the section a bar is near."""

    TOP = "top"
    BOTTOM = "bottom"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """A set of like bars in one zone.

    Attributes
    ----------
    zone : Zone
    size : str
        As its standard writes it: ``No.4``, ``H12``.
    face : Face
    n_bars : int or None
        Count: along the edge or strip in the section; each way in a pad; per corner elsewhere.
    spacing_m : float or None
        Instead of a count. [m]
    length_m : float or None
        Of corner, dowel and tie bars. [m]
    cover_m : float
    lap_m : float or None
        None for the standard's own.
    stock_lengths_m : tuple of float
        Lengths that can be bought; empty for the defaults of the unit family. [m]
    yield_strength_pa : float
    only : tuple of str
        Names of pads or strips they belong to; empty for all.
    """

    zone: Zone
    size: str
    face: Face = Face.BOTTOM
    n_bars: int | None = None
    spacing_m: float | None = None
    length_m: float | None = None
    cover_m: float = 0.0762
    lap_m: float | None = None
    stock_lengths_m: tuple[float, ...] = ()
    yield_strength_pa: float = 413.7e6
    only: tuple[str, ...] = ()
