"""A desk killed while it saves leaves a whole job file, two hundred times over."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from slabwright.files.examples import write_example

# One process that has everything imported splits off children that save without end; each is killed at a moment of chance.
KILLER = """
import os, random, signal, sys, time
from pathlib import Path
from slabwright.files.jobfile import edited, parse_job
from slabwright.store import History, connected
from slabwright.store.database import sqlite_url
from slabwright.web.session import Session, Standing
from slabwright.web.differences import document_of

folder, times = Path(sys.argv[1]), int(sys.argv[2])
chance = random.Random(20260)
History(connected(sqlite_url(folder)), ".").close()
found = (folder / "job.toml").read_text(encoding="utf-8")
texts = [edited(found, {"floor.thickness": f"{5 + one} in", "edge.width": f"{12 + one} in"}) for one in range(4)]
standings = [Standing.of(text, "store") for text in texts]
states = set()
for number in range(times):
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        session = Session(folder, History(connected(sqlite_url(folder)), "."), "store")
        count = number
        while True:
            count += 1
            session._take(standings[count % 4], "saved")
            os.write(write, b"x")
    os.read(read, 1)
    time.sleep(chance.uniform(0.0, 0.05))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    os.close(read), os.close(write)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    job = parse_job(text).job
    states.add((document_of(text)["floor"]["thickness"], document_of(text)["edge"]["width"]))
    history = History(connected(sqlite_url(folder)), ".")
    assert history.text_of(history.here().digest) is not None
    history.close()
print(len(states), len(list(folder.glob(".*.part"))), flush=True)
"""


def killed(tmp_path: Path, times: int) -> tuple[int, int]:
    folder = write_example(tmp_path / "store", "store").parent
    done = subprocess.run(
        [sys.executable, "-c", KILLER, str(folder), str(times)], capture_output=True, text=True, timeout=600, check=False, env=os.environ
    )
    assert 0 == done.returncode, done.stderr[-2000:]
    states, parts = map(int, done.stdout.split())
    return states, parts


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a system that splits processes")
def test_a_kill_during_saves_never_breaks_the_job_file(tmp_path):
    """Every time the file can be read whole and the history stands at a state it holds; saves did happen between kills."""
    states, _ = killed(tmp_path, 20)

    assert states > 1


@pytest.mark.long
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a system that splits processes")
def test_two_hundred_kills(tmp_path):
    states, _ = killed(tmp_path, 200)

    assert states == 4
