"""Steps of a solution, and the files they are written in.

One step a line: ``r3c2 = 4`` places, ``r3c2 not 4 6`` strikes, ``;`` joins several. Then, where the
step says why, ``because NAME: PREMISE, PREMISE, …``; a premise is cells (``r1c2 r5c2``), ``digit 4``,
a house (``row 6``) or a rule (its id, or kind and cells). ``#`` after a space begins a comment.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from gridassay.encodings.grid import Canvas, Cell, GridError, parse_cells
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Candidate, Mark, Position, layout_of

REASON = "reason"
"""The name of a step that no named technique gives: its premises are its smallest reason."""


@dataclass(frozen=True)
class Step:
    """One step: what it places and removes, the technique's name and the premises it names.

    ``size`` is that of its reason: houses and rule parts, then premises about candidates. ``text``
    is the step as a sentence. ``promised`` tells that it also rests on there being one solution.
    """

    technique: str
    places: tuple[Candidate, ...]
    removes: tuple[Candidate, ...]
    cells: tuple[Cell, ...]
    digits: tuple[int, ...]
    houses: tuple[str, ...]
    rules: tuple[str, ...]
    size: tuple[int, int]
    text: str
    promised: bool = False
    proved: bool = True

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {
            "technique": self.technique,
            "place": [{"cell": str(cell), "digit": digit} for cell, digit in self.places],
            "remove": [{"cell": str(cell), "digit": digit} for cell, digit in self.removes],
            "cells": [str(cell) for cell in self.cells],
            "digits": list(self.digits),
            "houses": list(self.houses),
            "rules": list(self.rules),
            "size": list(self.size),
            "promised": self.promised,
            "proved": self.proved,
            "text": self.text,
        }

    def line(self, canvas: Canvas) -> str:
        """The step as a line of a steps file, its sentence as the comment."""
        premises = [
            " ".join(map(str, self.cells)),
            *(f"digit {canvas.symbols[digit]}" for digit in self.digits),
            *self.houses,
            *self.rules,
        ]
        said = ", ".join(filter(None, premises))
        return f"{self.claim(canvas)} because {self.technique}: {said}  # {self.text}"

    def claim(self, canvas: Canvas) -> str:
        """What the step places and removes, as in a steps file."""
        struck: dict[str, list[str]] = {}
        for cell, digit in self.removes:
            struck.setdefault(str(cell), []).append(canvas.symbols[digit])
        return "; ".join(
            [
                *(f"{cell} = {canvas.symbols[digit]}" for cell, digit in self.places),
                *(f"{cell} not {' '.join(digits)}" for cell, digits in struck.items()),
            ]
        )


def step_of(idea: Idea, position: Position) -> Step:
    """A proved idea as a step, said in the words of the position it was found in."""
    layout = position.layout
    premises = [layout.premise_of(switch) for switch in idea.all_switches]

    def candidates(marks: Iterable[Mark]) -> tuple[Candidate, ...]:
        return tuple(Candidate(layout.cells[cell], layout.digits[digit]) for cell, digit in marks)

    return Step(
        technique=idea.technique,
        places=candidates(idea.places),
        removes=candidates(sorted(idea.removes)),
        cells=tuple(layout.cells[cell] for cell in idea.shown),
        digits=tuple(layout.digits[digit] for digit in idea.digits),
        houses=tuple(dict.fromkeys(p.name for p in premises if p.kind == "house")),
        rules=tuple(dict.fromkeys(p.name for p in premises if p.kind == "rule")),
        size=idea.size,
        text=idea.say(),
        promised=bool(idea.deadly),
    )


def write_steps(steps: Sequence[Step], puzzle: Puzzle) -> str:
    """A steps file."""
    head = f"# {puzzle.title or 'Steps'}\n"
    return head + "".join(f"{step.line(puzzle.canvas)}\n" for step in steps)


@dataclass(frozen=True)
class Because:
    """Why a written step says it holds: a name and the premises it lists, by kind."""

    name: str
    cells: tuple[Cell, ...] = ()
    digits: tuple[int, ...] = ()
    houses: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()

    @property
    def bare(self) -> bool:
        """Whether it lists no premise."""
        return not (self.cells or self.digits or self.houses or self.rules)


@dataclass(frozen=True)
class WrittenStep:
    """A line of a steps file as it was read; ``trouble`` says why it could not be."""

    line: int
    text: str
    places: tuple[Candidate, ...] = ()
    removes: tuple[Candidate, ...] = ()
    because: Because | None = None
    trouble: str = ""


class _Unreadable(ValueError):
    """A part of a step that cannot be read, in one line."""


def read_steps(text: str, puzzle: Puzzle) -> Iterator[WrittenStep]:
    """Read a steps file. A step that cannot be read is given with its trouble, in its place."""
    names = {
        " ".join(premise.name.split()).casefold(): (premise.kind, premise.name)
        for premise in layout_of(puzzle).premises.values()
    }
    for number, raw in enumerate(text.splitlines(), start=1):
        line = re.sub(r"(^|\s)#.*", "", raw).strip()
        if not line:
            continue
        try:
            yield _read_step(number, line, puzzle.canvas, names)
        except (_Unreadable, GridError) as error:
            yield WrittenStep(number, line, trouble=str(error))


_CLAIM = re.compile(r"(?P<cells>.+?)\s*(?P<verb>=|\bnot\b|≠)\s*(?P<digits>.*)", re.IGNORECASE)


def _read_step(
    number: int, line: str, canvas: Canvas, names: Mapping[str, tuple[str, str]]
) -> WrittenStep:
    claims, *reasons = re.split(r"\bbecause\b", line, maxsplit=1, flags=re.IGNORECASE)
    places: list[Candidate] = []
    removes: list[Candidate] = []
    for claim in claims.split(";"):
        if not claim.strip():
            continue
        found = _CLAIM.fullmatch(claim.strip())
        if not found:
            raise _Unreadable(f"{claim.strip()!r} says neither r3c2 = 4 nor r3c2 not 4")
        cells = _read_cells(found["cells"], canvas)
        digits = _read_digits(found["digits"], canvas)
        if found["verb"] != "=":
            removes += [Candidate(cell, digit) for cell in cells for digit in digits]
        elif len(digits) == 1 and len(cells) == 1:
            places.append(Candidate(cells[0], digits[0]))
        else:
            raise _Unreadable(f"{claim.strip()!r} places more than one digit in one cell")
    if not places and not removes:
        raise _Unreadable("nothing is placed and nothing removed")
    because = _read_because(reasons[0], canvas, names) if reasons else None
    return WrittenStep(number, line, tuple(places), tuple(removes), because)


def _read_cells(text: str, canvas: Canvas) -> list[Cell]:
    cells = list(parse_cells(text))
    for cell in cells:
        if cell not in canvas.index:
            raise _Unreadable(f"{cell} is not on the canvas")
    return cells


def _read_digits(text: str, canvas: Canvas) -> list[int]:
    symbols = re.sub(r"[\s,]+", "", text)
    if not symbols:
        raise _Unreadable("a digit is missing")
    for symbol in symbols:
        if symbol not in canvas.reader:
            raise _Unreadable(f"{symbol!r} is no digit here")
    return [canvas.reader[symbol] for symbol in symbols]


def _read_because(text: str, canvas: Canvas, names: Mapping[str, tuple[str, str]]) -> Because:
    name, _, listed = text.partition(":")
    name = " ".join(name.split())
    if not name:
        raise _Unreadable("a name is missing after 'because'")
    cells: list[Cell] = []
    digits: list[int] = []
    cited: dict[str, list[str]] = {"house": [], "rule": []}
    pieces = listed.split(",")
    while pieces:
        # An id may hold commas: the longest run of pieces that is a name is one premise.
        for count in range(len(pieces), 0, -1):
            piece = ",".join(pieces[:count]).strip()
            known = names.get(" ".join(piece.split()).casefold())
            if known:
                cited[known[0]].append(known[1])
                break
            if count > 1:
                continue
            digit = re.fullmatch(r"digits?\s+(.*)", piece, re.IGNORECASE)
            if digit:
                digits += _read_digits(digit[1], canvas)
            elif re.match(r"[rR]\d", piece):
                cells += _read_cells(piece, canvas)
            elif piece:
                raise _Unreadable(f"{piece!r} is no cell, digit, house or rule here")
        del pieces[:count]
    return Because(name, tuple(cells), tuple(digits), tuple(cited["house"]), tuple(cited["rule"]))
