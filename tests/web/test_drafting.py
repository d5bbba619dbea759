"""The plan as something to take hold of: moves, additions and removals, with the file's own wording kept."""

import math

import pytest

from slabwright.files.examples import example_text, write_example
from tests.web.conftest import page_on


def test_a_dragged_pad_lands_on_the_grid_and_its_post_comes_along(page):
    """4.6 m and 3.1 m on a 1 in grid: 181 in and 122 in (by hand: 181.1 and 122.05 in)."""
    answer = page.post("move", section="pads", number=0, to_m=[4.6, 3.1], snap="1 in")

    assert 200 == answer.status_code
    assert [181 * 0.0254, 122 * 0.0254] == pytest.approx(page.thing("pads", 0)["points_m"][0])
    assert page.thing("pads", 0)["points_m"] == page.thing("posts", 0)["points_m"]
    assert [["15'-1\"", "10'-2\""]] == page.thing("pads", 0)["texts"]
    assert [["15 ft", "27 ft"]] == page.thing("pads", 1)["texts"]


@pytest.mark.parametrize("typed", ["16'-6 1/2\"", "5.05 m", "198 1/2 in", "16.5 ft"])
def test_a_typed_place_is_kept_as_typed(page, folder, typed):
    assert page.post("move", section="pads", number=0, to=[typed, "9 ft"]).status_code == 200
    assert typed == page.field("pads[1].at")["text"].partition(",")[0]


def test_only_the_axis_that_moved_is_written_anew(page):
    page.post("move", section="walls", number=1, point=0, to_m=[29.75 * 0.3048, 0.3048], snap="1 in")

    assert "29'-9\", 1 ft; 29'-9\", 30 ft" == page.field("walls[2].line")["text"]


def test_a_corner_of_the_outline_moves(page):
    page.post("move", section="outline", number=0, point=2, to=["32 ft", "36 ft"])

    assert "0, 0; 30 ft, 0; 32 ft, 36 ft; 0, 36 ft" == page.field("floor.outline")["text"]


def test_a_rectangle_by_two_corners_becomes_four_when_one_moves(page):
    page.patch({"floor.outline": '{ from = ["0", "0"], to = ["30 ft", "36 ft"] }'})
    page.post("move", section="outline", number=0, point=2, to=["32 ft", "36 ft"])

    assert "0, 0; 30 ft, 0; 32 ft, 36 ft; 0, 36 ft" == page.field("floor.outline")["text"]


def test_a_corner_is_put_into_the_nearest_side_and_taken_out(page):
    page.post("place", section="outline", points_m=[[4.5, -0.1]], snap="1 ft")
    assert 5 == len(page.thing("outline", 0)["points_m"])
    page.post("remove", section="outline", number=0, point=1)

    assert "0, 0; 30 ft, 0; 30 ft, 36 ft; 0, 36 ft" == page.field("floor.outline")["text"]


def test_a_pad_of_a_grid_moves_alone(tmp_path):
    """The shelter's pads stand on a grid: the others stay where they are."""
    write_example(tmp_path / "shelter", "shelter")
    page = page_on(tmp_path, "shelter")
    before = [one for one in page.view()["things"] if one["section"] == "pads"]
    answer = page.post("move", section="pads", number=3, to_m=[before[3]["points_m"][0][0] + 0.3048, before[3]["points_m"][0][1]])
    after = [one for one in page.view()["things"] if one["section"] == "pads"]

    assert 200 == answer.status_code, answer.text
    assert 22 == len(after)
    apart = [math.dist(one["points_m"][0], two["points_m"][0]) for one, two in zip(before, after, strict=True)]
    assert [0.3048 if number == 3 else 0.0 for number in range(22)] == pytest.approx(apart, abs=1e-6)
    assert [one["name"] for one in before] == [one["name"] for one in after]
    page.client.app.state.desk.close()
    page.client.close()


def test_a_post_on_a_pad_moves_with_it_only(page):
    answer = page.post("move", section="posts", number=0, to_m=[1, 1])

    assert 422 == answer.status_code
    assert "move the pad" in answer.json()["message"]


@pytest.mark.parametrize(
    ("section", "points"),
    [
        ("pads", [[3, 8]]),
        ("walls", [[0, 5], [9, 5]]),
        ("strips", [[4.5, 0.5], [4.5, 10]]),
        ("pipes", [[2, 2]]),
        ("embeds", [[3, 0.1], [6, 0.1]]),
        ("block_outs", [[3, 5], [4, 5], [4, 6], [3, 6]]),
        ("joints", [[0, 5], [9, 5]]),
    ],
)
def test_things_are_added_and_taken_out_again(page, folder, section, points):
    """Each kind goes in like the last of its kind and comes out; the file is as it was but for blank lines."""
    count = len([one for one in page.view()["things"] if one["section"] == section])
    added = page.post("place", section=section, points_m=points, snap="1 in")
    assert 200 == added.status_code, added.text
    assert count + 1 == len([one for one in added.json()["things"] if one["section"] == section])

    out = page.post("remove", section=section, number=count)
    assert 200 == out.status_code, out.text
    assert count == len([one for one in out.json()["things"] if one["section"] == section])


def test_a_pad_out_of_two_leaves_the_other(page):
    page.post("remove", section="pads", number=0)

    assert ["P1"] == [one["name"] for one in page.view()["things"] if one["section"] == "pads"]
    assert "15 ft, 27 ft" in page.field("pads[1].at")["text"]


def test_a_move_that_cannot_stand_is_refused_and_leaves_the_file(page, folder):
    """A pad far outside the floor."""
    answer = page.post("move", section="pads", number=0, to_m=[50, 50])

    assert 422 == answer.status_code
    assert "outside the floor" in answer.json()["message"]
    assert example_text("store") == (folder / "store" / "job.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("number", [9, 10_000])
def test_what_is_not_there_cannot_be_moved(page, number):
    assert page.post("move", section="pads", number=number, to_m=[1, 1]).status_code == 422


@pytest.mark.parametrize(("to_ft", "width"), [((5, 1.5), "18 in"), ((28.75, 20), "15 in"), ((12, 34.5), "18 in")])
def test_the_edge_is_as_wide_as_its_inner_line_was_drawn(page, to_ft, width):
    """Whichever side is dragged, the distance from the form counts: 1.5 ft from the south, 1.25 ft from the east, 1.5 ft from the north."""
    answer = page.post("move", section="edge", number=0, to_m=[one * 0.3048 for one in to_ft], snap="1 in")

    assert 200 == answer.status_code, answer.text
    assert width == page.field("edge.width")["text"].replace("1'-6\"", "18 in").replace("1'-3\"", "15 in")


def test_the_inner_line_of_the_edge_stays_inside(page):
    answer = page.post("move", section="edge", number=0, to_m=[-1, 3])

    assert 422 == answer.status_code
    assert "inside the floor" in answer.json()["message"]


def test_a_wall_moves_as_a_whole(page):
    """A foot to the east: both ends go along, its length stays."""
    before = page.thing("walls", 1)
    x, y = before["points_m"][0]
    page.post("move", section="walls", number=1, whole=True, to_m=[x - 0.3048, y], snap="1 in")
    after = page.thing("walls", 1)

    assert [(-0.3048, 0.0)] * 2 == [
        (pytest.approx(two[0] - one[0]), pytest.approx(two[1] - one[1]))
        for one, two in zip(before["points_m"], after["points_m"], strict=True)
    ]
    assert before["sides"] == after["sides"]


def test_a_typed_side_takes_its_square_neighbour_along(page):
    """The south side of a rectangle typed: both eastern corners move, the floor stays square."""
    assert ["30 ft", "36 ft", "30 ft", "36 ft"] == page.thing("outline", 0)["sides"]
    page.post("move", section="outline", number=0, point=0, length="32'-6\"")

    assert [["0", "0"], ["32'-6\"", "0"], ["32'-6\"", "36 ft"], ["0", "36 ft"]] == page.thing("outline", 0)["texts"]


def test_a_typed_length_of_a_wall_moves_its_far_end_only(page):
    before = page.thing("walls", 0)
    page.post("move", section="walls", number=0, point=0, length="10 ft")
    after = page.thing("walls", 0)

    assert before["points_m"][0] == after["points_m"][0]
    assert ["10 ft"] == after["sides"]


@pytest.mark.parametrize("length", ["0", "-3 ft", "3", "long"])
def test_a_side_that_is_no_length_is_refused(page, length):
    assert page.post("move", section="outline", number=0, point=0, length=length).status_code == 422


def test_a_grid_of_pads_stands_between_two_corners(page, folder):
    """Three by two from (4, 5) to (26, 15) ft: 11 ft and 10 ft apart, written as a grid."""
    foot = 0.3048
    answer = page.post("place", section="pads", points_m=[[26 * foot, 15 * foot], [4 * foot, 5 * foot]], columns=3, rows=2, snap="1 in")
    new = [one["points_m"][0] for one in page.view()["things"] if one["section"] == "pads"][2:]

    assert 200 == answer.status_code, answer.text
    assert [(4, 5), (15, 5), (26, 5), (4, 15), (15, 15), (26, 15)] == [(pytest.approx(x / foot), pytest.approx(y / foot)) for x, y in new]
    assert 'step = "11 ft"\ncount = 3' in (folder / "store" / "job.toml").read_text(encoding="utf-8")


def test_a_row_of_posts_needs_no_second_line(page):
    """Three along the west wall."""
    page.post("place", section="posts", points_m=[[0.0762, 3], [0.0762, 9]], columns=1, rows=3)
    new = [one["points_m"][0] for one in page.view()["things"] if one["section"] == "posts"][2:]

    assert [3.0, 6.0, 9.0] == pytest.approx([y for _, y in new], abs=2e-3)


def test_a_post_on_nothing_is_refused_with_the_remedy(page):
    answer = page.post("place", section="posts", points_m=[[3, 5], [6, 5]], columns=3, rows=1)

    assert 422 == answer.status_code
    assert "add a pad there" in answer.json()["message"]


def test_a_grid_on_one_line_is_refused(page):
    answer = page.post("place", section="pads", points_m=[[3, 5], [3, 8]], columns=2, rows=2)

    assert 422 == answer.status_code
    assert "on one line" in answer.json()["message"]


@pytest.mark.parametrize(("typed", "metres"), [("16'-6 1/2\"", 5.0419), ("5.05 m", 5.05), ("0", 0.0), ("-2 ft", -0.6096)])
def test_a_typed_place_is_read_by_the_desk(page, typed, metres):
    found = page.client.get(f"{page.base}/point", params={"east": typed, "north": "1 m"}).json()

    assert [metres, 1.0] == pytest.approx(found["at_m"])


@pytest.mark.parametrize("typed", ["16", "sixteen", "", "1 kg"])
def test_a_place_without_a_length_is_refused_in_words(page, typed):
    answer = page.client.get(f"{page.base}/point", params={"east": typed, "north": "1 m"})

    assert 422 == answer.status_code
    assert answer.json()["message"].endswith(".")


@pytest.mark.parametrize(("section", "key"), [("joints", "pinned"), ("forbidden", "forbidden")])
def test_a_joint_line_is_wished_moved_and_let_go(page, folder, section, key):
    """Kept or forbidden: two ends in the file, one end typed elsewhere, then the file as it was."""
    before = (folder / "store" / "job.toml").read_text(encoding="utf-8")
    page.post("place", section=section, points_m=[[0, 3.6576], [9.144, 3.6576]])
    assert [("0", "12 ft"), ("30 ft", "12 ft")] == [tuple(one) for one in page.thing(section, 0)["texts"]]

    page.post("move", section=section, number=0, point=1, to=["30 ft", "13 ft"])
    assert f'{key} = [[["0", "12 ft"], ["30 ft", "13 ft"]]]' in (folder / "store" / "job.toml").read_text(encoding="utf-8")

    page.post("remove", section=section, number=0)
    assert before == (folder / "store" / "job.toml").read_text(encoding="utf-8")
