"""How notes name cells other than by *r4c7*: *47*, *4.7*, *(4,7)*, *D7*, or *d7* for column first.

A writer says so at the head (*rows A-I*, *I write 47 = row 4 col 7*), or it is told by how often such
names stand before a digit, and which of row and column comes first by what is then true: no one is
wrong most of the time.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from gridassay.encodings.grid import Canvas, Cell
from gridassay.verify.listening.vocabulary import vocabulary

Kind = Literal["figures", "letters", "numbered", "pairs", "parted"]

_PATTERNS = {
    "figures": r"(?:(?<![\d.:/])|(?<=\b[1-{size}][1-{size}]/))[1-{size}][1-{size}](?![\d.:]?\d)",
    "pairs": r"[(\[]\s*[1-{size}]\s*[,;.]\s*[1-{size}]\s*[)\]]",
    "parted": r"(?<![\w.:{sign}])[1-{size}]{sign}[1-{size}](?![.:{sign}]?\d)",
    "letters": r"\b[{first}-{last}]{sign}[1-{size}]\b",
    "numbered": r"\b[1-{size}]{sign}[{first}-{last}]\b",
}
"""The names of each kind; ``sign`` stands between two figures, letters are from ``first`` to ``last``,
figures up to ``size``."""
_LETTERS = "abcdefghi"
_SIGNS = ".:/,x-"
_SUM_BEFORE = re.compile(r"\d\s*[+-]\s*\d+\s*=\s*$")
_ENTRY_BEFORE = re.compile(
    r"(?<![\d.+])[1-9][1-9](?:\s*[:=]\s*|\s+)[1-9](?:\s+|\s*[,;]\s*)$|(?:^|[,;])\s*[1-9]\s+$|(?<![\d.+-])[1-9]\s*>\s*$"
)
"""Before a name that would be a number by what stands before it, but for a row of cells with digits."""
_ENTRY_AFTER = re.compile(r"(?:\s*:\s*|\s+)[1-9](?![\d.+])|/[1-9][1-9]\b|\s*(?:[,;.)]|$)")
_EXPLAINING = 2
"""So many cells may be named as usual by one who explains another way."""
_FEWEST, _SHARE, _TRUE, _TWICE = 5, 0.8, 0.6, 2
"""So many names stand before a digit, and are so large a share of the cells; so many of them are true."""


class Named(NamedTuple):
    """A cell that was named: the words, and its row and column."""

    match: re.Match[str]
    place: tuple[int, int]


@dataclass(frozen=True)
class Notation:
    """A way to name cells.

    ``column_first`` tells which of the two is the column, ``upper`` whether letters are in upper case;
    ``sign`` stands between two figures, the grid has ``size`` rows and columns.
    """

    kind: Kind
    column_first: bool
    upper: bool = True
    sign: str = ""
    size: int = 9

    @property
    def regex(self) -> re.Pattern[str]:
        """The pattern of its names."""
        return re.compile(_pattern(self.kind, self.size, upper=self.upper, sign=self.sign))

    def cell(self, text: str, place: int) -> Named | None:
        """The cell that is named at a place of a text."""
        match = self.regex.match(text, place) or self._in_chain(text, place)
        if match is None:
            return None
        if self.kind == "figures" and not _is_cell(text, *match.span()):
            return None
        return Named(match, self._place(match.group()))

    def _in_chain(self, text: str, place: int) -> re.Match[str] | None:
        """A name of several that are joined by the sign within them: *1-3-2-3* for *1-3* and *2-3*."""
        if self.kind != "parted":
            return None
        one, sign = f"[1-{self.size}]", re.escape(self.sign)
        for chain in re.finditer(rf"(?<![\w.:{sign}]){one}(?:{sign}{one})+(?!\w)", text):
            figures = (chain.end() - chain.start() + 1) // 2
            inside = chain.start() <= place < chain.end() and (place - chain.start()) % 4 == 0
            if inside and figures % 2 == 0:
                return re.compile(f"{one}{sign}{one}").match(text, place)
        return None

    def line(self, kind: str, letter: str) -> str:
        """The number of a row or column that is named by its letter; empty if it is not."""
        lettered = "column" if self.column_first else "row"
        if self.kind == "numbered":
            lettered = "row" if self.column_first else "column"
        named = (
            self.kind in ("letters", "numbered")
            and kind == lettered
            and letter.casefold() in _LETTERS[: self.size]
        )
        return str(_number(letter)) if named else ""

    def _place(self, name: str) -> tuple[int, int]:
        one, other = map(_number, re.findall(r"[1-9A-Ia-i]", name))
        return (other, one) if self.column_first else (one, other)

    def claims(self, texts: Sequence[str]) -> list[tuple[Cell, tuple[int, ...]]]:
        """The cells with the digit right after them, or before them and *at*, or a few after them."""
        name = f"(?P<name>{self.regex.pattern})"
        words = vocabulary().notations
        told = [f"{name}{words.holds}", f"{words.at}{name}"]
        if self.kind != "figures":
            told += [f"{name}{words.beside}", f"{name}{words.among}"]
        return [
            (Cell(*self._place(match["name"])), tuple(map(int, re.findall(r"\d", match["digit"]))))
            for regex in map(re.compile, told)
            for text in texts
            for match in regex.finditer(text)
        ]


_WAYS: tuple[tuple[Kind, bool, str], ...] = (
    ("pairs", True, ""),
    ("figures", True, ""),
    *(("parted", True, sign) for sign in _SIGNS),
    *((kind, upper, "") for kind in ("letters", "numbered") for upper in (True, False)),
)
"""The ways that are tried, in order: the kind, whether letters are in upper case, the sign."""


def notation_of(
    texts: Iterable[str], canvas: Canvas, holds: Callable[[Cell, int], bool]
) -> Notation | None:
    """The notation of some notes, None for *r4c7*; ``holds`` tells what is true of a cell."""
    size = canvas.rows
    if canvas.columns != size or not 3 < size <= len(_LETTERS):
        return None
    said = list(texts)
    usual = sum(len(vocabulary().notations.usual.findall(text)) for text in said)
    declared = _from_the_head(said, size) if usual <= _EXPLAINING else None
    if declared is not None:
        return declared
    for kind, upper, sign in _WAYS:
        both = [Notation(kind, first, upper, sign, size) for first in (False, True)]
        found = [one.claims(said) for one in both]
        if len(found[0]) < _FEWEST or len(found[0]) < _SHARE * (usual + len(found[0])):
            continue
        if kind in ("letters", "numbered") and not any(
            _beyond_houses(text, both[0]) for text in said
        ):
            continue
        true = [
            sum(any(holds(cell, one) for one in digits) for cell, digits in claims)
            for claims in found
        ]
        best = max((0, 1), key=lambda one: true[one])
        if true[best] >= max(_TRUE * len(found[0]), _TWICE * true[1 - best]):
            return both[best]
    return None


def _pattern(kind: Kind, size: int, *, upper: bool = True, sign: str = "") -> str:
    """The pattern of the names of a kind."""
    letters = _LETTERS.upper() if upper else _LETTERS
    first, last = letters[0], letters[size - 1]
    return _PATTERNS[kind].format(sign=re.escape(sign), first=first, last=last, size=size)


def _from_the_head(texts: Sequence[str], size: int) -> Notation | None:
    words = vocabulary().notations
    for text in texts:
        for match in words.declared.finditer(text):
            name = [match["one"].casefold(), match["other"].casefold()]
            said = [(match[one] or match[f"{one}2"]).casefold() for one in ("first", "second")]
            if sorted(map(_sign, name)) != sorted(map(_sign, said)):
                continue
            turned = (match["row"] is None) == (list(map(_sign, name)) == list(map(_sign, said)))
            kind: Kind = "parted" if match["sign"] else "figures"
            if match["bracket"] and match["sign"]:
                return Notation("pairs", turned, size=size)
            if match["one"].isalpha() and match["other"].isdigit():
                kind = "letters"
            elif match["one"].isdigit() and match["other"].isalpha():
                kind = "numbered"
            upper = not (match["one"] + match["other"]).islower() or kind in ("figures", "parted")
            return Notation(kind, turned, upper, match["sign"], size)
        paired = words.paired.search(text)
        if paired:
            turned = paired["row"] is None
            parted = Notation("parted", turned, sign=paired["sign"], size=size)
            ways = [Notation("pairs", turned, size=size)] if paired["bracket"] else []
            used = _most_used([*ways, parted], texts)  # the bracket of *(row.col)* may be an aside
            if used or ways:
                return used or ways[0]
        lettered = re.search(words.lettered.format(last=_LETTERS[size - 1]), text, re.IGNORECASE)
        if lettered:
            axis = next(filter(None, lettered.group("axis", "axis2", "axis3", "axis4")))
            turned = vocabulary().houses[axis.casefold()] == "column"
            kinds: list[tuple[Kind, bool]] = [
                ("letters", True),
                ("letters", False),
                ("numbered", True),
                ("numbered", False),
            ]
            often = [
                len(re.findall(_pattern(kind, size, upper=upper), " ".join(texts)))
                for kind, upper in kinds
            ]
            kind, upper = kinds[often.index(max(often))]
            return Notation(kind, turned != (kind == "numbered"), upper, size=size)
    return None


def _is_cell(text: str, start: int, end: int) -> bool:
    """Whether two figures, in notes that name cells so, are a cell and not a number."""
    words, before = vocabulary().notations, text[:start]
    if _SUM_BEFORE.search(before):
        return False
    if words.told.match(text, end):
        return True
    if words.no_cell.match(text, end):
        return False
    entry = _ENTRY_BEFORE.search(before) and _ENTRY_AFTER.match(text, end)
    return bool(entry) or not words.after_number.search(before)


def _most_used(ways: Sequence[Notation], texts: Sequence[str]) -> Notation | None:
    """The notation in which some notes say the most digits of cells, None if they say none in any."""
    often = [len(one.claims(texts)) for one in ways]
    return ways[often.index(max(often))] if any(often) else None


def _beyond_houses(text: str, notation: Notation) -> bool:
    """Whether a name has a letter that no row, column or box has: *b4* and *c4* may be houses."""
    return any(
        re.sub(r"\d", "", match.group()).casefold() not in "bc"
        for match in notation.regex.finditer(text)
    )


def _sign(said: str) -> str:
    """A row or column as it was said, a letter as its number."""
    return str(_number(said)) if said in f"{_LETTERS}123456789" else said


def _number(sign: str) -> int:
    return int(sign) if sign.isdigit() else _LETTERS.index(sign.casefold()) + 1
