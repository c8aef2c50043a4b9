"""Puzzles in files: TOML documents or lines, whichever a file turns out to be."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path

from gridassay.encodings.lines import PuzzleError, read_lines
from gridassay.encodings.puzzle import Puzzle


def read_file(path: str) -> Iterator[Puzzle | PuzzleError]:
    """Read every puzzle of a file (``-`` is standard input); a bad one is given as its error."""
    try:
        data = sys.stdin.buffer.read() if path == "-" else Path(path).read_bytes()
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        yield PuzzleError("this is no text in UTF-8", path)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        yield PuzzleError(f"cannot be read: {reason.lower()}", path)
    else:
        yield from read_text(text, path)


def read_text(text: str, source: str) -> Iterator[Puzzle | PuzzleError]:
    """Read every puzzle of a text that came from ``source``."""
    if source.lower().endswith(".toml") or looks_like_toml(text):
        # Imported here: pydantic costs more than the whole verdict of a puzzle line.
        from gridassay.encodings.documents import read_document

        try:
            yield read_document(text, source)
        except PuzzleError as error:
            yield error
        return
    found = False
    for puzzle in read_lines(text, source):
        found = True
        yield puzzle
    if not found:
        yield PuzzleError("there is no puzzle in it", source)


def looks_like_toml(text: str) -> bool:
    """Whether a text is meant as a puzzle file: its first written line is a key or a table."""
    for line in text.splitlines():
        bare = line.partition("#")[0].strip()
        if bare:
            return bool(re.match(r"[A-Za-z_\"'][\w\"'.\s-]*=(?!=)|\[", bare))
    return False
