"""Scanned points in blocks: LAS, LAZ, PLY and XYZ. A file is never read whole."""

import struct
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slabwright.errors import Finding, InputError

Floats = NDArray[np.float64]
BLOCK = 1_000_000
SUFFIXES = (".las", ".laz", ".ply", ".xyz", ".txt", ".pts")

_PLY_TYPES = {
    "char": "i1", "int8": "i1", "uchar": "u1", "uint8": "u1", "short": "i2", "int16": "i2", "ushort": "u2", "uint16": "u2",
    "int": "i4", "int32": "i4", "uint": "u4", "uint32": "u4", "float": "f4", "float32": "f4", "double": "f8", "float64": "f8",
}  # fmt: skip
_LONGEST_HEADER = 65_536


def cloud_blocks(path: Path) -> Iterator[tuple[Floats, Floats, Floats]]:
    """x, y and z of the points, a block at a time, in the file's own unit.

    Raises
    ------
    InputError
        For a file of another kind, or one that breaks off.
    """
    readers = {".las": _las, ".laz": _las, ".ply": _ply}
    reader = readers.get(path.suffix.lower(), _xyz)
    if path.suffix.lower() not in SUFFIXES:
        raise _bad(path, f'"{path.suffix}" is no scan this program reads; give {", ".join(SUFFIXES)}.')
    yield from reader(path)


def _bad(path: Path, message: str, line: int | None = None) -> InputError:
    return InputError(path.name, [Finding(where="the scan", message=message, line=line)])


def _las(path: Path) -> Iterator[tuple[Floats, Floats, Floats]]:
    import laspy

    try:
        with laspy.open(path) as reader:
            for points in reader.chunk_iterator(BLOCK):
                yield np.asarray(points.x), np.asarray(points.y), np.asarray(points.z)
    except (laspy.errors.LaspyException, ValueError, RuntimeError, struct.error) as error:
        raise _bad(path, f"is no whole LAS or LAZ file ({error}); save it again.") from None


def _ply(path: Path) -> Iterator[tuple[Floats, Floats, Floats]]:
    form, count, fields, offset = _ply_header(path)
    order = [name for name, _ in fields]
    if not {"x", "y", "z"} <= set(order):
        raise _bad(path, "its vertices have no x, y and z.")
    if form == "ascii":
        yield from _ply_text(path, count, order, offset)
        return
    mark = "<" if form == "binary_little_endian" else ">"
    record = np.dtype([(name, mark + kind) for name, kind in fields])
    with path.open("rb") as stream:
        stream.seek(offset)
        left = count
        while left:
            block = np.fromfile(stream, dtype=record, count=min(BLOCK, left))
            if not len(block):
                raise _bad(path, f"breaks off {left:,} points before its end; copy it again.")
            left -= len(block)
            yield tuple(block[name].astype(float) for name in "xyz")  # type: ignore[misc]


def _ply_header(path: Path) -> tuple[str, int, list[tuple[str, str]], int]:
    """Form, number of vertices, their properties and where they begin."""
    with path.open("rb") as stream:
        head = stream.read(_LONGEST_HEADER)
    end = head.find(b"end_header")
    if not head.startswith(b"ply") or end < 0:
        raise _bad(path, "is no PLY file; it does not begin with ply and end_header.")
    offset = head.find(b"\n", end) + 1
    form, count, fields, element = "", 0, list[tuple[str, str]](), ""
    for row in head[:end].decode("ascii", "replace").split("\n"):
        words = row.split()
        if words[:1] == ["format"]:
            form = words[1]
        elif words[:1] == ["element"]:
            if not element and words[1] != "vertex":
                raise _bad(path, f'begins with "{words[1]}"; the vertices must come first.')
            element = words[1]
            count = int(words[2]) if element == "vertex" else count
        elif words[:1] == ["property"] and element == "vertex":
            if words[1] == "list" or words[1] not in _PLY_TYPES:
                raise _bad(path, f'property "{words[-1]}" of a vertex is of a kind this program does not read.')
            fields.append((words[-1], _PLY_TYPES[words[1]]))
    if form not in ("ascii", "binary_little_endian", "binary_big_endian"):
        raise _bad(path, f'format "{form}" is none of ascii, binary_little_endian, binary_big_endian.')
    return form, count, fields, offset


def _ply_text(path: Path, count: int, order: list[str], offset: int) -> Iterator[tuple[Floats, Floats, Floats]]:
    columns = [order.index(name) for name in "xyz"]
    seen = 0
    for values in _numbers(path, len(order), offset, count):
        seen += len(values)
        yield values[:, columns[0]], values[:, columns[1]], values[:, columns[2]]
    if seen < count:
        raise _bad(path, f"breaks off {count - seen:,} points before its end; copy it again.")


def _xyz(path: Path) -> Iterator[tuple[Floats, Floats, Floats]]:
    """Points as text, three numbers or more to a line; lines that begin with a letter or # are notes."""
    with path.open("rb") as stream:
        head = stream.read(_LONGEST_HEADER).decode("utf-8", "replace").splitlines(keepends=True)
    offset = 0
    for row in head:
        words = row.replace(",", " ").replace(";", " ").split()
        if words and _all_numbers(words):
            if len(words) < 3:
                offset += len(row.encode())
                continue
            for values in _numbers(path, len(words), offset, None):
                yield values[:, 0], values[:, 1], values[:, 2]
            return
        offset += len(row.encode())
    raise _bad(path, "holds no line of three numbers.")


def _all_numbers(words: list[str]) -> bool:
    try:
        [float(word) for word in words]
    except ValueError:
        return False
    return True


def _numbers(path: Path, width: int, offset: int, count: int | None) -> Iterator[Floats]:
    """Rows of so many numbers, read by the megabyte."""
    left = count
    rest = b""
    with path.open("rb") as stream:
        stream.seek(offset)
        while left is None or left > 0:
            part = stream.read(24_000_000)
            cut = part.rfind(b"\n") + 1 if part else 0
            text, rest = (rest + part[:cut], part[cut:]) if part and cut else (rest + part, b"")
            if not text.strip():
                if not part:
                    return
                continue
            values = _table(path, text, width)
            if left is not None:
                values = values[:left]
                left -= len(values)
            yield values
            if not part:
                return


def _table(path: Path, text: bytes, width: int) -> Floats:
    plain: Any = text.replace(b",", b" ").replace(b";", b" ").decode("ascii", "replace")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", DeprecationWarning)  # a text that is no number only warns
            values = np.fromstring(plain, dtype=float, sep=" ")
    except (ValueError, DeprecationWarning):
        raise _bad(path, "holds something that is no number among its points.") from None
    if len(values) % width:
        raise _bad(path, f"holds lines that have not {width} numbers like the first.")
    return np.asarray(values.reshape(-1, width))
