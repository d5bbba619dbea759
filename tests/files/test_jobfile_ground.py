"""Parts of a job that do not fit together on the ground are told where they stand."""

import pytest

from slabwright.errors import Finding, InputError
from slabwright.files.jobfile import parse_job
from slabwright.files.jobfile.outline import faults_of_ring
from tests.files.jobs import MINIMAL, minimal_with

OUTLINE = '[["0", "0"], ["30 ft", "0"], ["30 ft", "36 ft"], ["0", "36 ft"]]'


def told(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        parse_job(text)
    return [str(finding) for finding in caught.value.findings]


def doubts(text: str) -> tuple[Finding, ...]:
    return parse_job(text).findings


def test_edges_that_cross_are_named_with_the_place():
    """A bow tie: points 3 and 4 swapped. The crossing is the middle of the rectangle, (15 ft, 18 ft) = (4.572 m, 5.4864 m)."""
    text = minimal_with(OUTLINE, '[["0", "0"], ["30 ft", "0"], ["0", "36 ft"], ["30 ft", "36 ft"]]')

    assert [
        "floor.outline: edge 2–3 crosses edge 4–1 at (15.00 ft, 18.00 ft) = (4.572 m, 5.486 m); "
        "an outline may not meet itself. Check the order of points 2 and 4 (line 2)."
    ] == told(text)


def test_edges_that_lie_on_each_other_are_told():
    """A spike: out along a side and back."""
    text = minimal_with(OUTLINE, '[["0", "0"], ["30 ft", "0"], ["30 ft", "36 ft"], ["30 ft", "20 ft"], ["0", "20 ft"]]')

    assert any("edge 2–3 lies on edge 3–4" in one for one in told(text))


def test_an_outline_that_touches_itself_in_a_point_is_told():
    """Two squares that share a corner."""
    ring = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (4.0, 2.0), (4.0, 4.0), (2.0, 4.0), (2.0, 2.0), (0.0, 2.0))

    assert faults_of_ring(ring)


@pytest.mark.parametrize(
    ("outline", "message"),
    [
        ('[["0", "0"], ["30 ft", "0"]]', "floor.outline: has 2 points; a shape takes at least three (line 2)."),
        ("[]", "floor.outline: has 0 points; a shape takes at least three (line 2)."),
        (
            '[["0", "0"], ["30 ft", "0"], ["20 ft", "0"], ["10 ft", "0"]]',
            "floor.outline: encloses no area; its points lie on one line. Give the corners in order, going round (line 2).",
        ),
        (
            '[["0", "0"], ["30 ft", "0"], ["360 in", "0"], ["30 ft", "36 ft"]]',
            "floor.outline: points 2 and 3 are the same, at (30.00 ft, 0.00 ft) = (9.144 m, 0.000 m); leave one out (line 2).",
        ),
        (
            '{ from = ["0", "0"], to = ["30 ft", "0"] }',
            "floor.outline: points 2 and 3 are the same, at (30.00 ft, 0.00 ft) = (9.144 m, 0.000 m); leave one out (line 2).",
        ),
        (
            '{ from = ["0", "0"] }',
            'floor.outline: takes "from" and "to", two opposite corners, such as { from = ["0", "0"], to = ["30 ft", "36 ft"] } (line 2).',
        ),
    ],
)
def test_an_outline_that_encloses_nothing_is_told(outline: str, message: str):
    """Too few points, points on a line, points that coincide though written in other units."""
    assert message in told(minimal_with(OUTLINE, outline))


def test_an_outline_may_close_itself_and_turn_either_way():
    """The first point again at the end is no mistake; neither is going round clockwise."""
    closed = minimal_with(OUTLINE, OUTLINE[:-1] + ', ["0", "0"]]')
    clockwise = minimal_with(OUTLINE, '[["0", "0"], ["0", "36 ft"], ["30 ft", "36 ft"], ["30 ft", "0"]]')

    assert parse_job(MINIMAL).job.floor.outline == parse_job(closed).job.floor.outline
    assert 4 == len(parse_job(clockwise).job.floor.outline)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('"20 in"', '"4 in"', "edge.depth: 4 in is shallower than the floor; the floor is 5 in thick. "
         "Depth counts from the top of the floor (line 6)."),
        ('"14 in"', '"4 in"', "pads[1].depth: 4 in is shallower than the floor; the floor is 5 in thick. "
         "Depth counts from the top of the floor (line 12)."),
        ('["15 ft", "27 ft"]', '["15 ft", "270 ft"]', "pads[1].at[2]: pad P2 at (15.00 ft, 270.00 ft) = (4.572 m, 82.296 m) lies outside "
         "the floor; move it so that it meets the outline (line 10)."),
        ('["15 ft", "27 ft"]', '["15 ft", "9 ft"]', "pads[1].at[2]: pad P2 stands at the same place as pad P1, "
         "(15.00 ft, 9.00 ft) = (4.572 m, 2.743 m); leave one out (line 10)."),
        ('depth = "14 in"', 'depth = "14 in"\noutside_top = "2 ft"',
         "pads[1].outside_top: 24 in is below the pad's bottom; keep it above 14 in (line 13)."),
    ],
)  # fmt: skip
def test_a_shape_that_cannot_be_is_told(old: str, new: str, message: str):
    assert [message] == told(minimal_with(old, new))


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ('[[posts]]\nat = ["7 ft", "20 ft"]\nbase = "6 in"\n',
         "posts[1].at: post C1 at (7.00 ft, 20.00 ft) = (2.134 m, 6.096 m) has no pad below it and stands on no wall, strip or edge; "
         "add a pad there ([[pads]] with the same at), or move the post (line 14)."),
        ('[[posts]]\nat = [["15 ft", "9 ft"], ["15 ft", "9 ft"]]\nbase = "6 in"\n',
         "posts[1].at[2]: post C2 stands at the same place as post C1, (15.00 ft, 9.00 ft) = (4.572 m, 2.743 m); leave one out (line 14)."),
        ('[[strips]]\nline = [["0", "18 ft"], ["30 ft", "18 ft"]]\nwidth = "16 in"\ndepth = "3 in"\n',
         "strips[1].depth: 3 in is shallower than the floor; the floor is 5 in thick. Depth counts from the top (line 16)."),
        ('[[strips]]\nline = [["40 ft", "18 ft"], ["50 ft", "18 ft"]]\nwidth = "16 in"\ndepth = "14 in"\n',
         "strips[1].line: lies outside the floor; give points inside the outline (line 14)."),
        ('[mesh]\nstyle = "6x6-W2.9xW2.9"\ncover = "5 in"\n',
         "mesh.cover: 5 in is below the floor; the floor is 5 in thick. Cover counts from the top (line 15)."),
        ('[[pipes]]\nname = "stub"\nkind = "waste"\nrun = [["15 ft", "18 ft"], ["40 ft", "18 ft"]]\ndiameter = "4 in"\n',
         "pipes[1].run[2]: stub rises at (40.00 ft, 18.00 ft) = (12.192 m, 5.486 m), outside the floor; "
         "the last point of a run is where it comes up (line 16)."),
        ('[[embeds]]\nname = "bolt"\nkind = "anchor bolt"\nline = ["-1 ft", "18 ft"]\n',
         "embeds[1].line: bolt at (-1.00 ft, 18.00 ft) = (-0.305 m, 5.486 m) lies outside the concrete; "
         "move it onto floor, edge or pad (line 16)."),
        ('[[floor.regions]]\nwithin = { from = ["40 ft", "0"], to = ["50 ft", "9 ft"] }\nthickness = "6 in"\n',
         "floor.regions[1].within: lies outside the floor; give corners inside the outline (line 14)."),
        ('[[floor.falls]]\nslope = "1 %"\nto = ["60 ft", "9 ft"]\n',
         "floor.falls[1].to: (60.00 ft, 9.00 ft) = (18.288 m, 2.743 m) lies outside the floor; "
         "a floor falls to a point or a line on it (line 15)."),
    ],
)  # fmt: skip
def test_a_thing_that_stands_nowhere_is_told(more: str, message: str):
    assert [message] == told(minimal_with(more=more))


@pytest.mark.parametrize(
    ("hole", "message"),
    [
        ('{ from = ["40 ft", "0"], to = ["50 ft", "5 ft"] }', "lies outside the floor; move it inside the outline or leave it out"),
        ('{ from = ["28 ft", "1 ft"], to = ["32 ft", "5 ft"] }', "crosses the outline; a block-out lies inside the floor."),
        ('{ from = ["5 ft", "5 ft"], to = ["8 ft", "8 ft"] }, { from = ["7 ft", "7 ft"], to = ["9 ft", "9 ft"] }', "overlaps block-out 1"),
    ],
)
def test_a_block_out_lies_inside_the_floor_and_apart_from_others(hole: str, message: str):
    (found,) = told(minimal_with('thickness = "5 in"', f'thickness = "5 in"\nblock_outs = [{hole}]'))

    assert message in found


def test_a_bolt_over_a_block_out_has_no_concrete():
    text = minimal_with('thickness = "5 in"', 'thickness = "5 in"\nblock_outs = [{ from = ["5 ft", "5 ft"], to = ["7 ft", "7 ft"] }]')

    assert "embeds[1].line" in told(text + '[[embeds]]\nkind = "anchor bolt"\nline = ["6 ft", "6 ft"]\n')[0]


@pytest.mark.parametrize(
    "support",
    [
        '[[walls]]\nline = [["0", "20 ft"], ["30 ft", "20 ft"]]\nthickness = "6 in"\n',
        '[[strips]]\nline = [["0", "20 ft"], ["30 ft", "20 ft"]]\nwidth = "16 in"\ndepth = "14 in"\n',
        '[[pads]]\nat = ["7 ft", "20 ft"]\ndiameter = "2 ft"\ndepth = "14 in"\n',
        '[[pads]]\nat = ["7.5 ft", "20 ft"]\nsize = "3 in x 4 ft"\nrotation = "90 deg"\ndepth = "14 in"\n',
    ],
)
def test_a_post_stands_on_a_pad_a_wall_or_a_strip(support: str):
    """The turned pad is 4 ft long and reaches the post; unturned it would not."""
    assert parse_job(minimal_with(more='[[posts]]\nat = ["7 ft", "20 ft"]\nbase = "6 in"\n' + support)).job.posts


def test_a_post_may_stand_on_the_edge():
    """Its bottom is 12 in wide."""
    assert parse_job(minimal_with(more='[[posts]]\nat = ["11 in", "20 ft"]\nbase = "6 in"\n')).job.posts


def test_posts_are_not_judged_against_pads_that_could_not_be_read():
    """One mistake in a pad is one message, not one for each post besides."""
    text = minimal_with('"14 in"', '"14"', '[[posts]]\nat = ["15 ft", "9 ft"]\nbase = "6 in"\n')

    assert ['pads[1].depth: "14" has no unit; write "14 in" or "350 mm" (line 12).'] == told(text)


def test_a_pad_half_outside_is_allowed_and_asked_about():
    """Concrete outside the forms is real concrete; how high it is cast must be said."""
    text = minimal_with('["15 ft", "27 ft"]', '["30 ft", "27 ft"]')
    (doubt,) = doubts(text)

    expected = "pad P2 reaches 15 in outside the form line; write outside_top for how high that part is cast, or move them in."
    assert ("pads[1].at[2]", True, expected) == (doubt.where, doubt.warning, doubt.message)
    assert () == doubts(text.replace('depth = "14 in"', 'depth = "14 in"\noutside_top = "8 in"'))


def test_a_pipe_through_a_pad_is_a_warning():
    """At its middle; along its side it passes; below its bottom it passes too."""
    pipe = '[[pipes]]\nname = "stub"\nkind = "waste"\ndiameter = "4 in"\n'
    (doubt,) = doubts(minimal_with(more=pipe + 'run = ["15 ft", "9 ft"]\n'))

    assert (
        "pipes[1].run: stub runs through pad P1; keep pipes out of pads, or ask the engineer for a sleeve and more steel (line 17)."
        == str(doubt)
    )
    assert () == doubts(minimal_with(more=pipe + 'run = ["16.5 ft", "9 ft"]\n'))
    assert () == doubts(minimal_with(more=pipe + 'run = [["15 ft", "0"], ["15 ft", "18 ft"]]\ndepth = "30 in"\n'))


@pytest.mark.parametrize(
    ("text", "where"),
    [
        (minimal_with('"12 in"', '"12 in"\ntop_above_grade = "22 in"'), "edge.top_above_grade"),
        (minimal_with(more='[[walls]]\nline = [["0", "40 ft"], ["30 ft", "40 ft"]]\nthickness = "6 in"\n'), "walls[1].line"),
        (minimal_with(OUTLINE, '{ from = ["0", "0"], to = ["1000 ft", "1200 ft"] }'), "floor.outline"),
        (minimal_with(more='[soil]\nallowable_bearing = "2000 psi"\n'), "soil.allowable_bearing"),
        (minimal_with(more='[retarder]\nthickness = "10 in"\n'), "retarder.thickness"),
        (minimal_with(more='[mix]\nstrength = "3500 psf"\n'), "mix.strength"),
    ],
)
def test_what_is_probably_not_meant_is_asked_about(text: str, where: str):
    """Units mixed up, mostly."""
    assert where in [doubt.where for doubt in doubts(text)]
