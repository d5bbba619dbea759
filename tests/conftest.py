"""Marks and switches of the whole suite."""

import importlib
import os
import pkgutil

import pytest
from hypothesis import settings

import slabwright

# Tests work everything anew: no answers kept by an earlier run.
os.environ["SLABWRIGHT_CACHE"] = ""

# No deadline: a busy machine is no fault of the code. The everyday run draws the same examples each time, so that it says something
# of the change in hand; the long run draws new ones.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="run the long checks too")


def pytest_configure(config: pytest.Config) -> None:
    settings.load_profile("search" if config.getoption("--long") else "steady")
    # Hypothesis also draws the constants of the modules that are loaded: all of them are, or the draw would hang on which tests ran before.
    for module in pkgutil.walk_packages(slabwright.__path__, "slabwright."):
        importlib.import_module(module.name)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("--long"):
        return
    skip = pytest.mark.skip(reason="long check: make test-long")
    for item in items:
        if "long" in item.keywords:
            item.add_marker(skip)


def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> None:
    """A failing published check names its page."""
    if call.excinfo is not None and (mark := item.get_closest_marker("published")) is not None:
        item.add_report_section("call", "source", ", ".join(str(clause) for clause in mark.args))
