"""One run of edge form: what presses on it, what its form, stakes and kickers carry, and the spacing that holds."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

from slabwright.model.supply import Forms
from slabwright.results.check import Check
from slabwright.results.working import Step, Working
from slabwright.sources import practice
from slabwright.standards import aci_347r, form_bracing
from slabwright.studies.forms.ground import StakeGround
from slabwright.studies.forms.section import Rail, rail
from slabwright.units import FORCE, INCH_M, LENGTH, POUND_FORCE_N, Family, format_quantity

FORM_DEFLECTION = practice("top of form out of line by no more than 1/8 in. (3 mm)")
FORM_SETTING = practice("a setting: tolerances.form_settlement")
STAKE_SAFETY = practice("safety factor 1.5 on stakes in the ground")
SCREED = practice("one end of a screed and the man who pulls it lean on the form with 150 lb (0.67 kN)")

DEFLECTION_M = INCH_M / 8
SAFETY_FACTOR = 1.5
KICKER_SHARE = 2 / 3
"""Kickers are set at two thirds of the form's height; common practice, no source."""
KICKER_ABOVE_M = 6 * INCH_M
"""Forms standing higher above ground than this get a kicker at each stake; common practice, no source."""
DEEPEST_STAKE_M = 36 * INCH_M
"""A four-foot stake, driven; common practice, no source."""
SCREED_N = 150 * POUND_FORCE_N
_TOE_KEPT_BY_SOIL_N = 300 * POUND_FORCE_N
"""What the stake's foot and soil banked against the board hold at the toe; common practice, no source."""
_LEAST_STAKE_M = {Family.US: 12 * INCH_M, Family.SI: 0.3}
"""Whatever the reckoning says: the top of the ground is the least sure of it; common practice, no source."""
_STEP_M = {Family.US: 2 * INCH_M, Family.SI: 0.05}
_STEP_N = {Family.US: 10 * POUND_FORCE_N, Family.SI: 50.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class FormRun:
    """A run of form of one height.

    Attributes
    ----------
    name : str
    height_m : float
        Of concrete against the form. [m]
    sides_m : tuple of float
        Its straight lengths. [m]
    stake_spacing_m : float
    kickers : bool
    kicker_embedment_m : float
        Of the stake at a kicker's foot; nought without kickers. [m]
    checks : tuple of Check
    thrust_n_m : float
        Full liquid thrust. [N/m]
    uplift_n : float
        That a kicker puts on the form at each stake. [N]
    hold_down_n : float
        Needed at each stake beside the form's weight and the stake itself, in whole steps; nought where none is. [N]
    """

    name: str
    height_m: float
    sides_m: tuple[float, ...]
    stake_spacing_m: float
    kickers: bool
    kicker_embedment_m: float
    checks: tuple[Check, ...]
    thrust_n_m: float
    uplift_n: float
    hold_down_n: float

    @property
    def length_m(self) -> float:
        """Of all sides. [m]"""
        return sum(self.sides_m)

    @property
    def n_stakes(self) -> int:
        """Stakes along the run."""
        return sum(stakes_along(side, self.stake_spacing_m) for side in self.sides_m)


def stakes_along(side_m: float, spacing_m: float) -> int:
    """Stakes of one side: at both ends, and no farther apart than the spacing."""
    return math.ceil(side_m / spacing_m - 1e-6) + 1


def usual_spacing_m(height_m: float) -> float:
    """Widest stake spacing of the trade: 32 in. for 4 in. of concrete, 24 in. from 12 in. on; common practice, no source. [m]"""
    share = min(max((height_m / INCH_M - 4) / 8, 0.0), 1.0)
    return (32 - 8 * share) * INCH_M


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What is the same for every run of a job.

    Attributes
    ----------
    forms : Forms
    ground : StakeGround
        What the stakes stand in.
    unit_weight_kg_m3 : float
        Of fresh concrete. [kg/m³]
    top_tolerance_m : float
        How far the top of a form may go down. [m]
    family : Family
        Spacings are whole steps of 2 in. or of 50 mm.
    """

    forms: Forms
    ground: StakeGround
    unit_weight_kg_m3: float
    top_tolerance_m: float
    family: Family


def braced_run(name: str, height_m: float, sides_m: Sequence[float], setting: Setting) -> FormRun:
    """A run with the spacing stated in the job, or the widest step that is usual and holds.

    Kickers stand at each stake where forms stand high, and where stakes alone would stand closer than half the usual spacing. Where no
    spacing holds, the usual one with the checks that say what is to be changed.

    Parameters
    ----------
    name : str
    height_m : float
        [m]
    sides_m : sequence of float
        Straight lengths of the run. [m]
    setting : Setting

    Raises
    ------
    MissingInput
        If a steel form's section is not stated.
    """
    step_m = _STEP_M[setting.family]
    widest = max(int(usual_spacing_m(height_m) / step_m + 1e-6), 1)
    stated = setting.forms.stake_spacing_m
    tried = [stated] if stated else [step_m * n for n in range(widest, 0, -1)]
    low = height_m <= KICKER_ABOVE_M
    alone = [(spacing, False) for spacing in tried if low and 2 * spacing >= tried[0]]
    ways = [*alone, *((spacing, True) for spacing in tried)]
    first = _run(name, height_m, tuple(sides_m), *ways[0], setting)
    runs = chain([first], (_run(name, height_m, tuple(sides_m), *one, setting) for one in ways[1:]))
    return next((run for run in runs if all(check.ratio <= 1.0 for check in run.checks)), first)


def _run(name: str, height_m: float, sides_m: tuple[float, ...], spacing_m: float, kickers: bool, setting: Setting) -> FormRun:
    where = f"{name}, stakes {format_quantity(spacing_m, LENGTH, setting.family)} apart"
    work = Working()
    thrust = aci_347r.form_thrust_n_m(height_m=height_m, unit_weight_kg_m3=setting.unit_weight_kg_m3, working=work)
    found = rail(setting.forms, thrust, spacing_m, height_m, work)
    checks = _carried(name, where, found, tuple(work.steps))
    if found.upright_nm2 is not None:
        checks.append(_under_the_screed(name, where, found.upright_nm2, spacing_m, setting.top_tolerance_m))
    held, uplift, depth = (_kicked if kickers else _staked)(name, where, height_m, spacing_m, thrust, setting)
    down, hold_down = _kept_down(name, where, uplift, height_m, spacing_m, found, setting)
    return FormRun(
        name=name, height_m=height_m, sides_m=sides_m, stake_spacing_m=spacing_m, kickers=kickers, kicker_embedment_m=depth,
        checks=(*checks, *held, *down), thrust_n_m=thrust, uplift_n=uplift, hold_down_n=hold_down,
    )  # fmt: skip


def _carried(name: str, where: str, found: Rail, steps: tuple[Step, ...]) -> list[Check]:
    """Bending, shear and line of the form between stakes."""
    closer = "Stakes closer together"
    return [
        Check(
            key=f"{name}.bending", name=f"{found.name} in bending", where=where, demand=found.found.stress_pa, capacity=found.bending_pa,
            suffix="pa", clause=found.clause, method=form_bracing.BEAM_FORMULAS, steps=steps, remedy=f"{closer}, or a stiffer form.",
        ),
        Check(
            key=f"{name}.shear", name=f"{found.name} in shear", where=where, demand=found.found.shear_pa, capacity=found.shear_pa,
            suffix="pa", clause=found.clause, method=form_bracing.BEAM_FORMULAS, steps=steps, remedy=f"{closer}.",
        ),
        Check(
            key=f"{name}.line", name=f"{found.name} out of line between stakes", where=where, demand=found.found.deflection_m,
            capacity=DEFLECTION_M, suffix="m", clause=FORM_DEFLECTION, method=form_bracing.BEAM_FORMULAS, steps=steps,
            remedy=f"{closer}.",
        ),
    ]  # fmt: skip


def _under_the_screed(name: str, where: str, stiffness_nm2: float, spacing_m: float, tolerance_m: float) -> Check:
    """Top of the form between stakes, as a simple beam under the end of a screed, against what the floor's level allows of forms."""
    work = Working()
    sag = work.line("d = P*s**3/(48*B)", "m", P=(SCREED_N, "N"), s=(spacing_m, "m"), B=(stiffness_nm2, "N·m²"))
    return Check(
        key=f"{name}.top", name="Top of the form under the screed, between stakes", where=where, demand=sag,
        capacity=max(tolerance_m, 1e-9), suffix="m", clause=FORM_SETTING, method=SCREED, steps=tuple(work.steps),
        remedy="Stakes closer together, or a higher board.",
    )  # fmt: skip


_Held = tuple[list[Check], float, float]


def _staked(name: str, where: str, height_m: float, spacing_m: float, thrust_n_m: float, setting: Setting) -> _Held:
    """Stakes alone, against sliding and turning over."""
    work, forms = Working(), setting.forms
    ultimate = setting.ground.push_n(forms.stake_width_m, forms.stake_embedment_m, height_m / 3, work)
    check = Check(
        key=f"{name}.stake", name="Stake in the ground", where=where, demand=thrust_n_m * spacing_m, capacity=ultimate / SAFETY_FACTOR,
        suffix="n", clause=setting.ground.push_clause, method=STAKE_SAFETY, steps=tuple(work.steps),
        remedy="Longer stakes, stakes closer together, or soil banked against the foot of the form.",
    )  # fmt: skip
    return [check], 0.0, 0.0


def _kicked(name: str, where: str, height_m: float, spacing_m: float, thrust_n_m: float, setting: Setting) -> _Held:
    """The force triangle of a kicker: sliding at the form's foot and at the kicker's, and the lift."""
    work, forms = Working(), setting.forms
    ultimate = setting.ground.push_n(forms.stake_width_m, forms.stake_embedment_m, 0.0, work)
    forces = form_bracing.kicker(
        thrust_n_m=thrust_n_m, form_height_m=height_m, kicker_height_m=KICKER_SHARE * height_m, spacing_m=spacing_m, working=work
    )
    toe = Check(
        key=f"{name}.toe", name="Foot of the form at a stake, sliding", where=where, demand=forces.toe_n,
        capacity=ultimate / SAFETY_FACTOR + _TOE_KEPT_BY_SOIL_N, suffix="n", clause=setting.ground.push_clause, method=form_bracing.KICKER,
        steps=tuple(work.steps),
        remedy="Longer stakes, stakes closer together, or soil banked against the foot of the form.",
    )  # fmt: skip
    needed = setting.ground.depth_m(forces.horizontal_n, forms.stake_width_m, SAFETY_FACTOR)
    step = _STEP_M[setting.family]
    depth = forms.kicker_embedment_m or min(max(step * math.ceil(needed / step - 1e-6), _LEAST_STAKE_M[setting.family]), DEEPEST_STAKE_M)
    foot = Working()
    holds = setting.ground.push_n(forms.stake_width_m, depth, 0.0, foot)
    driven = format_quantity(depth, LENGTH, setting.family)
    check = Check(
        key=f"{name}.kicker", name="Stake at the kicker's foot, sliding", where=f"{where}, driven {driven}", demand=forces.horizontal_n,
        capacity=holds / SAFETY_FACTOR, suffix="n", clause=setting.ground.push_clause, method=STAKE_SAFETY,
        steps=(*work.steps, *foot.steps), remedy="A longer or a wider stake at the kicker's foot, or stakes closer together.",
    )  # fmt: skip
    return [toe, check], forces.uplift_n, depth


def _kept_down(
    name: str, where: str, uplift_n: float, height_m: float, spacing_m: float, found: Rail, setting: Setting
) -> tuple[list[Check], float]:
    """Lifting: by the kicker and by concrete that has run under, against weight, stake and whatever else holds the form down."""
    work, forms = Working(), setting.forms
    head = aci_347r.liquid_head_pa(depth_m=height_m, unit_weight_kg_m3=setting.unit_weight_kg_m3, working=work)
    lift = form_bracing.form_lift_n(
        kicker_lift_n=uplift_n, head_pa=head, board_thickness_m=forms.board_thickness_m, spacing_m=spacing_m,
        weight_n_m=found.weight_n_m, working=work,
    )  # fmt: skip
    pull = setting.ground.pull_n(forms.stake_width_m, forms.stake_embedment_m, work) / SAFETY_FACTOR
    step = _STEP_N[setting.family]
    needed = step * math.ceil(max(lift - pull, 0.0) / step - 1e-6)
    if forms.hold_down_n is None:
        return [], needed
    more = format_quantity(needed, FORCE, setting.family, unit="lb" if setting.family is Family.US else "kN", digits=2)
    check = Check(
        key=f"{name}.lift", name="Form lifting at a stake", where=where, demand=lift, capacity=pull + forms.hold_down_n, suffix="n",
        clause=setting.ground.pull_clause, method=form_bracing.RUN_UNDER, steps=tuple(work.steps),
        remedy=f"Hold the form down with {more} at each stake: a weight on the board or a raking stake nailed over it.",
    )  # fmt: skip
    return [check], needed
