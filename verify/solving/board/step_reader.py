"""Reading the parts of written steps: claims, premises, names.

``steps_file.py`` says how steps are written.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from gridassay.encodings.constraints import Doubler, Letter, Unknown, Variable
from gridassay.encodings.grid import Cell, GridError, parse_cells
from gridassay.encodings.variables import Layered
from gridassay.verify.solving.board.position import Candidate, Layout, value_text


@dataclass(frozen=True)
class Because:
    """The reason that a written step gives: a name and the premises that it lists, by kind."""

    name: str
    cells: tuple[Cell, ...] = ()
    digits: tuple[int, ...] = ()
    houses: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    unknowns: tuple[Unknown, ...] = ()

    @property
    def bare(self) -> bool:
        """Whether it lists no premise."""
        return not (self.cells or self.digits or self.houses or self.rules or self.unknowns)


@dataclass(frozen=True)
class About:
    """The subject of an end or of an *either*: an unknown, the places of a digit, or a rule.

    ``premise`` is the house or rule in which the digit has its places, or the rule.
    """

    text: str
    unknown: Variable | None = None
    digit: int | None = None
    premise: str = ""


@dataclass(frozen=True)
class WrittenBranch:
    """A branch: its supposition, its links, and its end, which is None if it ends in the conclusion.

    One of the candidates of ``supposed`` is assumed to be true; if not ``positive``, none of them.
    """

    line: int
    text: str
    supposed: tuple[Candidate, ...]
    positive: bool
    links: tuple[WrittenStep, ...]
    end: About | None = None
    end_line: int = 0


@dataclass(frozen=True)
class WrittenStory:
    """A story as it was read; ``about`` is the subject of an *either* story."""

    form: Literal["suppose", "either"]
    branches: tuple[WrittenBranch, ...]
    about: About | None = None


@dataclass(frozen=True)
class WrittenStep:
    """A line of a steps file as it was read; ``trouble`` says why it could not be read."""

    line: int
    text: str
    places: tuple[Candidate, ...] = ()
    removes: tuple[Candidate, ...] = ()
    because: Because | None = None
    trouble: str = ""
    story: WrittenStory | None = None


class Unreadable(ValueError):
    """A part of a step cannot be read; the message is one line."""


class FileLine(NamedTuple):
    """A line of a file: its number, its depth, its text, and whether a tab comes before that."""

    number: int
    depth: int
    text: str
    tab: bool


_CLAIM = re.compile(r"(?P<what>.+?)\s*(?P<verb>=|\bnot\b|≠)\s*(?P<values>.*)", re.IGNORECASE)


class Said(NamedTuple):
    """One claim: candidates of which one is true or, if not ``positive``, none is."""

    candidates: tuple[Candidate, ...]
    positive: bool


class StepReader:
    """Reads the parts of steps of one puzzle. Its methods raise Unreadable or GridError."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.canvas = layout.canvas
        self._layered = {
            str(one).casefold(): one for one in layout.unknowns if isinstance(one, Layered)
        }
        self._names = {
            " ".join(premise.name.split()).casefold(): (premise.kind, premise.name)
            for premise in layout.premises.values()
        }

    def step(self, line: FileLine) -> WrittenStep:
        """A step on one line, with its trouble if it cannot be read."""
        try:
            claims, *reasons = re.split(r"\bbecause\b", line.text, maxsplit=1, flags=re.IGNORECASE)
            places, removes = self.claims(claims)
            because = self.because(reasons[0]) if reasons else None
        except (Unreadable, GridError) as error:
            return WrittenStep(line.number, line.text, trouble=str(error))
        return WrittenStep(line.number, line.text, places, removes, because)

    def claims(self, text: str) -> tuple[tuple[Candidate, ...], tuple[Candidate, ...]]:
        """The placements and removals of a claim."""
        places: list[Candidate] = []
        removes: list[Candidate] = []
        for claim in text.split(";"):
            if not claim.strip():
                continue
            said = self.claim(claim.strip())
            if not said.positive:
                removes += said.candidates
            elif len(said.candidates) == 1:
                places += said.candidates
            else:
                raise Unreadable(f"{claim.strip()!r} places more than one digit in one cell")
        if not places and not removes:
            raise Unreadable("nothing is placed and nothing removed")
        return tuple(places), tuple(removes)

    def claim(self, text: str) -> Said:
        """One claim."""
        found = _CLAIM.fullmatch(text)
        if not found:
            raise Unreadable(f"{text!r} says neither r3c2 = 4 nor r3c2 not 4")
        positive = found["verb"] == "="
        thing = self.thing(found["what"])
        if thing is not None:
            return Said(tuple(self._values(thing, found["values"])), positive)
        cells, digits = self.cells(found["what"]), self.digits(found["values"])
        return Said(tuple(Candidate(cell, digit) for cell in cells for digit in digits), positive)

    def thing(self, text: str) -> Unknown | None:
        """An unknown that is not a cell, if a text names one."""
        words = text.split()
        unknown: Unknown | None = self._layered.get(" ".join(words).casefold())
        if unknown is not None:
            return unknown
        if len(words) == 1:
            unknown = Letter(words[0])
        elif len(words) == 2 and words[0].casefold() == "doubler":
            cells = self.cells(words[1])
            unknown = Doubler(cells[0])
            if unknown not in self.layout.index:
                raise Unreadable("there are no doublers in this puzzle")
        return unknown if unknown in self.layout.index else None

    def _values(self, unknown: Unknown, text: str) -> Iterator[Candidate]:
        place = self.layout.index[unknown]
        known = {value_text(unknown, value): value for value in self.layout.domains[place]}
        words = text.replace(",", " ").split()
        if not words:
            raise Unreadable(f"a value of {unknown} is missing")
        for word in words:
            if word not in known:
                raise Unreadable(f"{word!r} is not a value of {unknown}")
            yield Candidate(unknown, known[word])

    def cells(self, text: str) -> list[Cell]:
        """Cells on the canvas."""
        cells = list(parse_cells(text))
        for cell in cells:
            if cell not in self.canvas.index:
                raise Unreadable(f"{cell} is not on the canvas")
        return cells

    def digits(self, text: str) -> list[int]:
        """Digits by their symbols."""
        symbols = re.sub(r"[\s,]+", "", text)
        if not symbols:
            raise Unreadable("a digit is missing")
        for symbol in symbols:
            if symbol not in self.canvas.reader:
                raise Unreadable(f"{symbol!r} is not a digit here")
        return [self.canvas.reader[symbol] for symbol in symbols]

    def premise(self, text: str) -> tuple[str, str] | None:
        """The kind and name of a house or rule, if a text names one."""
        return self._names.get(" ".join(text.split()).casefold())

    def letter(self, text: str) -> Letter | None:
        """The letter that ``letter A`` names."""
        words = text.split()
        if len(words) == 2 and words[0].casefold() == "letter":
            letter = Letter(words[1])
            if letter not in self.layout.index:
                raise Unreadable(f"there is no letter {words[1]!r} in this puzzle")
            return letter
        return None

    def about(self, text: str) -> About:
        """The subject of an end or of an *either* story."""
        known = self.premise(text)
        if known:
            return About(text, premise=known[1])
        digit = re.fullmatch(r"digit\s+(\S)\s*,\s*(.+)", text, re.IGNORECASE)
        if digit:
            known = self.premise(digit[2])
            if not known:
                raise Unreadable(f"{digit[2]!r} is not a house or rule here")
            return About(text, digit=self.digits(digit[1])[0], premise=known[1])
        unknown: Variable | None = self.letter(text) or self.thing(text)
        if unknown is None:
            cells = self.cells(text)
            if len(cells) != 1:
                raise Unreadable(f"{text!r} is not one cell")
            unknown = cells[0]
        return About(text, unknown=unknown)

    def because(self, text: str) -> Because:
        """A name and the premises that it lists."""
        name, _, listed = text.partition(":")
        name = " ".join(name.split())
        if not name:
            raise Unreadable("a name is missing after 'because'")
        cells: list[Cell] = []
        digits: list[int] = []
        unknowns: list[Unknown] = []
        cited: dict[str, list[str]] = {"house": [], "rule": []}
        pieces: Sequence[str] = listed.split(",")
        while pieces:
            # An id may contain commas: the longest run of pieces that is a name is one premise.
            for count in range(len(pieces), 0, -1):
                piece = ",".join(pieces[:count]).strip()
                known = self.premise(piece)
                if known:
                    cited[known[0]].append(known[1])
                    break
                if count > 1:
                    continue
                digit = re.fullmatch(r"digits?\s+(.*)", piece, re.IGNORECASE)
                unknown = self.letter(piece) or self.thing(piece)
                if unknown is not None:
                    unknowns.append(unknown)
                elif digit:
                    digits += self.digits(digit[1])
                elif re.match(r"[rR]\d", piece):
                    cells += self.cells(piece)
                elif piece:
                    raise Unreadable(f"{piece!r} is not a cell, digit, house or rule here")
            pieces = pieces[count:]
        return Because(
            name,
            tuple(cells),
            tuple(digits),
            tuple(cited["house"]),
            tuple(cited["rule"]),
            tuple(unknowns),
        )
