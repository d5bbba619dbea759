"""Which line of a TOML text each key stands on, so that a message can point at it.

The standard library reads TOML without telling lines. The text given here has already been accepted by it, so this
walk only has to follow headers, keys, strings and brackets; it does not judge.
"""

import re
from bisect import bisect_right

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRINGS = (
    re.compile(r'"""(?:\\.|[^\\])*?"{3,5}', re.DOTALL),
    re.compile(r"'''.*?'{3,5}", re.DOTALL),
    re.compile(r'"(?:\\.|[^"\\\n])*"'),
    re.compile(r"'[^'\n]*'"),
)
_PLAIN_VALUE = re.compile(r"[^,\]}#\n]*")


def lines_of(text: str) -> dict[Path, int]:
    """Line of every table, key and array entry of a valid TOML text.

    Parameters
    ----------
    text : str

    Returns
    -------
    dict
        Path, with entries of arrays counted from 0 as Python does, to line, counted from 1.
    """
    walk = _Walk(text)
    walk.document()
    return walk.lines


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """The line of a path, or of the nearest thing around it that has one."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return None


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self._breaks = [place for place, letter in enumerate(text) if letter == "\n"]
        self._entries: dict[Path, int] = {}

    def document(self) -> None:
        table: Path = ()
        while self._skip(_BLANK) < len(self.text):
            if self.text.startswith("[[", self.at):
                table = self._header(2)
            elif self.text[self.at] == "[":
                table = self._header(1)
            else:
                self._pair(table)

    def _skip(self, pattern: re.Pattern[str]) -> int:
        match = pattern.match(self.text, self.at)
        self.at = match.end() if match else self.at
        return self.at

    def _mark(self, path: Path) -> None:
        self.lines.setdefault(path, bisect_right(self._breaks, self.at - 1) + 1)

    def _header(self, brackets: int) -> Path:
        start = self.at
        self.at += brackets
        keys = self._keys()
        path: Path = ()
        for number, key in enumerate(keys, start=1):
            path = (*path, key)
            if brackets == 2 and number == len(keys):
                self._entries[path] = self._entries.get(path, -1) + 1
            if path in self._entries:
                path = (*path, self._entries[path])
        after, self.at = self.text.index("]", self.at) + brackets, start
        self._mark(path)
        self._mark(path[:-1] if isinstance(path[-1], int) else path)
        self.at = after
        return path

    def _keys(self) -> list[str]:
        keys = []
        while True:
            self._skip(_SPACE)
            start = self.at
            if self.text[start] in "\"'":
                self._string()
                keys.append(self.text[start + 1 : self.at - 1])
            else:
                keys.append(self.text[start : self._skip(_BARE_KEY)])
            self._skip(_SPACE)
            if self.text[self.at] != ".":
                return keys
            self.at += 1

    def _pair(self, table: Path) -> None:
        start = self.at
        keys = self._keys()
        value = self.text.index("=", self.at) + 1
        self.at = start
        for end in range(1, len(keys) + 1):
            self._mark((*table, *keys[:end]))
        self.at = value
        self._value((*table, *keys))

    def _value(self, path: Path) -> None:
        self._skip(_SPACE)
        if self.text[self.at] == "[":
            self._list(path)
        elif self.text[self.at] == "{":
            self._inline_table(path)
        elif self.text[self.at] in "\"'":
            self._string()
        else:
            self._skip(_PLAIN_VALUE)

    def _list(self, path: Path) -> None:
        self.at += 1
        number = 0
        while self.text[self._skip(_BLANK)] != "]":
            self._mark((*path, number))
            self._value((*path, number))
            number += 1
            if self.text[self._skip(_BLANK)] == ",":
                self.at += 1
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        while self.text[self._skip(_BLANK)] != "}":
            self._pair(path)
            if self.text[self._skip(_BLANK)] == ",":
                self.at += 1
        self.at += 1

    def _string(self) -> None:
        for pattern in _STRINGS:
            if match := pattern.match(self.text, self.at):
                self.at = match.end()
                return
