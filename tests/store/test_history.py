"""The history of a job file: every state kept, undo and redo along a tree, names."""

import pytest
from starlette.testclient import TestClient

from slabwright.errors import InputError, UnknownName
from slabwright.store import History, connected
from slabwright.web.server import application


@pytest.fixture
def history(store):
    history = History(connected(store), ".")
    yield history
    history.close()


def test_a_new_store_has_the_newest_edition(store):
    """Migrations run to the end, and a second opening changes nothing."""
    for _ in range(2):
        engine = connected(store)
        with engine.connect() as connection:
            assert "0001" == connection.exec_driver_sql("select version_num from alembic_version").scalar_one()
        engine.dispose()


def test_migrations_and_tables_say_the_same(store):
    """What the migrations build is what the program asks of: Alembic finds nothing to change."""
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    from slabwright.store.database import metadata

    engine = connected(store)
    with engine.connect() as connection:
        assert [] == compare_metadata(MigrationContext.configure(connection), metadata)
    engine.dispose()


def test_undo_and_redo_walk_every_state(history):
    """A thousand edits go back to the first and on to the last."""
    texts = [f"thickness = {number}\n" for number in range(200)]
    for text in texts:
        history.record(text, "edit")
    back = []
    while (found := history.undone()) is not None:
        history.stand_at(found[0])
        back.append(found[1])
    on = []
    while (found := history.redone()) is not None:
        history.stand_at(found[0])
        on.append(found[1])

    assert texts[-2::-1] == back
    assert texts[1:] == on


def test_what_was_undone_is_never_lost(history):
    """An edit after an undo makes a branch; the other branch can still be read by its digest."""
    history.record("a", "first")
    lost = history.record("b", "second")
    history.stand_at(history.undone()[0])
    history.record("c", "third")

    assert "b" == history.text_of(lost.digest)
    assert ["third", "first"] == [edit.what for edit in history.latest()]


def test_the_same_state_is_not_kept_twice(history):
    first = history.record("a", "first")

    assert first == history.record("a", "again")
    assert history.undone() is None


def test_versions_have_names_of_their_own(history):
    history.record("a", "first")
    history.name_version(" 5 in floor ")
    history.record("b", "second")

    assert "a" == history.version_text("5 in floor")
    with pytest.raises(InputError, match="taken"):
        history.name_version("5 in floor")
    with pytest.raises(InputError, match="80 characters"):
        history.name_version("  ")
    history.forget_version("5 in floor")
    with pytest.raises(UnknownName, match="no version"):
        history.version_text("5 in floor")


def test_two_jobs_in_one_store_do_not_meet(store):
    """As an office keeps them in one database."""
    engine = connected(store)
    one, other = History(engine, "one"), History(engine, "other")
    one.record("a", "first")

    assert other.here() is None
    assert () == other.versions()
    engine.dispose()


def test_wishes_are_remembered(history):
    assert history.setting("mode") is None
    history.remember("mode", "dark")
    history.remember("mode", "sun")

    assert "sun" == history.setting("mode")


@pytest.mark.long
def test_an_office_keeps_its_histories_in_one_postgresql(postgresql, tmp_path):
    """A desk on two jobs: edits, undo, names and wishes of each by itself, and all of it there after the desk was opened again."""
    from slabwright.files.examples import write_example
    from tests.store.conftest import empty_database
    from tests.web.conftest import OWN, Page

    url = empty_database(postgresql)
    for name in ("one", "two"):
        write_example(tmp_path / name, "store")

    def desk() -> TestClient:
        return TestClient(application(tmp_path, store=url), base_url="http://localhost:8037", headers=OWN)

    one, two = Page(desk(), "one"), Page(desk(), "two")
    assert one.patch({"floor.thickness": "6 in"}).status_code == 200
    assert one.client.post(f"{one.base}/versions", json={"name": "thick"}).status_code == 201
    assert one.post("undo").status_code == 200
    assert two.view()["can_undo"] is None
    for page in (one, two):
        page.client.app.state.desk.close()
        page.client.close()
    again = Page(desk(), "one")

    assert ["thick"] == [found["name"] for found in again.client.get(f"{again.base}/versions").json()]
    assert "5 in" == again.field("floor.thickness")["text"]
    assert again.post("redo").status_code == 200
    assert "6 in" == again.field("floor.thickness")["text"]
    assert [] == list(tmp_path.rglob("*.sqlite"))
    again.client.app.state.desk.close()
    again.client.close()
