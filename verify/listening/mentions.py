"""The claims of captions and prose, each with the mention of its digit, and all other mentions."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import replace

from gridassay.verify.listening.bearings import Mention
from gridassay.verify.listening.forms import Sentence
from gridassay.verify.listening.heard import Heard, OnlyIn

_WORD = re.compile(r"(?<![\w'])[A-Za-z]{2,}(?![\w])")
_FEWEST = 4
"""So many words make a sentence of prose among jots; with fewer its digits are not told by words."""
_USUAL = 6
"""With so many words in the middle one of its sentences, or more, a text is not jotted."""


def with_mentions(
    claims: Sequence[Heard],
    mentions: Sequence[Mention],
    passed: frozenset[int],
    pieces: Sequence[Sentence],
) -> list[Heard]:
    """The claims and the other mentions in the order of the talk.

    ``passed`` are the places of digits that claim nothing, ``pieces`` the sentences; claims begin at
    their places in all of the text.
    """
    own: dict[int, Mention] = {}
    taken = set()
    dropped = set()
    for place, claim in enumerate(claims):
        if claim.concludes or claim.cells or claim.on_line or claim.denies or claim.gleaned:
            continue
        end = claim.start + len(claim.said)
        said = [
            one
            for one in mentions
            if claim.start <= one.start < end and claim.digits == (one.digit,)
        ]
        inside = any(claim.start <= start < end for start in passed)
        if inside and not said and len(claim.digits) == 1:
            dropped.add(place)
        free = [one for one in said if one.start not in taken]
        if free:
            own[place] = free[0]
            taken.add(free[0].start)
    bound = [(one.start, one.start + len(one.said)) for one in claims if one.concludes]
    found = [
        (claim.start, replace(claim, mention=own.get(place)))
        for place, claim in enumerate(claims)
        if place not in dropped
    ]
    for mention in mentions:
        if mention.start in taken or any(begin <= mention.start < end for begin, end in bound):
            continue
        where = replace(_place(mention.start, pieces), only=_reasons_around(mention, claims))
        found.append((mention.start, replace(where, mention=mention)))
    return [claim for _, claim in sorted(found, key=lambda one: one[0])]


def _reasons_around(mention: Mention, claims: Sequence[Heard]) -> tuple[OnlyIn, ...]:
    """The reasons of the claim in whose words a digit is mentioned: that may claim nothing itself."""
    around = (one for one in claims if one.start <= mention.start < one.start + len(one.said))
    return next((one.only for one in around), ())


def told_in_words(
    mentions: Sequence[Mention], pieces: Sequence[Sentence], supposed: Collection[str]
) -> list[Mention]:
    """The mentions of written sentences that have words enough, and suppose nothing.

    ``supposed`` are the sentences that do. Digits that are listed do not claim a cell each, nor do
    those beside a cell or a verb that strikes.
    """
    kept = []
    offset = 0
    counts = sorted(len(_WORD.findall(piece.text)) for piece in pieces)
    jotted = not counts or counts[len(counts) // 2] < _USUAL
    for piece in pieces:
        end = offset + len(piece.text) + 1
        worded = not jotted or len(_WORD.findall(piece.text)) >= _FEWEST
        if piece.text not in supposed and worded:
            kept += [one for one in mentions if offset <= one.start < end and _stands_alone(one)]
        offset = end
    return kept


def _stands_alone(mention: Mention) -> bool:
    near = (*mention.before[-1:], *mention.after[:1])
    return mention.listing is None and not any(one.said == "claim" for one in near)


def offsets(units: Sequence[Sentence], pieces: Sequence[Sentence]) -> list[list[tuple[int, int]]]:
    """For each unit of some pieces, where each of its pieces begins in it, and in the text of all pieces.

    Pieces that tell nothing may have been left out of the units.
    """
    found = []
    begin = number = 0
    for unit in units:
        places: list[tuple[int, int]] = []
        done = 0
        while done < len(unit.text) and number < len(pieces):
            piece = pieces[number]
            if unit.text.startswith(piece.text, done):
                places.append((done, begin))
                done += len(piece.text) + 1
            begin += len(piece.text) + 1
            number += 1
        found.append(places or [(0, begin)])
    return found


def in_text(place: int, places: Sequence[tuple[int, int]]) -> int:
    """A place in a unit as one in the text of all pieces, by what ``offsets`` gives for it."""
    own, start = max(one for one in places if one[0] <= place or one is places[0])
    return start + place - own


def _place(start: int, pieces: Sequence[Sentence]) -> Heard:
    """A claim of nothing, where something was said."""
    offset = 0
    for piece in pieces:
        if start < offset + len(piece.text) + 1:
            at = piece.place(start - offset)
            return Heard("", start, line=at.line, time=at.time, until=at.until)
        offset += len(piece.text) + 1
    raise ValueError("nothing is said there")
