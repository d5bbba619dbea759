"""The letter to the engineer: loads, assumptions and sizes of every post, what is asked, room for an answer."""

from collections.abc import Mapping
from dataclasses import dataclass

from slabwright.model.loads import LoadCase
from slabwright.studies.bearing.desk import Desk
from slabwright.studies.bearing.pads import PadFigures
from slabwright.studies.bearing.stand import Stand
from slabwright.studies.bearing.uplift import UpliftFigures
from slabwright.units import PRESSURE, Family, format_quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterLoad:
    """One case of one post. [N], [N·m]"""

    post: str
    case: LoadCase
    down_n: float
    shear_x_n: float
    shear_y_n: float
    moment_x_nm: float
    moment_y_nm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterPad:
    """Size proposed for one post.

    Attributes
    ----------
    post : str
    size_x_m, size_y_m, depth_m : float
    bars : str
        As written on the drawing; empty for none.
    design : str
        Plain or reinforced concrete.
    gross_pa : float or None
        [Pa]
    strength_ratio, uplift_ratio : float
    """

    post: str
    size_x_m: float
    size_y_m: float
    depth_m: float
    bars: str
    design: str
    gross_pa: float | None
    strength_ratio: float
    uplift_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """What goes to the engineer.

    Attributes
    ----------
    subject : str
    editions : str
    ground : str
        What was taken for the soil, and where it comes from.
    loads : tuple of LetterLoad
    pads : tuple of LetterPad
    assumptions : tuple of str
    questions : tuple of str
    """

    subject: str
    editions: str
    ground: str
    loads: tuple[LetterLoad, ...]
    pads: tuple[LetterPad, ...]
    assumptions: tuple[str, ...]
    questions: tuple[str, ...]


def write_letter(desk: Desk, stands: tuple[Stand, ...], pads: Mapping[str, PadFigures], uplift: Mapping[str, UpliftFigures]) -> Letter:
    """Put the letter together from what the study found."""
    loads = tuple(
        LetterLoad(
            post=stand.name, case=case, down_n=one.down_n, shear_x_n=one.shear_x_n, shear_y_n=one.shear_y_n, moment_x_nm=one.moment_x_nm,
            moment_y_nm=one.moment_y_nm,
        )
        for stand in stands
        for case, one in stand.own.items()
    )  # fmt: skip
    sizes = tuple(
        LetterPad(
            post=stand.name, size_x_m=stand.pad.size_x_m, size_y_m=stand.pad.size_y_m, depth_m=stand.pad.depth_m, bars=_bars(stand),
            design=pads[stand.name].design, gross_pa=pads[stand.name].gross_pa, strength_ratio=pads[stand.name].strength_ratio,
            uplift_ratio=uplift[stand.name].ratio,
        )
        for stand in stands
    )  # fmt: skip
    ground = f"no bearing value: {desk.ground.problem}"
    if desk.ground.bearing_pa is not None:
        unit = "psf" if desk.job.family is Family.US else "kPa"
        ground = f"{format_quantity(desk.ground.bearing_pa, PRESSURE, desk.job.family, unit=unit)}, {desk.ground.clause}"
    return Letter(
        subject=f"Foundation of {desk.job.name}: sizes for your confirmation",
        editions=str(desk.job.codes),
        ground=ground,
        loads=loads,
        pads=sizes,
        assumptions=tuple(dict.fromkeys(one.statement for one in desk.notes.assumptions)),
        questions=tuple(dict.fromkeys(one.question for one in desk.notes.referrals)),
    )


def _bars(stand: Stand) -> str:
    if stand.mat is None:
        return ""
    if stand.mat.n_bars is not None:
        return f"{stand.mat.n_bars} {stand.mat.name} each way"
    return f"{stand.mat.name} each way"
