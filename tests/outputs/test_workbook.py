"""The workbook, read back by another library."""

import io
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import numpy as np
import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from slabwright.model.supply import Prices
from slabwright.outputs.workbook import workbook_bytes, write_workbook
from slabwright.results.lines import QuantityLine, Trade
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import Family
from tests.outputs.plans import ALL, EMPTY, HOSTILE, NASTY, SHAPE, plan


def sheet(name: str, *studies: object, family: Family = Family.US, job: str = "Brindlecote", values: bool = False) -> Worksheet:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(plan(*studies, family=family, name=job))), data_only=values)  # type: ignore[arg-type]
    return book[name]


def row_of(rows: Worksheet, first: str) -> tuple[object, ...]:
    return next(row for row in rows.iter_rows(values_only=True) if row[0] == first)


def test_the_order_list_is_grouped_by_trade() -> None:
    firsts = [row[0] for row in sheet("Order list", *ALL).iter_rows(min_row=5, values_only=True)]
    places = [firsts.index(trade) for trade in ("Concrete", "Earthwork and base", "Retarder and insulation", "Steel", "Forms")]

    assert sorted(places) == places
    assert firsts.index("Concrete") < firsts.index("Concrete to order") < firsts.index("Earthwork and base")


@pytest.mark.parametrize(("family", "quantity", "unit"), [(Family.US, 29.0, "yd³"), (Family.SI, 22.172091, "m³")])
def test_quantities_stand_in_the_units_of_the_job(family: Family, quantity: float, unit: str) -> None:
    """29 yd³ of 0.764554857984 m³ each."""
    row = row_of(sheet("Order list", SHAPE, family=family), "Concrete to order")

    assert (pytest.approx(quantity, abs=1e-5), unit) == (row[1], row[2])
    assert ("26.7 yd³ neat, then each allowance, to the half yard", 0.086, "over-dig, bulge, pump") == row[3:6]


def test_costs_follow_from_prices() -> None:
    """206.66 a cubic metre is 158.00 a cubic yard; 22.172091 m³ are 4,582.08 to the cent; 24 bars at 11.40 are 273.60."""
    rows = sheet("Order list", SHAPE, values=True)
    concrete, bars = row_of(rows, "Concrete to order"), row_of(rows, "No.4 bars, 20 ft")
    total = row_of(rows, "Total in $, of what has a price")

    assert (pytest.approx(158.00, abs=0.005), 4582.08) == concrete[7:9]
    assert (11.4, 273.6) == bars[7:9]
    assert 4855.68 == total[8]


def test_a_part_of_a_line_has_no_cost_of_its_own() -> None:
    assert (None, None) == row_of(sheet("Order list", SHAPE), "of which floor")[7:9]


def test_a_part_is_priced_where_its_whole_is_not() -> None:
    """Seven bars at 9.80 are 68.60; of a whole that has a price the part has none."""

    def costs(whole: str) -> tuple[object, ...]:
        bars = QuantityLine(key=whole, item="Bars", quantity=40.0, suffix="kg", trade=Trade.STEEL, basis="by the plan")
        part = replace(bars, key="bars.no4", item="No.4", quantity=7.0, suffix="", unit="bars", part_of=whole)
        one = plan(replace(SHAPE, run=lambda _inputs, _done: Result(answer="Order.", lines=(bars, part))))
        inputs = replace(one.inputs, job=replace(one.inputs.job, prices=Prices(per_unit={"bars": Decimal(2), "bars.no4": Decimal("9.80")})))
        book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(replace(one, inputs=inputs))))
        return tuple(row_of(book["Order list"], name)[8] for name in ("Bars", "No.4"))

    assert (None, 68.6) == costs("steel.bars")
    assert (80.0, None) == costs("bars")


def test_the_total_is_the_only_formula() -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(plan(*ALL, name=HOSTILE))))
    formulas = [(page.title, cell.value) for page in book for row in page.iter_rows() for cell in row if cell.data_type == "f"]

    assert 1 == len(formulas)
    assert formulas[0][0] == "Order list"
    assert str(formulas[0][1]).startswith("=SUM(I5:I")


@pytest.mark.parametrize("name", ["=cmd()", "+1", "-1", "@sum", '=HYPERLINK("x")', "http://example.invalid", "{=1}"])
def test_names_that_begin_like_formulas_are_text(name: str) -> None:
    cell = sheet("Order list", SHAPE, job=name)["A1"]

    assert ("s", f"{name}: order list", None) == (cell.data_type, cell.value, cell.hyperlink)


def test_hostile_lines_are_text() -> None:
    rows = sheet("Order list", NASTY)
    row = next(row for row in rows.iter_rows() if row[0].value == "=1+1")

    assert ["=1+1", 3, "@rolls", "+cmd", 0.1, "-x"] == [cell.value for cell in row[:6]]
    assert ["s", "n", "s", "s", "n", "s"] == [cell.data_type for cell in row[:6]]


def test_every_check_has_its_row() -> None:
    made = plan(*ALL)
    rows = list(sheet("Checks", *ALL).iter_rows(min_row=5, values_only=True))

    assert sum(len(result.checks) for _, result in made.results()) == len(rows)
    assert ("Bearing under the pad", "pad P4", "2,096 psf", "2,000 psf", 1.048, "does not hold") == rows[3][1:7]
    assert "widen the pad to 3 ft" == rows[3][10]


def test_every_assumption_has_its_row() -> None:
    rows = list(sheet("To confirm", SHAPE).iter_rows(min_row=5, values_only=True))

    assert {"2,000 psf for silty sand", "5 in, the least that the trade would pour for light wheels"} == {row[0] for row in rows}


def test_every_sheet_carries_day_digest_editions_and_caution() -> None:
    for name in ("Order list", "Checks", "To confirm"):
        line = str(sheet(name, SHAPE)["A2"].value)
        for expected in ("April 9, 2031", "4f1c9a0b77de", "ACI 318-19", "licensed engineer"):
            assert expected in line


def test_a_plan_without_quantities_or_checks_is_a_workbook_all_the_same() -> None:
    assert [] == list(sheet("Order list", EMPTY).iter_rows(min_row=5, values_only=True))
    assert [] == list(sheet("Checks", EMPTY).iter_rows(min_row=5, values_only=True))


def test_unprintable_letters_do_not_spoil_the_file() -> None:
    assert "a b c: order list" == sheet("Order list", SHAPE, job="a\x00b\ud800c")["A1"].value


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert workbook_bytes(plan(SHAPE)) == workbook_bytes(plan(SHAPE))


def test_the_workbook_is_written_whole(tmp_path: Path) -> None:
    path = write_workbook(plan(SHAPE), tmp_path / "quantities.xlsx")

    assert [path] == list(tmp_path.iterdir())


def test_a_quantity_from_an_array_has_its_cost() -> None:
    """Numbers that come out of array arithmetic are numbers like others."""

    def run(inputs: Inputs, done: Done) -> Result:
        line = QuantityLine(key="bars.no4", item="bars", quantity=np.float64(10.0), suffix="", trade=Trade.STEEL, basis="")
        return Result(answer="*10*", lines=(line,))

    rows = sheet("Order list", Study(key="s", question="?", stage=Stage.STEEL, run=run), values=True)

    assert 114.0 == row_of(rows, "bars")[8]
