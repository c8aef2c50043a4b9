"""The subject of a question: a puzzle's text, with some of its clues switched off for the moment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from gridassay.encodings.files import read
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.style import DARK, LIGHT, Style

MOST_CELLS = 35 * 35
MOST_RULES = 400
SOURCE = "puzzle"


@dataclass(frozen=True)
class Asked:
    """The body of a request, checked: the page is a client like any other.

    ``off_givens`` are cells as they are written, ``off_rules`` names of rules. ``options`` holds
    whatever else a question takes.
    """

    text: str
    off_givens: frozenset[str]
    off_rules: frozenset[str]
    dark: bool
    options: Mapping[str, Any]

    @classmethod
    def of(cls, body: object) -> Asked:
        """Read a body. Raises PuzzleError if it does not fit a question."""
        if not isinstance(body, dict) or not isinstance(body.get("text"), str):
            raise PuzzleError("a question is an object with the text of a puzzle")
        off = body.get("off") or {}
        givens, rules = _list(off, "givens"), _list(off, "rules")
        return cls(body["text"], frozenset(givens), frozenset(rules), bool(body.get("dark")), body)

    @property
    def style(self) -> Style:
        """The style of pictures, by the scheme of the page."""
        return DARK if self.dark else LIGHT

    def whole_puzzle(self) -> Puzzle:
        """The puzzle as written. Raises PuzzleError if it is not a puzzle, or is too large."""
        puzzle = read(self.text, SOURCE)
        if len(puzzle.canvas.cells) > MOST_CELLS:
            raise PuzzleError(
                f"the page takes up to {MOST_CELLS} cells; the command line takes more"
            )
        if len(puzzle.rules) > MOST_RULES:
            raise PuzzleError(
                f"the page takes up to {MOST_RULES} rules; the command line takes more"
            )
        return puzzle

    def switched(self, puzzle: Puzzle) -> Puzzle:
        """The puzzle without what is switched off.

        A rule that is off stays in it as an optional one, so that all rules keep their names.
        """
        givens = tuple(fact for fact in puzzle.givens if str(fact.variable) not in self.off_givens)
        rules = tuple(
            rule.model_copy(update={"optional": True}) if name in self.off_rules else rule
            for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True)
        )
        return _like_the_last(replace(puzzle, givens=givens, rules=rules))

    def puzzle(self) -> Puzzle:
        """The puzzle that is asked about."""
        return self.switched(self.whole_puzzle())


_last: Puzzle | None = None


def _like_the_last(puzzle: Puzzle) -> Puzzle:
    """The puzzle, sharing what was made for the last one if only givens have changed since.

    Most edits are of that kind, and compiling the rules takes longer than the verdict.
    """
    global _last
    last = _last
    if last is not None and replace(puzzle, givens=last.givens) == last:
        puzzle = last.with_givens(puzzle.givens)
    _last = puzzle
    return puzzle


def _list(off: object, key: str) -> list[str]:
    found = off.get(key, []) if isinstance(off, dict) else None
    if not isinstance(found, list) or not all(isinstance(one, str) for one in found):
        raise PuzzleError(f"off: {key} is not a list of clues")
    return found
