"""Rectangles from a sheet: published optima, and pieces that lie inside and apart."""

from collections import Counter
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box, unary_union

from slabwright.errors import NotConverged, OutOfRange
from slabwright.solvers.cutting.free_packing import pack_sheet
from slabwright.solvers.cutting.guillotine import Piece, SheetCut, cut_sheet

from . import published_instances as published


def assert_lies_well(cut: SheetCut, length: int, width: int, pieces: Sequence[Piece]) -> None:
    """By geometry: inside the sheet, not over one another, within the limits, worth what is said."""
    boxes = [box(x, y, x + a, y + b) for _, x, y, a, b in cut.places]

    assert pytest.approx(sum(one.area for one in boxes)) == unary_union(boxes).area
    assert all(box(0, 0, length, width).covers(one) for one in boxes)
    assert cut.value == sum(pieces[number].value for number, *_ in cut.places)
    for number, count in Counter(number for number, *_ in cut.places).items():
        assert pieces[number].limit is None or count <= pieces[number].limit


@pytest.mark.published(published.GUILLOTINE_TABLE)
@pytest.mark.parametrize(("may_turn", "value", "waste_pct"), [(False, 56460, 9.664), (True, 58136, 6.982)])
def test_gcut1(may_turn, value, waste_pct):
    pieces = [Piece(a, b, a * b) for a, b in published.GCUT1]
    cut = cut_sheet(250, 250, pieces, may_turn=may_turn)

    assert value == cut.value
    assert pytest.approx(waste_pct, abs=0.0005) == 100 * (1 - cut.value / 250**2)
    assert_lies_well(cut, 250, 250, pieces)


@pytest.mark.published(published.CHRISTOFIDES)
@pytest.mark.parametrize(("sheet", "items", "value"), [((15, 10), published.CGCUT1, 249), ((40, 70), published.CGCUT2, 3076)])
def test_pieces_without_limit(sheet, items, value):
    pieces = [Piece(a, b, worth) for a, b, worth, _ in items]
    cut = cut_sheet(*sheet, pieces)

    assert value == cut.value
    assert_lies_well(cut, *sheet, pieces)


@pytest.mark.published(published.CHRISTOFIDES_LIMITED)
@pytest.mark.parametrize(("sheet", "items", "value"), [((15, 10), published.CGCUT1, 244), ((40, 70), published.CGCUT2, 2892)])
def test_pieces_with_limits(sheet, items, value):
    pieces = [Piece(*item) for item in items]
    cut = cut_sheet(*sheet, pieces)

    assert value == cut.value
    assert_lies_well(cut, *sheet, pieces)


@pytest.mark.published(published.BEASLEY)
def test_ngcut1_packed_freely():
    pieces = [Piece(*item) for item in published.NGCUT1]
    cut = pack_sheet(10, 10, pieces)

    assert 164 == cut.value
    assert_lies_well(cut, 10, 10, pieces)


@settings(max_examples=20, deadline=None)
@given(st.data())
def test_through_cuts_never_beat_free_packing(data):
    """Guillotine cutting is free packing with a rule more; with one piece of each kind both orders hold."""
    length, width = data.draw(st.integers(3, 8)), data.draw(st.integers(3, 8))
    side = st.integers(1, 5)
    pieces = [Piece(data.draw(side), data.draw(side), data.draw(st.integers(1, 20)), data.draw(st.integers(1, 2))) for _ in range(3)]
    by_cuts, freely = cut_sheet(length, width, pieces), pack_sheet(length, width, pieces)

    assert_lies_well(by_cuts, length, width, pieces)
    assert_lies_well(freely, length, width, pieces)
    assert by_cuts.value <= freely.value
    assert by_cuts.value <= cut_sheet(length, width, [Piece(one.length, one.width, one.value) for one in pieces]).value


def test_nothing_fits_is_worth_nothing():
    assert SheetCut(0, ()) == cut_sheet(3, 3, [Piece(4, 1, 9)]) == pack_sheet(3, 3, [Piece(4, 1, 9)])


def test_effort_without_proof_is_an_error():
    with pytest.raises(NotConverged, match="do not prove"):
        cut_sheet(40, 70, [Piece(*item) for item in published.CGCUT2], most_builds=20)


def test_a_piece_without_size_is_refused():
    with pytest.raises(OutOfRange, match="sides above nought"):
        Piece(0, 3, 1)
