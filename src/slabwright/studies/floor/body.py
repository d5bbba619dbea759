"""The slab as a plate: its thickness where it is stiff, its springs, its joints, its concrete."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.errors import MissingInput
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.job import ConcreteStandard, Job
from slabwright.results.working import Working
from slabwright.solvers.plate import Analysis, Focus, Fold, Load, Plate
from slabwright.solvers.plate.reference import Floats
from slabwright.sources import Clause, practice
from slabwright.standards import aci_318_19, en_1992_1_1_flexural
from slabwright.standards.en_1992_1_1_time import STIFFNESS, mean_modulus_pa
from slabwright.standards.joint_transfer import joint_stiffness_pa
from slabwright.studies.floor.ground import FloorGround
from slabwright.units import STANDARD_GRAVITY_M_S2

FACE_INSET = 0.4
"""Where a pad's face is upright its full stiffness starts this many floor thicknesses inside the face."""
FACE_RULE = practice(
    "stiffness of a pad starts 0.4 floor thicknesses inside its upright faces; best fit to five solid models, 0.30 to 0.49"
)
READ_FROM_FACE = 0.5
"""The floor is read from this many of its thicknesses beside thick concrete: nearer, a plate is no model of a step."""
JOINT_EFFICIENCY = 0.75
"""Deflection that a sawn joint passes on while it is held close."""
EFFICIENCY_RULE = practice("a sawn joint held close passes on three quarters of a deflection")
CELL_IN_RADII = 1.5
"""Largest cell of the mesh, in radii of relative stiffness."""
_HAIR_M = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Concrete:
    """What bends and what it may bear.

    Attributes
    ----------
    modulus_pa : float
        [Pa]
    poisson : float
    rupture_pa : float
        Modulus of rupture. [Pa]
    rupture_clause, modulus_clause : Clause
    working : Working
        How the modulus of rupture was found.
    weight_n_m3 : float
        [N/m³]
    """

    modulus_pa: float
    poisson: float
    rupture_pa: float
    rupture_clause: Clause
    modulus_clause: Clause
    working: Working
    weight_n_m3: float


def concrete_of(job: Job) -> Concrete:
    """Stiffness and bending strength by the chosen concrete standard.

    Raises
    ------
    MissingInput
        If the job names no strength.
    """
    if job.mix is None:
        raise MissingInput("the strength of the concrete is not known: add [mix] strength.")
    working, strength = Working(), job.mix.strength_pa
    weight = job.mix.unit_weight_kg_m3 * STANDARD_GRAVITY_M_S2
    if job.codes.concrete is ConcreteStandard.EN_1992:
        if not 12e6 * (1 - 1e-9) <= strength <= 50e6 * (1 + 1e-9):
            raise MissingInput("[mix] strength must be the cylinder strength of a class from C12/15 to C50/60 for EN 1992-1-1.")
        rupture = en_1992_1_1_flexural.flexural_strength_pa(strength_pa=strength, thickness_m=job.floor.thickness_m, working=working)
        return Concrete(
            modulus_pa=mean_modulus_pa(strength_pa=strength), poisson=0.2, rupture_pa=rupture,
            rupture_clause=en_1992_1_1_flexural.FLEXURAL, modulus_clause=STIFFNESS, working=working, weight_n_m3=weight,
        )  # fmt: skip
    rupture = aci_318_19.rupture_modulus_pa(strength_pa=strength, working=working)
    return Concrete(
        modulus_pa=aci_318_19.concrete_modulus_pa(strength_pa=strength), poisson=0.15, rupture_pa=rupture,
        rupture_clause=aci_318_19.RUPTURE, modulus_clause=aci_318_19.MODULUS, working=working, weight_n_m3=weight,
    )  # fmt: skip


@dataclass(frozen=True, eq=False, kw_only=True)
class Body:
    """The slab as the plate solver takes it.

    Attributes
    ----------
    foundation : Foundation
        True shape.
    stiff : Foundation
        The same with upright pads drawn in.
    region : shapely.Polygon
    ground : FloorGround
    concrete : Concrete
    joints : tuple of ((x, y), (x, y))
        Joint lines where they are joints: not over thick concrete.
    """

    foundation: Foundation
    stiff: Foundation
    region: shapely.Polygon
    ground: FloorGround
    concrete: Concrete
    joints: tuple[tuple[tuple[float, float], tuple[float, float]], ...]

    @classmethod
    def of(cls, foundation: Foundation, ground: FloorGround, concrete: Concrete, lines: Sequence[shapely.LineString] = ()) -> "Body":
        """From the shape and the joint lines.

        Raises
        ------
        MissingInput
            If block-outs part the floor.
        """
        region = foundation.region
        if not isinstance(region, shapely.Polygon):
            raise MissingInput("block-outs part the floor in pieces; write each piece as a job of its own.")
        inset = 2.0 * FACE_INSET * foundation.floor.thickness_m
        pads = tuple(
            replace(pad, size_x_m=max(pad.size_x_m - inset, inset), size_y_m=max(pad.size_y_m - inset, inset)) if pad.run == 0.0 else pad
            for pad in foundation.pads
        )
        stiff = Foundation.of(foundation.floor, foundation.edge, foundation.strips, pads) if pads != foundation.pads else foundation
        thick = _thick_of(foundation)
        kept = []
        for line in lines:
            for piece in shapely.get_parts(line.intersection(region).difference(thick)):
                if piece.length > foundation.floor.thickness_m:
                    (start, *_, end) = shapely.get_coordinates(piece)
                    kept.append(((float(start[0]), float(start[1])), (float(end[0]), float(end[1]))))
        return cls(foundation=foundation, stiff=stiff, region=region, ground=ground, concrete=concrete, joints=tuple(kept))

    @cached_property
    def thick(self) -> BaseGeometry:
        """Plan of everything deeper than the floor, sloped faces included."""
        return _thick_of(self.foundation)

    @property
    def floor_m(self) -> float:
        """Design thickness of the floor. [m]"""
        return self.foundation.floor.thickness_m

    @property
    def relative_stiffness_m(self) -> float:
        """Radius of relative stiffness of the floor. [m]"""
        c = self.concrete
        bending = c.modulus_pa * self.floor_m**3 / (12.0 * (1.0 - c.poisson**2))
        return float((bending / self.ground.floor_pa_m) ** 0.25)

    def depth_at(self, points: Floats) -> Floats:
        """True thickness, for weight. [m]"""
        return _filled(self.foundation, points)

    def analysed(
        self, near: Sequence[Load] = (), *, foci: Sequence[Focus] = (), efficiency: float = JOINT_EFFICIENCY, flush: bool = True,
        within: shapely.Polygon | None = None,
    ) -> Analysis:  # fmt: skip
        """The plate meshed, with a second solution of lower order on the same lines to tell how far the first is out."""
        plate = self.plate(efficiency=efficiency, flush=flush, within=within)
        return Analysis(plate, near, size=CELL_IN_RADII * self.relative_stiffness_m, foci=foci, lower=True)

    def plate(self, *, efficiency: float = JOINT_EFFICIENCY, flush: bool = True, within: shapely.Polygon | None = None) -> Plate:
        """The plate with its joints.

        Parameters
        ----------
        efficiency : float
            Share of a deflection that a joint passes on; 0 for free edges, 1 for no joints at all.
        flush : bool
            False for the quick mode with one middle plane.
        within : shapely.Polygon, optional
            Only that part of the floor, cut free.
        """
        stiff, floor, ground = self.stiff, self.floor_m, self.ground

        def spring(points: Floats) -> Floats:
            deep = _filled(self.foundation, points) > floor + _HAIR_M
            return np.where(deep, ground.thick_pa_m, ground.floor_pa_m)

        edges = [area for part in stiff.parts if part.kind is not PartKind.FLOOR for area in (part.skirt, part.bottom)]
        edges += [shapely.Polygon(one.within) for one in self.foundation.floor.thickness_regions]
        return Plate(
            outline=self.region if within is None else within,
            thickness=lambda points: _filled(stiff, points),
            modulus=self.concrete.modulus_pa,
            poisson=self.concrete.poisson,
            spring=spring if ground.thick_pa_m != ground.floor_pa_m else ground.floor_pa_m,
            folds=() if efficiency >= 1.0 else self._folds(efficiency, within),
            flush=flush,
            lines=[*(area for area in edges if not area.is_empty), *self._read_lines()],
        )

    def _read_lines(self) -> Iterator[shapely.LineString]:
        """Where the floor is first read beside thick concrete, so that cells end there; straight runs along an axis alone."""
        around = self.thick.buffer(READ_FROM_FACE * self.floor_m, join_style="mitre")
        for ring in shapely.get_rings(shapely.get_parts(around)):
            for start, end in pairwise(shapely.get_coordinates(ring)):
                if np.abs(start - end).min() < _HAIR_M:
                    yield shapely.LineString([start, end])

    def _folds(self, efficiency: float, within: shapely.Polygon | None) -> tuple[Fold, ...]:
        shear = 0.0
        if efficiency > 0.0:
            shear = joint_stiffness_pa(
                efficiency=efficiency, subgrade_modulus_pa_m=self.ground.floor_pa_m, relative_stiffness_m=self.relative_stiffness_m
            )
        found = []
        for start, end in self.joints:
            if abs(start[0] - end[0]) < _HAIR_M or abs(start[1] - end[1]) < _HAIR_M:
                line = shapely.LineString([start, end])
                piece = line if within is None else line.intersection(within)
                if piece.length > self.floor_m:
                    first, *_, last = shapely.get_coordinates(piece)
                    found.append(_fold((float(first[0]), float(first[1])), (float(last[0]), float(last[1])), shear))
        return tuple(found)

    def thinner(self, by_m: float) -> "Body":
        """The same with a floor that came out thinner; thickened parts keep their depth."""
        floor = replace(
            self.foundation.floor, thickness_m=self.floor_m - by_m,
            thickness_regions=tuple(replace(one, thickness_m=one.thickness_m - by_m) for one in self.foundation.floor.thickness_regions),
        )  # fmt: skip
        shape = self.foundation
        foundation = Foundation.of(floor, shape.edge, shape.strips, shape.pads)
        stiff = Foundation.of(floor, shape.edge, shape.strips, self.stiff.pads)
        return replace(self, foundation=foundation, stiff=stiff)


def _fold(start: tuple[float, float], end: tuple[float, float], shear: float) -> Fold:
    """A joint set exactly along its axis."""
    if abs(start[0] - end[0]) < abs(start[1] - end[1]):
        return Fold(start=start, end=(start[0], end[1]), shear=shear)
    return Fold(start=start, end=(end[0], start[1]), shear=shear)


def _thick_of(foundation: Foundation) -> BaseGeometry:
    return shapely.union_all([part.skirt for part in foundation.parts if part.kind is not PartKind.FLOOR])


def _filled(foundation: Foundation, points: Floats) -> Floats:
    """Thickness, with the floor's own where a point falls between the pieces of the shape."""
    found = np.array(foundation.thickness_m(points), dtype=float)
    found[found <= 0.0] = foundation.floor.thickness_m
    return found
