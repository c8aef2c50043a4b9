"""Digits that are not said singly: by a bound, as a range, as *even* or *low*, or as the least of a cell.

Each is heard as the digits that it denies, after a *not*.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

from gridassay.verify.listening.bounds import bound_at, range_at
from gridassay.verify.listening.token import LETTER, Token, letters_of
from gridassay.verify.listening.vocabulary import Vocabulary
from gridassay.verify.solving.board.position import Layout

_ENDS = re.compile(r"\s*(?:$|[.,;()&]|(?:and|so)\b|\w?\d)", re.IGNORECASE)
"""After *r4c7 odd*, where *odd* is all that is said of the cell."""
_ADJECTIVE = re.compile(
    r"\b[a-z]+\b(?=\s*(?:[,.;:!)]|$|and\b|so\b|but\b|or\b|too\b|as\b|because\b|since\b|again\b|also\b"
    r"|on\b|in\b|cell|digit|number|then\b|here\b))",
    re.IGNORECASE,
)
_NOUN = re.compile(r"\s+(?:digits|numbers)\b", re.IGNORECASE)
_LISTED_KIND = re.compile(r"(?P<kind>[a-z]+)\s*[,:]\s*(?=\d)", re.IGNORECASE)
"""Before the digits that it stands for: *even: 2, 4, 6 or 8*."""


_NONE_OF = re.compile("XI?w*(?:C[wKV]*)+Ew*$")
_SPLITS = re.compile(r"\d[-–]\d(?:\s*(?:,|/|or|,\s*or)\s*\d[-–]\d)+(?![\w-])", re.IGNORECASE)
"""Before ways to make a total: *5-9 or 6-8*."""
_FIRST = re.compile(r"\w+")
_POINTS = re.compile(r"\w+\s+(?:an?|the)\b", re.IGNORECASE)


class Amounts:
    """Finds them in texts about one puzzle; ``number_of`` is the value of a number as it is said."""

    def __init__(
        self,
        layout: Layout,
        words: Vocabulary,
        number_of: Callable[[str], int],
        digit_at: Callable[[str, int], Token | None],
        *,
        spoken: bool,
    ) -> None:
        self.layout = layout
        self.canvas = layout.canvas
        self.words = words
        self.spoken = spoken
        self._number_of = number_of
        self._digit_at = digit_at
        self._whispers = any("whisper" in name for name in layout.said)

    def token(self, text: str, place: int, before: list[Token]) -> Token | None:
        """The token of such digits at a place of a text; a *not* that it needs is added to ``before``."""
        return (
            self._splits(text, place)
            or self._range(text, place, before)
            or self._bound(text, place, before)
            or self._kind(text, place, before)
            or self._extreme(text, place, before)
        )

    def _bound(self, text: str, place: int, before: list[Token]) -> Token | None:
        """The digits that a bound denies, with the *not* before them if none was said."""
        values = [int(one) for one in self.canvas.symbols.values() if one.isdigit()]
        about = next((one for one in reversed(before) if one.letter not in "wEXSKUD"), None)
        letter = about is not None and about.letter == "C" and about.spot == LETTER
        if about is not None and letter:
            values = list(self.layout.domains[self.layout.index[about.cells[0]]])
        found = bound_at(text, place, self.words.bounds, self._number_of, values)
        if found is None or self.words.counted.match(text, found.end):
            return None
        said = _FIRST.match(text, place)
        limit = said is not None and said.group().casefold() in self.words.small["limits"]
        last = before[-1] if before else None
        nothing = limit and last is not None and last.text.casefold() in self.words.small["nothing"]
        if limit and last is not None and nothing:
            before[-1] = replace(last, letter="X")
        elif limit and (last is None or last.letter not in "EX" or _POINTS.match(text, place)):
            return None  # *under the nine* is a place
        goes_on = text[found.end :]
        beyond = found.end + len(goes_on) - len(goes_on.lstrip())
        told = next((one.letter for one in reversed(before) if one.letter != "w"), "")
        told = "X" if nothing or self._denied_of_all(before) else told
        denied = [one for one in values if (one in found.values) == (told == "X")]
        digits = tuple(one if letter else self.canvas.reader[str(one)] for one in denied)
        counts = text[beyond : beyond + 3].casefold() == "of " or self._digit_at(text, beyond)
        if not digits or counts:
            return Token("w", text[place : found.end], place, found.end)
        if told != "X":
            before.append(Token("X", "not", place, place))
        spot = LETTER if letter else ""
        return Token("D", text[place : found.end], place, found.end, digits=digits, spot=spot)

    def _denied_of_all(self, before: Sequence[Token]) -> bool:
        """Whether *none of* some cells is what a bound tells: *none of r1c1 and r1c2 is over 6*."""
        denied = _NONE_OF.search(letters_of(before))
        said = before[denied.start()].text if denied else ""
        return " ".join(said.casefold().split()) in self.words.small["neither"]

    def _splits(self, text: str, place: int) -> Token | None:
        """The digits of ways to make one total, each with a dash: *the 14 cage is 5-9 or 6-8*."""
        match = None if self.spoken else _SPLITS.match(text, place)
        if match is None:
            return None
        digits = re.findall(r"\d", match.group())
        sums = {int(one) + int(other) for one, other in zip(digits[::2], digits[1::2], strict=True)}
        if len(sums) > 1 or any(one not in self.canvas.reader for one in digits):
            return None
        meant = tuple(dict.fromkeys(self.canvas.reader[one] for one in digits))
        return Token("D", match.group(), place, match.end(), digits=meant, either=True)

    def _range(self, text: str, place: int, before: list[Token]) -> Token | None:
        """The digits from one to another: denied if they are taken away, else the others are."""
        told = next((one.letter for one in reversed(before) if one.letter != "w"), "")
        symbols, found = self.canvas.reader, None
        if not self.spoken:
            found = range_at(text, place, self.words.bounds, self._number_of, dash=told in "EXC")
        if found is None or any(str(value) not in symbols for value in found.values):
            return None
        within = tuple(symbols[str(value)] for value in sorted(found.values))
        last = before[-1] if before and told == "C" else None
        only = last is not None and (
            last.letter == "C" or last.text.casefold() in self.words.small["only"]
        )
        if (told == "E" or only) and not self.words.bounds.taken.match(text, found.end):
            within = tuple(one for one in self.canvas.digits if one not in within)
            before.append(Token("X", "not", place, place))
        elif told not in "XRE" and not self.words.bounds.taken.match(text, found.end):
            return None
        return Token("D", text[place : found.end], place, found.end, digits=within)

    def _kind(self, text: str, place: int, before: list[Token]) -> Token | None:
        """The digits that *is even*, *is low* deny; the last only of cells of a whisper."""
        listed = _LISTED_KIND.match(text, place)
        if listed and listed["kind"].casefold() in self.words.kinds:
            return Token("E", listed.group(), place, listed.end())
        match = _ADJECTIVE.match(text, place)
        kind = self.words.kinds.get(match.group().casefold()) if match else None
        told = next((one.letter for one in reversed(before) if one.letter not in "wT"), "")
        noun = None if self.spoken or match is None else _NOUN.match(text, match.end())
        if noun and kind in ("even", "odd") and told not in ("E", "X"):
            odd = kind == "odd"  # *r1c2 loses its even digits*
            digits = tuple(
                one
                for one, sign in self.canvas.symbols.items()
                if sign.isdigit() and int(sign) % 2 == odd
            )
            return Token("D", text[place : noun.end()], place, noun.end(), digits=digits)
        if match is None or kind is None or told not in ("E", "X", "C"):
            return None
        ends = not self.spoken and before[-1].letter == "C" and _ENDS.match(text, match.end())
        if told == "C" and kind in ("even", "odd") and not ends:
            return None
        values = {one: int(sign) for one, sign in self.canvas.symbols.items() if sign.isdigit()}
        middle = (max(values.values()) + min(values.values())) / 2
        within: dict[str, Callable[[int], bool]] = {
            "even": lambda one: one % 2 == 0,
            "odd": lambda one: one % 2 == 1,
            "low": lambda one: one <= middle,
            "high": lambda one: one >= middle,
        }
        if kind in ("low", "high") and not self._whispers:
            return None
        same = told == "X"
        digits = tuple(one for one, value in values.items() if within[kind](value) == same)
        if not same:
            before.append(Token("X", "not", place, place))
        return Token("D", match.group(), place, match.end(), digits=digits)

    def _extreme(self, text: str, place: int, before: list[Token]) -> Token | None:
        """The digits beyond the least or the most that a cell can be: *the least r2c2 can be is 3*."""
        said = [one.text.casefold() for one in before]
        letters = "".join(one.letter for one in before if one.letter not in "wUIV")
        at = max((at for at, one in enumerate(said) if one in self.words.extremes), default=-1)
        digit = self._digit_at(text, place) if at >= 0 and letters.endswith("CE") else None
        if digit is None or digit.letter != "D" or len(digit.digits) != 1:
            return None
        since = {one.letter for one in before[at:]}
        several = sum(len(one.cells) for one in before) > 1
        if several or "D" in since or not ("C" in since or before[at - 1].letter in "Cw"):
            return None
        least = self.words.extremes[said[at]] == "least"
        (bound,) = digit.digits
        beyond = tuple(one for one in self.canvas.digits if (one < bound if least else one > bound))
        before.append(Token("X", "not", place, place))
        return replace(digit, digits=beyond) if beyond else None
