"""What the package promises."""

import subprocess
import sys

import slabwright


def test_public_names_are_sorted_and_exist():
    """``__all__`` is complete, sorted and importable."""
    assert sorted(slabwright.__all__) == slabwright.__all__
    for name in slabwright.__all__:
        assert getattr(slabwright, name) is not None


def test_importing_the_package_loads_nothing_heavy():
    """Import stays light: no array library, no typesetter, no compiler."""
    heavy = {"numpy", "scipy", "numba", "shapely", "typst", "pydantic", "fastapi"}
    code = "import sys, slabwright, slabwright.cli; print(' '.join(sys.modules))"
    loaded = set(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split())

    assert set() == heavy & loaded


def test_reckoning_a_formula_loads_nothing_heavy():
    """One formula at a time is answered at once."""
    heavy = {"numpy", "scipy", "numba", "shapely", "typst", "pydantic", "fastapi"}
    code = "import sys; from slabwright.standards import register; register(); print(' '.join(sys.modules))"
    loaded = set(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split())

    assert set() == heavy & loaded


def test_a_reader_that_has_seen_enough_hears_no_complaint():
    """The list of formulas into a pipe that is closed after its first line."""
    code = "from slabwright.cli import main; raise SystemExit(main(['reckon']))"
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as run:
        run.stdout.readline()
        run.stdout.close()

        assert "" == run.stderr.read()
