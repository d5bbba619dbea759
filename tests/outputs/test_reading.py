"""A plan read from the outside."""

from dataclasses import replace

from slabwright.outputs.book import book_data
from slabwright.outputs.plan_sheet import plan_sheet
from slabwright.outputs.reading import alike, assumptions_to_confirm, quantity_lines, questions_to_ask, sources_cited, tally
from slabwright.outputs.results_json import results_data
from slabwright.results.check import Ask, State
from slabwright.results.lines import QuantityLine, Trade
from slabwright.study import Done, Inputs, Presentation, Result, Stage, Study
from tests.outputs.pictures import plan_picture
from tests.outputs.plans import BOOK, SHAPE, bearing, plan


def test_states_are_counted_the_most_urgent_first() -> None:
    counted = tally(plan())

    assert [State.FAILS, State.ASK, State.WAITING, State.NEAR, State.HOLDS] == list(counted)
    assert len(plan().outcomes) == sum(counted.values())


def test_questions_are_gathered_by_who_must_answer() -> None:
    asked = questions_to_ask(plan())

    assert [Ask.ENGINEER, Ask.BUILDING_DEPARTMENT, Ask.ELECTRICIAN] == list(asked)
    assert "shape" == asked[Ask.ENGINEER][0][0].study.key


def test_an_assumption_is_confirmed_once() -> None:
    def run(inputs: Inputs, done: Done) -> Result:
        return Result(answer="*1*", assumptions=plan(SHAPE).inputs.job.assumptions)

    again = Study(key="again", question="?", stage=Stage.DESIGN, run=run)

    assert 1 == len(assumptions_to_confirm(plan(again)))


def test_a_laid_out_count_takes_the_place_of_a_reckoned_one() -> None:
    def lay(inputs: Inputs, done: Done) -> Result:
        line = QuantityLine(key="bars.no4", item="No.4 bars", quantity=26, suffix="", unit="bars", trade=Trade.STEEL, basis="cut list")
        return Result(answer="*26*", lines=(line,))

    lines = quantity_lines(plan(SHAPE, Study(key="steel", question="?", stage=Stage.STEEL, run=lay)))

    assert [26] == [line.quantity for line in lines if line.key == "bars.no4"]


def test_checks_alike_in_all_but_place_are_one() -> None:
    groups = alike([bearing("P1", 9.6, 6.25, 2000.0), bearing("P2", 9.7, 6.25, 2000.0), bearing("P3", 9.6, 6.25, 2000.0)])

    assert [("pad P1", "pad P3"), ("pad P2",)] == [group.places for group in groups]


def test_every_source_is_cited_once_with_its_places() -> None:
    cited = sources_cited(plan())

    assert {"table 4.2", "8.4.2"} == {clause.locator for clause in cited[BOOK]}
    assert len({source.key for source in cited}) == len(cited)


def test_pictures_are_made_once_for_all_papers() -> None:
    looks = []

    def show(inputs: Inputs, done: Done, result: Result) -> Presentation:
        looks.append(1)
        return Presentation(pictures=(plan_picture(),))

    made = plan(replace(SHAPE, present=show))
    book_data(made)
    plan_sheet(made)
    results_data(made)

    assert [1] == looks
