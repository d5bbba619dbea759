"""Writing a file so that there is always a whole one: under a temporary name first, renamed when complete.

Whoever stops the program half way finds the earlier file untouched.
"""

import os
import tempfile
from contextlib import suppress
from pathlib import Path


def write_atomically(path: Path | str, content: bytes | str) -> Path:
    """Write a file whole or not at all.

    Parameters
    ----------
    path : Path or str
        Its folder is made where it is missing.
    content : bytes or str
        Text is written as UTF-8 with line feeds.

    Returns
    -------
    Path
        The file written.

    Raises
    ------
    OSError
        If the folder or the file cannot be written; the earlier file is then as it was.
    """
    target = Path(path)
    target.parent.mkdir(parents=True, exist_ok=True)
    data = content.encode("utf-8") if isinstance(content, str) else content
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask())
        part.replace(target)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
    return target


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
