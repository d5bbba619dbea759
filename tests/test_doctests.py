"""Every example in a docstring is run and gives what it says."""

import doctest
import importlib
import pkgutil

import pytest

import slabwright

MODULES = sorted(one.name for one in pkgutil.walk_packages(slabwright.__path__, "slabwright.") if not one.name.endswith("__main__"))


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of_a_module_hold(name: str):
    failed, _ = doctest.testmod(importlib.import_module(name))

    assert 0 == failed
