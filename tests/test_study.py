"""Studies run in order, read only what they name, wait for what is missing, and are kept while nothing of theirs changes."""

from dataclasses import dataclass, replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slabwright.errors import MissingInput, ProgramError
from slabwright.model.concrete import Edge, Floor
from slabwright.model.ground import Soil
from slabwright.model.job import Job
from slabwright.model.site import Site
from slabwright.results.check import Ask, Check, Referral, State
from slabwright.results.picture import Picture
from slabwright.sources import arithmetic
from slabwright.study import Done, Inputs, Part, Presentation, Result, Stage, Study, Waiting, in_order, run_studies

JOB = Job(
    name="shed",
    floor=Floor(outline=((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)), thickness_m=0.1),
    edge=Edge(depth_m=0.5, width_m=0.3),
)
INPUTS = Inputs(job=JOB)


@dataclass(frozen=True, slots=True, kw_only=True)
class Number(Result):
    """A result with a field of its own."""

    value: float


def study(key: str, run=None, *, reads=(), needs=(), hears=(), present=None) -> Study:
    """A study that counts its own runs in ``runs``."""
    extra = {"hears": tuple(hears)} if present is None else {"hears": tuple(hears), "present": present}
    run = run or (lambda _inputs, _done: Number(answer="It is *1*.", value=1.0))
    return Study(key=key, question=f"What is {key}?", stage=Stage.DESIGN, run=run, reads=frozenset(reads), needs=tuple(needs), **extra)


def area(inputs: Inputs, _done: Done) -> Number:
    (x0, _), (x1, _), (_, y1), _ = inputs.job.floor.outline
    return Number(answer="", value=(x1 - x0) * y1)


AREA = study("area", area, reads={"floor"})
VOLUME = study(
    "volume",
    lambda inputs, done: Number(answer="", value=done[AREA].value * inputs.job.floor.thickness_m),
    reads={"floor"},
    needs=(AREA,),
)


def test_a_study_reads_what_it_needs_by_the_study_itself():
    """6 m x 4 m x 0.1 m = 2.4 m³, whichever is listed first."""
    assert pytest.approx(2.4) == run_studies([VOLUME, AREA], INPUTS)[VOLUME].value
    assert ["area", "volume"] == list(run_studies([VOLUME, AREA], INPUTS).outcomes)


def test_studies_that_need_nothing_of_each_other_stay_as_listed():
    listed = [study(key) for key in "dacb"]

    assert ["d", "a", "c", "b"] == [one.key for one in in_order(listed)]


@given(data=st.data(), count=st.integers(1, 12))
def test_every_study_comes_after_what_it_needs(data, count):
    """Any web of needs without a circle, listed in any order."""
    made: list[Study] = []
    for number in range(count):
        made.append(study(f"s{number}", needs=data.draw(st.lists(st.sampled_from(made), unique=True, max_size=3)) if made else ()))
    place = {one.key: number for number, one in enumerate(in_order(data.draw(st.permutations(made))))}

    assert count == len(place)
    assert all(place[need.key] < place[one.key] for one in made for need in one.needs)


def test_a_circle_is_a_fault_of_the_program():
    first = study("first")
    second = study("second", needs=(first,))
    object.__setattr__(first, "needs", (second,))

    with pytest.raises(ProgramError, match="in a circle"):
        in_order([first, second])


def test_two_studies_with_one_key_are_a_fault():
    with pytest.raises(ProgramError, match="share one key"):
        in_order([study("a"), study("a")])


def test_a_need_that_is_not_listed_is_a_fault():
    with pytest.raises(ProgramError, match="study volume needs area, which is not in the list"):
        in_order([VOLUME])


@pytest.mark.parametrize(
    ("run", "message"),
    [
        (lambda inputs, _: inputs.job.edge, r"study x reads job\.edge without naming it in reads"),
        (lambda inputs, _: inputs.job.name, r"study x reads job\.name without naming it in reads"),
        (lambda inputs, _: inputs.site.today, r"study x reads site\.today without naming it in reads"),
        (lambda _, done: done[AREA], "study x reads area without naming it in needs"),
    ],
)
def test_reading_what_is_not_named_is_a_fault(run, message):
    with pytest.raises(ProgramError, match=message):
        run_studies([AREA, study("x", run, reads={"floor"})], INPUTS)


def test_a_drawing_is_held_to_the_same_reads():
    """A picture made later may not look at more than the study did."""
    peeping = study("x", present=lambda inputs, _done, _result: Presentation(pictures=(inputs.job.edge,)))

    with pytest.raises(ProgramError, match=r"job\.edge"):
        run_studies([peeping], INPUTS).outcomes["x"].presentation()


def test_a_section_that_no_job_has_is_a_fault():
    with pytest.raises(ProgramError, match=r"study x names flor in reads; a job has no such section"):
        run_studies([study("x", reads={"flor"})], INPUTS)
    with pytest.raises(ProgramError, match=r"names site\.moon in reads; a site has no such section"):
        run_studies([study("x", reads={"site.moon"})], INPUTS)


def missing(_inputs: Inputs, _done: Done) -> Number:
    raise MissingInput("the job names no soil; write [soil] allowable_bearing")


def test_what_is_missing_makes_a_study_wait_and_those_that_need_it_with_it():
    """The first says what to write, the others for which question they wait; the rest is answered."""
    bearing = study("bearing", missing, reads={"soil"})
    settlement = study("settlement", needs=(bearing,))
    release = study("release", needs=(settlement, AREA))
    plan = run_studies([bearing, settlement, release, AREA], INPUTS)

    reasons = [plan.outcomes[key].result.reason for key in ("bearing", "settlement", "release")]
    expected = ["the job names no soil; write [soil] allowable_bearing", 'waits for "What is bearing?"', 'waits for "What is settlement?"']
    assert expected == reasons
    assert State.WAITING is plan.outcomes["release"].state
    assert [AREA] == [one for one, _ in plan.results()]
    assert Presentation() == plan.outcomes["bearing"].presentation()
    with pytest.raises(MissingInput, match="names no soil"):
        plan[bearing]


def test_any_other_error_is_not_hidden():
    """A fault of the program must be seen, not waited for."""
    with pytest.raises(ZeroDivisionError):
        run_studies([study("x", lambda *_: 1 / 0)], INPUTS)


class Counted:
    """Runs of each of three studies: area and soil each read one section, total needs both."""

    def __init__(self) -> None:
        self.runs: list[str] = []
        self.area = study("area", self._run("area", area), reads={"floor"})
        self.soil = study("soil", self._run("soil", lambda i, _: Number(answer="", value=i.job.soil.unit_weight_kg_m3)), reads={"soil"})
        total = self._run("total", lambda _, done: Number(answer="", value=done[self.area].value * done[self.soil].value))
        self.total = study("total", total, needs=(self.area, self.soil))
        self.today = study("today", self._run("today", lambda i, _: Number(answer=str(i.site.today), value=0.0)), reads={"site.today"})
        self.all = [self.area, self.soil, self.total, self.today]

    def _run(self, key, run):
        def counted(inputs, done):
            self.runs.append(key)
            return run(inputs, done)

        return counted


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (INPUTS, []),
        (Inputs(job=replace(JOB, edge=None)), []),
        (Inputs(job=replace(JOB, soil=Soil(unit_weight_kg_m3=2000.0))), ["soil", "total"]),
        (Inputs(job=replace(JOB, floor=replace(JOB.floor, thickness_m=0.15))), ["area", "total"]),
        (Inputs(job=JOB, site=Site(today=date(2026, 5, 4))), ["today"]),
        (Inputs(job=JOB, seed=1), ["area", "soil", "total", "today"]),
    ],
    ids=["nothing", "a section nobody reads", "soil", "floor", "the day", "the seed"],
)
def test_only_what_an_edit_touches_runs_again(changed: Inputs, expected: list[str]):
    """And the plan is the one that a run from nothing gives."""
    counted = Counted()
    earlier = run_studies(counted.all, INPUTS)
    counted.runs.clear()
    again = run_studies(counted.all, changed, earlier=earlier)

    assert expected == counted.runs
    fresh = run_studies(counted.all, changed)
    assert [one.result for one in fresh.outcomes.values()] == [one.result for one in again.outcomes.values()]
    assert [one.digest for one in fresh.outcomes.values()] == [one.digest for one in again.outcomes.values()]


def test_a_waiting_study_is_kept_until_what_it_waits_for_comes():
    runs = []

    def bearing(inputs: Inputs, _done: Done) -> Number:
        runs.append(1)
        if inputs.job.soil.allowable_bearing_pa is None:
            raise MissingInput("no bearing")
        return Number(answer="", value=inputs.job.soil.allowable_bearing_pa)

    one = study("bearing", bearing, reads={"soil"})
    waiting = run_studies([one], INPUTS)
    still = run_studies([one], INPUTS, earlier=waiting)
    come = run_studies([one], Inputs(job=replace(JOB, soil=Soil(allowable_bearing_pa=1e5))), earlier=still)

    assert isinstance(still.outcomes["bearing"].result, Waiting)
    assert 2 == len(runs)
    assert 1e5 == come[one].value


def test_the_run_tells_where_it_is_and_can_be_stopped():
    seen: list[tuple[str, int, int]] = []
    run_studies([VOLUME, AREA], INPUTS, on_start=lambda one, number, total: seen.append((one.key, number, total)))

    assert [("area", 1, 2), ("volume", 2, 2)] == seen
    with pytest.raises(KeyboardInterrupt):
        run_studies([AREA], INPUTS, on_start=lambda *_: (_ for _ in ()).throw(KeyboardInterrupt))


def test_pictures_are_made_when_somebody_looks():
    picture = Picture(key="plan", title="Plan", items=())
    drawn = study("x", present=lambda _inputs, _done, result: Presentation(pictures=(replace(picture, title=result.answer),)))

    assert ("It is *1*.",) == tuple(one.title for one in run_studies([drawn], INPUTS).outcomes["x"].presentation().pictures)


def check(demand: float, spread: float = 0.0) -> Check:
    return Check(key="k", name="n", where="w", demand=demand, capacity=1.0, suffix="", clause=arithmetic("a"), spread=spread)


@pytest.mark.parametrize(
    ("checks", "referrals", "state"),
    [
        ((), (), State.HOLDS),
        ((check(0.5), check(1.0)), (), State.HOLDS),
        ((check(0.95, 0.1),), (), State.NEAR),
        ((check(0.95, 0.1),), (Referral(question="q", where="w", to=Ask.ENGINEER),), State.ASK),
        ((check(1.01),), (Referral(question="q", where="w", to=Ask.ENGINEER),), State.FAILS),
    ],
)
def test_an_answer_is_in_the_worst_state_of_what_it_sums_up(checks, referrals, state):
    """A question to someone licensed is never a pass, and a check that fails is never hidden by it."""
    assert state is Result(answer="", checks=checks, referrals=referrals).state


@pytest.mark.parametrize(("demand", "capacity"), [(float("nan"), 1.0), (1.0, float("inf")), (1.0, 0.0), (1.0, -1.0)])
def test_a_check_without_meaning_is_refused(demand: float, capacity: float):
    """A NaN compares false to everything and would read as a pass."""
    with pytest.raises(ProgramError):
        Check(key="k", name="n", where="w", demand=demand, capacity=capacity, suffix="", clause=arithmetic("a"))


def _waits(_inputs: Inputs, _done: Done) -> Number:
    raise MissingInput("no loads")


LISTENER = study(
    "listener", lambda _inputs, done: Number(answer="", value=0.0 if done.get(AREA) is None else done.get(AREA).value), hears=(AREA,)
)


@pytest.mark.parametrize(
    ("listed", "value"),
    [([LISTENER, AREA], 24.0), ([LISTENER], 0.0), ([replace(AREA, run=_waits), LISTENER], 0.0)],
    ids=["answers", "is not run", "waits"],
)
def test_a_study_hears_another_only_where_it_answers(listed, value):
    assert value == run_studies(listed, INPUTS)[LISTENER].value


def test_a_study_that_hears_another_runs_anew_when_that_changes():
    wider = replace(INPUTS, job=replace(JOB, floor=replace(JOB.floor, outline=((0.0, 0.0), (7.0, 0.0), (7.0, 4.0), (0.0, 4.0)))))
    before = run_studies([LISTENER, AREA], INPUTS)

    assert 28.0 == run_studies([LISTENER, AREA], wider, earlier=before)[LISTENER].value


def test_hearing_without_saying_so_is_a_fault():
    sly = study("sly", lambda _inputs, done: Number(answer="", value=done.get(AREA).value))

    with pytest.raises(ProgramError, match="reads area without naming it"):
        run_studies([AREA, sly], INPUTS)


LONG_M = Part(study=AREA, name="length", of=lambda found: round(found.value / 4.0, 9))


def _part_reader(runs: list[float], named: bool = True) -> Study:
    def fence(_inputs: Inputs, done: Done) -> Number:
        runs.append(done.part(LONG_M))
        return Number(answer="", value=runs[-1])

    return replace(study("fence", fence), parts=(LONG_M,) if named else ())


def test_who_needs_a_part_is_not_worked_anew_while_that_part_is_the_same():
    """24 m² over 4 m is 6 m long; another thickness is none of its business, another length is."""
    runs: list[float] = []
    fence = _part_reader(runs)
    before = run_studies([fence, AREA], INPUTS)
    thicker = replace(INPUTS, job=replace(JOB, floor=replace(JOB.floor, thickness_m=0.2)))
    after = run_studies([fence, AREA], thicker, earlier=before)
    longer = replace(INPUTS, job=replace(JOB, floor=replace(JOB.floor, outline=((0.0, 0.0), (7.0, 0.0), (7.0, 4.0), (0.0, 4.0)))))
    run_studies([fence, AREA], longer, earlier=after)

    assert before.outcomes["area"].digest != after.outcomes["area"].digest
    assert before.outcomes["fence"] is after.outcomes["fence"]
    assert [6.0, 7.0] == runs


def test_who_needs_a_part_waits_for_the_whole():
    silent = study("silent", _waits)
    plan = run_studies([silent, replace(study("x"), parts=(Part(study=silent, name="value", of=lambda one: one.value),))], INPUTS)

    assert 'waits for "What is silent?"' == plan.outcomes["x"].result.reason
    with pytest.raises(ProgramError, match="study fence needs area, which is not in the list"):
        in_order([_part_reader([])])


def test_reading_a_part_that_is_not_named_is_a_fault():
    with pytest.raises(ProgramError, match="study fence reads length of area without naming it in parts"):
        run_studies([AREA, _part_reader([], named=False)], INPUTS)


def test_what_stands_is_told_before_what_must_be_worked():
    """Of two long studies one stands: what hangs on it is answered before the other is worked; the plan keeps its order."""
    slow, long = study("slow", reads={"soil"}), study("long", reads={"floor"})
    first, second = study("first", reads={"edge"}, needs=(long,)), study("second", reads={"soil"}, needs=(long,))
    listed = [first, second, slow, long]
    before = run_studies(listed, INPUTS)
    told: list[str] = []
    changed = Inputs(job=replace(JOB, soil=Soil(unit_weight_kg_m3=2000.0)))
    plan = run_studies(listed, changed, earlier=before, on_done=lambda one: told.append(one.study.key))

    assert ["long", "first", "second", "slow"] == told
    assert ["slow", "long", "first", "second"] == list(plan.outcomes)
