"""The study of the floor on the four examples: every state solved and proved, wheels moved, bounds found.

Prints wall and processor time of one run of the study, after one that loads the compiled code, with what was solved.
``python -m benchmarks.bench_floor [example ...]``
"""

import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from slabwright.app import load_job
from slabwright.files.examples import example_names, write_example
from slabwright.studies.floor import STUDY as FLOOR
from slabwright.study import Study, run_studies


def needed(study: Study[Any]) -> list[Study[Any]]:
    """The studies that one reads, and those that they read, in order."""
    found: list[Study[Any]] = []
    for one in study.needs:
        found += [other for other in (*needed(one), one) if other not in found]
    return found


def main() -> None:
    """Print one line an example."""
    for name in sys.argv[1:] or example_names():
        with tempfile.TemporaryDirectory() as folder:
            write_example(Path(folder) / name, name)
            inputs, _ = load_job(Path(folder) / name / "job.toml")
        before = needed(FLOOR)
        earlier = run_studies(before, inputs)
        for last in (False, True):
            wall, processor = time.perf_counter(), time.process_time()
            floor = run_studies([*before, FLOOR], inputs, earlier=earlier)[FLOOR]
            wall, processor = time.perf_counter() - wall, time.process_time() - processor
            if last:
                proofs = [state.proof for state in floor.states]
                print(
                    f"{name}: {wall:.2f} s, processor {processor:.2f} s; {len(proofs)} states, {sum(one.twice for one in proofs)} of them "
                    f"finer at {max(one.n_unknowns for one in proofs):,} unknowns, {len(floor.wheels)} wheels"
                )


if __name__ == "__main__":
    main()
