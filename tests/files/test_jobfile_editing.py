"""A job file is changed one value at a time; everything else stays as it was written."""

import difflib

import pytest
import tomlkit

from slabwright.errors import InputError
from slabwright.files.examples import example_names, example_text
from slabwright.files.jobfile import edited, parse_job, write_job
from slabwright.files.jobfile.paths import key_path, path_of

STORE = example_text("store")


def changes(before: str, after: str) -> list[str]:
    """Lines taken out and put in."""
    return [line for line in difflib.ndiff(before.splitlines(), after.splitlines()) if line[0] in "+-"]


@pytest.mark.parametrize("name", example_names())
def test_a_file_read_and_written_without_a_change_is_the_same_text(name: str):
    """Comments, blank lines and order included."""
    assert example_text(name) == edited(example_text(name), {})


def test_a_changed_value_keeps_its_comment():
    after = edited(STORE, {"edge.depth": "22 in"})

    assert ['- depth = "20 in"', '+ depth = "22 in"'] == [
        line.partition("   ")[0] for line in changes(STORE, after) if not line.startswith("?")
    ]
    assert "# from the floor: 8 in of wall showing" in after
    assert 22 * 0.0254 == parse_job(after).job.edge.depth_m


@pytest.mark.parametrize(
    ("path", "value", "expected"),
    [
        ("pads[1].at[2]", ["15 ft", "26 ft"], 'at = [["15 ft", "9 ft"], ["15 ft", "26 ft"]]'),
        ("pads[1].at[2][2]", "26 ft", 'at = [["15 ft", "9 ft"], ["15 ft", "26 ft"]]'),
        ("pads[1].at[+]", ["15 ft", "18 ft"], 'at = [["15 ft", "9 ft"], ["15 ft", "27 ft"], ["15 ft", "18 ft"]]'),
        ("pads[1].at[1]", None, 'at = [["15 ft", "27 ft"]]'),
        ("posts[1].tributary.snow", "35 psf", 'snow = "35 psf"'),
        ("retarder.under_edge", False, "under_edge = false"),
        ("building.stories", 2, "stories = 2"),
        ('prices."concrete"', "160 per yd3", '"concrete" = "160 per yd3"'),
        ("prices.fees.pump", 1200, "pump = 1200"),
        ("soil.friction", 0.5, "friction = 0.5"),
        ("insulation[+].place", "edge", '[[insulation]]'),
    ],
)  # fmt: skip
def test_entries_are_set_added_and_removed_by_their_path(path: str, value: object, expected: str):
    """Paths count from 1, as messages do; [+] is the entry after the last."""
    after = edited(STORE, {path: value})

    assert any(expected in line for line in changes(STORE, after) if line.startswith("+"))
    assert STORE.count("#") == after.count("#")


def test_a_new_pad_is_a_new_table_among_the_pads():
    after = edited(STORE, {"pads[+]": {"at": ["5 ft", "18 ft"], "size": "2 ft", "depth": "14 in"}})
    before, now = parse_job(STORE).job, parse_job(edited(after, {"posts[1].on": ["P1", "P2"]})).job

    assert (2, 3) == (len(before.pads), len(now.pads))
    assert before.pads == now.pads[:2]


def test_what_is_taken_out_leaves_the_rest_in_order():
    """A table, one of several tables, a key."""
    after = edited(STORE, {"mesh": None, "walls[6]": None, "edge.slope": None})
    now = parse_job(after).job

    assert now.mesh is None
    assert ["west", "east, south part", "east, north part", "south, west part", "south, east part"] == [wall.name for wall in now.walls]
    assert not [line for line in changes(STORE, after) if line.startswith("+")]


def test_changes_are_made_in_order():
    """A later one may use what an earlier one made."""
    after = edited(STORE, {"posts[1].tributary": None, "posts[1].loads.dead": "3 kip", "posts[1].loads.snow": "6 kip"})

    assert 2 == len(parse_job(after).job.posts[0].reactions)


@pytest.mark.parametrize(
    ("path", "message"),
    [
        ("pads[9].depth", r"pads\[9\]: is not in the job file; name an entry that is, or \[\+\] for a new one\."),
        ("floor.thickness.inner", "floor.thickness.inner: is not in the job file"),
        ("floor[1]", r"floor\[1\]: is not in the job file"),
        ("floor.thickness[+]", r"floor\.thickness\[\+\]: is not in the job file"),
        ("pads[0].depth", "is no key path; write one such as"),
        ("a..b", "is no key path"),
        ("", "is no key path"),
        ("pads[1", "is no key path"),
    ],
)
def test_a_path_that_leads_nowhere_is_told(path: str, message: str):
    with pytest.raises(InputError, match=message):
        edited(STORE, {path: "1 ft"})


def test_what_is_not_there_cannot_be_taken_out():
    with pytest.raises(InputError, match=r"soil\.cbr: is not in the job file"):
        edited(STORE, {"soil.cbr": None})


def test_text_that_is_no_toml_is_not_edited():
    with pytest.raises(InputError, match="the file: cannot be read"):
        edited("[floor\n", {"floor.thickness": "4 in"})


@pytest.mark.parametrize("path", [("floor", "thickness"), ("pads", 1, "at", 0), ("prices", "concrete.edge"), ("walls", 0)])
def test_a_path_as_text_leads_back_to_itself(path: tuple[str | int, ...]):
    assert path == path_of(key_path(path))


def test_a_file_is_written_whole_or_not_at_all(tmp_path, monkeypatch):
    """A run that dies before the rename leaves the earlier file, and nothing beside it."""
    path = tmp_path / "job.toml"
    write_job(path, STORE)
    assert path.read_text(encoding="utf-8") == STORE

    with monkeypatch.context() as patched:
        patched.setattr("pathlib.Path.replace", lambda *_: (_ for _ in ()).throw(KeyboardInterrupt))
        with pytest.raises(KeyboardInterrupt):
            write_job(path, "half a file")

    assert STORE == path.read_text(encoding="utf-8")
    assert ["job.toml"] == [one.name for one in tmp_path.iterdir()]


def test_line_ends_are_kept(tmp_path):
    """A file from another system stays as it is."""
    path = tmp_path / "job.toml"
    write_job(path, "a = 1\r\n")

    assert b"a = 1\r\n" == path.read_bytes()
    assert 'a = "2"\r\n' == edited("a = 1\r\n", {"a": "2"})


def test_every_change_reads_back_as_what_was_meant():
    """An independent reading of the changed text, over many kinds of value."""
    for value in ("16'-6 1/2\"", 'a "quoted" word', "°½é", ["1 ft", "2 ft"], {"x": "1 ft"}, True, 3, 2.5):
        assert value == tomlkit.parse(edited(STORE, {"soil.notes": value}))["soil"]["notes"]
