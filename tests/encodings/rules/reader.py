"""A reader of printed rules: decides fillings from a sentence and from what is drawn, nothing else.

It is written independently of the sentences: it knows English phrases and what is on the page (the
cells of a mark and what is written at it), not the rules' fields, and none of the project's code.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

Spot = tuple[int, int]
Digits = Mapping[Spot, int]


class Mark(NamedTuple):
    """A rule as it is seen: its cells, and what is written at them."""

    cells: tuple[Spot, ...]
    written: str = ""
    bulb: tuple[Spot, ...] = ()


WORDS = {"one": 1, "two": 2, "three": 3, "four": 4}


def decide(sentence: str, mark: Mark, digits: Digits) -> bool:
    """Whether the digits keep what the sentence says; an unreadable sentence is an error."""
    for pattern, read in READINGS:
        match = re.fullmatch(pattern, sentence)
        if match:
            return read(match, mark, digits)
    raise AssertionError(f"cannot be read: {sentence}")


def spots(text: str) -> tuple[Spot, ...]:
    """The cells named in a text, runs written out."""
    found: list[Spot] = []
    for match in re.finditer(r"r(\d+)c(\d+)(?: to r(\d+)c(\d+))?", text):
        row, column = int(match[1]), int(match[2])
        found.append((row, column))
        if match[3]:
            end = int(match[3]), int(match[4])
            while (row, column) != end:
                row += (end[0] > row) - (end[0] < row)
                column += (end[1] > column) - (end[1] < column)
                found.append((row, column))
    return tuple(found)


def _cage(match: re.Match[str], mark: Mark, digits: Digits) -> bool:
    held = [digits[cell] for cell in mark.cells]
    numbers = {sign: int(n) for sign, n in re.findall(r"([≥≤]?)(\d+)", mark.written)}
    total, said = sum(held), match["total"] or ""
    plain = said.startswith("add up to") and "the number after" not in said.partition(" and ")[0]
    if plain and total != numbers[""]:
        return False
    if "at least the number after ≥" in said and total < numbers["≥"]:
        return False
    if "at most the number after ≤" in said and total > numbers["≤"]:
        return False
    return "may repeat" in match[0] or len(set(held)) == len(held)


def _arrow(match: re.Match[str], mark: Mark, digits: Digits) -> bool:
    order = {"from left to right": 1, "from top to bottom": 0}.get(match["order"] or "")
    bulb = sorted(mark.bulb) if order is None else sorted(mark.bulb, key=lambda spot: spot[order])
    number = int("".join(str(digits[spot]) for spot in bulb))
    return sum(digits[spot] for spot in mark.cells if spot not in bulb) == number


def _crossing(match: re.Match[str], mark: Mark, digits: Digits) -> bool:
    wanted = Counter(int(one) for one in mark.written.split())
    return not wanted - Counter(digits[spot] for spot in mark.cells)


def _among(match: re.Match[str], mark: Mark, digits: Digits) -> bool:
    held = Counter(digits[spot] for spot in spots(match["cells"]))
    wanted = re.findall(r"(?:an?|at least (\w+)) (\d)s?", match["wanted"])
    return all(held[int(digit)] >= WORDS.get(times, 1) for times, digit in wanted)


def _circles(match: re.Match[str], mark: Mark, digits: Digits) -> bool:
    held = Counter(digits[spot] for spot in mark.cells)
    return all(held[digit] == digit for digit in held)


def _neighbours(match: re.Match[str], mark: Mark, digits: Digits) -> bool:
    listed = {int(digit) for digit in re.findall(r"\d", match["listed"])}
    for row, column in mark.cells:
        met = 0
        for (other, side), digit in digits.items():
            near = (abs(other - row), abs(side - column))
            sides = near in ((0, 1), (1, 0))
            if (sides or (near == (1, 1) and "around" in match["which"])) and digit in listed:
                met += 1
        if met != digits[row, column]:
            return False
    return True


def _counted(match: re.Match[str], mark: Mark, digits: Digits) -> bool:
    true = sum(_claims(match["clues"], digits), 0)
    number = int(match["number"])
    return true >= number if match["how"] == "at least" else true == number


def _claims(text: str, digits: Digits) -> list[bool]:
    """Whether each clue of a list is true: marks with a sentence in brackets, or claims in [...]."""
    found: list[bool] = []
    for claim in _split(text):
        if claim.startswith("["):
            inner = claim[1:-1]
            found.append(decide(f"{inner[0].upper()}{inner[1:]}.", Mark(()), digits))
            continue
        names, _, clause = claim.partition(" (")
        sentence = clause.removesuffix(")")
        sentence = f"{sentence[0].upper()}{sentence[1:]}."
        found += [decide(sentence, mark, digits) for mark in _marks(names)]
    return found


def _split(text: str) -> list[str]:
    """The parts between semicolons outside all brackets."""
    parts, depth = [""], 0
    for character in text:
        depth += (character in "([") - (character in ")]")
        if character == ";" and not depth:
            parts.append("")
        else:
            parts[-1] += character
    return [part.strip() for part in parts]


def _marks(names: str) -> list[Mark]:
    """The marks that a list of clues names: "the cages 5 at r1c1 r1c2 and 7 at r2c1"."""
    one = re.fullmatch(
        r"the (?P<written>[≥≤\d ]*)(?P<noun>[a-z -]+?) (?P<place>(with bulb )?r\d.*)", names
    )
    several = re.fullmatch(r"the (?P<noun>[a-z -]+?)s (?P<list>(\d|≥|≤|r\d|with).*)", names)
    if several and not (one and not several["list"].count(" at ") and " and " not in names):
        return [
            _mark(part) for part in re.split(r", (?!r\d+c\d+ )| and (?!shaft)", several["list"])
        ]
    assert one, names
    return [_mark(f"{one['written'].strip()} at {one['place']}")]


def _mark(text: str) -> Mark:
    written, _, place = text.rpartition("at ")
    bulb = re.fullmatch(r"with bulb (.*) and shaft (.*)", place)
    if bulb:
        return Mark(spots(bulb[2]), written.strip(), spots(bulb[1]))
    cells = spots(place)
    return Mark(cells, written.strip(), cells[:1])


Reading = Callable[[re.Match[str], Mark, Digits], bool]
READINGS: Sequence[tuple[str, Reading]] = (
    (
        r"Digits in a cage (?P<total>add up to [^;]*?)(?: in its corner)"
        r"(?: and do not repeat|; they may repeat there)\.",
        _cage,
    ),
    (r"Digits in a cage without a number (?P<total>)(?:do not|may) repeat\.", _cage),
    (r"Digits along an arrow add up to the digit in its bulb(?P<order>)\.", _arrow),
    (
        r"Digits along an arrow whose bulb has several cells add up to the number that stands there, "
        r"read (?P<order>.*)\.",
        _arrow,
    ),
    (
        r"Digits written at a crossing all stand in the four cells around it, each at least as often "
        r"as it is written\.",
        _crossing,
    ),
    (r"Among the digits in (?P<cells>.*) (?:is|are) (?P<wanted>(?:an?|at least) .*)\.", _among),
    (r"A digit in a circle appears in exactly that many circles\.", _circles),
    (
        r"The digit in a circle marked [\d ]+ tells how many of the (?P<which>cells .*) hold "
        r"(?P<listed>.*)\.",
        _neighbours,
    ),
    (
        r"Of (?:these \d+ clues|this 1 clue), (?P<how>at least|exactly) (?P<number>\d+) (?:is|are) true"
        r"(?: and the others are false|, that is, all|, so that all are false)?: (?P<clues>.*)\.",
        _counted,
    ),
)
