"""quantities.xlsx: the order list by trade, with the checks and the assumptions on sheets of their own.

Every text is written as text, whatever sign it begins with: a spreadsheet must never take a name for a formula.
"""

import io
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from slabwright.outputs.atomic import write_atomically
from slabwright.outputs.markup import printable
from slabwright.outputs.numbers import day_text
from slabwright.outputs.reading import assumptions_to_confirm, quantity_lines
from slabwright.outputs.sheet import CAUTION
from slabwright.outputs.words import check_text, order_unit
from slabwright.results.lines import QuantityLine, Trade
from slabwright.study import Plan
from slabwright.units import DIMENSIONS, Family, printed_unit

_NO_DAY = date(2000, 1, 1)
_ORDER_HEAD = ("Item", "Quantity", "Unit", "How it was reckoned", "Waste in it", "Why that waste", "From", "Price per unit", "Cost")
_ORDER_WIDTHS = (34, 12, 10, 52, 10, 34, 34, 14, 14)
_CHECK_HEAD = ("Question", "Check", "Where", "Demand", "Limit", "Ratio", "State", "Governed by", "Rule", "Method", "To make it hold")
_CHECK_WIDTHS = (38, 34, 22, 14, 14, 9, 16, 24, 36, 36, 36)
_ASSUMPTION_HEAD = ("Taken as", "Write it at", "From")
_ASSUMPTION_WIDTHS = (60, 34, 50)


def write_workbook(plan: Plan, path: Path | str) -> Path:
    """Write the workbook."""
    return write_atomically(path, workbook_bytes(plan))


def workbook_bytes(plan: Plan) -> bytes:
    """The workbook as it is written to a file; the same plan gives the same cells."""
    import xlsxwriter

    buffer = io.BytesIO()
    book = xlsxwriter.Workbook(
        buffer, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    )
    day = plan.inputs.site.today or _NO_DAY
    book.set_properties({"title": printable(f"Quantities: {plan.inputs.job.name}"), "created": datetime(day.year, day.month, day.day)})
    styles = _Styles(book)
    _order_sheet(book.add_worksheet("Order list"), plan, styles)
    _check_sheet(book.add_worksheet("Checks"), plan, styles)
    _assumption_sheet(book.add_worksheet("To confirm"), plan, styles)
    book.close()
    return buffer.getvalue()


class _Styles:
    """Cell formats of the workbook."""

    def __init__(self, book: Any) -> None:
        plain = {"font_name": "Calibri", "font_size": 10, "valign": "top"}
        self.title = book.add_format(plain | {"bold": True, "font_size": 14})
        self.text = book.add_format(plain | {"text_wrap": True})
        self.part = book.add_format(plain | {"text_wrap": True, "indent": 1, "font_color": "#555555"})
        self.head = book.add_format(plain | {"bold": True, "text_wrap": True, "bottom": 1})
        self.trade = book.add_format(plain | {"bold": True, "top": 1})
        self.whole = book.add_format(plain | {"num_format": "#,##0"})
        self.number = book.add_format(plain | {"num_format": "#,##0.0"})
        self.fine = book.add_format(plain | {"num_format": "#,##0.00"})
        self.percent = book.add_format(plain | {"num_format": "0.0%"})
        self.ratio = book.add_format(plain | {"num_format": "0.00"})
        self.money = book.add_format(plain | {"num_format": "#,##0.00"})
        self.total = book.add_format(plain | {"num_format": "#,##0.00", "bold": True, "top": 1})


def _begin(sheet: Any, plan: Plan, styles: _Styles, title: str, head: tuple[str, ...], widths: tuple[int, ...]) -> int:
    """Title, caution and heading of a sheet; the row where its lines begin."""
    job = plan.inputs.job
    sheet.write_string(0, 0, printable(f"{job.name}: {title}"), styles.title)
    day = day_text(plan.inputs.site.today, job.family)
    sheet.write_string(1, 0, printable(f"{day}; job file {job.digest[:12]}; {job.codes}. {CAUTION}"))
    for column, (words, width) in enumerate(zip(head, widths, strict=True)):
        sheet.set_column(column, column, width)
        sheet.write_string(3, column, words, styles.head)
    sheet.freeze_panes(4, 1)
    sheet.repeat_rows(3)
    sheet.set_landscape()
    sheet.set_paper(1 if job.family is Family.US else 9)
    sheet.fit_to_pages(1, 0)
    return 4


def _order_sheet(sheet: Any, plan: Plan, styles: _Styles) -> None:
    prices = plan.inputs.job.prices
    lines = quantity_lines(plan)
    row = _begin(sheet, plan, styles, "order list", _ORDER_HEAD, _ORDER_WIDTHS)
    total, first = Decimal(0), row
    for trade in Trade:
        members = [line for line in lines if line.trade is trade]
        if members:
            sheet.write_string(row, 0, trade.value.capitalize(), styles.trade)
            row += 1
        for line in members:
            total += _order_line(sheet, row, line, plan, styles)
            row += 1
    if prices is not None and total:
        sheet.write_string(row, 0, f"Total in {prices.currency}, of what has a price", styles.trade)
        last_column = len(_ORDER_HEAD) - 1
        sheet.write_formula(row, last_column, f"=SUM(I{first + 1}:I{row})", styles.total, float(total))


def _order_line(sheet: Any, row: int, line: QuantityLine, plan: Plan, styles: _Styles) -> Decimal:
    """Write one line; what it costs, nothing for one without a price or a part of one that has a price."""
    job = plan.inputs.job
    number, unit, per_unit = shown_quantity(line, job.family)
    sheet.write_string(row, 0, printable(line.item), styles.part if line.part_of else styles.text)
    sheet.write_number(row, 1, number, styles.whole if number == round(number) else styles.fine if abs(number) < 10 else styles.number)
    for column, words in ((2, unit), (3, line.basis), (5, line.waste_reason), (6, str(line.clause or ""))):
        sheet.write_string(row, column, printable(words), styles.text)
    if line.waste:
        sheet.write_number(row, 4, line.waste, styles.percent)
    prices = job.prices.per_unit if job.prices is not None else {}
    price = prices.get(line.key)
    if price is None or line.part_of in prices:
        return Decimal(0)
    cost = (price * Decimal(repr(float(line.quantity)))).quantize(Decimal("0.01"))
    sheet.write_number(row, 7, float(price * Decimal(repr(float(per_unit)))), styles.money)
    sheet.write_number(row, 8, float(cost), styles.money)
    return cost


def shown_quantity(line: QuantityLine, family: Family) -> tuple[float, str, float]:
    """A quantity as a plain number in the unit a person orders it in.

    Returns
    -------
    tuple
        The number, its unit, and how many SI units one of them is.
    """
    dimension = DIMENSIONS[line.suffix]
    unit = order_unit(line, family)
    if unit not in dimension.units:
        return line.quantity, unit, 1.0
    factor = dimension.units[unit].factor
    return round(line.quantity / factor, 6), printed_unit(unit), factor


def _check_sheet(sheet: Any, plan: Plan, styles: _Styles) -> None:
    row = _begin(sheet, plan, styles, "checks", _CHECK_HEAD, _CHECK_WIDTHS)
    for study, result in plan.results():
        for check in result.checks:
            words = check_text(check, plan.inputs.job.family)
            cells = (study.question, words.name, words.where, words.demand, words.limit, None, words.state.value, words.governing)
            for column, cell in enumerate((*cells, words.clause, words.method, words.remedy)):
                if cell is not None:
                    sheet.write_string(row, column, printable(cell), styles.text)
            sheet.write_number(row, 5, round(check.ratio, 6), styles.ratio)
            row += 1
    if row > 4:
        sheet.autofilter(3, 0, row - 1, len(_CHECK_HEAD) - 1)


def _assumption_sheet(sheet: Any, plan: Plan, styles: _Styles) -> None:
    row = _begin(sheet, plan, styles, "to confirm", _ASSUMPTION_HEAD, _ASSUMPTION_WIDTHS)
    for one in assumptions_to_confirm(plan):
        for column, cell in enumerate((one.statement, one.where, str(one.clause))):
            sheet.write_string(row, column, printable(cell), styles.text)
        row += 1
