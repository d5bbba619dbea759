"""A file is there whole or not at all, whatever happens to the program."""

import os
import stat
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from slabwright.outputs.atomic import write_atomically


def test_text_and_bytes_are_written(tmp_path: Path) -> None:
    assert "½\n" == write_atomically(tmp_path / "a" / "b.txt", "½\n").read_bytes().decode()
    assert b"\x00" == write_atomically(str(tmp_path / "c"), b"\x00").read_bytes()


def test_nothing_is_left_beside_the_file(tmp_path: Path) -> None:
    write_atomically(tmp_path / "book.pdf", b"one")
    write_atomically(tmp_path / "book.pdf", b"two")

    assert ["book.pdf"] == [one.name for one in tmp_path.iterdir()]
    assert b"two" == (tmp_path / "book.pdf").read_bytes()


def test_a_failed_write_leaves_the_earlier_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_atomically(tmp_path / "book.pdf", b"earlier")

    def full(*_: object) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="no space left"):
        write_atomically(path, b"later")

    assert b"earlier" == path.read_bytes()
    assert ["book.pdf"] == [one.name for one in tmp_path.iterdir()]


@pytest.mark.skipif(os.name == "nt", reason="permission bits of POSIX")
def test_the_file_keeps_its_permissions(tmp_path: Path) -> None:
    path = write_atomically(tmp_path / "book.pdf", b"one")
    path.chmod(0o640)

    write_atomically(path, b"two")

    assert 0o640 == stat.S_IMODE(path.stat().st_mode)


@pytest.mark.skipif(os.name == "nt", reason="kills with a signal of POSIX")
def test_a_killed_run_leaves_the_earlier_book_whole(tmp_path: Path) -> None:
    """The process is killed in the middle of writing, with part of the later book on the disk."""
    path = write_atomically(tmp_path / "book.pdf", b"earlier book")
    program = textwrap.dedent(
        """
        import os, signal, sys
        from slabwright.outputs import atomic
        atomic.os.fsync = lambda handle: os.kill(os.getpid(), signal.SIGKILL)
        atomic.write_atomically(sys.argv[1], b"later book " * 100_000)
        """
    )

    killed = subprocess.run([sys.executable, "-c", program, str(path)], check=False, timeout=60)

    assert -9 == killed.returncode
    assert b"earlier book" == path.read_bytes()
    assert b"newest" == write_atomically(path, b"newest").read_bytes()
