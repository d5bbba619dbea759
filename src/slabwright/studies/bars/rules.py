"""Laps, development, hooks and bends for the bars of a job, by its concrete standard."""

from dataclasses import dataclass

from slabwright.model.job import ConcreteStandard, Job
from slabwright.model.steel import Bars, Face
from slabwright.sources import Basis, Clause, practice
from slabwright.standards import aci_318_19_development as aci
from slabwright.standards import en_1992_1_1_bars as en
from slabwright.standards.aci_318_19 import ACI_318_19
from slabwright.standards.astm_a615 import Bar
from slabwright.standards.bars import bar
from slabwright.standards.en_1992_1_1 import EN_1992_1_1
from slabwright.units import FOOT_M, INCH_M, PSI_PA, Family

MANDREL = Clause(EN_1992_1_1, "Table 8.1N, mandrel 4 diameters to 16 mm, 7 above", Basis.MEMORY)
STOCK = practice("bars come 20, 40 and 60 ft long, or 6 and 12 m; 20 ft and 6 m fit any truck")
STAGGER = practice("laps of neighbouring bars lie a lap apart")
ASSUMED_STRENGTH_PA = 3000 * PSI_PA
DEEP_BELOW_M = 12 * INCH_M
LEAST_CLEAR_M = 1 * INCH_M
CLEAR_SPACING = Clause(ACI_318_19, "25.2.1, 1 in., one diameter, 4/3 of the aggregate", Basis.MEMORY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What holds for one set of bars; lengths in metres.

    Attributes
    ----------
    bar : Bar
    lap_m : float
        Job's own, else the standard's for a full tension lap.
    lap_clause : Clause
    development_m : float
        Straight, full strength.
    hooked_m : float
        With a hook of 90 degrees.
    hook_leg_m : float
        Over the outside.
    bend_diameter_m : float
        Inside.
    development_clause : Clause
    stock_m : tuple of float
        Lengths that can be bought.
    """

    bar: Bar
    lap_m: float
    lap_clause: Clause
    development_m: float
    hooked_m: float
    hook_leg_m: float
    bend_diameter_m: float
    development_clause: Clause
    stock_m: tuple[float, ...]

    @property
    def bend_radius_m(self) -> float:
        """Of the centre line. [m]"""
        return (self.bend_diameter_m + self.bar.diameter_m) / 2


def rules_for(job: Job, asked: Bars, *, concrete_below_m: float = 0.0) -> Rules:
    """Rules of one set of bars.

    Parameters
    ----------
    job : Job
    asked : Bars
    concrete_below_m : float
        Fresh concrete under a top bar. [m]

    Raises
    ------
    OutOfRange
        For a bar that is not made.
    """
    size = bar(size=asked.size)
    strength = job.mix.strength_pa if job.mix is not None else ASSUMED_STRENGTH_PA
    top = asked.face is Face.TOP and concrete_below_m > DEEP_BELOW_M
    stock = tuple(sorted(asked.stock_lengths_m)) or ((20 * FOOT_M,) if job.family is Family.US else (6.0,))
    if job.codes.concrete is ConcreteStandard.EN_1992:
        straight = en.anchorage_length_m(
            bar_diameter_m=size.diameter_m, strength_pa=strength, yield_strength_pa=asked.yield_strength_pa, good_bond=not top
        )
        bend = (4 if size.diameter_m <= 0.0161 else 7) * size.diameter_m
        return Rules(
            bar=size,
            lap_m=asked.lap_m
            or en.lap_length_m(
                bar_diameter_m=size.diameter_m, strength_pa=strength, yield_strength_pa=asked.yield_strength_pa, good_bond=not top
            ),
            lap_clause=en.LAP,
            development_m=straight,
            hooked_m=0.7 * straight,
            hook_leg_m=5 * size.diameter_m + bend / 2 + size.diameter_m,
            bend_diameter_m=bend,
            development_clause=en.ANCHORAGE,
            stock_m=stock,
        )
    hook = aci.hook(bar_diameter_m=size.diameter_m)
    diameter, grade = size.diameter_m, asked.yield_strength_pa
    return Rules(
        bar=size,
        lap_m=asked.lap_m or aci.lap_length_m(bar_diameter_m=diameter, strength_pa=strength, yield_strength_pa=grade, top_bar=top),
        lap_clause=aci.LAP,
        development_m=aci.development_length_m(bar_diameter_m=diameter, strength_pa=strength, yield_strength_pa=grade, top_bar=top),
        hooked_m=aci.hooked_development_length_m(bar_diameter_m=diameter, strength_pa=strength, yield_strength_pa=grade),
        hook_leg_m=hook.outside_m,
        bend_diameter_m=hook.bend_diameter_m,
        development_clause=aci.DEVELOPMENT,
        stock_m=stock,
    )


def clear_spacing_m(job: Job, diameter_m: float) -> float:
    """Least clear distance of parallel bars: 1 in., a diameter, 4/3 of the largest aggregate. [m]"""
    aggregate = job.mix.aggregate_size_m if job.mix is not None else 0.75 * INCH_M
    return max(LEAST_CLEAR_M, diameter_m, 4 / 3 * aggregate)
