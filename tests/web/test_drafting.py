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
