"""Digits of a line that is spoken of: *the line on the right can't have a three at its end*.

What is said of the line itself is remembered, so that *and its other end is a nine* is about it too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from gridassay.verify.listening.heard import Heard, OnLine
from gridassay.verify.listening.token import ON_SIDE, PLACED, Token
from gridassay.verify.listening.vocabulary import LineVocabulary

_OTHER_WORDS = frozenset("CP")
_ENDS_OF_RULES = frozenset({"bulb", "tip", "other"})
_NEAR = re.compile(r"[\s,]*(?:\w+\s+){0,2}")
_ONE = re.compile(r"\bthe\s+$", re.IGNORECASE)


class LineWords:
    """Hears claims about the cells of lines, and remembers the line last spoken of."""

    def __init__(self, words: LineVocabulary, boxes: frozenset[str]) -> None:
        self._words = words
        self._boxes = boxes
        self._last = OnLine()

    def hear(self, text: str, said: Sequence[Token]) -> list[Heard] | None:
        """The claim of a sentence about a line; none if it only says which line.

        None if the sentence is not about a line.
        """
        letters = {token.letter for token in said}
        at = dict(self._places(text))
        nouns = list(self._words.noun.finditer(text))
        if not self._about_line(text, said, bool(nouns), at):
            return None
        digits = [token for token in said if token.letter == "D"]
        held = [one for one in digits if self._words.holds.search(text[: one.start])]
        by = [one for one in digits if self._words.beside.search(text[: one.start])]
        ones = [one for one in digits[:-1] if _stands_for_line(text, one, said)]
        digits = [one for one in digits if one not in (*held, *by, *ones)]
        denies = bool(letters & {"X", "R"})
        if not nouns and not ones and not at and not by and not (denies and digits):
            return None
        own = self._description(text, said, [one.span() for one in nouns], ones)
        parts = tuple(
            one.spot for one in said if one.letter == "L" and one not in own and one.spot in _SPOTS
        )
        boxes = tuple(one.house for one in said if one.letter == "H")
        if own or boxes or held or any(one.letter == "M" for one in said) or nouns:
            self._last = self._line_said(text, nouns, own, boxes, held, said)
        if not digits:
            return [] if nouns else None
        told = digits if denies else digits[-1:]
        values = tuple(dict.fromkeys(digit for one in told for digit in one.digits))
        if not denies and (len(values) != 1 or told[0].either):
            return None
        anchor = by[0].digits[0] if by else None
        return [
            Heard(
                said=text.strip(),
                start=said[0].start,
                digits=values,
                loose=True,
                denies=denies,
                on_line=replace(self._last, at=(*at, *parts), by=anchor),
                sure=False,
            )
        ]

    def _about_line(
        self, text: str, said: Sequence[Token], noun: bool, at: Mapping[str, tuple[int, int]]
    ) -> bool:
        if "?" in text:
            return False
        for token in said:
            inside = any(first <= token.start < last for first, last in at.values())
            if token.letter in _OTHER_WORDS or token.spot in _ENDS_OF_RULES:
                return False
            if token.letter in "TQB" and not inside:
                return False
            boxed = token.spot in (PLACED, ON_SIDE) or (noun and token.house in self._boxes)
            if token.letter in "HA" and not boxed:
                return False
        return True

    def _places(self, text: str) -> Iterator[tuple[str, tuple[int, int]]]:
        """The places in a line that a text names, each with where it says so."""
        for match in self._words.at.finditer(text):
            place = self._words.places[" ".join(match.group().casefold().split())]
            yield place, match.span()

    def _description(
        self,
        text: str,
        said: Sequence[Token],
        nouns: Sequence[tuple[int, int]],
        ones: Sequence[Token],
    ) -> list[Token]:
        """The words about where a line lies, as against where in it: those beside its noun."""
        first = min((one.start for one in said if one.letter in "DX"), default=len(text))
        ends = [*nouns, *((one.start, one.end) for one in ones)]
        own = []
        for token in said:
            if token.letter != "L":
                continue
            led = text.rfind(".", 0, first) >= token.end
            one = token.text.casefold().endswith(self._words.pronouns)
            beside = any(
                _NEAR.fullmatch(text[last : token.start] + " ")
                if last <= token.start
                else not text[token.end : begin].strip()
                for begin, last in ends
            )
            if led or one or beside:
                own.append(token)
                ends.append((token.start, token.end))
        return own

    def _line_said(
        self,
        text: str,
        nouns: Sequence[re.Match[str]],
        own: Sequence[Token],
        boxes: tuple[str, ...],
        held: Sequence[Token],
        said: Sequence[Token],
    ) -> OnLine:
        """The line as a sentence describes it; without any words about it, the last one."""
        sizes = {
            self._words.sizes[match["size"].casefold()]
            for noun in nouns
            for match in self._words.sized.finditer(text[: noun.start()])
            if match.end() == noun.start()
        }
        spots = tuple(one.spot for one in own if one.spot in _SPOTS)
        beside = bool(nouns) and any(
            one.letter == "M" and one.start <= nouns[-1].end() + 2 for one in said
        )
        holds = tuple(digit for one in held for digit in one.digits)
        if not (sizes or spots or boxes or holds or beside):
            return replace(self._last, at=(), by=None, beside=False)
        line = OnLine(tuple(sizes), boxes, spots, holds, beside)
        if not nouns and self._last.sizes and not sizes:
            return replace(line, sizes=self._last.sizes)
        return line


_SPOTS = frozenset({
    "top", "bottom", "left", "right", "middle", "corner", "edge", "centre", "top left", "top right",
    "bottom left", "bottom right", "top middle", "bottom middle", "left middle", "right middle",
})  # fmt: skip


def _stands_for_line(text: str, one: Token, said: Sequence[Token]) -> bool:
    """Whether *the one* is a line: *the one along the bottom can't have a four*."""
    following = next((token for token in said if token.start >= one.end), None)
    return (
        one.text.casefold() == "one"
        and bool(_ONE.search(text[: one.start]))
        and following is not None
        and following.letter in "LMI"
    )
