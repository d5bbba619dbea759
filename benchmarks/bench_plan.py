"""Import, one formula, and the whole plan of the first example: wall time as processes of their own, and peak memory."""

import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

RUNS = 5


def median_seconds(command: list[str], runs: int = RUNS) -> float:
    """Median wall time of a command after one run to warm the caches."""
    subprocess.run(command, check=True, capture_output=True)
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    bare = median_seconds([sys.executable, "-c", "pass"])
    imported = median_seconds([sys.executable, "-c", "import slabwright"])
    print(f"import slabwright          {imported - bare:6.3f} s beyond an empty interpreter")
    tool = [sys.executable, "-m", "slabwright.cli"]
    print(f"reckon bar                 {median_seconds([*tool, 'reckon', 'bar', 'size=No.4']):6.3f} s")
    folder = Path(tempfile.mkdtemp())
    try:
        subprocess.run([*tool, "new", str(folder), "--example", "store"], check=True, capture_output=True)
        seconds = median_seconds([*tool, "plan", str(folder / "job.toml")], runs=3)
    finally:
        shutil.rmtree(folder)
    peak_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"plan of the first example  {seconds:6.2f} s wall, book included; peak {peak_mb:.0f} MB")


if __name__ == "__main__":
    main()
