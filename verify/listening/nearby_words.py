"""Digits said of cells that are told by what lies around them: *the six goes next to the five there*.

Captions break anywhere, so the words of all cues are read as one row. Around each digit stand the parts
of where it goes: houses, places in them, and what it lies beside. Which of the parts between two
digits belong to which is left to the board (``nearby.py``).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise

from gridassay.verify.listening.bearings import Bearing, Listing, Mention
from gridassay.verify.listening.forms import Sentence
from gridassay.verify.listening.token import ON_SIDE, Token
from gridassay.verify.listening.tokens import Tokenizer
from gridassay.verify.solving.techniques import hidden_single

_PAUSE, _BREATH = 0.7, 0.25
"""Seconds between two cues after which something new begins, and after which it may begin."""
_LAST = "last cell"
_HEADINGS = 2
_LEADS_ON = 3
"""The strength of a break after which something else is said."""


@dataclass(frozen=True)
class _Digit:
    """A digit; ``pronoun`` marks a *one* that may be none, ``again`` a correction."""

    token: Token
    pronoun: bool
    again: bool


def _is_list(run: Sequence[Mention]) -> bool:
    """Whether some digits are one list; *one and four underneath* are in different places."""
    if len(run) == 1:
        return False
    last = run[-1]
    after = [one for one in last.after if one.said != "between" or one.digits]  # *between them*
    at = after[0].kind if after else "stop"
    joined = last.text[run[-2].end : last.start].strip()
    return at not in ("spot", "near") and (bool(joined) or at not in ("house", "line", "same"))


def _goes_on(last: Bearing | _Digit | None) -> bool:
    """Whether a house after it only goes on with where the digit before is: *the end of row four*."""
    return isinstance(last, Bearing) and last.kind not in ("stop", "unknown")


class NearbyWords:
    """Reads the mentions of digits in captions and prose."""

    def __init__(self, tokenizer: Tokenizer) -> None:
        self._tokenizer = tokenizer
        self._words = tokenizer.words
        self._kinds = {house.name: house.kind for house in tokenizer.canvas.houses}

    def mentions(self, pieces: Sequence[Sentence]) -> tuple[list[Mention], frozenset[int]]:
        """The mentions in some sentences that follow each other, at their places in all of the text.

        And the places of digits that only lie beside what is meant, or in *row six has one*.
        """
        self._passed: set[int] = set()
        text = " ".join(piece.text for piece in pieces)
        items = self._items(text, pieces)
        items = [*self._without_pronouns(items, text)]
        digits = [place for place, one in enumerate(items) if isinstance(one, _Digit)]
        found = []
        for number, place in enumerate(digits):
            said = items[place]
            assert isinstance(said, _Digit)
            last = items[digits[number - 1]] if number else None
            whole = said.again or (isinstance(last, _Digit) and last.pronoun)
            begin = digits[number - 1 - whole] + 1 if number > whole else 0
            end = digits[number + 1] if number + 1 < len(digits) else len(items)
            before, after = items[begin:place], items[place + 1 : end]
            heads = [
                one.said
                for one, last in zip(items[:place], [None, *items], strict=False)
                if isinstance(one, Bearing)
                and one.kind in ("house", "line")
                and not (isinstance(last, _Digit) or _goes_on(last))
            ]
            heading = tuple(dict.fromkeys(heads[::-1]))[:_HEADINGS]
            found.append(
                Mention(
                    said.token.start,
                    said.token.end,
                    text,
                    said.token.digits[0],
                    tuple(one for one in before if isinstance(one, Bearing)),
                    tuple(one for one in after if isinstance(one, Bearing)),
                    heading,
                    recalls=bool(self._words.near.recalls.search(text, 0, said.token.start)),
                )
            )
        starts = frozenset(_starts(pieces))
        return [*self._with_lists(found, starts)], frozenset(self._passed)

    def _without_pronouns(
        self, items: Sequence[Bearing | _Digit], text: str
    ) -> Iterator[Bearing | _Digit]:
        """The items without each *one* that is a cell: *the one on the right is the five*."""
        for place, one in enumerate(items):
            if isinstance(one, _Digit) and one.pronoun:
                rest = enumerate(items[place + 1 :], start=place + 1)
                number, following = next(
                    ((at, other) for at, other in rest if isinstance(other, _Digit)), (0, None)
                )
                between = [one for one in items[place + 1 : number] if isinstance(one, Bearing)]
                lasting = all(one.strength < _LEADS_ON for one in between)
                told = isinstance(following, _Digit) and self._words.near.equals.search(
                    text, one.token.end, following.token.start
                )
                named = self._words.near.pointing.search(text, 0, one.token.start)
                if told and lasting and named:
                    self._passed.add(one.token.start)
                    continue
            yield one

    def _with_lists(self, said: Sequence[Mention], starts: frozenset[int]) -> Iterator[Mention]:
        """The mentions, those in a list with it. ``starts`` are the places where sentences begin."""
        runs: list[list[Mention]] = []
        for mention in said:
            if runs and self._lists(runs[-1], mention, starts):
                runs[-1].append(mention)
            else:
                runs.append([mention])
        for run in runs:
            first, last = run[0], run[-1]
            listing = Listing(
                first.start,
                last.end,
                tuple(one.digit for one in run),
                first.before,
                last.after,
                first.headings,
                bool(self._words.near.either.search(first.text, first.end, last.start)),
            )
            yield from (replace(one, listing=listing) if _is_list(run) else one for one in run)

    def _lists(self, run: Sequence[Mention], more: Mention, starts: frozenset[int]) -> bool:
        """Whether a digit goes on a list: only a word that joins before it, or nothing in its cue."""
        last = run[-1]
        if more.digit in {one.digit for one in run}:
            return False
        between = more.text[last.end : more.start]
        parted = any(start in starts for start in range(last.end, more.start + 1))
        joined = self._words.near.joins.fullmatch(between)
        return joined is not None and bool(between.strip() or not parted)

    def _items(self, text: str, pieces: Sequence[Sentence]) -> list[Bearing | _Digit]:
        """The parts and digits of a text, in order, without those that are only reasons."""
        items: list[Bearing | _Digit] = []
        for item in self._words_of(text, pieces):
            if isinstance(item, Bearing) and item.said == "reason":  # *column six has one*
                last = items[-1] if items else None
                if isinstance(last, Bearing) and last.kind in ("house", "line", "same"):
                    items.pop()
            items.append(item)
        return items

    def _words_of(self, text: str, pieces: Sequence[Sentence]) -> Iterator[Bearing | _Digit]:
        """The parts and digits of a text, in order, without those that are only reasons."""
        near = self._words.near
        parts: dict[int, Bearing] = {}
        plain = text
        starts = frozenset(_starts(pieces))
        for match in near.beside.finditer(text):
            if _is_parted(match, starts, text, near.tells) or self._in_a_spot(text, match):
                continue
            part, said = self._near(match)
            self._passed |= {match.start(key) for key in said}
            parts[match.start()] = part
            plain = plain[: part.start] + " " * (part.end - part.start) + plain[part.end :]
        breaks = dict(_breaks(pieces))
        for match in near.nth.finditer(plain):
            number = self._words.ordinals[match["number"].casefold()]
            parts[match.start()] = Bearing("nth", str(number), start=match.start(), end=match.end())
            blank = " " * (match.end() - match.start())
            plain = plain[: match.start()] + blank + plain[match.end() :]
        tokens = [*self._tokenizer.several_houses(self._tokenizer.apart(plain))]
        row: list[tuple[int, Token | Bearing]] = [
            *((start, Bearing("stop", strength=strength)) for start, strength in breaks.items()),
            *((start, part) for start, part in parts.items()),
            *((token.start + 0, token) for token in tokens),
        ]
        row.sort(key=lambda one: (one[0], isinstance(one[1], Token)))
        reason = told = False
        before: list[Bearing | _Digit] = []
        again = False
        only = False
        for place, (_, one) in enumerate(row):
            item: Bearing | _Digit | None
            if isinstance(one, Bearing):
                item = one
            else:
                token = one
                word = " ".join(token.text.casefold().split())
                if token.letter == "B" or word in near.because:
                    reason, told = True, False
                    before.append(Bearing("stop", strength=2))
                    yield before[-1]
                    continue
                if token.letter in "YZ" or word in near.corrects:
                    again = True
                item = self._item(token, [t for _, t in row[max(0, place - 3) : place]], again)
                if reason and token.letter in "EGR":
                    told = True
                if isinstance(item, _Digit):
                    again = False
            if item is None:
                continue
            if isinstance(item, Bearing) and item.kind == "stop":
                only = only and item.strength == 1
                if item.strength >= 3 or (told and item.strength == 1):
                    reason = False
            if reason and not (isinstance(item, Bearing) and item.kind in ("stop", "only")):
                continue
            if isinstance(item, Bearing):
                if item.kind == "only":
                    only = True
                elif only and item.kind in ("house", "same", "line"):
                    item, only = replace(item, kind="only"), False
                last = before[-1] if before else None
                if (
                    isinstance(last, Bearing)
                    and last.kind == "not"
                    and item.kind in ("near", "spot")
                ):
                    item = replace(item, denied=True)
            before.append(item)
            yield item

    def _near(self, match: re.Match[str]) -> tuple[Bearing, list[str]]:
        """The part for words of what lies beside what, and the groups of the digits beside which it lies.

        Only *between* always has two: *under the six and the nine goes in the corner* has one.
        """
        groups = match.groupdict()
        name = next(name for group, name in self._words.near.relations.items() if groups.get(group))
        said = [key for key in ("digit", "other") if groups[key]]
        end = match.end()
        goes_on = self._words.near.tells.match(match.string, end)
        if "other" in said and name != "between" and (goes_on or not groups["article"]):
            said, end = said[:1], match.start("and")
        digits = tuple(self._value(groups[key]) for key in said)
        return Bearing("near", name, digits, start=match.start(), end=end), said

    def _in_a_spot(self, text: str, match: re.Match[str]) -> bool:
        """Whether *left of* is the end of *top left of*."""
        before = re.search(r"\S+\s+$", text[: match.start()])
        spot = self._words.where.match(text, before.start()) if before else None
        return spot is not None and spot.end() > match.start()

    def _value(self, word: str) -> int:
        word = word.casefold().removesuffix("'s")
        numbers: Mapping[str, int] = {**self._words.misheard, **self._words.numbers}
        return numbers[word] if word in numbers else int(word)

    def _item(
        self, token: Token, before: Sequence[Token | Bearing], again: bool
    ) -> Bearing | _Digit | None:
        near = self._words.near
        word = " ".join(token.text.casefold().split())
        part = partial(Bearing, start=token.start, end=token.end)
        last = before[-1] if before else None
        plain = " ".join(last.text.casefold().split()) if isinstance(last, Token) else ""
        match token.letter:
            case "D":
                if len(token.digits) != 1 or token.either:
                    return part("unknown")
                negated = [one for one in before[-2:] if isinstance(one, Token)]
                if any(
                    one.letter == "X" and not (again and one.text.casefold() == "no")
                    for one in negated
                ):
                    return Bearing("stop", strength=1)
                if plain in near.marks:  # *times three*
                    return Bearing("stop", strength=1)
                one = word in self._words.small["one"]
                if one and (
                    plain in near.adjectives or (isinstance(last, Token) and last.letter == "L")
                ):
                    self._passed.add(token.start)  # *the empty one* is a cell
                    return None
                if one and plain in self._words.small["has"]:
                    self._passed.add(token.start)
                    return Bearing("stop", "reason", strength=1)
                pronoun = one and plain not in self._words.small["a"]
                return _Digit(token, pronoun, again)
            case "H" if token.spot == ON_SIDE:
                return part("side", token.house)
            case "H":
                counted = word.split()[0] in self._words.ordinals
                return part("line" if counted else "house", token.house)
            case "A":
                return part("same", self._words.houses[word.split()[-1]])
            case "L":
                wide = word.endswith((" row", " column"))
                return part("spot", token.spot, loose=word in near.loose, wide=wide)
            case "M":
                return part("near", token.spot, loose=word in near.loose)
            case "Q":
                return part("rule", rules=token.rules)
            case "T":
                if token.technique == hidden_single.NAME:
                    return part("only")
                return part("last" if token.technique == _LAST else "unknown")
            case "X":
                return part("not")
            case "S":
                return Bearing("stop", strength=3)
            case "K":
                return Bearing("stop", strength=2)
            case "w":
                return Bearing("stop", strength=4) if word in (".", ";") else None
            case "U" if word in self._words.small["one"]:
                self._passed.add(token.start)
                return part("stop", "reason", strength=1)
            case "U" if word in near.marks:
                return part("rule")
            case "U":
                return None if word in self._words.near.filler else part("unknown")
            case "P" if word in self._words.small["still told"] and not self._tokenizer.spoken:
                return None
            case "R" | "C" | "P" | "F":
                return part("unknown", "claim")
            case _:
                return None


def _starts(pieces: Sequence[Sentence]) -> Iterator[int]:
    """Where each sentence begins in the text of all."""
    offset = 0
    for piece in pieces:
        yield offset
        offset += len(piece.text) + 1


def _is_parted(
    match: re.Match[str], starts: frozenset[int], text: str, tells: re.Pattern[str]
) -> bool:
    """Whether a cue ends after a relation, and the digit after it begins a sentence of its own."""
    end = match.end("digit") if match["digit"] else match.end()
    words = re.match(r".*?(?=(?:\S+\s+)?\S+$)", text[match.start() : end], re.DOTALL)
    first = match.start() + (words.end() if words else 0)
    return first in starts and first > match.start() and bool(tells.match(text, end))


def _breaks(pieces: Sequence[Sentence]) -> Iterator[tuple[int, int]]:
    """Where something new may begin between sentences, and how strongly."""
    offset = 0
    for piece, following in pairwise(pieces):
        offset += len(piece.text) + 1
        until, time = piece.places[-1].until, following.places[0].time
        gap = _seconds(time) - _seconds(until) if until and time else 0.0
        if piece.text.rstrip()[-1:] in ".!?" or gap > _PAUSE:
            yield (
                offset,
                3 if following.text.split()[0].casefold() in ("so", "its", "it's", "that's") else 4,
            )
        else:
            yield offset, int(gap > _BREATH)


def _seconds(time: str) -> float:
    seconds = 0.0
    for part in time.replace(",", ".").split(":"):
        seconds = 60 * seconds + float(part)
    return seconds
