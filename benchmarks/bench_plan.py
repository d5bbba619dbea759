"""Import, one formula, and the whole plan of the first example: wall and processor time as processes of their own, peak memory.

The plan is measured as a person meets it who planned the job before, then after the price of concrete was changed, then with every
answer worked anew, and once more phase by phase; on a machine that others share the processor time is the one to compare.
"""

import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

RUNS = 5
SLOW_STUDY_S = 0.05
OLD_PRICE = '"158 per yd3"'


def _as_it_is(_run: int) -> None:
    """Nothing is changed before a run."""


def medians(command: list[str], runs: int = RUNS, before_each: Callable[[int], object] = _as_it_is) -> tuple[float, float]:
    """Median wall and processor time of a command, after one run to warm the caches. [s]"""
    subprocess.run(command, check=True, capture_output=True)
    walls, used = [], []
    for run in range(runs):
        before_each(run)
        start, before = time.perf_counter(), _used_by_children_s()
        subprocess.run(command, check=True, capture_output=True)
        walls.append(time.perf_counter() - start)
        used.append(_used_by_children_s() - before)
    return statistics.median(walls), statistics.median(used)


def _used_by_children_s() -> float:
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def print_phases(job: str, out: str) -> None:
    """Plan a job in this process and print what each phase takes; to be called in a process of its own."""
    walls, used = [time.perf_counter()], [time.process_time()]

    def tell(phase: str, least_s: float = 0.0) -> None:
        walls.append(time.perf_counter())
        used.append(time.process_time())
        if used[-1] - used[-2] >= least_s:
            print(f"  {phase:24} {walls[-1] - walls[-2]:6.2f} s wall {used[-1] - used[-2]:6.2f} s processor")

    from slabwright.app import load_job, write_plan
    from slabwright.files import jobfile, sitefile
    from slabwright.outputs import book, plan_sheet, results_json, workbook
    from slabwright.studies import STUDIES
    from slabwright.study import run_studies

    assert all((jobfile, sitefile, book, plan_sheet, results_json, workbook))
    tell("import")
    inputs, _ = load_job(job)
    tell("read")
    plan = run_studies(STUDIES, inputs, on_done=lambda outcome: tell(f"study {outcome.study.key}", SLOW_STUDY_S))
    for outcome in plan.outcomes.values():
        outcome.presentation()
    tell("pictures and tables")
    write_plan(plan, out)
    tell("book and other files")
    print(f"  {'whole':24} {walls[-1] - walls[0]:6.2f} s wall {used[-1] - used[0]:6.2f} s processor")
    unwanted = sorted({"scipy.stats", "ezdxf", "laspy", "skfem"} & set(sys.modules))
    print(f"  loaded without need: {', '.join(unwanted) or 'nothing'}")


def main() -> None:
    bare, _ = medians([sys.executable, "-c", "pass"])
    imported, _ = medians([sys.executable, "-c", "import slabwright"])
    print(f"import slabwright          {imported - bare:6.3f} s beyond an empty interpreter")
    tool = [sys.executable, "-m", "slabwright.cli"]
    print(f"reckon bar                 {medians([*tool, 'reckon', 'bar', 'size=No.4'])[0]:6.3f} s")
    folder = tempfile.mkdtemp()
    try:
        subprocess.run([*tool, "new", folder, "--example", "store"], check=True, capture_output=True)
        job = str(Path(folder) / "job.toml")
        written = Path(job).read_text()
        assert OLD_PRICE in written

        def new_price(run: int) -> None:
            Path(job).write_text(written.replace(OLD_PRICE, f'"{160 + run} per yd3"'))

        for words, options, before in (
            ("plan of the first example  ", (), _as_it_is),
            ("after one price was changed", (), new_price),
            ("with every answer anew     ", ("--anew",), _as_it_is),
        ):
            wall, used = medians([*tool, "plan", job, *options], runs=3, before_each=before)
            peak_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
            print(f"{words} {wall:6.2f} s wall, {used:.2f} s processor, book included; peak {peak_mb:.0f} MB", flush=True)
        subprocess.run([sys.executable, __file__, job, folder], check=True)
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main() if len(sys.argv) == 1 else print_phases(*sys.argv[1:])
