"""Who may talk to the desk: loopback names, the desk's own page, and nothing that grows without end."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.datastructures import Headers
from starlette.testclient import TestClient

from slabwright.web.security import LARGEST_BODY, Guard
from slabwright.web.server import application


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    from slabwright.files.examples import write_example

    folder = tmp_path_factory.mktemp("desk")
    write_example(folder / "store", "store")
    client = TestClient(application(folder), base_url="http://localhost:8037")
    yield client
    client.app.state.desk.close()
    client.close()


@pytest.mark.parametrize("host", ["localhost", "localhost:8037", "127.0.0.1:8037", "127.8.9.1", "[::1]:8037", "LOCALHOST"])
def test_loopback_names_are_answered(client, host):
    assert client.get("/api/settings", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    ["evil.example", "localhost.evil.example", "127.0.0.1.evil.example", "10.0.0.4:8037", "[2001:db8::1]", "0.0.0.0", "", "local host"],
)
def test_a_name_that_only_resolves_here_is_refused(client, host):
    """DNS rebinding: a foreign name pointed at this machine reaches neither page nor data."""
    for path in ("/api/settings", "/", "/look.css"):
        assert client.get(path, headers={"Host": host}).status_code == 421


def test_changes_need_the_header_of_the_page(client):
    """A form of another site can send a POST, but never with a header of its own."""
    for method, path in (
        ("POST", "/api/jobs"),
        ("PATCH", "/api/jobs/store"),
        ("PUT", "/api/settings"),
        ("DELETE", "/api/jobs/store/versions/a"),
    ):
        assert client.request(method, path, json={}).status_code == 403


def test_changes_from_another_origin_are_refused(client):
    headers = {"X-Slabwright": "1", "Origin": "http://evil.example"}

    assert client.put("/api/settings", json={"mode": "sun"}, headers=headers).status_code == 403
    assert client.put("/api/settings", json={"mode": "sun"}, headers={**headers, "Origin": "http://localhost:8037"}).status_code == 200
    assert client.put("/api/settings", json={"mode": "sun"}, headers={**headers, "Origin": "http://localhost:9"}).status_code == 403
    assert client.put("/api/settings", json={"mode": "sun"}, headers={**headers, "Origin": "null"}).status_code == 403


def test_no_other_origin_is_ever_let_in(client):
    """No answer grants cross-origin reading, asked or not."""
    asked = {"Origin": "http://evil.example", "Access-Control-Request-Method": "PATCH", "Access-Control-Request-Headers": "x-slabwright"}
    for answer in (client.get("/api/settings", headers=asked), client.options("/api/jobs/store", headers=asked)):
        assert not [name for name in answer.headers if name.startswith("access-control")]


def test_every_answer_carries_the_policy(client):
    """Scripts and styles from the desk alone, nothing inline, no frame around it."""
    for path in ("/api/settings", "/", "/api/nowhere"):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]

        assert "default-src 'none'" in policy
        assert "script-src 'self'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert "nosniff" == headers["x-content-type-options"]
    assert "no-store" == client.get("/api/settings").headers["cache-control"]


def test_the_page_has_nothing_inline(client):
    """No script or style within the page, and no listener in an attribute."""
    html = client.get("/").text

    assert "<script" in html, "the page is not built; run: make frontend"
    assert not re.findall(r"<script(?![^>]*\bsrc=)|<style|\son\w+=|\sstyle=", html)


def test_a_body_that_is_too_large_is_refused(client):
    headers = {"X-Slabwright": "1", "Content-Type": "application/json"}

    assert client.put("/api/settings", content=b"x" * (LARGEST_BODY + 1), headers=headers).status_code == 413


def test_a_body_without_a_length_is_cut_off(client):
    """Sent in pieces that never end."""

    def endless():
        for _ in range(LARGEST_BODY // 1_000_000 + 5):
            yield b" " * 1_000_000

    answer = client.put("/api/settings", content=endless(), headers={"X-Slabwright": "1", "Content-Type": "application/json"})
    assert answer.status_code >= 400


@given(st.text(st.characters(codec="ascii", exclude_characters="\r\n\x00"), max_size=40))
@settings(max_examples=150, deadline=None)
def test_no_other_host_name_is_ever_taken(host):
    """Whatever is written as a host is refused unless it is a loopback name."""
    refused = Guard(app=None)._refusal("GET", Headers({"host": host})) is not None  # type: ignore[arg-type]
    name = host.lower().partition(":")[0]
    loopback = name == "localhost" or re.fullmatch(r"127\.\d{1,3}\.\d{1,3}\.\d{1,3}", name) is not None or host.lower().startswith("[::1]")

    assert refused or loopback


@pytest.mark.parametrize(
    "path", ["/../job.toml", "/..%2fjob.toml", "/assets/../../server.py", "/%2e%2e/server.py", "/store/job.toml", "/history.sqlite"]
)
def test_only_the_page_itself_is_served(client, path):
    """No file of the machine, of the program or of a job through the page's own address."""
    assert client.get(path).status_code in (404, 405)


@pytest.mark.parametrize("job", ["..", "%2e%2e", "store%2f..", ".", "nowhere"])
def test_a_job_is_one_of_those_in_the_folder(client, job):
    assert client.get(f"/api/jobs/{job}").status_code in (404, 405)


def test_names_with_markup_stay_text(client):
    """A name full of markup comes back as JSON text, and its drawing escaped."""
    name = "<script>alert(1)</script>\"&'"
    headers = {"X-Slabwright": "1"}
    version = client.get("/api/jobs/store").json()["version"]
    answer = client.patch("/api/jobs/store", json={"version": version, "changes": {"pads[1].names": [name, "=1+1"]}}, headers=headers)

    assert 200 == answer.status_code
    assert answer.headers["content-type"].startswith("application/json")
    assert name in [one["name"] for one in answer.json()["things"]]


def test_links_out_of_the_folder_stay_out_of_the_archive(client):
    """A link in a job's folder to a file elsewhere is not packed."""
    import io
    import zipfile

    folder = client.app.state.desk.session("store").folder
    (folder / "link").symlink_to("/etc/hostname")
    packed = zipfile.ZipFile(io.BytesIO(client.get("/api/jobs/store/archive").content))
    (folder / "link").unlink()

    assert "store/job.toml" in packed.namelist()
    assert "store/link" not in packed.namelist()
