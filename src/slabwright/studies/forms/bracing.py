"""One run of edge form: what presses on it, what its board, stakes and kickers carry, and the spacing that holds."""

from dataclasses import dataclass

from slabwright.model.supply import Forms
from slabwright.results.check import Check
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.standards import aci_347r, form_bracing
from slabwright.units import INCH_M, LENGTH, POUND_FORCE_N, PSI_PA, Family, format_quantity

NDS_2018 = Source("NDS 2018", "National Design Specification for Wood Construction, supplement, 2018")
LUMBER = Clause(NDS_2018, "Table 4A, spruce-pine-fir No.2, flat use, wet, short duration", Basis.MEMORY)
FORM_DEFLECTION = practice("top of form out of line by no more than 1/8 in. (3 mm)")
STAKE_SAFETY = practice("safety factor 1.5 on stakes in the ground")
NAIL_HOLD = practice("what two nails and a stake hold against lifting")

BENDING_PA = 875 * 1.25 * 0.85 * 1.15 * PSI_PA
"""Reference 875 psi x 1.25 short duration x 0.85 wet x 1.15 flat use. [Pa]"""
SHEAR_PA = 135 * 1.25 * 0.97 * PSI_PA
"""Reference 135 psi x 1.25 short duration x 0.97 wet. [Pa]"""
MODULUS_PA = 1.4e6 * 0.9 * PSI_PA
"""Reference 1,400,000 psi x 0.9 wet. [Pa]"""
DEFLECTION_M = INCH_M / 8
SAFETY_FACTOR = 1.5
KICKER_SHARE = 2 / 3
"""Kickers are set at two thirds of the form's height; common practice, no source."""
KICKER_ABOVE_M = 6 * INCH_M
"""Forms standing higher above ground than this get a kicker at each stake; common practice, no source."""
_TOE_KEPT_BY_SOIL_N = 300 * POUND_FORCE_N
"""What the stake's foot and soil banked against the board hold at the toe; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormRun:
    """A run of form of one height.

    Attributes
    ----------
    name : str
    height_m, length_m : float
        Of concrete against the board; along it. [m]
    stake_spacing_m : float
    kickers : bool
    checks : tuple of Check
    thrust_n_m : float
        Full liquid thrust. [N/m]
    uplift_n : float
        That a kicker puts on the form at each stake. [N]
    """

    name: str
    height_m: float
    length_m: float
    stake_spacing_m: float
    kickers: bool
    checks: tuple[Check, ...]
    thrust_n_m: float
    uplift_n: float

    @property
    def n_stakes(self) -> int:
        """Stakes along the run, one more than spaces."""
        return int(self.length_m / self.stake_spacing_m + 0.999) + 1


def usual_spacing_m(height_m: float) -> float:
    """Widest stake spacing of the trade: 32 in. for 4 in. of concrete, 24 in. from 12 in. on; common practice, no source. [m]"""
    share = min(max((height_m / INCH_M - 4) / 8, 0.0), 1.0)
    return (32 - 8 * share) * INCH_M


def braced_run(name: str, height_m: float, length_m: float, forms: Forms, unit_weight_kg_m3: float, family: Family) -> FormRun:
    """A run with the spacing stated in the job, or the widest step that is usual and holds; kickers where forms stand high.

    Parameters
    ----------
    name : str
    height_m, length_m : float
        [m]
    forms : Forms
    unit_weight_kg_m3 : float
        Of fresh concrete. [kg/m³]
    family : Family
        Spacings are whole steps of 2 in. or of 50 mm.
    """
    step_m = 2 * INCH_M if family is Family.US else 0.05
    kickers = height_m > KICKER_ABOVE_M
    widest = max(int(usual_spacing_m(height_m) / step_m + 1e-6), 1)
    tried = [forms.stake_spacing_m] if forms.stake_spacing_m else [step_m * n for n in range(widest, 0, -1)]
    runs = [_run(name, height_m, length_m, spacing, kickers, forms, unit_weight_kg_m3, family) for spacing in tried]
    return next((run for run in runs if all(check.ratio <= 1.0 for check in run.checks)), runs[-1])


def _run(
    name: str, height_m: float, length_m: float, spacing_m: float, kickers: bool, forms: Forms, unit_weight_kg_m3: float, family: Family
) -> FormRun:
    work = Working()
    thrust = aci_347r.form_thrust_n_m(height_m=height_m, unit_weight_kg_m3=unit_weight_kg_m3, working=work)
    board_work = Working(list(work.steps))
    board = form_bracing.form_board(
        thrust_n_m=thrust,
        stake_spacing_m=spacing_m,
        board_height_m=height_m,
        board_thickness_m=forms.board_thickness_m,
        elastic_modulus_pa=MODULUS_PA,
        working=board_work,
    )
    steps = tuple(board_work.steps)
    where = f"{name}, stakes {format_quantity(spacing_m, LENGTH, family)} apart"
    checks = []
    if forms.material == "lumber":
        checks = [
            Check(
                key=f"{name}.bending",
                name="Board in bending",
                where=where,
                demand=board.stress_pa,
                capacity=BENDING_PA,
                suffix="pa",
                clause=LUMBER,
                method=form_bracing.BEAM_FORMULAS,
                steps=steps,
                remedy="Stakes closer together, or a thicker board.",
            ),
            Check(
                key=f"{name}.shear",
                name="Board in shear",
                where=where,
                demand=board.shear_pa,
                capacity=SHEAR_PA,
                suffix="pa",
                clause=LUMBER,
                method=form_bracing.BEAM_FORMULAS,
                steps=steps,
                remedy="Stakes closer together.",
            ),
        ]
    checks.append(
        Check(
            key=f"{name}.line",
            name="Board out of line between stakes",
            where=where,
            demand=board.deflection_m,
            capacity=DEFLECTION_M,
            suffix="m",
            clause=FORM_DEFLECTION,
            method=form_bracing.BEAM_FORMULAS,
            steps=steps,
            remedy="Stakes closer together.",
        )
    )
    hold, uplift = _held(name, where, height_m, spacing_m, thrust, kickers, forms)
    return FormRun(
        name=name,
        height_m=height_m,
        length_m=length_m,
        stake_spacing_m=spacing_m,
        kickers=kickers,
        checks=(*checks, hold),
        thrust_n_m=thrust,
        uplift_n=uplift,
    )


def _held(name: str, where: str, height_m: float, spacing_m: float, thrust_n_m: float, kickers: bool, forms: Forms) -> tuple[Check, float]:
    """Stakes alone against turning over, or the stake's foot once a kicker takes the top; and the lift of the kicker."""
    work = Working()
    ultimate = form_bracing.stake_capacity_n(
        width_m=forms.stake_width_m, embedment_m=forms.stake_embedment_m, load_height_m=0.0 if kickers else height_m / 3, working=work
    )
    remedy = "Longer stakes, stakes closer together, or soil banked against the foot of the form."
    if not kickers:
        demand = thrust_n_m * spacing_m
        check = Check(
            key=f"{name}.stake",
            name="Stake in the ground",
            where=where,
            demand=demand,
            capacity=ultimate / SAFETY_FACTOR,
            suffix="n",
            clause=form_bracing.STAKE,
            method=STAKE_SAFETY,
            steps=tuple(work.steps),
            spread=0.3,
            remedy=remedy,
        )
        return check, 0.0
    forces = form_bracing.kicker(
        thrust_n_m=thrust_n_m, form_height_m=height_m, kicker_height_m=KICKER_SHARE * height_m, spacing_m=spacing_m, working=work
    )
    check = Check(
        key=f"{name}.toe",
        name="Foot of the form at a stake",
        where=where,
        demand=forces.toe_n,
        capacity=ultimate / SAFETY_FACTOR + _TOE_KEPT_BY_SOIL_N,
        suffix="n",
        clause=form_bracing.STAKE,
        method=form_bracing.KICKER,
        steps=tuple(work.steps),
        spread=0.3,
        remedy=remedy,
    )
    return check, forces.uplift_n
