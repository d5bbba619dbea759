"""The section of a thickened edge or strip: weight, stiffness, what it can carry in bending and shear."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.model.concrete import Edge, Strip
from slabwright.model.job import ConcreteStandard, Job
from slabwright.model.steel import Bars, Face, Zone
from slabwright.results.working import Working
from slabwright.sources import Clause
from slabwright.standards import aci_318_19, en_1992_1_1
from slabwright.standards import aci_318_19_flexure as aci_flexure
from slabwright.standards import aci_318_19_plain as aci_plain
from slabwright.standards.bars import bar
from slabwright.units import STANDARD_GRAVITY_M_S2

DEFAULT_UNIT_WEIGHT_KG_M3 = 2400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceBars:
    """Longitudinal bars near one face. [m²], [m], [Pa]"""

    name: str
    n_bars: int
    diameter_m: float
    area_m2: float
    cover_m: float
    yield_strength_pa: float
    lap_m: float | None


@dataclass(frozen=True, slots=True)
class Bending:
    """Bending strength with what it rests on. [N·m]"""

    capacity_nm: float
    clause: Clause
    reinforced: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeSection:
    """Rectangle of the bottom width and the overall depth; the floor beside it and the slope are left out of strength.

    Attributes
    ----------
    name : str
    width_m, depth_m, below_floor_m2, strength_pa, density_kg_m3
        [m], [m²], [Pa], [kg/m³]
    bottom, top : FaceBars or None
    standard : ConcreteStandard
    """

    name: str
    width_m: float
    depth_m: float
    below_floor_m2: float
    strength_pa: float
    density_kg_m3: float
    bottom: FaceBars | None
    top: FaceBars | None
    standard: ConcreteStandard

    @property
    def own_weight_n_m(self) -> float:
        """Of the rectangle. [N/m]"""
        return self.width_m * self.depth_m * self.unit_weight_n_m3

    @property
    def unit_weight_n_m3(self) -> float:
        """Of the concrete. [N/m³]"""
        return self.density_kg_m3 * STANDARD_GRAVITY_M_S2

    @property
    def stiffness_nm2(self) -> float:
        """Bending stiffness, uncracked. [N·m²]"""
        return self.modulus_pa * self.width_m * self.depth_m**3 / 12

    @property
    def modulus_pa(self) -> float:
        """Modulus of the concrete. [Pa]"""
        if self.standard is ConcreteStandard.EN_1992:
            return en_1992_1_1.concrete_modulus_pa(strength_pa=self.strength_pa)
        return aci_318_19.concrete_modulus_pa(strength_pa=self.strength_pa)

    def bending(self, face: Face, working: Working | None = None) -> Bending:
        """The better of plain and reinforced strength with tension at one face. [N·m]"""
        plain, steel = self._plain_nm(Working()), self._reinforced_nm(face, Working())
        reinforced = steel is not None and steel > plain
        if working is not None:
            _ = self._reinforced_nm(face, working) if reinforced else self._plain_nm(working)
        if self.standard is ConcreteStandard.EN_1992:
            clause = en_1992_1_1.FLEXURE if reinforced else en_1992_1_1.PLAIN_FLEXURE
        else:
            clause = aci_flexure.FLEXURE if reinforced else aci_plain.FLEXURE
        return Bending(steel if reinforced and steel is not None else plain, clause, reinforced)

    def _plain_nm(self, working: Working) -> float:
        if self.standard is ConcreteStandard.EN_1992:
            return en_1992_1_1.plain_flexure_nm(
                strength_pa=self.strength_pa, width_m=self.width_m, thickness_m=self.depth_m, working=working
            )
        return aci_plain.flexure_capacity_nm(strength_pa=self.strength_pa, width_m=self.width_m, thickness_m=self.depth_m, working=working)

    def _reinforced_nm(self, face: Face, working: Working) -> float | None:
        bars = self.bottom if face is Face.BOTTOM else self.top
        if bars is None:
            return None
        depth = self.depth_m - bars.cover_m - bars.diameter_m / 2
        if depth <= 0:
            return None
        given = {"strength_pa": self.strength_pa, "width_m": self.width_m, "depth_m": depth, "steel_area_m2": bars.area_m2}
        if self.standard is ConcreteStandard.EN_1992:
            return en_1992_1_1.flexure(**given, yield_strength_pa=bars.yield_strength_pa, working=working).capacity_nm
        return aci_flexure.flexure(**given, yield_strength_pa=bars.yield_strength_pa, working=working).capacity_nm

    @property
    def hang_m(self) -> float:
        """How far the edge can stand out from a pad that is lifted, under 1.2 times its own weight below the floor. [m]"""
        own = 1.2 * self.below_floor_m2 * self.density_kg_m3 * STANDARD_GRAVITY_M_S2
        return math.sqrt(2 * self.bending(Face.TOP).capacity_nm / own) if own > 0 else 0.0

    @property
    def hangs_by(self) -> str:
        """What carries it where it hangs."""
        return f"its top bars ({self.top.n_bars} {self.top.name})" if self.bending(Face.TOP).reinforced and self.top else "plain concrete"


def edge_section(job: Job, edge: Edge) -> EdgeSection:
    """Section of the perimeter edge."""
    drop = max(0.0, edge.depth_m - job.floor.thickness_m)
    return EdgeSection(
        name="edge", width_m=edge.width_m, depth_m=edge.depth_m, below_floor_m2=edge.width_m * drop + edge.run * drop**2 / 2,
        strength_pa=job.mix.strength_pa if job.mix else 0.0, density_kg_m3=density_kg_m3(job), standard=job.codes.concrete,
        bottom=face_bars(job.bars, Zone.EDGE, Face.BOTTOM), top=face_bars(job.bars, Zone.EDGE, Face.TOP),
    )  # fmt: skip


def strip_section(job: Job, strip: Strip) -> EdgeSection:
    """Section of an interior strip; both its sides slope."""
    drop = max(0.0, strip.depth_m - job.floor.thickness_m)
    return EdgeSection(
        name=strip.name, width_m=strip.width_m, depth_m=strip.depth_m, below_floor_m2=strip.width_m * drop + strip.run * drop**2,
        strength_pa=job.mix.strength_pa if job.mix else 0.0, density_kg_m3=density_kg_m3(job), standard=job.codes.concrete,
        bottom=face_bars(job.bars, Zone.STRIPS, Face.BOTTOM, strip.name), top=face_bars(job.bars, Zone.STRIPS, Face.TOP, strip.name),
    )  # fmt: skip


def density_kg_m3(job: Job) -> float:
    """Of the concrete. [kg/m³]"""
    return job.mix.unit_weight_kg_m3 if job.mix is not None else DEFAULT_UNIT_WEIGHT_KG_M3


def face_bars(bars: Sequence[Bars], zone: Zone, face: Face, name: str = "") -> FaceBars | None:
    """Longitudinal bars of a zone near one face; None where there are none."""
    own = [one for one in bars if one.zone is zone and one.face is face and one.n_bars and (not one.only or name in one.only)]
    if not own:
        return None
    first = own[0]
    size = bar(size=first.size)
    count = first.n_bars or 0
    return FaceBars(
        name=first.size, n_bars=count, diameter_m=size.diameter_m, area_m2=count * size.area_m2, cover_m=first.cover_m,
        yield_strength_pa=first.yield_strength_pa, lap_m=first.lap_m,
    )  # fmt: skip
