"""The cells of rules that are spoken of by name: *the 8 cage can't have a 4*, *its bulb*, *the tip*.

Only in notes and prose; what captions point at is looked for on the board (``pointing.py``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from gridassay.encodings.grid import Cell
from gridassay.verify.listening.token import Token

_ENDS = {"bulb": 0, "tip": -1}
_PREDICATES = frozenset("EXR")


class NamedRules:
    """Remembers the rule last spoken of; ``spans`` has the cells of each."""

    def __init__(self, spans: Mapping[str, Sequence[Cell]], *, spoken: bool) -> None:
        self._spans = spans
        self._spoken = spoken
        self._last = ""

    def as_cells(self, row: list[Token]) -> list[Token]:
        """A sentence with the cells of the rule, or of its end, that something is said of."""
        if self._spoken:
            return row
        said = {one.rules[0] for one in row if one.letter == "Q" and len(one.rules) == 1}
        many = any(one.letter == "Q" and len(one.rules) > 1 for one in row)
        if len(said) == 1:
            self._last = next(iter(said))
        elif many or len(said) > 1:
            self._last = ""
        row = self._with_ends(row)
        named = [at for at, one in enumerate(row) if one.letter == "Q"]
        if len(said) != 1 or many or not named:
            return row
        first = named[0]
        breaks = [at for at in range(first + 2, len(row)) if row[at].letter in "SB"]
        end = breaks[0] if breaks else len(row)
        if any(one.letter in "CLM" for one in row[:end]):
            return row
        return [*self._with_rule(row[:end]), *row[end:]]

    def _with_ends(self, row: list[Token]) -> list[Token]:
        """With the cell of *the bulb*, *the tip* that something is said of."""
        found: list[Token] = []
        named: dict[str, Token] = {}
        until = 0
        for place, token in enumerate(row):
            if place < until:
                continue
            rest = [one for one in row[place + 1 :] if one.letter not in "IQ"]
            follows = rest[0].letter if rest else ""
            if token.letter != "L" or token.spot not in _ENDS:
                found.append(token)
                continue
            following = row[place + 1] if place + 1 < len(row) else None
            if following is not None and following.letter == "C":
                named[token.spot] = following
                self._last = self._with_end(token.spot, following) or self._last
            if follows not in _PREDICATES or (rest[1:] and rest[1].letter == "I"):
                found.append(token)
                continue
            until = row.index(rest[0], place)  # *the bulb of the thermometer can't …*
            at = _ENDS[token.spot]
            if token.spot in named:
                found.append(replace(token, letter="C", cells=named[token.spot].cells, spot=""))
            elif self._spans.get(self._last):
                cells = (self._spans[self._last][at],)
                found.append(replace(token, letter="C", cells=cells, spot="", firm=False))
            else:
                found.append(replace(token, letter="S", spot=""))
        return found

    def _with_end(self, spot: str, cell: Token) -> str:
        """The one rule that has its bulb, or its tip, in a cell."""
        at = _ENDS[spot]
        having = [
            rule
            for rule, cells in self._spans.items()
            if len(cells) > 1 and cells[at] in cell.cells[:1]
        ]
        return having[0] if len(having) == 1 else ""

    def _with_rule(self, row: list[Token]) -> list[Token]:
        """With the cells of a rule in place of its name, where digits of it are denied or all listed."""
        place = next(at for at, one in enumerate(row) if one.letter == "Q")
        letters = "".join(one.letter for one in row)
        digits = [one for one in row if one.letter == "D"]
        cells = tuple(self._spans.get(row[place].rules[0], ()))
        if not cells or len(digits) != 1:
            return row
        after = letters[place + 1 :].lstrip("B")
        count = len(digits[0].digits)
        lists = after.startswith("ED") and 1 < count == len(cells)
        lists = lists or (1 < len(cells) < count and _leaves(row[place + 1 :], digits[0]))
        denies = after.startswith(("XD", "EXD", "RD")) or "XDIQ" in letters or "DXIQ" in letters
        if not (lists or denies) or (digits[0].either and not denies and count == len(cells)):
            return row
        named = replace(row[place], letter="C", cells=cells, rules=())
        because = replace(row[place], letter="B", rules=())
        following = row[place + 1 :]
        while following and following[0].letter == "B":
            following.pop(0)
        return [*row[:place], named, *following, because, row[place]]


def _leaves(after: Sequence[Token], digits: Token) -> bool:
    """Whether words after the name of a rule say which digits are left for all of its cells.

    *Is 5 and 9 or 6 and 8*, *must be 5, 6, 8 or 9*, *can only hold 5, 6, 8 and 9*.
    """
    letters = "".join(one.letter for one in after if one.letter != "w").lstrip("B")
    only = any("only" in one.text.casefold() for one in after)
    return letters.startswith(("ED", "D")) and (digits.either or only)
