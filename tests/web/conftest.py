"""A desk on a folder of its own; the page's requests in process."""

import time

import pytest
from starlette.testclient import TestClient

from slabwright.files.examples import write_example
from slabwright.web.server import application

OWN = {"X-Slabwright": "1"}


class Page:
    """What the page does, without the page."""

    def __init__(self, client: TestClient, job: str = "store") -> None:
        self.client, self.job = client, job
        self.base = f"/api/jobs/{job}"

    def view(self) -> dict:
        answer = self.client.get(self.base)
        assert 200 == answer.status_code, answer.text
        return answer.json()

    def patch(self, changes: dict, version: str | None = None):
        return self.client.patch(self.base, json={"version": version or self.view()["version"], "changes": changes})

    def post(self, path: str, **body):
        return self.client.post(f"{self.base}/{path}", json={"version": self.view()["version"], **body})

    def field(self, path: str) -> dict:
        fields = [field for section in self.view()["sections"] for entry in section["entries"] for field in entry["fields"]]
        return next(field for field in fields if field["path"] == path)

    def thing(self, section: str, number: int) -> dict:
        return next(one for one in self.view()["things"] if (one["section"], one["number"]) == (section, number))

    def planned(self, seconds: float = 240.0) -> dict:
        """The plan once its run is through."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            plan = self.client.get(f"{self.base}/plan").json()
            if not plan["running"] and plan["version"] == self.view()["version"]:
                return plan
            time.sleep(0.02)
        raise AssertionError(f"the plan is not through after {seconds} s: {plan['now']}")


def page_on(folder, job: str = "store") -> Page:
    return Page(TestClient(application(folder), base_url="http://localhost:8037", headers=OWN), job)


@pytest.fixture
def folder(tmp_path):
    write_example(tmp_path / "store", "store")
    return tmp_path


@pytest.fixture
def page(folder):
    """A desk whose plan is not asked for; its worker is never started."""
    page = page_on(folder)
    yield page
    page.client.app.state.desk.close()
    page.client.close()
