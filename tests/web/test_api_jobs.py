"""Jobs over the API: edits that keep the file, versions that never lose one, the file underneath."""

import pytest

from slabwright.files.examples import example_text


def text_of(folder) -> str:
    return (folder / "store" / "job.toml").read_text(encoding="utf-8")


def test_an_edit_changes_one_value_and_keeps_every_comment(page, folder):
    """The file a builder wrote by hand stays that file: one line differs."""
    answer = page.patch({"floor.thickness": "6 in"})
    before, after = example_text("store").splitlines(), text_of(folder).splitlines()

    assert 200 == answer.status_code
    assert [('thickness = "5 in"', 'thickness = "6 in"')] == [pair for pair in zip(before, after, strict=True) if pair[0] != pair[1]]


def test_what_cannot_be_read_is_refused_with_its_reason(page, folder):
    answer = page.patch({"floor.thickness": "6 gn"})

    assert 422 == answer.status_code
    assert "is no unit of length" in answer.json()["message"]
    assert "floor.thickness" == answer.json()["findings"][0]["where"]
    assert example_text("store") == text_of(folder)


@pytest.mark.parametrize(
    "path", ["", "floor..thickness", "pads[0].depth", "nowhere.at[9]", "pads[9].depth", "__proto__", "floor.thickness.deep"]
)
def test_a_path_that_leads_nowhere_is_refused(page, path):
    assert page.patch({path: "6 in"}).status_code == 422


def test_fields_are_shown_as_written_and_as_silent(page):
    """What the file states, what goes without saying, and what can be chosen."""
    assert "5 in" == page.field("floor.thickness")["text"]
    assert "15 ft, 9 ft; 15 ft, 27 ft" == page.field("pads[1].at")["text"]
    assert "yes" == page.field("retarder.under_edge")["text"]
    assert ["broom", "float", "trowel"] == page.field("floor.finish")["choices"]
    stories = page.field("joints.allow_tees")
    assert (None, "flag") == (stories["text"], stories["kind"])


@pytest.mark.parametrize(
    ("path", "typed", "written"),
    [
        ("floor.live_load", "250 psf", 'live_load = "250 psf"'),
        ("retarder.under_edge", "no", "under_edge = false"),
        ("plant.trucks", "4", "trucks = 4"),
        ("mix.w_cm", "0.45", "w_cm = 0.45"),
        ("mix.exposure", "F1, S0", 'exposure = ["F1", "S0"]'),
        ("pads[1].at", "15 ft, 10 ft; 15 ft, 26 ft", 'at = [["15 ft", "10 ft"], ["15 ft", "26 ft"]]'),
        ("joints.pinned", '[[["0", "12 ft"], ["30 ft", "12 ft"]]]', 'pinned = [[["0", "12 ft"], ["30 ft", "12 ft"]]]'),
    ],
)
def test_what_is_typed_becomes_what_the_file_says(page, folder, path, typed, written):
    answer = page.patch({path: typed})

    assert 200 == answer.status_code, answer.text
    assert written in text_of(folder)


def test_an_emptied_field_goes_out_of_the_file(page, folder):
    assert page.patch({"retarder.lap": ""}).status_code == 200
    assert 'lap = "6 in"' not in text_of(folder)
    assert page.patch({"retarder.lap": None}).status_code == 200


def test_undo_and_redo_write_the_very_file(page, folder):
    page.patch({"floor.thickness": "6 in"})
    page.patch({"floor.thickness": "7 in"})

    assert page.post("undo").status_code == 200
    assert 'thickness = "6 in"' in text_of(folder)
    page.post("undo")
    assert example_text("store") == text_of(folder)
    assert page.view()["can_undo"] is None
    page.post("redo")
    page.post("redo")
    assert 'thickness = "7 in"' in text_of(folder)
    assert page.view()["can_redo"] is None


def test_history_outlives_the_desk(page, folder):
    """Undo after the program was closed and opened again."""
    from tests.web.conftest import page_on

    page.patch({"floor.thickness": "6 in"})
    later = page_on(folder)
    later.post("undo")

    assert example_text("store") == text_of(folder)
    later.client.app.state.desk.close()
    later.client.close()


def test_two_writers_of_different_values_both_stand(page, folder):
    """The second is told what changed and that nothing meets; sent again as it is, both edits stand."""
    old = page.view()["version"]
    page.patch({"floor.thickness": "6 in"})
    conflict = page.patch({"edge.width": "14 in"}, version=old)
    merge = conflict.json()

    assert 409 == conflict.status_code
    assert [] == merge["clashes"]
    assert [("floor.thickness", "5 in", "6 in")] == [(one["path"], one["before"], one["after"]) for one in merge["others"]]
    assert page.patch({"edge.width": "14 in"}, version=merge["version"]).status_code == 200
    assert ("6 in", "14 in") == (page.field("floor.thickness")["text"], page.field("edge.width")["text"])


def test_two_writers_of_one_value_are_asked(page):
    old = page.view()["version"]
    page.patch({"floor.thickness": "6 in"})
    conflict = page.patch({"floor.thickness": "7 in"}, version=old)

    assert 409 == conflict.status_code
    assert ["floor.thickness"] == conflict.json()["clashes"]
    assert "6 in" == page.field("floor.thickness")["text"]


def test_an_entry_taken_out_meets_every_edit_of_its_list(page):
    """After wall 1 is gone, wall 2 is another one: an edit of it made before is asked about."""
    old = page.view()["version"]
    page.patch({"walls[1]": None})
    conflict = page.patch({"walls[2].thickness": "8 in"}, version=old)

    assert 409 == conflict.status_code
    assert ["walls[2].thickness"] == conflict.json()["clashes"]


def test_a_file_changed_underneath_is_offered_never_overwritten(page, folder):
    """An edit by hand while the page is open: the page's edit is refused, and either state can go on."""
    version = page.view()["version"]
    path = folder / "store" / "job.toml"
    path.write_text(example_text("store").replace('thickness = "5 in"', 'thickness = "8 in"'), encoding="utf-8")
    conflict = page.patch({"edge.width": "14 in"}, version=version)
    view = page.view()

    assert 409 == conflict.status_code
    assert conflict.json()["underneath"]
    assert view["file"]["changed_underneath"]
    assert [("floor.thickness", "Floor: thickness", "5 in", "8 in")] == [tuple(one.values()) for one in view["file"]["differences"]]
    assert 'thickness = "8 in"' in text_of(folder)

    taken = page.client.post(f"{page.base}/file/take").json()
    assert not taken["file"]["changed_underneath"]
    assert "8 in" == page.field("floor.thickness")["text"]
    page.post("undo")
    assert example_text("store") == text_of(folder)


def test_keeping_the_desk_s_state_loses_neither(page, folder):
    path = folder / "store" / "job.toml"
    by_hand = example_text("store").replace('thickness = "5 in"', 'thickness = "8 in"')
    page.patch({"edge.width": "14 in"})
    path.write_text(by_hand, encoding="utf-8")
    page.view()
    kept = page.client.post(f"{page.base}/file/keep").json()

    assert not kept["file"]["changed_underneath"]
    assert 'width = "14 in"' in text_of(folder)
    history = page.client.app.state.desk.session("store").history
    from slabwright.store.history import digest_of

    assert by_hand == history.text_of(digest_of(by_hand))


def test_a_broken_file_is_shown_and_can_be_mended(folder):
    """A job that cannot be read is opened with its findings; an edit that mends it is taken, one that does not is not."""
    from tests.web.conftest import page_on

    path = folder / "store" / "job.toml"
    path.write_text(example_text("store").replace('thickness = "5 in"', 'thickness = "5"'), encoding="utf-8")
    page = page_on(folder)
    view = page.view()

    assert ["floor.thickness"] == [one["where"] for one in view["findings"] if not one["warning"]]
    assert [] == view["things"]
    assert page.patch({"edge.width": "15 in"}).status_code == 422
    assert page.patch({"floor.thickness": "5 in"}).status_code == 200
    assert 2 == len([one for one in page.view()["things"] if one["section"] == "pads"])
    page.client.app.state.desk.close()
    page.client.close()


def test_a_file_with_foreign_line_ends_keeps_them(folder):
    from tests.web.conftest import page_on

    path = folder / "store" / "job.toml"
    path.write_bytes(example_text("store").replace("\n", "\r\n").encode())
    page = page_on(folder)
    page.patch({"floor.thickness": "6 in"})

    assert b'thickness = "6 in"\r\n' in path.read_bytes()
    page.client.app.state.desk.close()
    page.client.close()


def test_versions_are_named_restored_and_forgotten(page, folder):
    assert page.client.post(f"{page.base}/versions", json={"name": "as drawn"}).status_code == 201
    page.patch({"floor.thickness": "7 in"})

    assert [("as drawn", False)] == [(one["name"], one["here"]) for one in page.client.get(f"{page.base}/versions").json()]
    page.post("versions/as drawn/restore")
    assert example_text("store") == text_of(folder)
    assert page.client.delete(f"{page.base}/versions/as drawn").json() == []
    assert page.client.delete(f"{page.base}/versions/as drawn").status_code == 404


def test_a_new_job_from_the_presets_is_whole(page):
    """Every question left at its preset, in both families: a job without a mistake."""
    for family in ("US", "SI"):
        answer = page.client.post("/api/jobs", json={"folder": f"new {family}", "answers": {"units": family}})

        assert 201 == answer.status_code, answer.text
        view = answer.json()
        assert family == view["family"]
        assert [] == [one for one in view["findings"] if not one["warning"]]
        assert {"outline", "edge", "pads", "posts"} == {one["section"] for one in view["things"]}


@pytest.mark.parametrize(
    ("typed", "corner"), [("24 x 32 ft", ("24 ft", "32 ft")), ("24ft by 32ft", ("24 ft", "32 ft")), ("7.5 × 9 m", ("7.5 m", "9 m"))]
)
def test_a_unit_after_the_second_length_of_a_size_counts_for_both(page, typed, corner):
    page.client.post("/api/jobs", json={"folder": "sized", "answers": {"units": "SI" if "m" in typed else "US", "size": typed}})
    page.job, page.base = "sized", "/api/jobs/sized"

    assert corner in [tuple(one) for one in page.thing("outline", 0)["texts"]]


def test_the_edge_of_a_new_job_reaches_frost_depth(page):
    """Frost at 30 in and 8 in showing: the edge is 38 in deep (sum by hand)."""
    answer = page.client.post("/api/jobs", json={"folder": "cold", "answers": {"frost": "30 in", "posts": "2 x 3"}})
    page.job, page.base = "cold", "/api/jobs/cold"

    assert 201 == answer.status_code, answer.text
    assert "38 in" == page.field("edge.depth")["text"]
    assert 6 == len([one for one in page.view()["things"] if one["section"] == "pads"])


def test_a_new_job_says_everything_it_cannot_read(page):
    answers = {"size": "30 ft", "thickness": "5", "posts": "many", "strength": "3500", "bearing": "plenty"}
    answer = page.client.post("/api/jobs", json={"folder": "bad", "answers": answers})

    assert 422 == answer.status_code
    assert set(answers) == {one["where"] for one in answer.json()["findings"]}
    assert not (page.client.app.state.desk.workshop.root / "bad").exists()


@pytest.mark.parametrize("name", ["../out", "a/b", ".hidden", "store", "nul\x00", "a" * 61, "x."])
def test_a_new_job_stays_in_the_folder(page, name):
    """No path, no hidden folder, none that is there."""
    assert page.client.post("/api/jobs", json={"folder": name, "example": "store"}).status_code == 422


def test_there_are_at_most_eight_questions(page):
    """In which units they are written is a switch beside them, not asked."""
    assert 8 >= len([one for one in page.client.get("/api/desk").json()["questions"] if one["key"] != "units"])


def test_units_change_what_is_shown_not_the_job(page):
    page.patch({"job.units": "SI"})
    pad = page.thing("pads", 0)

    assert "SI" == page.view()["family"]
    assert ("4.572 m", "2.743 m") == tuple(pad["texts"][0])
    assert [15 * 0.3048, 9 * 0.3048] == pytest.approx(pad["points_m"][0])
