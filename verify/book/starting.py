"""A new book: a book file with the puzzles of a folder, ready to be put in order by hand."""

from __future__ import annotations

from os.path import relpath
from pathlib import Path

from gridassay.encodings.files import pieces
from gridassay.encodings.lines import PuzzleError
from gridassay.verify.batch.run import find_files
from gridassay.verify.book.document import BookRefused

_HEAD = """\
title = {title}
page = "A5"                  # A4, A5, letter, or [width, height] in mm
margin = 15                  # mm
cell = 9                     # mm; larger boards are fitted to the page
number-from = 1
answers = true
hints = true                 # graded, at the back
walkthroughs = false

[wants]                      # of every puzzle, unless its own say otherwise
verdict = "unique"
# wasted = 0                 # the most givens that may be wasted
# level = ["singles", "chains"]
# certificate = true
fresh = true                 # no two puzzles are the same in disguise
"""


def new_book(folder: str, out: Path) -> tuple[str, int]:
    """The text of a book file at ``out`` for the puzzles of a folder, and their number.

    Each folder with puzzles becomes a chapter. Raises BookRefused with everything that cannot be
    read, or if there is no puzzle.
    """
    root = Path(folder)
    if not root.is_dir():
        raise BookRefused([PuzzleError("there is no such folder", folder)])
    chapters: dict[Path, list[str]] = {}
    errors: list[PuzzleError] = []
    count = 0
    for name in find_files([folder]):
        path = Path(name)
        if path.resolve() == out.resolve() or _is_other(path):
            continue
        for piece in pieces(name):
            if isinstance(piece, PuzzleError):
                errors.append(piece)
                continue
            errors += [one for one in piece.read() if isinstance(one, PuzzleError)]
            count += piece.puzzles
            chapters.setdefault(path.parent, []).append(_relative(path, out.parent))
    if not count and not errors:
        errors.append(PuzzleError("there is no puzzle in it", folder))
    if errors:
        raise BookRefused(errors)
    text = _HEAD.format(title=_toml_string(_title(root)))
    for place, files in sorted(chapters.items()):
        named = _title(place) if place != root else "Puzzles"
        listed = "\n".join(f"    {_toml_string(file)}," for file in dict.fromkeys(files))
        text += f"\n[[chapter]]\ntitle = {_toml_string(named)}\npuzzles = [\n{listed}\n]\n"
    return text, count


def _is_other(path: Path) -> bool:
    """Whether a file is a style or another book, which end as puzzle files do."""
    if path.name.endswith(".style.toml"):
        return True
    return path.suffix == ".toml" and "[[chapter]]" in path.read_text("utf-8", errors="replace")


def _title(folder: Path) -> str:
    return folder.resolve().name.replace("-", " ").replace("_", " ").title()


def _toml_string(text: str) -> str:
    """A TOML string."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in escaped) + '"'


def _relative(path: Path, folder: Path) -> str:
    return Path(relpath(path.resolve(), folder.resolve())).as_posix()
