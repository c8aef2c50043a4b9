"""Claims gleaned from words that were not understood: cells, digits, and whether they are denied.

*Row six wants a six, so row six column seven gets it* has one cell and one digit, in words that no list
has; in *column 5 gets its 9 at r4c5, and column 6 at r7c6* the second part leaves the digit out. That may
be a claim or none, so what is gleaned counts only if it is true, and open, and one or a few short steps
give it: nothing that was not understood is ever held against its speaker.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from gridassay.encodings.grid import Cell
from gridassay.verify.listening.clauses import refers
from gridassay.verify.listening.crossings import Crossings
from gridassay.verify.listening.heard import Heard, Pair
from gridassay.verify.listening.subjects import Subjects
from gridassay.verify.listening.token import LETTER, Token

_NO_CLAIM = frozenset("PZY")
"""Words that suppose, ask or take back."""
_DENIES = frozenset("XR")
_TAKES = frozenset("RF")
"""Words that take a digit away, which may have been named before."""
_LEAVES = frozenset({"naked single", "last cell"})
"""Techniques whose words deny all but what is left: *nothing but 5*, *every digit but 2 is refused*."""
_PLACES = frozenset("HLMQA")
"""Words that point to another cell than the last one."""
_FEWEST = 2

Values = Callable[[Cell], Sequence[int]]
"""The values that a cell or letter may have."""
Placed = Callable[[Sequence[Token], bool], tuple[Cell, ...]]
"""The cells that words for a place may mean; also those of a house, if a digit was named beside them."""


class Gleaned(NamedTuple):
    """A claim, where its words end, whether they name both its cells and its digits, or a place."""

    claim: Heard
    end: int
    whole: bool
    at_place: bool = False


class Left(NamedTuple):
    """Digits that may be all that is left, and the houses or the cells in which."""

    houses: tuple[str, ...]
    cells: tuple[Cell, ...]
    digits: tuple[int, ...]


class Gleaner:
    """Gleans claims sentence by sentence; remembers what was spoken of last.

    ``values`` gives the values of a cell or letter, ``placed`` the cells of words for a place,
    ``crossings`` those where lines cross, ``subjects`` those of rules and of the rest of a house (not
    for captions); ``small`` are the words of a language's file.
    """

    def __init__(
        self,
        small: Mapping[str, frozenset[str]],
        values: Values,
        placed: Placed | None,
        crossings: Crossings,
        subjects: Subjects | None,
    ) -> None:
        self._small = small
        self._subjects = subjects
        self._crossings = crossings
        self._placed = placed
        self._values = values
        self._cell: Token | None = None
        self._digit: Token | None = None
        self._denied: tuple[Token, Token] | None = None
        self._cells: tuple[Cell, ...] = ()
        self._houses: tuple[str, ...] = ()

    def glean(self, text: str, tokens: Sequence[Token]) -> list[Gleaned]:
        """The claims that the parts of a sentence may make, in order."""
        found = []
        for part in self._parts(tokens):
            part = self._subjects.named(part) if self._subjects else part
            letters = {token.letter for token in part}
            near, struck = ((), ()) if letters & _NO_CLAIM else self._pairs(part, letters)
            start, end = part[0].start, part[-1].end
            self._crossings.remember([one for one in tokens if one.start < start])
            crosses = False
            if not near and not struck and not letters & _NO_CLAIM:
                near, struck = self._crossing(part, letters)
                crosses = self._subjects is not None and bool(near or struck)
            at_place = () if near or struck else self._at_place(part, letters)
            if at_place:
                claim = Heard(text[start:end].strip(), start, near=at_place, gleaned=True)
                found.append(Gleaned(claim, end, True, True))
            for pairs in near:
                claim = Heard(text[start:end].strip(), start, near=pairs, gleaned=True)
                found.append(Gleaned(claim, end, crosses or {"C", "D"} <= letters))
            named = [one.house for one in tokens if one.letter == "H" and one.start < start]
            self._houses = tuple(named[-1:]) or self._houses
            left = self._leftover(part, letters)
            if struck or left:
                denies = bool(letters & _DENIES)
                claim = Heard(
                    text[start:end].strip(), start, removes=struck, gleaned=True, left=not denies
                )
                if left and not struck:
                    claim = replace(claim, houses=left.houses, cells=left.cells, digits=left.digits)
                named_whole = crosses or {"C", "D"} <= letters or {"H", "D"} <= letters
                found.append(Gleaned(claim, end, named_whole))
            self._remember(part, letters)
        named = [one.house for one in tokens if one.letter == "H"]
        self._houses = tuple(named[-1:]) or self._houses
        self._crossings.remember(tokens)
        return found

    def _parts(self, tokens: Sequence[Token]) -> list[list[Token]]:
        """The parts of a sentence, none of which goes on after a whole claim."""
        parts: list[list[Token]] = [[]]
        piece: list[Token] = []
        for token in [*tokens, None]:
            cut = token is None or token.letter in "KSB" or token.text in ".!?"
            if not cut:
                piece += [token] if token is not None else []
                continue
            kinds = _kinds(piece)
            if _goes_on_listing(parts[-1], piece):
                pass
            elif kinds & _kinds(parts[-1]) or kinds >= {"C", "D"}:
                parts.append(self._lead(parts[-1], piece))
            parts[-1] += piece
            piece = []
            if token is not None and not self._goes_on(token) and _kinds(parts[-1]):
                parts.append([])
        return [part for part in parts if _kinds(part)]

    def _lead(self, part: list[Token], piece: Sequence[Token]) -> list[Token]:
        """The words after a whole claim that belong to the verb of the next: *column 7, is a 7*."""
        said = next((one for one in piece if one.letter != "w"), None)
        if not self._subjects or said is None or said.letter != "E":
            return []
        last = max((at for at, one in enumerate(part) if one.letter in "CD"), default=-1)
        lead = part[last + 1 :]
        if not _kinds(part) >= {"C", "D"} or not any(one.letter == "H" for one in lead):
            return []
        del part[last + 1 :]
        return lead

    def _goes_on(self, token: Token) -> bool:
        """Whether a part may go on after a comma, a bracket, *and* or *by*."""
        if token.letter == "B":
            return not token.text[0].isalpha() or token.text.casefold() in self._small["agent"]
        return token.letter == "K"

    def _pairs(
        self, part: Sequence[Token], letters: set[str]
    ) -> tuple[Sequence[tuple[Pair, ...]], tuple[Pair, ...]]:
        """Pairs of which one may be placed, of each row of them; and those that may be struck."""
        cells = [token for token in part if token.letter == "C"]
        digits = [token for token in part if token.letter == "D"]
        if any(not one.firm or one.spot not in ("", LETTER) for one in cells):
            return (), ()
        leaves = any(one.technique in _LEAVES for one in part)
        denied = bool(letters & _DENIES) and not leaves
        if cells and digits:
            if denied:
                return (), _product(cells, digits)
            left = self._other_values(cells, digits)
            return ((), left) if left else (_singly(part, cells, digits), ())
        if cells:
            again = any(_plain(one) in self._small["likewise"] for one in part)
            again = again or (self._subjects is not None and self._so_is(part))
            if (denied or again) and self._denied is not None:
                return (), _product(cells, self._denied[1:])
            if self._subjects and self._digit is not None and letters & _TAKES:
                return (), _product(cells, [self._digit])  # *so it leaves r1c2*
            if self._digit is None or denied:
                return (), ()
            return [pair for one in cells for pair in _singly([one], [one], [self._digit])], ()
        if denied and self._denied is not None:
            return (), _product(self._denied[:1], digits)
        if self._cell is None or letters & _PLACES or len(self._cell.cells) > 1:
            return (), ()
        if denied:
            return (), _product([self._cell], digits)
        if self._subjects and "E" in letters and len(digits) == 1 and digits[0].either:
            return (), self._other_values([self._cell], digits)  # *it is 2 or 4*
        if len(digits) > 1:
            return (), ()
        return _singly(part, [self._cell], digits), ()

    def _so_is(self, part: Sequence[Token]) -> bool:
        """Whether a part only says that the same goes for its cells: *so does r6c3*, *so is r5c1*."""
        words = [one for one in part if one.letter not in "KS"]
        if len(words) < _FEWEST or words[1].letter != "C":
            return False
        return words[0].letter == "E" or _plain(words[0]) in self._small["does"]

    def _crossing(
        self, part: Sequence[Token], letters: set[str]
    ) -> tuple[Sequence[tuple[Pair, ...]], tuple[Pair, ...]]:
        """Digits at the cells where lines cross, to be placed or struck."""
        cells = self._crossings.spoken_of(part)
        digits = tuple(digit for one in part if one.letter == "D" for digit in one.digits)
        if not cells or (len(digits) != 1 and len(digits) != len(cells)):
            return (), ()
        if letters & _DENIES:
            return (), tuple((cell, digit) for cell in cells for digit in digits)
        if len(digits) == 1:
            return ([((cells[0], digits[0]),)] if len(cells) == 1 else []), ()
        return (), tuple(
            (cell, value) for cell in cells for value in self._values(cell) if value not in digits
        )

    def _at_place(self, part: Sequence[Token], letters: set[str]) -> tuple[Pair, ...]:
        """Pairs of the one digit of *the 8 in the corner*, of which one may be true."""
        if self._placed is None or letters & (_NO_CLAIM | _DENIES | {"C", "Q"}):
            return ()
        compared = {at for at in range(len(part)) if _only_beside(part, at)}
        plain = [  # *above the two* says beside what
            one for at, one in enumerate(part) if not {at, at + 1, at + 2} & compared
        ]
        said = [one for one in plain if one.letter == "D"]
        if len(said) != 1 or said[0].either or len(said[0].digits) != 1:
            return ()
        lead = _plain(plain[max(0, plain.index(said[0]) - 1)])
        if _plain(said[0]) in self._small["one"] and lead not in ("a", "the"):
            return ()  # *there's one in the middle*
        cells = self._placed(plain, bool(compared))
        return tuple((cell, said[0].digits[0]) for cell in cells)

    def _other_values(self, cells: Sequence[Token], digits: Sequence[Token]) -> tuple[Pair, ...]:
        """The pairs that *r5c8, being third of four, is 5, 6 or 7* and *r2c4, r2c5: all of 78* strike."""
        if len(cells) > 1 or len(digits) > 1:
            return ()
        (cell,), (said,) = cells, digits
        full = len(cell.cells) == len(said.digits)
        if cell.either or len(said.digits) < _FEWEST or not (said.either or full):
            return ()
        return tuple(
            (one, value)
            for one in cell.cells
            for value in self._values(one)
            if value not in said.digits
        )

    def _leftover(self, part: Sequence[Token], letters: set[str]) -> Left | None:
        """Where some digits may be all that is left: houses, else the cells or house named last."""
        digits = _digits_left([one for one in part if one.letter == "D"])
        if letters & (_NO_CLAIM | {"C", "R"}) or len(digits) < _FEWEST:
            return None
        named = tuple(one.house for one in part if one.letter == "H")
        cells = () if named else self._cells
        return Left(named or self._houses, cells, digits)

    def _remember(self, part: Sequence[Token], letters: set[str]) -> None:
        cells = [one for one in part if one.letter == "C"]
        digits = [one for one in part if one.letter == "D"]
        if letters & _DENIES and cells and digits:
            self._denied = (cells[-1], digits[-1])
        elif cells and digits:
            self._denied = None
        self._cell = cells[-1] if cells else self._cell
        several = tuple(dict.fromkeys(cell for one in cells for cell in one.cells))
        self._cells = several if len(several) > 1 else self._cells
        if digits and len(digits[-1].digits) == 1:
            self._digit = digits[-1]


def only_supposes(tokens: Sequence[Token], small: Mapping[str, frozenset[str]]) -> bool:
    """Whether words show that a sentence only supposes, asks, or takes something back."""
    return any(
        one.letter in _NO_CLAIM and one.text.casefold() not in small["still told"] for one in tokens
    )


def _only_beside(part: Sequence[Token], place: int) -> bool:
    """Whether a digit is the one that the cell of another one lies beside."""
    before = next((one for one in reversed(part[:place]) if one.letter != "w"), None)
    more = sum(one.letter == "D" for one in part) > 1
    said = part[place].letter == "D" and more
    return said and before is not None and refers(before)


def _goes_on_listing(part: Sequence[Token], piece: Sequence[Token]) -> bool:
    """Whether a piece begins with another digit of a list, and names no cell."""
    first = next((one for one in piece if one.letter != "w"), None)
    lists = bool(part) and part[-1].letter == "D" and first is not None and first.letter == "D"
    return lists and _kinds([*part, *piece]) == {"D"}


def _digits_left(said: Sequence[Token]) -> tuple[int, ...]:
    """All digits of some tokens but the number of them: *only 3 and 8 for its two empty squares*."""
    for count in said:
        others = tuple(
            dict.fromkeys(one for token in said if token is not count for one in token.digits)
        )
        if count.text.isalpha() and count.digits == (len(others),):
            return others
    return tuple(dict.fromkeys(one for token in said for one in token.digits))


def _kinds(tokens: Sequence[Token]) -> set[str]:
    return {token.letter for token in tokens} & {"C", "D"}


def _product(cells: Sequence[Token], digits: Sequence[Token]) -> tuple[Pair, ...]:
    return tuple(
        (cell, digit)
        for named in cells
        for cell in named.cells
        for said in digits
        for digit in said.digits
    )


def _singly(
    part: Sequence[Token], cells: Sequence[Token], digits: Sequence[Token]
) -> Sequence[tuple[Pair, ...]]:
    """Cells and digits in turn, or one of them with each of the others."""
    if any(one.either or len(one.cells) + len(one.digits) != 1 for one in (*cells, *digits)):
        return ()
    pairs = _product(cells, digits)
    turns = "".join(one.letter for one in part if one.letter in "CD")
    if turns in ("CD" * len(cells), "DC" * len(cells)):
        return [
            (pair,)
            for pair in zip(
                (one.cells[0] for one in cells), (one.digits[0] for one in digits), strict=True
            )
        ]
    return [pairs] if len(cells) == 1 or len(digits) == 1 else ()


def _plain(token: Token) -> str:
    return " ".join(token.text.casefold().split())
