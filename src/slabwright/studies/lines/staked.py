"""What was measured between the stakes, adjusted: where they really stand, how sure that is, and what does not fit."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from slabwright.errors import MissingInput, SolverError
from slabwright.model.survey import Measured, Measurement, SettingOutSurvey
from slabwright.solvers.least_squares import Floats
from slabwright.solvers.measurements import Kind, Observation
from slabwright.solvers.network import Adjustment, Network
from slabwright.solvers.rigid_fit import PlaneFit, Scale, fitted
from slabwright.solvers.snooping import Suspect, snooped
from slabwright.studies.lines.layout import Stake

_KINDS = {Measured.DISTANCE: Kind.DISTANCE, Measured.ANGLE: Kind.ANGLE, Measured.X: Kind.X, Measured.Y: Kind.Y}
_SWAP_GAIN = 25.0
_SWAP_SIZE_M = 0.15
_HELD_WEIGHT = 1e8
_CLEARLY = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StakedPoint:
    """A stake as it stands.

    Attributes
    ----------
    name : str
    design, found : (x, y)
        In the plan's axes, the design laid over the stakes to fit best. [m]
    sd_x_m, sd_y_m : float
        Standard errors. [m]
    ellipse_major_m, ellipse_minor_m, ellipse_turn_rad : float
        Standard error ellipse, its greater axis counter-clockwise from the x axis. [m, rad]
    held : bool
    """

    name: str
    design: tuple[float, float]
    found: tuple[float, float]
    sd_x_m: float
    sd_y_m: float
    ellipse_major_m: float
    ellipse_minor_m: float
    ellipse_turn_rad: float
    held: bool

    @property
    def off_m(self) -> float:
        """From where the design has it. [m]"""
        return math.dist(self.design, self.found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Residual:
    """One measurement after the adjustment.

    Attributes
    ----------
    measurement : Measurement
    residual : float
        Adjusted minus measured, in the unit of the measurement.
    standardised : float
        Over its own standard error; beyond 3.3 it does not belong.
    redundancy : float
        Share of its error that would show: 0 where nothing checks it.
    set_aside : bool
    alike : tuple of int
        Numbers of measurements that could be to blame instead.
    """

    measurement: Measurement
    residual: float
    standardised: float
    redundancy: float
    set_aside: bool = False
    alike: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Staked:
    """The stakes adjusted.

    Attributes
    ----------
    points : tuple of StakedPoint
    residuals : tuple of Residual
        In the order of the measurements.
    unit_error : float
        1 where the instruments did as well as stated.
    n_redundant : int
    chance_of_fit : float
        Of residuals this large from instruments as good as stated.
    covariance_m2 : array
        Of the coordinates, x and y of each point in turn. [m²]
    scale : float
        Of the stakes against the design; far from 1 for a tape or unit at fault.
    swapped : tuple of (str, str)
        Stakes whose names were exchanged in the notes: the first pair was put right, the others would do as well.
    """

    points: tuple[StakedPoint, ...]
    residuals: tuple[Residual, ...]
    unit_error: float
    n_redundant: int
    chance_of_fit: float
    covariance_m2: Floats
    scale: float
    swapped: tuple[tuple[str, str], ...]

    def point(self, name: str) -> StakedPoint:
        """By name."""
        return next(point for point in self.points if point.name == name)

    def length(self, first: str, second: str) -> tuple[float, float]:
        """Adjusted distance between two stakes, and its standard error. [m]"""
        names = [point.name for point in self.points]
        i, j = names.index(first), names.index(second)
        along = np.subtract(self.points[j].found, self.points[i].found)
        length = float(np.hypot(*along))
        slope = np.zeros(2 * len(names))
        slope[2 * j : 2 * j + 2], slope[2 * i : 2 * i + 2] = along / length, -along / length
        return length, math.sqrt(max(0.0, float(slope @ self.covariance_m2 @ slope)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Undetermined:
    """Too little was measured.

    Attributes
    ----------
    loose : tuple of str
        Stakes that could stand elsewhere.
    measure : tuple of (str, str)
        Distances that would settle it.
    """

    loose: tuple[str, ...]
    measure: tuple[tuple[str, str], ...]


def staked(survey: SettingOutSurvey, stakes: Sequence[Stake]) -> Staked | Undetermined:
    """Adjust what was measured and lay the design over it.

    Parameters
    ----------
    survey : SettingOutSurvey
    stakes : sequence of Stake
        Their design places.

    Raises
    ------
    MissingInput
        For a stake nobody knows, or measurements that do not settle.
    """
    design = {stake.name: stake.at for stake in stakes}
    used = _used(survey, design)
    swapped = _swaps(survey.measurements, used)
    exchange = {a: b for pair in swapped[:1] for a, b in (pair, pair[::-1])}
    measurements = [_renamed(one, exchange) for one in survey.measurements]
    names = list(used)
    number = {name: i for i, name in enumerate(names)}
    start = _approximate(measurements, used)
    network = Network(start, _held(survey, names, measurements), [_observation(one, number) for one in measurements])
    loose, measure = network.missing()
    if loose:
        return Undetermined(loose=tuple(names[i] for i in loose), measure=tuple((names[i], names[j]) for i, j in measure))
    try:
        adjustment, suspects, kept = _pinned(network, np.array(list(used.values()), dtype=float))
    except SolverError as error:
        raise MissingInput(f"the measurements between the stakes do not settle: {error}") from None
    aside = {one.observation: one for one in suspects}
    position = {observation: i for i, observation in enumerate(kept)}
    residuals = []
    for i, one in enumerate(survey.measurements):
        if i in aside:
            gone = aside[i]
            residuals.append(
                Residual(
                    measurement=one, residual=-gone.gross_error, standardised=gone.standardised, redundancy=1.0, set_aside=True,
                    alike=gone.indistinct,
                )
            )  # fmt: skip
        else:
            k = position[i]
            residuals.append(
                Residual(
                    measurement=one,
                    residual=float(adjustment.residuals[k]),
                    standardised=float(adjustment.standardised[k]),
                    redundancy=float(adjustment.redundancies[k]),
                )
            )
    return _laid_over(adjustment, used, survey, tuple(residuals), swapped)


def _pinned(network: Network, design: Floats) -> tuple[Adjustment, tuple[Suspect, ...], tuple[int, ...]]:
    """Snooping; where residuals alone cannot pin a bust on one measurement, the design does if it clearly can."""
    adjustment, suspects, kept = snooped(network)
    if not suspects or not suspects[0].indistinct:
        return adjustment, suspects, kept
    trials: list[tuple[float, int, Adjustment, tuple[Suspect, ...], tuple[int, ...]]] = []
    for number in (suspects[0].observation, *suspects[0].indistinct):
        rest = [i for i in range(len(network.observations)) if i != number]
        try:
            trial, more, left = snooped(replace(network, observations=[network.observations[i] for i in rest]))
        except SolverError:
            continue
        misfit = float(np.sqrt((fitted(trial.points, design).residuals ** 2).mean()))
        trials.append((misfit, number, trial, more, tuple(rest[i] for i in left)))
    trials.sort(key=lambda trial: trial[0])
    if len(trials) < 2 or trials[0][0] * _CLEARLY > trials[1][0]:
        return adjustment, suspects, kept
    _, number, trial, more, left = trials[0]
    return trial, (_bust(network, number, trial), *more), left


def _bust(network: Network, number: int, without: Adjustment) -> Suspect:
    """What a measurement is out by against a figure adjusted without it."""
    one = network.observations[number]
    probe = Network(without.points, np.ones(len(without.points), dtype=bool), [one]).adjusted()
    error = -float(probe.residuals[0])
    return Suspect(observation=number, standardised=-error / one.sd, gross_error=error, indistinct=())


def _used(survey: SettingOutSurvey, design: Mapping[str, tuple[float, float]]) -> dict[str, tuple[float, float]]:
    """Stakes that the measurements speak of, in the order of the sheet."""
    spoken = {name for one in survey.measurements for name in (one.at, one.to, one.second) if name} | set(survey.held)
    unknown = sorted(spoken - set(design))
    if unknown:
        known = ", ".join(list(design)[:12]) + ("…" if len(design) > 12 else "")
        raise MissingInput(f'the measurements speak of stake "{unknown[0]}", which is not on the sheet; the stakes are {known}.')
    return {name: at for name, at in design.items() if name in spoken}


def _swaps(measurements: Sequence[Measurement], design: Mapping[str, tuple[float, float]]) -> tuple[tuple[str, str], ...]:
    """Pairs of stakes whose exchange makes the measured lengths fit the design where they did not, all equally well."""
    lengths = _lengths(measurements)
    if not lengths:
        return ()

    def misfit(places: Mapping[str, tuple[float, float]]) -> float:
        return sum((math.dist(places[a], places[b]) - length) ** 2 for a, b, length in lengths)

    now = misfit(design)
    if math.sqrt(now / len(lengths)) < _SWAP_SIZE_M:
        return ()
    trials = {(a, b): misfit({**design, a: design[b], b: design[a]}) for a, b in combinations(design, 2)}
    best = min(trials.values())
    return tuple(pair for pair, value in trials.items() if value <= 1.01 * best + 1e-9) if best * _SWAP_GAIN < now else ()


def _lengths(measurements: Sequence[Measurement]) -> list[tuple[str, str, float]]:
    """Taped lengths, and lengths between stakes with measured coordinates."""
    taped = [(one.at, one.to, one.value) for one in measurements if one.kind is Measured.DISTANCE]
    places = _coordinates(measurements)
    return taped + [(a, b, math.dist(places[a], places[b])) for a, b in combinations(places, 2)]


def _coordinates(measurements: Sequence[Measurement]) -> dict[str, tuple[float, float]]:
    x = {one.at: one.value for one in measurements if one.kind is Measured.X}
    y = {one.at: one.value for one in measurements if one.kind is Measured.Y}
    return {name: (x[name], y[name]) for name in x if name in y}


def _renamed(one: Measurement, names: Mapping[str, str]) -> Measurement:
    return replace(one, at=names.get(one.at, one.at), to=names.get(one.to, one.to), second=names.get(one.second, one.second))


def _approximate(measurements: Sequence[Measurement], design: Mapping[str, tuple[float, float]]) -> Floats:
    """Design places, carried into the frame of the measured coordinates where there are some."""
    places = _coordinates(measurements)
    points = np.array(list(design.values()), dtype=float)
    if len(places) < 2:
        return points
    return fitted(np.array([design[name] for name in places]), np.array(list(places.values()))).apply(points)


def _held(
    survey: SettingOutSurvey, names: Sequence[str], measurements: Sequence[Measurement]
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Held stakes fix the network only where no coordinates tie it to a frame of their own."""
    if _coordinates(measurements):
        return np.zeros(len(names), dtype=bool)
    return np.array([name in survey.held for name in names])


def _observation(one: Measurement, number: Mapping[str, int]) -> Observation:
    return Observation(
        kind=_KINDS[one.kind],
        at=number[one.at],
        to=number.get(one.to, -1),
        second=number.get(one.second, -1),
        value=one.value,
        sd=one.standard_error,
    )


def _laid_over(
    adjustment: Adjustment,
    design: Mapping[str, tuple[float, float]],
    survey: SettingOutSurvey,
    residuals: tuple[Residual, ...],
    swapped: tuple[tuple[str, str], ...],
) -> Staked:
    """Carry the adjusted figure into the plan's axes: held stakes on their design places, the others as they fit best."""
    names = list(design)
    target = np.array(list(design.values()), dtype=float)
    held = np.array([name in survey.held for name in names])
    fit = fitted(adjustment.points, target, weights=np.where(held, _HELD_WEIGHT, 1.0))
    stretch = fitted(target, adjustment.points, scale=Scale.FREE).scale
    turn = PlaneFit.stated(fit.angle_rad, (0.0, 0.0))
    found = fit.apply(adjustment.points)
    turning = np.kron(np.eye(len(names)), turn.apply(np.eye(2)).T)
    factor = max(1.0, adjustment.unit_error) if adjustment.n_redundant >= 3 else 1.0
    covariance = factor**2 * turning @ adjustment.cofactor @ turning.T
    ellipses = adjustment.ellipses(factor)
    points = [
        StakedPoint(
            name=name,
            design=(float(target[i, 0]), float(target[i, 1])),
            found=(float(found[i, 0]), float(found[i, 1])),
            sd_x_m=math.sqrt(max(0.0, covariance[2 * i, 2 * i])),
            sd_y_m=math.sqrt(max(0.0, covariance[2 * i + 1, 2 * i + 1])),
            ellipse_major_m=float(ellipses[i, 0]),
            ellipse_minor_m=float(ellipses[i, 1]),
            ellipse_turn_rad=float(ellipses[i, 2] + fit.angle_rad),
            held=bool(held[i]),
        )
        for i, name in enumerate(names)
    ]
    return Staked(
        points=tuple(points),
        residuals=residuals,
        unit_error=adjustment.unit_error,
        n_redundant=adjustment.n_redundant,
        chance_of_fit=adjustment.probability_of_fit(),
        covariance_m2=covariance,
        scale=stretch,
        swapped=swapped,
    )
