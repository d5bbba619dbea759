"""The study of hold points: every stop in the order of the work, its numbers read off the other studies."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from slabwright.model.job import Signature
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.studies import clashes, forms, joints, minimums, mix, shape, under_slab
from slabwright.studies.hold_points import cover, ground, pour_and_after, steel
from slabwright.studies.hold_points.facts import Facts, Station, form_stations
from slabwright.studies.hold_points.points import HoldPoint, signed_too_early
from slabwright.studies.hold_points.present import present
from slabwright.study import Done, Inputs, Result, Stage, Study

MAKERS: tuple[Callable[[Facts], HoldPoint | None], ...] = (
    ground.reactions,
    ground.soil,
    ground.permit,
    ground.setting_out,
    ground.proof_roll,
    ground.footing,
    cover.pipe_test,
    cover.forms,
    steel.steel,
    cover.card,
    pour_and_after.go,
    pour_and_after.load,
    pour_and_after.lane,
    pour_and_after.trial_cut,
    pour_and_after.strip,
    pour_and_after.frame_release,
    pour_and_after.acceptance,
)
"""In the order of the work; one that returns nothing does not arise on the job."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldPointsResult(Result):
    """Where the work stops.

    Attributes
    ----------
    points : tuple of HoldPoint
        Each waits for the one before it.
    stations : tuple of Station
        Round the form line, as the points name them.
    signatures : Mapping of str to Signature
        By the key of the point.
    """

    points: tuple[HoldPoint, ...]
    stations: tuple[Station, ...]
    signatures: Mapping[str, Signature]

    @property
    def n_items(self) -> int:
        """Lines to look at."""
        return sum(len(point.items) for point in self.points)


def run(inputs: Inputs, done: Done) -> HoldPointsResult:
    """Make the points of this job."""
    foundation = done[shape.STUDY].foundation
    facts = Facts(
        job=inputs.job, foundation=foundation, joints=done[joints.STUDY], forms=done[forms.STUDY], mix=done[mix.STUDY],
        under=done[under_slab.STUDY], clashes=done[clashes.STUDY], minimums=done[minimums.STUDY].checks, stations=form_stations(foundation),
    )  # fmt: skip
    made = [point for maker in MAKERS if (point := maker(facts)) is not None]
    points = tuple(
        replace(point, after=(before.key,)) if before is not None else point for before, point in zip([None, *made], made, strict=False)
    )
    notes = Notes()
    for point in points:
        when = point.repeats or f"before {point.before}"
        notes.tasks.append(Task(what=f"sign {point.title.lower()}: {len(point.items)} lines", who=point.signs, when=when))
    notes.caution("A signature says that the thing was seen, not that it is designed: the engineer and the building department decide.")
    keys = {point.title.lower(): point.key for point in points}
    signatures = {keys.get(one.point.lower(), one.point): one for one in inputs.job.signatures}
    for found in signed_too_early(points, {key: one.on for key, one in signatures.items()}):
        notes.caution(found.message if found.where in keys.values() else f'The signature of "{found.where}" {found.message}')
    n_items = sum(len(point.items) for point in points)
    signed = f"; {sum(point.key in signatures for point in points)} signed" if signatures else ""
    return HoldPointsResult(
        answer=f"The work stops *{len(points)} times* until somebody has looked: {n_items} things, each with who signs{signed}.",
        points=points, stations=facts.stations, signatures=signatures, **notes.as_fields(),
    )  # fmt: skip


STUDY = Study(
    key="hold_points",
    question="Where does the work stop until somebody has looked?",
    stage=Stage.HANDOVER,
    run=run,
    present=present,
    reads=frozenset(
        {
            "family", "building", "soil", "floor", "edge", "strips", "pads", "posts", "walls", "pipes", "embeds", "base", "retarder",
            "mesh", "bars", "mix", "tolerances", "signatures",
        }
    ),
    needs=(shape.STUDY, minimums.STUDY, joints.STUDY, forms.STUDY, mix.STUDY, under_slab.STUDY, clashes.STUDY),
)  # fmt: skip
