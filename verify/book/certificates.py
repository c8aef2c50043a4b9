"""Whether there is a certificate of a puzzle as it stands: beside it, in a folder, or in the record.

A certificate is recognised by its content: the puzzle it was made for is compared with the puzzle
as it is today. A zip beside the puzzle's file, under its name, is what is handed out, and counts
first.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path
from typing import Literal

from gridassay.encodings.files import decode, read
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.writing import puzzle_text
from gridassay.verify.batch.asking import certificate_name
from gridassay.verify.book.contents import Entry
from gridassay.verify.book.record import Record
from gridassay.verify.proof.container import ContainerRefused, unpack
from gridassay.verify.proof.manifest import DOCUMENT, KNOWN_PARTS, LINES

State = Literal["current", "old", "none"]


def certificate_file(source: str) -> str:
    """The file name of a puzzle's certificate in a folder of certificates."""
    return certificate_name(source)


def certificate_state(
    entry: Entry, record: Record, folder: Path | None = None
) -> tuple[State, str | None]:
    """Whether the certificate is for the puzzle as it stands, and the certificate's SHA-256."""
    for place in _places(entry, folder):
        if place.is_file():
            data = place.read_bytes()
            return _state_of(data, entry), hashlib.sha256(data).hexdigest()
    made = record.answer_to(entry.digest, "certify")
    if made is not None and "sha256" in made:
        return "current", made["sha256"]
    before = record.last_order().get(entry.source)
    if before is not None and record.ever(before[1], "certify") and before[1] != entry.digest:
        return "old", None
    return "none", None


def _places(entry: Entry, folder: Path | None) -> list[Path]:
    file = Path(entry.piece.source)
    line = f"-{entry.piece.block[0][0]}" if entry.piece.block else ""
    beside = file.with_name(f"{file.stem}{line}.zip")
    return [beside] if folder is None else [folder / certificate_file(entry.source), beside]


def _state_of(data: bytes, entry: Entry) -> State:
    try:
        parts = unpack(data, KNOWN_PARTS)
        name = DOCUMENT if DOCUMENT in parts else LINES
        text = decode(parts[name], name)
        if text == entry.text or _plain(read(text, name)) == _plain(entry.original()):
            return "current"
    except (ContainerRefused, PuzzleError, KeyError):
        pass  # not a certificate, or one for something that is not a puzzle: not for this one
    return "old"


def _plain(puzzle: Puzzle) -> str:
    """The puzzle without its names."""
    return puzzle_text(replace(puzzle, title="", credit="", expect=None))
