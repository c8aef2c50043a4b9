"""A disk that is full in the middle of a command: one line is said, and what was there stays.

The room for a file is limited with ``RLIMIT_FSIZE``, which needs no rights: writing fails at some
random byte, as on a full disk, in results and in temporary files alike.
"""

from __future__ import annotations

import random
import resource
import tempfile
from functools import cache
from pathlib import Path

from .commands import run
from .failures import Failure, Found

EXAMPLES = Path(__file__).parents[2] / "examples"
PUZZLE = "harbour-lights.toml"
TALK = "talk.md"
BEFORE = b"what was there before\n"

WRITERS: tuple[tuple[str, ...], ...] = (
    ("certify", PUZZLE, "-o", "out.zip"),
    ("draw", PUZZLE, "-o", "out.svg"),
    ("draw", PUZZLE, "-o", "out.png"),
    ("draw", PUZZLE, "-o", "out.pdf"),
    ("draw", "--starter-style", "-o", "out.toml"),
    ("route", PUZZLE, "--save", "out.steps"),
    ("route", PUZZLE, "--sheet", "out.html"),
    ("route", PUZZLE, "--sheet", "out.pdf"),
    ("route", PUZZLE, "--captions", "out.vtt"),
    ("audit", PUZZLE, TALK, "--clean", "out.steps"),
    ("assay", PUZZLE, "--page", "out.html"),
    ("batch", PUZZLE, "--out", "out.jsonl"),
    ("kin", PUZZLE, "--catalogue", "out.sqlite", "--add"),
)
"""Commands that write a file, which is named last but for options without a value."""


def one(seed: int) -> Found:
    """One command with room for some bytes of its file and no more."""
    dice = random.Random(seed)
    command = dice.choice(WRITERS)
    with tempfile.TemporaryDirectory() as name:
        said = _wrong(command, dice, Path(name))
    return Found(1, Failure("disks", seed, said) if said else None)


def _wrong(command: tuple[str, ...], dice: random.Random, folder: Path) -> str:
    """The fault; empty if all is well."""
    out = folder / next(word for word in command if word.startswith("out."))
    (folder / TALK).write_text("r1c6 has to be 6.\n", encoding="utf-8")
    replaced = out.suffix not in (".jsonl", ".sqlite")  # these two are added to
    if replaced and dice.random() < 0.5:
        out.write_bytes(BEFORE)
    room = dice.randrange(_size(command))
    ended = run(_words(command), cwd=folder, preexec_fn=lambda: _limit(room))
    named = f"{' '.join(command)} with room for {room} bytes"
    if trouble := ended.trouble():
        return f"{named}: {trouble}"
    if ended.code != 2 or not ended.errors.startswith("gridassay: "):
        return f"{named}: exit code {ended.code}: {ended.errors[-300:]}"
    left = sorted(one.name for one in folder.iterdir() if one not in (out, folder / TALK))
    if left:
        return f"{named} left {', '.join(left)} behind"
    if not replaced:
        return _goes_on(command, folder, named)
    if out.exists() and out.read_bytes() != BEFORE:
        return f"{named} left {out.name} half-written"
    return ""


def _goes_on(command: tuple[str, ...], folder: Path, named: str) -> str:
    """The fault when the same is asked once there is room again; empty if it goes on well."""
    more = ("--resume",) if (folder / "out.jsonl").exists() else ()
    ended = run((*_words(command), *more), cwd=folder)
    return "" if ended.code in (0, 1) else f"after {named}: {ended.code}: {ended.errors[-300:]}"


def _words(command: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(str(EXAMPLES / w) if w == PUZZLE else w for w in command)


@cache
def _size(command: tuple[str, ...]) -> int:
    """The bytes of the file when there is room for it."""
    with tempfile.TemporaryDirectory() as name:
        (Path(name) / TALK).write_text("r1c6 has to be 6.\n", encoding="utf-8")
        ended = run(_words(command), cwd=name)
        assert ended.code in (0, 1), ended.errors
        (file,) = (one for one in Path(name).iterdir() if one.name.startswith("out."))
        return file.stat().st_size


def _limit(room: int) -> None:
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
