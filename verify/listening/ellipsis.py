"""Adds the words that a clause leaves out because they were just said: its cell, its digits, or both.

*r1c5 is low, so not six* leaves out the cell, *nor can r2c6* and *r1c7 likewise* the digits, and *in
box three it is at r3c7* calls the digit *it*. Each is filled in as a token, so that patterns see a whole
claim.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from gridassay.verify.listening.answers import with_answers
from gridassay.verify.listening.token import Token

_BREAKS = "SB"
_DENIES = re.compile("E?XE?D(?:IN?)?|R+D|DE?[RG]|DE?RE?")
_SHOWN = re.compile("E?[IG]*[IF]+[IH]*[CN]|E[IG]*I+H")
_GOES_ON = re.compile("X?D[EGIF]*C")
_LISTED = re.compile("K*(C)(?:K|S|$)")


class Ellipsis:
    """Remembers the last cell, the last digits denied and the digit asked about, sentence by sentence."""

    def __init__(self, small: Mapping[str, frozenset[str]]) -> None:
        self._small = small
        self._denied: tuple[Token, ...] = ()
        self._question: Token | None = None
        self._last: Token | None = None
        self._subject: Token | None = None

    def asks(self, tokens: Sequence[Token]) -> None:
        """Remember the digit that a question is about, until it is answered."""
        ends = [place for place, one in enumerate(tokens) if one.text == "?"]
        before = [one for one in tokens[: ends[-1]] if one.letter == "D"] if ends else []
        if before and len(before[-1].digits) == 1:
            self._question = before[-1]

    def filled(self, tokens: Sequence[Token], *, spoken: bool) -> list[Token]:
        """A sentence with what its clauses leave out."""
        tokens = tokens if spoken else with_answers(tokens)
        row: list[Token] = []
        topic = self._question or self._last
        subject: Token | None = None
        struck: Token | None = None
        placed = False
        clauses = list(_clauses(tokens))
        for number, clause in enumerate(clauses):
            clause = self._with_nor(clause, subject or self._subject, spoken=spoken)
            letters = _letters(clause)
            if not spoken or "C" in letters:
                clause = self._with_digit(clause, letters, topic, spoken=spoken)
                clause = self._again(clause)
            letters = _letters(clause)
            if struck is not None and not spoken and self._so_digit(clause, letters):
                clause = [
                    clause[0],
                    replace(struck, text="", start=clause[0].end, end=clause[0].end),
                    *clause[1:],
                ]
                letters = _letters(clause)
            following = _letters(clauses[number + 1]) if number + 1 < len(clauses) else ""
            goes_on = bool(_GOES_ON.match(following))
            goes_on = goes_on or self._relates(clause, row)
            if (
                subject
                and not goes_on
                and self._denies(clause, letters)
                and not _just_placed(clause, row)
            ):
                clause = _with_cell(clause, subject, firm=subject.firm and not placed)
                letters = _letters(clause)
            elif letters[:1] == "C" or (number == 0 and "C" in letters):
                subject = _subject(clause) or subject
            elif "C" in letters:
                subject = _subject(clause) or subject
                placed = placed or bool(re.search("D[IG]+C", letters))
            placed = placed or bool(re.search("CE+D", letters))
            if letters:
                denies = re.fullmatch("H*CE?[XR]D", letters)
                struck = (
                    _subject(clause) if denies else struck if letters in ("H", "A", "D") else None
                )
            if re.search("[CN]E?X[EG]*D|X[EG]*D[IFEG]*C", letters):
                self._denied = tuple(one for one in clause if one.letter in "XD")
            if "C" in letters and "D" in letters:
                self._question = None
            said = [one for one in clause if one.letter == "D" and len(one.digits) == 1]
            meant = [one for one in said if not self._pronoun(one, clause)]
            if meant or (said and topic is None):
                topic = (meant or said)[-1]
            row += clause
        self._last = topic
        self._subject = subject or self._subject
        return row

    def heads(self, tokens: Sequence[Token]) -> list[Token] | None:
        """The cells after a heading of only a digit, with that digit: *Fours. r2c7, and r3c2*."""
        letters = "".join(one.letter for one in tokens if one.letter not in "wUP")
        digit = self._last
        match = _LISTED.match(letters)
        if digit is None or not digit.text.casefold().endswith("s") or match is None:
            return None
        place = next(at for at, one in enumerate(tokens) if one.letter == "C")
        cell = tokens[place]
        lead = [replace(digit, start=cell.start, end=cell.start),
                Token("I", "in", cell.start, cell.start)]  # fmt: skip
        return [*lead, replace(cell, firm=False), *tokens[place + 1 :]]

    def _with_nor(self, clause: list[Token], subject: Token | None, *, spoken: bool) -> list[Token]:
        """With the denial that *nor* goes on with: *nor r5c7 1 or 2*, *nor is it 3*; *makes it a 1*."""
        letters = _letters(clause)
        said = [one for one in clause if one.letter == "D" and not self._pronoun(one, clause)]
        first = next((one for one in clause if one.letter not in "KSBw"), None)
        if first is None or len(said) == 0 or set(letters) & set("HTRQA"):
            return clause
        at = first.start
        again = [replace(subject, text="", start=at, end=at, firm=False)] if subject else []
        if letters == "ED" and _plain(first) in self._small["makes it"] and not spoken:
            return [*again, *clause]
        cells = [one for one in clause if one.letter == "C"] or again
        if _plain(first) not in self._small["nor"] or len(cells) != 1:
            return clause
        lead = [one for one in clause if one.letter in "KSB"]
        digits = [replace(one, either=True) for one in said]
        return [*lead, cells[0], replace(first, letter="X"), *digits]

    def _with_digit(
        self, clause: list[Token], letters: str, topic: Token | None, *, spoken: bool
    ) -> list[Token]:
        """With the digit that *it* is: *in box three it is at r3c7*, *r3c5 it is*."""
        if topic is None or spoken or "D" in letters:
            return clause
        if "T" in letters:
            return self._with_its_place(clause, letters, topic)
        for place, token in enumerate(clause):
            if token.letter not in "wN" or token.text.casefold() not in self._small["it"]:
                continue
            after = _letters(clause[place + 1 :], "w")
            digit = replace(topic, start=token.start, end=token.end, firm=False)
            if _SHOWN.match(after) and "X" not in after:
                return [*clause[:place], digit, *clause[place + 1 :]]
            before = _letters(clause[:place])
            if re.fullmatch("CE?X?[EG]+|CE?X", before) and not after:
                return [*clause[:place], digit, *clause[place + 1 :]]
            if before == "C" and after in ("E", ""):
                at = clause[0].start
                lead = [replace(digit, start=at, end=at), Token("I", "in", at, at)]
                return [*lead, *(replace(one, firm=False) for one in clause[:place])]
        return clause

    def _pronoun(self, token: Token, clause: Sequence[Token]) -> bool:
        """Whether *one* may not be a digit; *a one* is."""
        if token.text.casefold() not in self._small["one"]:
            return False
        place = next(at for at, one in enumerate(clause) if one is token)
        return not place or _plain(clause[place - 1]) not in self._small["a"]

    def _with_its_place(self, clause: list[Token], letters: str, topic: Token) -> list[Token]:
        """With the digit for which a cell is the place: *r7c2 is the one cell for it*."""
        if letters.count("C") != 1 or set(letters) & set("XRPFH") or letters[0] not in "CT":
            return clause
        place = max(at for at, one in enumerate(clause) if one.letter == "T")
        if clause[place].technique != "hidden single" or clause[place].firm:
            return clause
        said = [
            at for at in range(place + 1, len(clause)) if _plain(clause[at]) in self._small["it"]
        ]
        if not said and letters not in ("CT", "CET"):
            return clause
        at = said[0] if said else place + 1
        token = clause[said[0]] if said else clause[place]
        digit = replace(topic, start=token.end, end=token.end)
        return [*clause[: place + 1], digit, *clause[max(at, place + 1) :]]

    def _again(self, clause: list[Token]) -> list[Token]:
        """With the digits denied before, where a clause only says that it goes for another cell too."""
        letters = _letters(clause, "w")
        cells = [one for one in clause if one.letter == "C"]
        digits = [  # *the one at r2c6* is a mark
            one
            for one in clause
            if one.letter == "D"
            and (one.text.casefold() not in self._small["one"] or re.search("C.*D", letters))
        ]
        if not self._denied or len(cells) != 1 or digits or set(letters) & set("HTRQA"):
            return clause
        so_is = _plain(clause[0]) in self._small["so"] and letters.startswith("EC")
        if not so_is and not any(self._likewise(clause, place) for place in range(len(clause))):
            return clause
        at = cells[0].end
        denied = [replace(one, start=at, end=at) for one in self._denied]
        return [*(one for one in clause if one.letter in "KSB"), cells[0], *denied]

    def _likewise(self, clause: Sequence[Token], place: int) -> bool:
        """Whether a word says that it goes for another cell too."""
        word = _plain(clause[place])
        before = any(one.letter == "C" for one in clause[:place])
        if word in self._small["neither"]:
            return not before
        return word in self._small["likewise"] and (before or word not in self._small["either"])

    def _so_digit(self, clause: Sequence[Token], letters: str) -> bool:
        """Whether a clause only says which digit a cell has after all: *not 3, so 5*."""
        said = [one for one in clause if one.letter == "D"]
        return letters == "D" and len(said[0].digits) == 1 and clause[0].letter == "S"

    def _denies(self, clause: Sequence[Token], letters: str) -> bool:
        """Whether a clause only denies digits, of a cell said before."""
        if not _DENIES.fullmatch(letters) or (
            clause[0].letter == "B" and clause[0].text not in ":()"
        ):
            return False
        return not letters.endswith("G") or not any(
            _plain(one) in self._small["there"] for one in clause
        )

    def _relates(self, clause: Sequence[Token], row: Sequence[Token]) -> bool:
        """Whether a clause is about the cell right before it: *they add up to r7c3, which can't be 1*."""
        words = [one for one in clause if one.letter != "K"]
        return bool(
            row and row[-1].letter == "C" and words and _plain(words[0]) in self._small["which"]
        )


def _clauses(tokens: Sequence[Token]) -> list[list[Token]]:
    """A row cut at commas, *and*, *so* and *because*; each part begins with what it was cut at."""
    found: list[list[Token]] = [[]]
    for token in tokens:
        if token.letter in "KSB":
            found.append([])
        found[-1].append(token)
    return [clause for clause in found if clause]


def _letters(tokens: Sequence[Token], without: str = "wU") -> str:
    return "".join(one.letter for one in tokens if one.letter not in without + "KSB")


def _subject(clause: Sequence[Token]) -> Token | None:
    """The cell that a clause is about: the first one, not what it is compared with."""
    return next((one for one in clause if one.letter == "C" and not one.either), None)


def _with_cell(clause: list[Token], subject: Token, *, firm: bool) -> list[Token]:
    """A clause that denies digits, with the cell that it leaves out."""
    lead = next(at for at, one in enumerate(clause) if one.letter not in "KSBw")
    at = clause[lead].start
    digit = next(one for one in clause if one.letter == "D")
    said = [one for one in clause[lead:] if one.letter != "U"]
    if said[0] is digit:
        firm = firm and not any(one.letter == "G" for one in said)
        said = [Token("X", "not", at, at), digit]
    return [*clause[:lead], replace(subject, text="", start=at, end=at, firm=firm), *said]


def _just_placed(clause: Sequence[Token], row: Sequence[Token]) -> bool:
    """Whether one of the digits of a clause was just placed in the cell."""
    digits = {digit for one in clause if one.letter == "D" for digit in one.digits}
    letters = "".join(one.letter for one in row if one.letter not in "wU")
    held = re.search("CE+D$|D[IG]+C$", letters.rstrip("KSB"))
    said = {digit for one in row if one.letter == "D" for digit in one.digits}
    return bool(held) and bool(digits & said)


def _plain(token: Token) -> str:
    return " ".join(token.text.casefold().split())
