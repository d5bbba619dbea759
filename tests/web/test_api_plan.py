"""The plan over the API: answers, what an edit moves and what it does not, cuts against sums by hand, papers."""

import contextlib
import io
import json
import re
import sqlite3
import threading
import time
import zipfile

import pytest
from starlette.testclient import TestClient

from slabwright.app import replan_pour
from slabwright.errors import MissingInput
from slabwright.files.examples import write_example
from slabwright.web.server import application
from tests.web.conftest import OWN, Page


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    """One desk for the module, its first job planned."""
    folder = tmp_path_factory.mktemp("desk")
    write_example(folder / "store", "store")
    with TestClient(application(folder), base_url="http://localhost:8037", headers=OWN) as client:
        page = Page(client)
        page.planned()
        yield page


def answers(plan: dict) -> dict[str, str]:
    return {one["strip"]["key"]: "".join(run["text"] for run in one["strip"]["answer"]) for one in plan["strips"]}


def test_every_question_of_the_house_is_a_strip(planned):
    """In the order of the work, none left unanswered, each with its stage."""
    from slabwright.studies import STUDIES
    from slabwright.study import in_order

    plan = planned.planned()

    assert [study.key for study in in_order(STUDIES)] == [one["strip"]["key"] for one in plan["strips"]]
    assert not [one["strip"]["key"] for one in plan["strips"] if not one["strip"]["digest"] or one["strip"]["fault"]]


def test_strips_say_what_the_program_says_without_a_page(planned):
    """The same answers as the command line gives for the same file."""
    from slabwright.app import load_job, plan_job
    from slabwright.outputs.typography import typeset
    from slabwright.study import Waiting

    inputs, _ = load_job(planned.client.app.state.desk.session("store").path)
    plan = plan_job(inputs)
    shown = answers(planned.planned())
    for outcome in plan.outcomes.values():
        if not isinstance(outcome.result, Waiting):
            assert typeset(outcome.result.answer).replace("*", "") == shown[outcome.study.key]


def test_every_strip_opens(planned):
    """Pictures with an outline, checks with their reasoning, everything as text."""
    for one in planned.planned()["strips"]:
        answer = planned.client.get(f"{planned.base}/strips/{one['strip']['key']}")
        opened = answer.json()

        assert 200 == answer.status_code, answer.text
        assert one["strip"]["digest"] == opened["digest"]
        assert one["strip"]["counts"].get("questions", 0) == len(opened["referrals"])
        for check in opened["checks"]:
            assert (check["state"] == "does not hold") == (check["share"] > 1 + 1e-9)
            assert check["clause"]


def test_an_edit_marks_what_moved_and_leaves_the_rest(planned):
    """A pad moved by a foot: whoever reads pads is worked again; others are not, and nothing is marked that says the same."""
    from slabwright.studies import STUDIES
    from slabwright.study import in_order

    before = planned.planned()
    told = []
    desk = planned.client.app.state.desk
    publish = desk._publish
    desk._publish = lambda job, message: (told.append(message), publish(job, message))[1]
    try:
        planned.post("move", section="pads", number=0, to=["15 ft", "8 ft"])
        after = planned.planned()
        planned.post("undo")
        back = planned.planned()
    finally:
        desk._publish = publish
    first = [one["strip"]["key"] for one in told if one["type"] == "strip" and one["version"] == after["version"]]
    marked = {one["strip"]["key"] for one in after["strips"] if one["before"]}

    hang_on_it = {"pads", "posts"}
    touched: set[str] = set()
    for study in in_order(STUDIES):
        if hang_on_it & study.reads or touched & {need.key for need in study.after}:
            touched.add(study.key)

    assert first
    assert touched >= set(first)
    assert not {"pour_window", "mix"} & set(first), "as much concrete as before"
    assert first.index("hold_points") < first.index("floor"), "what is quick does not wait for what is slow"
    assert {study.key for study in STUDIES} > touched
    assert marked == {key for key in answers(after) if answers(after)[key] != answers(before)[key]}
    assert answers(before) == answers(back)


def test_a_wish_that_cannot_be_met_is_near_before_after(planned):
    """A floor an inch thicker: the volume in the answer moves, and what it was before stands beside it."""
    was = answers(planned.planned())["shape"]
    planned.patch({"floor.thickness": "6 in"})
    strip = next(one for one in planned.planned()["strips"] if one["strip"]["key"] == "shape")
    planned.post("undo")
    planned.planned()

    assert was == "".join(run["text"] for run in strip["before"]["answer"])
    assert was != "".join(run["text"] for run in strip["strip"]["answer"])


def test_a_cut_has_the_area_of_the_drawing(planned):
    """Across the store at y = 18 ft: 30 ft of 5 in floor, and two edges 12 in wide at the bottom, 15 in deeper, one face at 45 degrees.

    By hand: 30 x 5/12 + 2 x 1.25 x (1 + (1 + 1.25)) / 2 = 12.5 + 4.0625 = 16.5625 ft².
    """
    foot = 0.3048
    answer = planned.client.get(f"{planned.base}/cut", params={"x1": -1, "y1": 18 * foot, "x2": 31 * foot, "y2": 18 * foot})

    assert 200 == answer.status_code, answer.text
    assert "16.56 ft²" == answer.json()["area"]
    assert "30'-0\"" == answer.json()["length"]


def test_a_cut_beside_the_floor_says_so(planned):
    answer = planned.client.get(f"{planned.base}/cut", params={"x1": -3, "y1": -3, "x2": -3, "y2": 20})

    assert 422 == answer.status_code
    assert "meets no concrete" in answer.json()["message"]


def test_a_measured_distance_is_pythagoras(planned):
    """3-4-5 times 3 ft: 15 ft, over a 5 in floor and a 20 in edge."""
    foot = 0.3048
    answer = planned.client.get(
        f"{planned.base}/measure", params={"x1": 0.5 * foot, "y1": 18 * foot, "x2": 9.5 * foot, "y2": 30 * foot}
    ).json()

    assert ("15'-0\"", "9'-0\"", "12'-0\"") == (answer["distance"], answer["along_x"], answer["along_y"])
    assert ["20 in", "5 in"] == answer["thickness"]


def test_the_body_closes_and_holds_the_take_off(planned):
    """Signed volume of the triangles (divergence theorem), every edge met twice."""
    mesh = planned.client.get(f"{planned.base}/mesh").json()
    points = [mesh["positions"][at : at + 3] for at in range(0, len(mesh["positions"]), 3)]
    triangles = [mesh["triangles"][at : at + 3] for at in range(0, len(mesh["triangles"]), 3)]
    volume = sum(
        a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0])
        for a, b, c in ([points[corner] for corner in triangle] for triangle in triangles)
    )
    edges: dict[tuple[int, int], int] = {}
    for a, b, c in triangles:
        for one, two in ((a, b), (b, c), (c, a)):
            edges[one, two] = edges.get((one, two), 0) + 1

    assert f"{volume / 6 / 0.9144**3:.2f} yd³" == mesh["volume"]
    assert {1} == set(edges.values())
    assert all((two, one) in edges for one, two in edges)


def test_a_straight_line_in_space_is_pythagoras_twice(planned):
    """3-4 on the plan and 12 down make 13, in feet."""
    foot = 0.3048
    where = {"x1": 10 * foot, "y1": 10 * foot, "z1": 0, "x2": 13 * foot, "y2": 14 * foot, "z2": -12 * foot}
    answer = planned.client.get(f"{planned.base}/measure", params=where).json()

    assert ("5'-0\"", "13'-0\"", "-12'-0\"") == (answer["distance"], answer["straight"], answer["height"])


def test_steel_lies_inside_the_concrete(planned):
    """Every point of every bar and wire has concrete under and over it."""
    held = planned.client.get(f"{planned.base}/mesh").json()["steel"]
    foundation = _foundation(planned)
    assert {"bars", "mesh"} == {one["kind"] for one in held}
    for steel in held:
        for line in steel["lines"]:
            points = [line[at : at + 3] for at in range(0, len(line), 3)]
            thick = foundation.thickness_m([point[:2] for point in points])
            assert all(0.01 < -point[2] < depth - 0.01 for point, depth in zip(points, thick, strict=True)), steel["name"]


def _foundation(planned):
    from slabwright.app import load_job
    from slabwright.studies import shape
    from slabwright.study import run_studies

    inputs, _ = load_job(planned.client.app.state.desk.session("store").path)
    return run_studies((shape.STUDY,), inputs)[shape.STUDY].foundation


def test_every_map_over_the_floor_can_lie_under_the_plan(planned):
    """The thickness as drawn first, from 5 in of floor to 20 in of edge; each map has bands and a legend."""
    cards = planned.client.get(f"{planned.base}/maps").json()
    assert "Thickness as drawn" == cards[0]["title"]
    assert {"joints", "grade"} <= {one["study"] for one in cards}
    for card in cards:
        found = planned.client.get(f"{planned.base}/maps/{card['study']}/{card['key']}", params={"scale": 30}).json()
        assert 30 == found["scale"]
        colours = set(re.findall(r'fill="(#[0-9A-Fa-f]{6})"', found["svg"]))
        assert len(colours) > (card["study"] in ("drawn", "joints")), card
        assert "<text" in found["legend"]
        assert len(found["svg"]) < 500_000
    assert planned.client.get(f"{planned.base}/maps/grade/other").status_code == 404


@pytest.mark.long
def test_a_forbidden_joint_line_is_laid_elsewhere(planned):
    """The store's two cross joints lie at 12 and 24 ft; with 12 ft forbidden no line is left there, and undoing brings it back."""
    planned.planned()
    laid = planned.client.get(f"{planned.base}/joints").json()
    line = next(one for one in laid if all(abs(y - 12 * 0.3048) < 1e-6 for _, y in one["points_m"]))
    planned.post("place", section="forbidden", points_m=line["points_m"])
    planned.planned()
    elsewhere = planned.client.get(f"{planned.base}/joints").json()
    planned.post("undo")
    planned.planned()

    assert "30'-0\" long, cut 1 1/4 in deep" == line["said"]
    assert line["points_m"] not in [one["points_m"] for one in elsewhere]
    assert laid == planned.client.get(f"{planned.base}/joints").json()


def test_a_clash_settled_is_no_longer_asked(planned):
    """A decision with a choice, a name and a day takes its clash off the list of those to settle."""
    planned.planned()
    asked = planned.client.get(f"{planned.base}/strips/clashes").json()["to_settle"]
    first = asked[0]
    values = {"clash": first["clash"], "choice": first["choices"][0], "by": "the engineer", "on": "2026-05-02"}
    planned.patch({f"decisions[{'+' if key == 'clash' else 1}].{key}": value for key, value in values.items()})
    planned.planned()
    left = planned.client.get(f"{planned.base}/strips/clashes").json()["to_settle"]
    planned.post("undo")
    planned.planned()

    assert [one for one in asked if one["clash"] != first["clash"]] == left


def test_the_day_tried_as_planned_is_the_plan(planned):
    """Nothing moved, nothing changes; one truck alone leaves holes in the supply, and a crew half as fast takes longer."""
    planned.planned()
    same = planned.client.get(f"{planned.base}/what-if").json()
    alone = planned.client.get(f"{planned.base}/what-if", params={"trucks": 1}).json()
    slow = planned.client.get(f"{planned.base}/what-if", params={"crew": 0.5}).json()

    assert not [one for one in same["figures"] if one["moved"]]
    assert ["trucks", "pace", "ahead", "crew", "start"] == [one["key"] for one in same["levers"]]
    assert all(one["low"] <= one["planned"] <= one["high"] for one in same["levers"])
    assert "1 truck" == alone["levers"][0]["said"]
    days = {one["name"]: one["tried"] for one in alone["figures"]}
    assert "100 days in 100" == days["A hole in the supply over half an hour"]
    finish = [float(one["figures"][0]["tried"].split()[0]) for one in (same, slow)]
    assert finish[1] > 1.3 * finish[0]


def test_tickets_beside_the_job_are_followed(planned):
    """Nothing without tickets; with two loads of 10 yd³ told what is left and when to call, or asked for a time it can read.

    The command line says the same, from the tickets kept with the job as from a file that is named.
    """
    folder = planned.client.app.state.desk.session("store").folder
    assert [] == planned.client.get(f"{planned.base}/live").json()["sentences"]
    (folder / "tickets.csv").write_text(
        "ticket,volume (yd3),batched,arrived,started,ended\n1,10,06:30,06:58,07:00,07:31\n2,10,07:05,07:32,07:36,08:02\n"
    )
    said = planned.client.get(f"{planned.base}/live").json()["sentences"]
    later = planned.client.get(f"{planned.base}/live", params={"now": "08:30", "filled": "18 yd3"}).json()["sentences"]
    wrong = planned.client.get(f"{planned.base}/live", params={"now": "noon"})
    typed = [replan_pour(folder / "job.toml", tickets)[1] for tickets in (None, folder / "tickets.csv")]
    (folder / "tickets.csv").unlink()

    assert "still to place" in said[0]
    assert [tuple(said), tuple(said)] == typed
    with pytest.raises(MissingInput, match="beside the job file"):
        replan_pour(folder / "job.toml")
    assert any("11 %" in one for one in later)
    assert 422 == wrong.status_code


def test_papers_are_what_they_are_called(planned):
    """A PDF, a workbook, a drawing, JSON of the results, and the folder as an archive with the very job file."""
    heads = {"papers.zip": b"PK", "book.pdf": b"%PDF", "quantities.xlsx": b"PK", "plan.svg": b"<svg", "plan.json": b"{"}
    for name, head in heads.items():
        answer = planned.client.get(f"{planned.base}/papers/{name}")
        assert answer.content.startswith(head), name
        assert answer.headers["content-disposition"].endswith(f"store-{name}")
    assert planned.client.get(f"{planned.base}/papers/other.txt").status_code == 404
    packed = zipfile.ZipFile(io.BytesIO(planned.client.get(f"{planned.base}/archive").content))
    job = planned.client.app.state.desk.session("store").path.read_bytes()

    assert job == packed.read("store/job.toml")


def test_the_archive_holds_the_whole_history(planned, tmp_path):
    """The latest edit too, which the database may not have put in its main file yet."""
    planned.patch({"floor.live_load": "150 psf"})
    version = planned.view()["version"]
    packed = zipfile.ZipFile(io.BytesIO(planned.client.get(f"{planned.base}/archive").content))
    planned.post("undo")
    packed.extractall(tmp_path)
    with contextlib.closing(sqlite3.connect(tmp_path / "store" / "history.sqlite")) as kept:
        digests = [digest for (digest,) in kept.execute("select digest from edits order by id")]

    assert version == digests[-1]


def test_versions_are_compared_by_inputs_and_answers(planned):
    """As drawn against a floor an inch thicker: one input, and the answers that hang on it."""
    planned.client.post(f"{planned.base}/versions", json={"name": "as drawn"})
    planned.patch({"floor.thickness": "6 in"})
    found = planned.client.get(f"{planned.base}/compare", params={"before": "as drawn"}).json()
    planned.post("undo")
    planned.client.delete(f"{planned.base}/versions/as drawn")
    keys = [one["key"] for one in found["answers"]]

    assert [("floor.thickness", "Floor: thickness", "5 in", "6 in")] == [tuple(one.values()) for one in found["inputs"]]
    assert "shape" in keys
    assert all(one["before"] != one["after"] or one["figures"] or one["before_state"] != one["after_state"] for one in found["answers"])


def test_news_come_as_they_happen(planned):
    """The strips of an edit arrive over the event stream, each answer before its drawing, and the end of the run last."""
    planned.planned()
    heard: list[dict] = []
    desk = planned.client.app.state.desk
    publish, over = desk._publish, threading.Event()

    def overhear(job, message):
        heard.append(json.loads(json.dumps(message)))
        if message["type"] == "done":
            over.set()
        publish(job, message)

    desk._publish = overhear
    planned.patch({"forms.stake_embedment": "14 in"})
    assert over.wait(240)
    desk._publish = publish
    sketch = next(one["strip"]["small"] for one in planned.planned()["strips"] if one["strip"]["key"] == "forms")
    planned.post("undo")
    planned.planned()

    assert "job" == next(one["type"] for one in heard if one["type"] in ("job", "strip"))
    assert "done" == heard[-1]["type"]
    assert heard[-1]["whole"]
    said = {one["strip"]["key"]: (number, one["strip"]) for number, one in enumerate(heard) if one["type"] == "strip"}
    drawn = {one["key"]: (number, one) for number, one in enumerate(heard) if one["type"] == "drawing"}
    assert "forms" in said
    assert said.keys() == drawn.keys()
    assert all(said[key][0] < drawn[key][0] and said[key][1]["digest"] == drawn[key][1]["digest"] for key in said)
    assert all(said[key][1]["small"] is None for key in said) and drawn["forms"][1]["small"].startswith("<svg")
    assert drawn["forms"][1]["small"] == sketch


def test_an_edit_is_answered_while_the_floor_is_being_solved(planned):
    """The longest question is left in the middle for a newer state of the job; a known strip opens meanwhile."""
    planned.planned()
    heard: list[tuple[str, str]] = []
    desk = planned.client.app.state.desk
    publish, solving, answered = desk._publish, threading.Event(), threading.Event()

    def overhear(job, message):
        said = (message["type"], message.get("now") or message.get("strip", {}).get("key", ""))
        heard.append(said)
        if said == ("progress", "floor"):
            solving.set()
        if said == ("strip", "quantities") and solving.is_set():
            answered.set()
        publish(job, message)

    desk._publish = overhear
    planned.patch({"edge.width": "15 in"})
    assert solving.wait(240)
    assert 200 == planned.client.get(f"{planned.base}/strips/shape").status_code
    meanwhile = list(heard)
    planned.patch({"edge.width": "16 in"})
    assert answered.wait(240)
    desk._publish = publish
    planned.client.post(f"{planned.base}/plan/cancel")
    for _ in range(2):
        planned.post("undo")
    planned.planned()

    assert ("strip", "floor") not in meanwhile
    assert ("strip", "floor") not in heard


def test_work_can_be_stopped_and_gone_on_with(planned):
    """Stopped at the next study; what was answered stays, and going on ends it."""
    planned.patch({"mesh.lap": "10 in"})
    planned.client.post(f"{planned.base}/plan/cancel")
    stopped = planned.planned()
    planned.client.post(f"{planned.base}/plan/again")
    whole = planned.planned()
    planned.post("undo")
    planned.planned()

    assert stopped["version"] == whole["version"]
    assert whole["whole"]


def test_a_study_that_raises_shows_it_in_its_strip_alone():
    """The others are answered; those that need it wait."""
    from types import SimpleNamespace

    from slabwright.study import Inputs, Result, Stage, Study, Waiting, run_studies
    from slabwright.web.worker import _fault

    def fails(inputs, done):
        raise ZeroDivisionError("float division by zero")

    bad = Study(key="bad", question="Does it break?", stage=Stage.DESIGN, run=fails)
    needs = Study(key="needs", question="And then?", stage=Stage.DESIGN, run=lambda *_: Result(answer="no"), needs=(bad,))
    good = Study(key="good", question="And apart?", stage=Stage.DESIGN, run=lambda *_: Result(answer="Yes."))
    plan = run_studies((bad, needs, good), Inputs(job=SimpleNamespace()), on_fault=_fault)

    assert "could not be worked" in plan.outcomes["bad"].result.reason
    assert isinstance(plan.outcomes["needs"].result, Waiting)
    assert "Yes." == plan.outcomes["good"].result.answer


def test_a_record_that_cannot_be_read_is_left_out_and_told(planned):
    """A broken forecast beside the job: a note on the page, answers all the same."""
    desk = planned.client.app.state.desk
    weather = desk.session("store").folder / "weather.csv"
    was = weather.read_bytes()
    weather.write_text("no,forecast\nat,all\n")
    planned.client.post(f"{planned.base}/plan/again")
    plan = planned.planned()
    weather.write_bytes(was)
    planned.client.post(f"{planned.base}/plan/again")
    again = planned.planned()

    assert plan["whole"]
    assert "weather.csv" in plan["notes"][0]
    assert [] == again["notes"]


@pytest.mark.long
def test_the_worker_is_started_again_after_it_fell(planned):
    """Killed outright, as by a machine out of memory: the next question is answered by a new one."""
    desk = planned.client.app.state.desk
    fallen = desk.engine._worker
    fallen.kill()
    end = time.monotonic() + 60
    while desk.engine._worker is fallen:
        assert time.monotonic() < end
        time.sleep(0.02)
    planned.client.post(f"{planned.base}/plan/again")
    planned.planned()

    assert planned.client.get(f"{planned.base}/strips/shape").status_code == 200
