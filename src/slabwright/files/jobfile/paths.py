"""Key paths as people write them: ``floor.thickness``, ``pads[2].at[1]``; entries are counted from 1."""

import re

from slabwright.errors import Finding, InputError
from slabwright.files.jobfile.positions import Path

_STEP = re.compile(r'(?:^|\.)(?:([A-Za-z0-9_-]+)|"([^"]*)")|\[(\d+|\+)\]')


def key_path(path: Path) -> str:
    """A path as text; the second entry of a list is ``[2]``.

    >>> key_path(("pads", 1, "depth"))
    'pads[2].depth'
    """
    text = ""
    for step in path:
        if isinstance(step, int):
            text += "[+]" if step == -1 else f"[{step + 1}]"
        else:
            name = step if re.fullmatch(r"[A-Za-z0-9_-]+", step) else f'"{step}"'
            text += f".{name}" if text else name
    return text or "the file"


def path_of(text: str) -> Path:
    """A key path read back; ``[+]`` names the entry after the last, as -1.

    >>> path_of("pads[2].depth")
    ('pads', 1, 'depth')

    Raises
    ------
    InputError
        If the text is no key path.
    """
    path: list[str | int] = []
    end = 0
    for match in _STEP.finditer(text):
        if match.start() != end:
            break
        end = match.end()
        bare, quoted, number = match.groups()
        path.append(bare or quoted if number is None else -1 if number == "+" else int(number) - 1)
    if not path or end != len(text) or path[0] == -1 or "[0]" in text:
        message = 'is no key path; write one such as "floor.thickness" or "pads[2].depth", counted from 1.'
        raise InputError("edit", [Finding(where=text, message=message)])
    return tuple(path)
