"""The order list: which count stands where two studies reckon one thing."""

import pytest

from slabwright.results.lines import QuantityLine, Reckoned, Trade, order_list


def line(key, quantity, reckoned=Reckoned.LAID_OUT, part_of=""):
    return QuantityLine(
        key=key, item=key, quantity=quantity, suffix="", trade=Trade.STEEL, basis="counted", reckoned=reckoned, part_of=part_of
    )


RULE = line("steel.mesh", 46.0, Reckoned.BY_RULE)
LAID = line("steel.mesh", 49.0)


@pytest.mark.parametrize("lines", [(RULE, LAID), (LAID, RULE)])
def test_a_laid_out_count_stands_whichever_comes_first(lines):
    assert (LAID,) == order_list(lines)


def test_of_two_reckoned_alike_the_later_stands():
    assert [50.0] == [one.quantity for one in order_list([LAID, line("steel.mesh", 50.0)])]
    assert [47.0] == [one.quantity for one in order_list([RULE, line("steel.mesh", 47.0, Reckoned.BY_RULE)])]


def test_parts_of_a_rule_of_thumb_go_with_it():
    thumb = [line("steel.bars", 500.0, Reckoned.BY_RULE), line("steel.bars.edge", 68.0, Reckoned.BY_RULE, part_of="steel.bars")]
    laid = [line("steel.bars", 480.0), line("steel.bars.marks", 12.0, part_of="steel.bars")]

    assert ["steel.bars", "steel.bars.marks"] == [one.key for one in order_list([*thumb, *laid])]
    assert ["steel.bars", "steel.bars.edge"] == [one.key for one in order_list(thumb)]


def test_a_rule_of_thumb_may_be_part_of_a_laid_out_line():
    """An allowance by rule within concrete that is otherwise exact."""
    lines = [line("concrete", 29.0), line("concrete.spill", 0.3, Reckoned.BY_RULE, part_of="concrete")]

    assert tuple(lines) == order_list(lines)


def test_the_order_is_that_in_which_keys_first_came():
    lines = [RULE, line("forms", 40.0), LAID]

    assert ["steel.mesh", "forms"] == [one.key for one in order_list(lines)]


def test_parts_stand_after_their_line():
    """Whole first, its parts next, whoever comes between."""
    lines = [line("steel.chairs", 9.0), line("blocks", 4.0), line("steel.chairs.high", 3.0, part_of="steel.chairs")]

    assert ["steel.chairs", "steel.chairs.high", "blocks"] == [one.key for one in order_list(lines)]
