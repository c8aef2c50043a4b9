"""Where one jot of a line of notes ends and the next begins, and what a jot leaves to be filled in.

Notes put several claims side by side with little or nothing between them: *r7c9 6 2 r9c9*, *r4c7=5
r4c9=2*, *r8c6 = 5 6 8 9 r9c6 same*, *6 off r6c8 r7c8, off r5c9*. What parts them is two spaces, a
closed bracket, or that a cell has its digit already.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from gridassay.encodings.grid import Canvas
from gridassay.verify.listening.crossings import Crossings
from gridassay.verify.listening.token import Token, letters_of
from gridassay.verify.solving.techniques import locked

_PARTED = [
    re.compile(pattern)
    for pattern in (
        r"C[Ew]*D(?:K?D)*(?P<gap>w*)(?=CE+w*D)",  # *r4c7=5 r4c9=2*
        r"(?:^|[SKBQTHU])w*CE*D(?P<gap>K*)(?=D[EI]*C(?:w*$|[SKB]|DC))",  # *r7c9 6 2 r9c9*
        r"DCB[wI]*C(?P<gap>)(?=DC(?:$|[SKBC]))",  # *4 r3c6 bc r5c4 7 r3c4*
        r"D[EI]C[THwB]*(?P<gap>K)(?=D[EI]C)",  # *8 > 7.7 end of row 7, 4 > 9.7*
        r"(?:^|[SK])w*DC(?P<gap>)(?=CE+w*D(?:$|[^DK]))",  # *7 r3c4 r3c7=3*
        r"X(?:K?D)+I+w*(?P<gap>K)(?=C(?:K?C)*E+w*D)",  # *no 1 2 in it, r2c7 = 6*
        r"E[wK]*D(?:K?D)*V(?:[KV]?D)*(?P<gap>K)(?=w*D[GR]*F+w*C)",  # *is 5 or 6, 6 off r6c8*
        r"X(?:K?D)+(?:I*C(?:K?C)*|OI*H)(?P<gap>K)(?=w*[EXR]w*D)",  # *no 3 r5c9, has a 4*
        r"CE?X(?:K?D)+(?P<gap>K)(?=w*[ER]w*D)",  # *r5c9 no 3, has a 4*
        r"C[^SC]*D(?P<gap>K)(?=w*H[wE]*DD)",  # *r7c4=2, row 9 only 1 5*
    )
]
_ARROW = re.compile(r"(?:^|[SK])w*DC(?P<gap>E)(?=w*[HD])")
"""After *8 r6c2*, which is whole, what follows from it."""
_AFTER_BRACKET = re.compile(r"(?P<gap>K?)w*(?:[CQ]|D[EI]*C)")
_STRUCK_AT = re.compile(r"X(?:D[K]?)+(?P<gap>B)(?=[wK]*C[wKC]*(?:$|S|KF|KX))")
"""Before the cells of *no 9: r4c1 r5c1*."""
_OFF_HOUSE = re.compile(r"F+w*(?P<gap>HB)(?=w*C(?:K?C)*w*(?:$|S|KF))")
"""The house of *off row 3: r3c4 r3c5*, of which the cells are named."""
_OFF_AGAIN = re.compile(r"(?P<said>D(?:K?D)*)F+[wCK]*K(?P<gap>)(?=F+[wKC]*C)")
"""Before *off r5c9*, where the digit was said before another *off*."""
_LEFT_IN = re.compile(
    r"(?:^|[SKBHF])(?P<gap>w*(?P<said>D(?:K?D)*)[wU]*(?P<cells>I*C(?:K?C)*))(?=w*(?:$|[SB]))"
    r"|(?:^|[SKBHF])(?P<gap2>w*(?P<cells2>C(?:K?C)*)(?P<said2>D(?:K?D)*)[wU]+)(?=$|[SB])"
)
_NAMED_HOUSE = re.compile(r"(?:T[Iw]*|[DC]B?)(?P<gap>U)(?=B|$|[SKT])")
_FALSE = re.compile(r"(?P<gap>D)I*CwU")
_NO_CLAIM = (
    re.compile(r"Q(?P<gap>C)(?=BX(?:K?D)+(?:$|S))"),  # *13 cage r2c7: no 1 2 3*, of the cage
    re.compile(r"M(?P<gap>C)(?=CE+D)"),  # *under r6c8 r7c8=1*
)
_CONFINED = re.compile(r"X(?P<digit>D)w*Bw*(?P<same>D)w*I+w*H[wG]*E?w*I+w*H(?=w*(?:B|$|S))")
"""The reason of *r3c1 not 1 (the 1 of b4 is in c1)*."""
_STRIKE_FIRST = re.compile(r"(?:^|[SKH])w*R(?:K?D)+(?P<gap>)(?=C(?:K?C)*(?:$|[SB]))")
"""Before the cells of *elim 5 r1c2 r4c8*."""
_TOTAL = re.compile(r"(?:U|C|Q)(?P<gap>D)(?=B)")
_ALL_HAVE = re.compile(r"C(?:K?C)*[UQ]?(?P<gap>B)(?=(?:K?D)+T(?:$|[SK]))")
"""The colon of *r5c4 r5c5: 5 6 8 9 both*."""
_SEVERAL = 2


class Jots:
    """Reads them; ``small`` and ``houses`` are words of the language's file."""

    def __init__(
        self,
        canvas: Canvas,
        small: Mapping[str, frozenset[str]],
        houses: Mapping[str, str],
        crossings: Crossings,
    ) -> None:
        self._crossings = crossings
        self._small = small
        self._scopes = {house.name: set(house.cells) for house in canvas.houses}
        self._houses = houses

    def separate(self, text: str, tokens: Sequence[Token]) -> list[Token]:
        """The tokens of a line with a break between its jots, and what they leave out."""
        row = self._apart(text, tokens)
        for first, end in _gaps(row, _NAMED_HOUSE):
            if self._houses.get(_plain(row[first])):
                row[first:end] = [replace(row[first], letter="A")]
        for first, end in _gaps(row, _FALSE):
            told = next(one for one in row[end:] if one.letter == "U")
            if _plain(told) in self._small["false"]:
                row[first] = replace(row[first], letter="U", digits=())
        row = self._crossings.in_jots(row)
        for first, end in _gaps(row, _TOTAL):
            named = _plain(row[first - 1]) in self._small["totals"]
            if row[end].text == ":" and (named or len(row[first].text) > 1):
                row[first] = replace(row[first], letter="U", digits=())
        for pattern in _NO_CLAIM:
            for first, end in _gaps(row, pattern):
                row[first:end] = [replace(one, letter="w", cells=()) for one in row[first:end]]
        for first, end in _gaps(row, _ALL_HAVE):
            if row[first].text == ":" and "both" in map(_plain, row[end:]):
                row[first] = replace(row[first], letter="E", text="are")
                both = next(at for at in range(end, len(row)) if _plain(row[at]) == "both")
                row[both] = replace(row[both], letter="w", technique="")
        for first, end in _gaps(row, _STRUCK_AT):
            row[first:end] = [replace(row[first], letter="I", text="at")]
        for match in reversed(list(_CONFINED.finditer(letters_of(row)))):
            if row[match.start("digit")].digits == row[match.start("same")].digits:
                at = row[match.end() - 1].end
                row.insert(match.end(), Token("T", "", at, at, technique=locked.NAME))
        for first, _ in _gaps(row, _STRIKE_FIRST):
            row[first:first] = [Token("F", "", row[first].start, row[first].start)]
        for first, end in _gaps(row, _OFF_HOUSE):
            row[first:end] = [replace(one, letter="w", house="") for one in row[first:end]]
        for first, end in _gaps(row, _ARROW):
            if _plain(row[first]) in self._small["arrow"]:
                row[first:end] = [replace(row[first], letter="S")]
        for pattern in _PARTED:
            for first, end in _gaps(row, pattern):
                row[first:end] = [_break(row[end].start)]
        row = self._same(self._off_again(self._brackets_closed(row)))
        return self._left_in(row)

    def _apart(self, text: str, tokens: Sequence[Token]) -> list[Token]:
        """With a break where two spaces, or a stroke between spaces, part two claims."""
        row: list[Token] = []
        for place, token in enumerate(tokens):
            last = row[-1].letter if row else ""
            between = text[row[-1].end : token.start] if row else ""
            after = "".join(one.letter for one in tokens[place + 1 : place + 4])
            spaced = (
                text[token.start - 1 : token.start].isspace()
                and text[token.end : token.end + 1].isspace()
            )
            if len(between.expandtabs(2)) > 1 and last in "CDTHUA" and token.letter in "CDHQTU":
                if not self._goes_on(row, _entry(text, tokens[place:])):
                    row.append(_break(token.start))
            elif (
                token.text in ("/", "|", "-", "–")
                and spaced
                and last
                and last in "CD"
                and self._says(row, after)
            ):
                row.append(_break(token.start))
                continue
            elif _plain(token) == "x" and last == "C" and after[:1] in ("", "K"):
                token = replace(token, letter="X")  # *5s: r1c2 x*
            elif token.text == "|" and last == "D" and after[:1] == "D" and not spaced:
                token = replace(token, letter="V")  # *4|7*
            elif (
                token.text == "/"
                and token.letter != "S"
                and last == "C"
                and after[:1] == "D"
                and between
            ):
                token = replace(token, letter="X")  # *r1c2 r4c8 /5*
            row.append(token)
        return row

    def _goes_on(self, row: Sequence[Token], entry: Sequence[Token]) -> bool:
        """Whether an entry goes on with those before it, as in a table of cell, digit and house."""
        at = max((place for place, one in enumerate(row) if one.letter == "S"), default=-1)
        claim = [one for one in row[at + 1 :] if one.letter != "w"]
        letters = letters_of(claim)
        if re.fullmatch(r"U?C(?:K?C)*", letters) and entry[0].letter == "D":
            return not any(one.letter == "C" for one in entry)
        houses = [one for one in entry if one.letter == "H"]
        if not re.fullmatch(r"U?C(?:K?C)*E?D(?:K?D)*", letters) or len(houses) != 1:
            return False
        cells = {cell for one in claim for cell in one.cells}
        return letters_of(entry) in ("H", "UH", "TH") and cells <= self._scopes[houses[0].house]

    @staticmethod
    def _says(row: Sequence[Token], after: str) -> bool:
        """Whether a whole claim stands before a stroke, and one or a reason comes after it."""
        before = "".join(one.letter for one in row if one.letter != "w")
        denied = re.search(r"C(?:K?C)*E?X(?:DK?)*$", before)
        return bool(denied) or (
            bool(re.search(r"(?:^|[SKBU])(?:CE?D|D[EI]C)$", before))
            and after[:2] in ("DC", "CD", "CE", "DI")
        )

    @staticmethod
    def _brackets_closed(row: list[Token]) -> list[Token]:
        """With a break after the bracket behind a claim: *r5c3=9 (6 in col 3), r5c2=6*."""
        opened: list[int] = []
        ends = []
        for place, token in enumerate(row):
            if token.text in ("(", "["):
                opened.append(place)
            elif token.text in (")", "]") and opened:
                first = opened.pop()
                piece = re.split("[SB]", letters_of(row[:first]).replace("w", ""))[-1]
                if not opened and piece[-1:] in ("C", "D") and {"C", "D"} <= {*piece}:
                    ends.append(place + 1)
        for end in reversed(ends):
            match = _AFTER_BRACKET.match(letters_of(row), end)
            if match:
                row[end : match.end("gap")] = [_break(row[match.end("gap")].start)]
        return row

    @staticmethod
    def _off_again(row: list[Token]) -> list[Token]:
        """With the digits that the second *off* of *6 off r6c8, off r5c9* leaves out."""
        match = _OFF_AGAIN.search(letters_of(row))
        while match:
            at = match.start("gap")
            start = row[at].start
            said = row[match.start("said") : match.end("said")]
            row[at - 1 : at] = [
                _break(start),
                *(replace(one, start=start, end=start) for one in said),
            ]
            match = _OFF_AGAIN.search(letters_of(row), at)
        return row

    def _same(self, row: list[Token]) -> list[Token]:
        """With the digits left in a cell for another of which it is said that they are the *same*."""
        for place, token in enumerate(row):
            if _plain(token) not in self._small["same"]:
                continue
            cells = place
            while cells and row[cells - 1].letter == "C":
                cells -= 1
            if cells == place:
                continue
            lead = row[:cells]
            while lead and lead[-1].letter == "K":
                lead.pop()
            letters = letters_of(lead).replace("w", "")
            match = re.search(r"(?:(D(?:[KV]*D)+)I*C|CE*(D(?:[KV]*D)+))$", letters)
            if match is None:
                continue
            plain = [one for one in lead if one.letter != "w"]
            group = 1 if match[1] else 2
            said = [
                replace(one, start=token.start, end=token.end, either=True)
                if one.letter == "D"
                else one
                for one in plain[match.start(group) : match.end(group)]
            ]
            is_it = replace(token, letter="E", text="is")
            return [
                *lead,
                _break(row[cells].start),
                *row[cells:place],
                is_it,
                *said,
                *self._same(row[place + 1 :]),
            ]
        return row

    def _left_in(self, row: list[Token]) -> list[Token]:
        """With *is* for *6+8 left r8c6, r9c6*, *1 2 in r8c4 r8c5 only*, *69 pair r4c4 r4c5*."""
        for match in reversed(list(_LEFT_IN.finditer(letters_of(row)))):
            turned = "2" if match["gap2"] else ""
            first, end = match.span(f"gap{turned}")
            words = {_plain(one) for one in (*row[first:end], *row[end : end + 1])}
            digits = [one for one in row[slice(*match.span(f"said{turned}"))] if one.letter == "D"]
            cells = [one for one in row[slice(*match.span(f"cells{turned}"))] if one.letter == "C"]
            many = len({digit for one in digits for digit in one.digits})
            count = len({cell for one in cells for cell in one.cells})
            told = bool(words & self._small["left"])
            if (
                many < _SEVERAL
                or count not in (1, many)
                or not (told or (count > 1 and not turned))
            ):
                continue
            is_it = Token("E", "are", row[first].start, row[first].start)
            row[first:end] = [*cells, is_it, *(replace(one, either=True) for one in digits)]
            if first and row[first - 1].letter == "F":  # *leaves 69 in r4c4*
                row[first - 1] = replace(row[first - 1], letter="S")
        return row


def _entry(text: str, tokens: Sequence[Token]) -> list[Token]:
    """The tokens up to the next two spaces."""
    entry = [tokens[0]]
    for last, token in pairwise(tokens):
        if len(text[last.end : token.start].expandtabs(2)) > 1:
            break
        entry.append(token)
    return entry


def _gaps(row: Sequence[Token], pattern: re.Pattern[str]) -> Iterator[tuple[int, int]]:
    """The places of the gaps of a pattern in a row, the last first."""
    for match in reversed(list(pattern.finditer(letters_of(row)))):
        yield match.span("gap")


def _plain(token: Token) -> str:
    return " ".join(token.text.casefold().split())


def _break(at: int) -> Token:
    return Token("S", "", at, at)
