"""From a sentence to its claims: what is placed or struck, and the reasons given.

Tokens become a row of letters, and conclusions are patterns in it; the techniques, houses, cells
and digits next to them are their reasons. Questions, suppositions, possibilities and what is taken back
claim nothing and are skipped.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from gridassay.encodings.grid import Cell
from gridassay.verify.listening.tokens import Token, Tokenizer

_STRIKES = (
    "CE?X[EIG]*D",
    "CR+F?D(?![IF]+C)",
    "D(?:IH)?[EG]*X[EGIR]*F?C",
    "XD[IF]+C",
    "DI+C[EG]*R",
    "R+D(?:F|I)+C",
    "RF*CD",
    "D[EGR]+(?:IH)?F+C",
    "TRD(?:F|I)+C",
    "TXD(?:F|I)+C",
    "CG?XG*D",
)
_PLACES = (
    "T(?:I?D)?(?:I?H)?E+C(?!E)",
    "C(?:G*E+|I)(?:T)(?:I*D)",
    "CTI*D",
    "CE+G?I*D",
    "CG+D",
    "DTIHE+C",
    "DTE*IC",
    "D(?:IH)?[EG]*I+C(?![EX])",
    "D(?:IH)?[EG]+C",
    "GDI*C",
    "CGI*D",
)
_CONCLUSIONS = [
    *((re.compile(pattern), False) for pattern in _STRIKES),
    *((re.compile(pattern), True) for pattern in _PLACES),
]
_POINTS = re.compile("(?:I*H)?(?:ED|GD|DG|DE)(?:I*H)?")
_CROSSED = re.compile("I*H[EG]*D[EG]*I+H|D[EG]*I+HI+H")
_THEN = frozenset({"then"})
_SUPPOSES = frozenset({"if", "suppose", "supposing", "assume", "assuming", "imagine", "say that"})


@dataclass(frozen=True)
class Heard:
    """A claim as it was heard. Without ``places`` and ``removes`` its conclusion is left open.

    ``sure`` says that every word between the conclusions was known. ``start`` is where it begins.
    """

    said: str
    start: int
    places: tuple[tuple[Cell, int], ...] = ()
    removes: tuple[tuple[Cell, int], ...] = ()
    technique: str = ""
    cells: tuple[Cell, ...] = ()
    digits: tuple[int, ...] = ()
    houses: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    sure: bool = True
    line: int = 0
    time: str | None = None
    until: str | None = None

    @property
    def concludes(self) -> bool:
        """Whether it says what is placed or struck."""
        return bool(self.places or self.removes)


@dataclass(frozen=True)
class _Span:
    first: int
    end: int
    place: bool


class Hearer:
    """Finds the claims about one puzzle, sentence by sentence."""

    def __init__(self, tokenizer: Tokenizer) -> None:
        self._tokenizer = tokenizer
        self.canvas = tokenizer.canvas

    def hear(self, text: str) -> tuple[list[Heard], bool]:
        """The claims of a sentence, and whether it takes back the one before it."""
        tokens = self._tokenizer.tokens(text)
        back = [place for place, token in enumerate(tokens) if token.letter == "Z"]
        takes_back = False
        if back:
            takes_back = not any(token.letter in "EXRGT" for token in tokens[: back[0]])
            tokens = tokens[back[-1] + 1 :]
        row = _row(tokens)
        if row and row[-1].text == "?":
            return [], takes_back
        unknown = [token for token in tokens if token.letter == "U"]
        return self._claims(text, row, unknown), takes_back

    def _claims(self, text: str, row: list[Token], unknown: list[Token]) -> list[Heard]:
        letters = "".join(token.letter for token in row)
        spans = [span for span in _spans(letters) if not _hedged(row, span)]
        spans = _without_pointers(row, spans)
        if not spans and (crossed := self._crossed(row)) is not None:
            row, spans = crossed, [_Span(0, 3, True)]
        if not spans:
            return (
                self._open_claims(text, row)
                or self._pointed_at(text, row)
                or ([] if unknown else _side_by_side(text, row))
            )
        heard: list[Heard] = []
        before = 0
        for number, span in enumerate(spans):
            after = spans[number + 1].first if number + 1 < len(spans) else len(row)
            trailing = _trailing(row, span.end, after, leads=_names(row[before : span.first]))
            if number + 1 == len(spans) and trailing == span.end:
                trailing = next(
                    (place for place in range(span.end, len(row)) if row[place].letter == "S"),
                    len(row),
                )
            # Words after a conclusion are nearer to it than the words that led to it.
            about = [*row[span.end : trailing], *row[before : span.first]]
            claim = self._claim(text, row[span.first : span.end], about, span.place, unknown)
            before = trailing
            if claim is None:
                continue
            if heard and _goes_on(heard[-1], claim, row[spans[number - 1].end : span.first]):
                claim = _together(heard.pop(), claim)
            heard.append(claim)
        return heard

    def _crossed(self, row: list[Token]) -> list[Token] | None:
        """A digit of a row in a column: the cell is where the two cross."""
        match = _CROSSED.fullmatch("".join(token.letter for token in row))
        if match is None:
            return None
        first, last = (token for token in row if token.letter == "H")
        digit = next(token for token in row if token.letter == "D")
        houses = {house.name: set(house.cells) for house in self.canvas.houses}
        cells = houses[first.house] & houses[last.house]
        if len(cells) != 1:
            return None
        cell = replace(last, letter="C", cells=tuple(cells), house="", start=first.start)
        return [digit, replace(digit, letter="I", digits=()), cell]

    def _claim(
        self,
        text: str,
        inside: list[Token],
        about: list[Token],
        place: bool,
        unknown: list[Token],
    ) -> Heard | None:
        cells = next(token for token in inside if token.letter == "C")
        digits = (
            next(token for token in inside if token.letter == "D")
            if "D" in {token.letter for token in inside}
            else None
        )
        whole = [*inside, *about]
        if digits is None:
            digits = next((token for token in about if token.letter == "D"), None)
            about = [token for token in about if token is not digits]
        if digits is None and "T" in {token.letter for token in inside}:
            return next(iter(self._open_claims(text, inside)), None)
        neither = not place and any(token.letter == "X" for token in inside)
        if digits is None or ((cells.either or digits.either) and not neither):
            return None
        marks = tuple((cell, digit) for cell in cells.cells for digit in digits.digits)
        if place and (len(marks) > 1):
            return None
        named = [token for token in whole if token.letter == "T"]
        premises = about if named else [token for token in about if token.letter == "Q"]
        start, end = min(t.start for t in inside), max(t.end for t in inside)
        used = [token for token in whole if token.letter in "CDHTQ"]
        first, last = min(t.start for t in used), max(t.end for t in used)
        return Heard(
            said=_closed(text, min(first, start), max(last, end)),
            start=min(first, start),
            places=marks if place else (),
            removes=() if place else marks,
            technique=named[0].technique if named else "",
            cells=tuple(cell for token in premises for cell in token.cells),
            digits=tuple(digit for token in premises for digit in token.digits),
            houses=tuple(_houses(whole)),
            rules=tuple(rule for token in premises for rule in token.rules),
            sure=not any(start < token.start < end for token in unknown),
        )

    def _open_claims(self, text: str, row: list[Token]) -> list[Heard]:
        """A technique, or only a cell, with the conclusion left open: one per sentence."""
        named = [token for token in row if token.letter == "T"]
        letters = {token.letter for token in row}
        if not named or not letters & set("CDHQ") or letters & set("PX"):
            return []
        used = [token for token in row if token.letter in "CDHTQ"]
        if any(token.either for token in used):
            return []
        return [
            Heard(
                said=text[used[0].start : max(token.end for token in used)],
                start=used[0].start,
                technique=named[0].technique,
                cells=tuple(cell for token in used for cell in token.cells),
                digits=tuple(digit for token in used for digit in token.digits),
                houses=tuple(token.house for token in used if token.house),
                rules=tuple(rule for token in used for rule in token.rules),
            )
        ]

    def _pointed_at(self, text: str, row: list[Token]) -> list[Heard]:
        """In captions: one digit said of a cell that is pointed at, *this one is a six*."""
        letters = "".join(token.letter for token in row)
        if not self._tokenizer.spoken or set(letters) & set("XRPC"):
            return []
        heard = []
        for match in _POINTS.finditer(letters):
            tokens = row[match.start() : match.end()]
            digits = next(token for token in tokens if token.letter == "D")
            if digits.either or len(digits.digits) != 1:
                continue
            used = [token for token in tokens if token.letter in "DHE"]
            heard.append(
                Heard(
                    said=text[used[0].start : used[-1].end].strip(),
                    start=used[0].start,
                    digits=digits.digits,
                    houses=tuple(dict.fromkeys(token.house for token in used if token.house)),
                )
            )
        return heard


def _side_by_side(text: str, row: list[Token]) -> list[Heard]:
    """A cell and a digit in known words, of which nothing is said: ``7's: r7c2``."""
    letters = [token.letter for token in row]
    if letters.count("C") != 1 or letters.count("D") != 1 or not set(letters) <= set("CDHIBEG"):
        return []
    if any(token.either or len(token.cells) > 1 or len(token.digits) > 1 for token in row):
        return []
    return [
        Heard(
            said=text.strip(),
            start=row[0].start,
            cells=tuple(cell for token in row for cell in token.cells),
            digits=tuple(digit for token in row for digit in token.digits),
            houses=tuple(token.house for token in row if token.house),
        )
    ]


def _row(tokens: Sequence[Token]) -> list[Token]:
    """The tokens that matter; *then* in the middle of a conclusion does not."""
    row: list[Token] = []
    for token in tokens:
        midst = row and row[-1].letter in "EXG" and token.text.casefold() in _THEN
        if token.letter not in "wKU" and not midst:
            row.append(token)
    return row


def _spans(letters: str) -> list[_Span]:
    """The places of conclusions, from left to right."""
    found = []
    place = 0
    while place < len(letters):
        for regex, places in _CONCLUSIONS:
            match = regex.match(letters, place)
            if match:
                found.append(_Span(place, match.end(), places))
                place = match.end()
                break
        else:
            place += 1
    return found


def _hedged(row: list[Token], span: _Span) -> bool:
    """Whether a conclusion is only asked, possible or supposed."""
    begin = span.first
    while begin and row[begin - 1].letter != "S":
        begin -= 1
    end = span.end
    while end < len(row) and row[end].letter not in "SCDHT":
        end += 1
    if any(token.letter == "P" for token in row[begin:end]):
        return True
    supposed = any(
        token.letter == "P" and token.text.casefold() in _SUPPOSES for token in row[:begin]
    )
    leads = row[begin - 1].text.casefold() if begin else ""
    return supposed and leads in _THEN


def _without_pointers(row: list[Token], spans: list[_Span]) -> list[_Span]:
    """The tokens without those that only point at a digit: ``the 9 in r5c6`` next to a conclusion."""

    def points(span: _Span) -> bool:
        return span.place and {token.letter for token in row[span.first : span.end]} <= set("DIHC")

    firm = [span for span in spans if not points(span)]
    if not firm:
        return spans
    kept = []
    for span in spans:
        reason = span.first and row[span.first - 1].letter == "B"
        if not points(span) or not (reason and row[span.first - 1].text not in ":;()"):
            kept.append(span)
    return kept


def _names(tokens: Sequence[Token]) -> bool:
    return any(token.letter in "TQ" for token in tokens)


def _trailing(row: list[Token], first: int, after: int, *, leads: bool) -> int:
    """The place where the words of one conclusion end and those of the next begin."""
    for place in range(first, after):
        if row[place].letter == "S":
            return place + 1
    between = row[first:after]
    reasons = any(token.letter == "B" for token in between)
    if _names(between) and (reasons or not leads):
        last = max(place for place in range(first, after) if row[place].letter in "TQ")
        while last + 1 < after and row[last + 1].letter in "IHB":
            last += 1
        return last + 1
    return first


def _houses(tokens: Sequence[Token]) -> list[str]:
    """The houses named for a technique or a digit: *in row 5*, not those only mentioned."""
    found = []
    for place, token in enumerate(tokens):
        near = tokens[max(0, place - 2) : place + 2]
        if token.letter == "H" and any(one.letter in "TI" for one in near):
            found.append(token.house)
    return list(dict.fromkeys(found))


def _goes_on(last: Heard, claim: Heard, between: Sequence[Token]) -> bool:
    """Whether two strikes are one step: only a comma between them, and at most one name for both."""
    if last.places or claim.places or any(token.letter in "STB" for token in between):
        return False
    return not (last.technique and claim.technique)


def _together(last: Heard, claim: Heard) -> Heard:
    return replace(
        claim,
        said=f"{last.said}, {claim.said}",
        start=last.start,
        removes=tuple(dict.fromkeys((*last.removes, *claim.removes))),
        technique=last.technique or claim.technique,
        cells=(*last.cells, *claim.cells),
        digits=(*last.digits, *claim.digits),
        houses=(*last.houses, *claim.houses),
        rules=(*last.rules, *claim.rules),
        sure=last.sure and claim.sure,
    )


def _closed(text: str, start: int, end: int) -> str:
    """A part of a text, with the bracket that closes it."""
    said = text[start:end].strip()
    after = text[end : end + 1]
    return said + after if after and after in ")]" and after not in said else said
