"""Puzzles in files: TOML documents or lines, whichever a file turns out to be."""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from os import PathLike
from pathlib import Path
from typing import TextIO

from gridassay.encodings.lines import MOST_DOCUMENT, PuzzleError, blocks, puzzles_in, read_block
from gridassay.encodings.puzzle import Puzzle

_LONGEST_PATH = 1024
"""Longer texts are not looked up as paths."""


@dataclass(frozen=True)
class FilePart:
    """Part of a file that can be read apart from the rest: a document, or a block of lines.

    Small enough to be sent to another process, which is cheaper than sending the puzzles read from it.
    ``apart`` marks a block whose lines are known to be one puzzle each.
    """

    source: str
    document: str | None = None
    block: tuple[tuple[int, str], ...] = ()
    apart: bool = False

    @property
    def puzzles(self) -> int:
        """The number of puzzles in it, bad ones included."""
        if self.document is not None:
            return 1
        return len(self.block) if self.apart else puzzles_in(list(self.block))

    def part(self, lines: Iterable[tuple[int, str]]) -> FilePart:
        """Some lines of a block with one puzzle per line."""
        return FilePart(self.source, block=tuple(lines), apart=True)

    def divided(self, most: int) -> Iterator[FilePart]:
        """Split it into pieces of at most this many lines; a single puzzle stays whole."""
        if len(self.block) <= most or self.puzzles == 1:
            yield self
            return
        for start in range(0, len(self.block), most):
            yield self.part(self.block[start : start + most])

    def read(self) -> Iterator[Puzzle | PuzzleError]:
        """The puzzles in it; a bad one is returned as its error."""
        if self.document is None:
            yield from read_block(list(self.block), self.source, apart=self.apart)
            return
        # Imported here: pydantic costs more than the whole verdict of a puzzle line.
        from gridassay.encodings.documents import read_document

        try:
            yield read_document(self.document, self.source)
        except PuzzleError as error:
            yield error


def read_puzzles(path: str) -> Iterator[Puzzle | PuzzleError]:
    """Read every puzzle of a file (``-`` is standard input); a bad one is returned as its error."""
    return _flat(pieces(path))


def read_text(text: str, source: str) -> Iterator[Puzzle | PuzzleError]:
    """Read every puzzle of a text that came from ``source``."""
    return _flat(_split(io.StringIO(text), source))


def read(text: str, source: str = "") -> Puzzle:
    """Read the one puzzle of a text: a line, a drawn grid or a TOML document.

    Raises PuzzleError if there is none, more than one, or a bad one.
    """
    if not isinstance(text, str):
        raise TypeError(f"read takes the text of a puzzle, not {text!r}; read_file takes a path")
    if not isinstance(source, str):
        raise TypeError(f"read takes a text as source, not {source!r}")
    try:
        return _only(read_text(text, source), source)
    except PuzzleError:
        if not source and len(text) < _LONGEST_PATH and "\n" not in text and Path(text).is_file():
            raise PuzzleError(f"{text!r} is a file: use read_file") from None
        raise


def read_file(path: str | PathLike[str]) -> Puzzle:
    """Read the one puzzle of a file (``-`` is standard input).

    Raises PuzzleError if the file cannot be read, or holds no puzzle, more than one, or a bad one.
    """
    return _only(read_puzzles(str(path)), str(path))


def _only(found: Iterator[Puzzle | PuzzleError], source: str) -> Puzzle:
    first, *more = found
    if isinstance(first, PuzzleError):
        raise first
    if more:
        raise PuzzleError(f"this takes one puzzle, but there are {1 + len(more)}", source)
    return first


MOST_BYTES = 100_000_000
"""Bytes of a file that is read as a whole."""


def read_bytes(path: str) -> bytes:
    """A file as it is (``-`` is standard input).

    Raises PuzzleError if it cannot be read, or has more than MOST_BYTES.
    """
    try:
        if path == "-":
            data = sys.stdin.buffer.read(MOST_BYTES + 1)
        else:
            with Path(path).open("rb") as file:
                data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        raise _unreadable(error, path) from None
    if len(data) > MOST_BYTES:
        raise PuzzleError(f"more than {MOST_BYTES:,} bytes", path)
    return data


def decode(data: bytes, source: str) -> str:
    """The text of a file, as ``read_puzzles`` takes it. Raises PuzzleError if it is not text."""
    try:
        return io.TextIOWrapper(io.BytesIO(data), "utf-8-sig").read()
    except UnicodeDecodeError as error:
        raise _unreadable(error, source) from None


def pieces(path: str) -> Iterator[FilePart | PuzzleError]:
    """The pieces of a file, read one after another, so that it may be of any length.

    A file that cannot be read, or that has nothing in it, is returned as its error.
    """
    try:
        if path == "-":
            yield from _split(io.TextIOWrapper(sys.stdin.buffer, "utf-8-sig"), path)
        else:
            with Path(path).open(encoding="utf-8-sig") as file:
                yield from _split(file, path)
    except (OSError, ValueError) as error:
        yield _unreadable(error, path)


def _unreadable(error: OSError | ValueError, path: str) -> PuzzleError:
    if isinstance(error, UnicodeDecodeError):
        return PuzzleError("this is not UTF-8 text", path)
    reason = getattr(error, "strerror", None) or str(error)
    return PuzzleError(f"cannot be read: {reason.lower()}", path)


def _flat(pieces: Iterator[FilePart | PuzzleError]) -> Iterator[Puzzle | PuzzleError]:
    for piece in pieces:
        if isinstance(piece, PuzzleError):
            yield piece
        else:
            yield from piece.read()


def _split(file: TextIO, source: str) -> Iterator[FilePart | PuzzleError]:
    head: list[str] = []
    for line in file:
        head.append(line)
        if line.partition("#")[0].strip():
            break
    if source.lower().endswith(".toml") or (head and looks_like_toml(head[-1])):
        # Nothing longer is read as a document, so it is read only until that is clear.
        yield FilePart(source, document="".join(head) + file.read(MOST_DOCUMENT))
        return
    if head and head[-1].lstrip().startswith("{"):
        page = '"text":' in file.read(MOST_DOCUMENT) + head[-1]
        yield PuzzleError(
            _PAGE_STATE if page else "this is JSON; a puzzle is TOML or a line", source
        )
        return
    found = False
    for block in blocks(chain(head, file)):
        found = True
        yield FilePart(source, block=tuple(block))
    if not found:
        yield PuzzleError("there is no puzzle in it", source)


_PAGE_STATE = (
    "this was saved by the page of gridassay serve with its switches, and is not a puzzle file: "
    "open it there, and save the puzzle file"
)


def is_document(text: str, source: str) -> bool:
    """Whether a text is read as a TOML document rather than as lines."""
    piece = next(_split(io.StringIO(text), source))
    return isinstance(piece, FilePart) and piece.document is not None


def looks_like_toml(line: str) -> bool:
    """Whether the first line of a text that is not blank is a key or a table, as in a puzzle file."""
    bare = line.partition("#")[0].strip()
    return bool(re.match(r"[A-Za-z_\"'][\w\"'.\s-]*=(?!=)|\[", bare))
