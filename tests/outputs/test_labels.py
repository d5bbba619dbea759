"""Placing labels, with a geometry library as oracle."""

import math

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.outputs.labels import Box, Label, Placed, placed_label, shifts_around

sizes = st.floats(1.0, 30.0)
places = st.floats(-40.0, 40.0)
axes = st.floats(-math.pi, math.pi).map(lambda turn: (math.cos(turn), math.sin(turn)))
boxes = st.builds(Box, st.tuples(places, places), sizes, sizes, axes | st.just((1.0, 0.0)))


@given(boxes, boxes)
@settings(max_examples=150, deadline=None)
def test_boxes_overlap_where_their_polygons_do(one: Box, other: Box) -> None:
    """Two convex shapes are apart if and only if an axis of one of them parts them."""
    area = shapely.Polygon(one.corners()).intersection(shapely.Polygon(other.corners())).area

    if area > 1e-6:
        assert one.overlap(other) > 0
    if one.overlap(other) > 1e-6:
        assert area > 0


@given(boxes, st.tuples(places, places), st.tuples(places, places))
@settings(max_examples=150, deadline=None)
def test_a_segment_crosses_where_its_line_does(box: Box, start: tuple[float, float], end: tuple[float, float]) -> None:
    length = shapely.LineString([start, end]).intersection(shapely.Polygon(box.corners())).length

    if length > 1e-6:
        assert box.crossed_by(start, end)
    if not box.crossed_by(start, end):
        assert length < 1e-6


def test_a_label_stays_where_there_is_room() -> None:
    label = Label(lines=("P1",), at=(10.0, 10.0), size=8.0)

    assert label == placed_label(label, Placed())


def test_two_labels_at_one_point_are_parted() -> None:
    placed = Placed()
    label = Label(lines=("pad P1",), at=(0.0, 0.0), size=8.0, shifts=shifts_around(5.0, 4))

    one, other = placed_label(label, placed), placed_label(label, placed)

    assert one is not None
    assert other is not None
    assert 0 == one.box().overlap(other.box())


def test_a_crowd_of_labels_is_parted() -> None:
    placed = Placed()
    labels = [
        placed_label(Label(lines=(f"P{n}",), at=(float(n % 3), float(n // 3)), size=8.0, shifts=shifts_around(5.0, 8)), placed)
        for n in range(12)
    ]
    boxes = [label.box() for label in labels if label is not None]

    assert 12 == len(boxes)
    assert all(0 == one.overlap(other) for place, one in enumerate(boxes) for other in boxes[:place])


def test_text_moves_off_a_heavy_line_but_not_far() -> None:
    placed = Placed()
    placed.add_line((-100.0, 0.0), (100.0, 0.0), 1.5)

    label = placed_label(Label(lines=("12 in",), at=(0.0, 0.0), size=8.0, shifts=shifts_around(4.8, 5)), placed)

    assert label is not None
    assert 0 < abs(label.at[1]) < 12


def test_a_label_that_may_drop_is_left_out_rather_than_put_over_text() -> None:
    placed = Placed()
    placed.add_box(Box((0.0, 0.0), 30.0, 30.0))

    assert placed_label(Label(lines=("5 in",), at=(0.0, 0.0), size=8.0, may_drop=True), placed) is None


def test_turned_text_covers_its_turned_box() -> None:
    label = Label(lines=("16′-0″",), at=(0.0, 0.0), size=10.0, angle=-90.0)
    left, top, right, bottom = label.box().bounds()

    assert bottom - top > 2 * (right - left)


def test_the_order_of_placing_is_fixed() -> None:
    def run() -> list[tuple[float, float]]:
        placed = Placed()
        labels = [Label(lines=("x" * n,), at=(0.0, n * 2.0), size=8.0, shifts=shifts_around(5.0, 5)) for n in range(1, 9)]
        return [label.at for one in labels if (label := placed_label(one, placed)) is not None]

    assert run() == run()


def test_a_leader_does_not_pass_through_other_text() -> None:
    """The straight way from the wanted place to the tip is barred by text; another place is taken."""
    placed = Placed()
    barrier = Box((30.0, 0.0), 12.0, 5.0)
    placed.add_box(barrier)

    wanted = Label(lines=("two bars",), at=(60.0, 0.0), size=8.0, anchor="start", shifts=shifts_around(8.8, 5), tip=(0.0, 0.0))
    settled = placed_label(wanted, placed)

    assert barrier.crossed_by((60.0, 0.0), (0.0, 0.0))
    assert settled is not None
    assert not barrier.crossed_by(settled.at, (0.0, 0.0))


def test_a_line_in_many_pieces_weighs_as_one() -> None:
    placed = Placed()
    placed.add_line((-200.0, 0.0), (200.0, 0.0), 0.4)

    assert (0.0, 0.4) == placed.harm(Box((0.0, 0.0), 150.0, 4.0))
