"""Puzzles in files: TOML documents or lines, whichever a file turns out to be."""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import TextIO

from gridassay.encodings.lines import PuzzleError, read_lines
from gridassay.encodings.puzzle import Puzzle


def read_file(path: str) -> Iterator[Puzzle | PuzzleError]:
    """Read every puzzle of a file (``-`` is standard input); a bad one is given as its error.

    A file of puzzle lines is read as it is asked for, so that it may be of any length.
    """
    try:
        if path == "-":
            yield from _read(io.TextIOWrapper(sys.stdin.buffer, "utf-8-sig"), path)
        else:
            with Path(path).open(encoding="utf-8-sig") as file:
                yield from _read(file, path)
    except UnicodeDecodeError:
        yield PuzzleError("this is no text in UTF-8", path)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        yield PuzzleError(f"cannot be read: {reason.lower()}", path)


def read_text(text: str, source: str) -> Iterator[Puzzle | PuzzleError]:
    """Read every puzzle of a text that came from ``source``."""
    return _read(io.StringIO(text), source)


def _read(file: TextIO, source: str) -> Iterator[Puzzle | PuzzleError]:
    head: list[str] = []
    for line in file:
        head.append(line)
        if line.partition("#")[0].strip():
            break
    if source.lower().endswith(".toml") or (head and looks_like_toml(head[-1])):
        # Imported here: pydantic costs more than the whole verdict of a puzzle line.
        from gridassay.encodings.documents import read_document

        try:
            yield read_document("".join(head) + file.read(), source)
        except PuzzleError as error:
            yield error
        return
    found = False
    for puzzle in read_lines(chain(head, file), source):
        found = True
        yield puzzle
    if not found:
        yield PuzzleError("there is no puzzle in it", source)


def looks_like_toml(line: str) -> bool:
    """Whether the first written line of a text is a key or a table, as in a puzzle file."""
    bare = line.partition("#")[0].strip()
    return bool(re.match(r"[A-Za-z_\"'][\w\"'.\s-]*=(?!=)|\[", bare))
