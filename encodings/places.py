"""Where a table or a key is in a TOML text, so that an error can name its line.

The standard library's reader gives no line numbers, so the text is searched again: its
headers and keys, multi-line strings skipped. Keys of inline tables are not found; then the line
of the outer key is the answer.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

_HEADER = re.compile(r"\s*\[{1,2}\s*([\w\s.\"'-]+?)\s*\]{1,2}\s*(?:#.*)?$")
_KEY = re.compile(r"\s*([\w-]+|\"[^\"]*\"|'[^']*')\s*=")


class _Mark(NamedTuple):
    """A line that begins something: a header with its path, or a key (whose path is empty)."""

    line: int
    path: tuple[str, ...]
    key: str


class Places:
    """The headers and keys of a TOML text by line, counted from 1."""

    def __init__(self, text: str) -> None:
        self.lines = text.split("\n")
        self._marks = list(self._look())

    def _look(self) -> Iterator[_Mark]:
        inside: str | None = None
        for number, line in enumerate(self.lines, start=1):
            if inside is None:
                if header := _HEADER.match(line):
                    path = tuple(part.strip(" \t\"'") for part in header[1].split("."))
                    yield _Mark(number, path, "")
                elif key := _KEY.match(line):
                    yield _Mark(number, (), key[1].strip("\"'"))
            for quotes in ('"""', "'''"):
                if inside in (None, quotes) and line.count(quotes) % 2:
                    inside = None if inside else quotes

    def top(self, key: str) -> int | None:
        """The line of a key or table at the top of the document."""
        for mark in self._marks:
            if mark.path[:1] == (key,):
                return mark.line
            if mark.key == key and not self._block_before(mark.line):
                return mark.line
        return None

    def _block_before(self, line: int) -> bool:
        return any(mark.path and mark.line < line for mark in self._marks)

    def table(self, path: Sequence[str], numbers: Sequence[int], key: str = "") -> int | None:
        """The line of an entry of an array of tables, or of a key in it.

        ``path`` names the array and those inside it, ``numbers`` the entry of each, from 1: the second
        ``[[rule.of]]`` of the third ``[[rule]]`` is at ``("rule", "of")``, ``(3, 2)``. If the
        entry is written inline, the nearest key or entry around it is the answer.
        """
        counts: list[int] = []
        for place, mark in enumerate(self._marks):
            depth = len(mark.path)
            if not depth or tuple(path[:depth]) != mark.path:
                continue
            counts = [*counts, *[0] * depth][:depth]
            counts[-1] += 1
            if counts == list(numbers):
                return self._key_after(place, key) or mark.line
        if len(path) > 1:
            return self.table(path[:-1], numbers[:-1], path[-1])
        return self.top(path[0])

    def _key_after(self, place: int, key: str) -> int | None:
        """The line of a key between a header and the next."""
        for mark in self._marks[place + 1 :]:
            if mark.path:
                return None
            if mark.key == key:
                return mark.line
        return None
