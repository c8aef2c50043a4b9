"""Mends captions that were broken within a name: *three in column | two is r9c2*, *nine | is r1c4*.

Captions break wherever a line is full. Words that only make a house together go to the cue in which
they begin; a cell, or a digit with its house, goes to the cue in which *is* tells about it. A cell
that is broken itself goes to the digit that is placed in it, or else to what follows.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from gridassay.verify.listening.forms import Sentence
from gridassay.verify.listening.token import Token

_ENDS = ".!?,;:"
_POINTS = re.compile(r"\b(?:the|this|that|same|whole)\s+$", re.IGNORECASE)
_BEGINS = re.compile("w*(?:E|X)w*[CDI]")
_LEADS = "EXGI"
"""Words whose object comes next: *it goes in r1c4 | is …* is broken elsewhere."""
_LAST = re.compile("(?:Dw*(?:I[wI]*[HL]w*)*|C)$")
_PLACED = re.compile("(?:D[wEGI]*[EGI]|[XRF][wI]*)w*$")
"""The letters before a cell that belongs to them: *three in*, *it can't go in*."""

Tokens = Callable[[str], Sequence[Token]]


def mended(
    pieces: Iterable[Sentence], tokens: Tokens, small: Mapping[str, frozenset[str]]
) -> Iterator[Sentence]:
    """The pieces of captions, with the words that belong together in one of them.

    ``small`` are the words of a language's file.
    """
    last: Sentence | None = None
    for piece in pieces:
        if last is None or last.text[-1] in _ENDS:
            now = piece
        else:
            last, now = _parted(last, piece, tokens, small)
        if last is not None and last.text:
            yield last
        last = now if now.text else None
    if last is not None:
        yield last


def _parted(
    last: Sentence, piece: Sentence, tokens: Tokens, small: Mapping[str, frozenset[str]]
) -> tuple[Sentence, Sentence]:
    """Two pieces, parted where no name is broken."""
    both = last.with_next(piece)
    cut = len(last.text)
    following = tokens(piece.text)
    own = tokens(last.text)
    begins_house = following[0].letter == "H" and not following[0].spot
    for token in tokens(both.text):
        if not token.start < cut < token.end - 1:
            continue
        if " ".join(token.text.casefold().split()) in small["this one"]:
            return _split(both, token.start)
        lead = next((one for one in reversed(own) if one.start < token.start), None)
        numbered = not token.spot and (
            (lead is not None and (lead.letter == "L" or lead.end > token.start))
            or _POINTS.search(both.text[: token.start])
        )
        if token.letter == "C" and "C" not in (own[-1].letter, following[0].letter):
            if begins_house and _about_house(following[1:], small):
                break
            before = "".join(one.letter for one in own if one.end <= token.start)
            return _split(both, token.end if _PLACED.search(before) else token.start)
        if token.letter in "HA" and not begins_house and not numbered:
            return _split(both, token.end)
        break  # *in the middle | box one needs a two*, *on the bottom row | nine in box seven*
    names = re.match("w*Iw*H", "".join(one.letter for one in following))
    if own[-1].letter == "T" and names:  # *it's the only place | in column nine*
        return _split(both, cut + 1 + following[names.end() - 1].end)
    told = _LAST.search("".join(one.letter for one in own))
    begins = _BEGINS.match("".join(one.letter for one in following))
    if begins and told and told.start():
        lead = own[told.start() - 1]
        if lead.letter not in _LEADS and lead.text.casefold() not in small["a"]:
            return _split(both, own[told.start()].start)
    return last, piece


def _about_house(following: Sequence[Token], small: Mapping[str, frozenset[str]]) -> bool:
    """Whether what follows a house is said of it, not of a cell: *column six | ends with a two*."""
    said = next((one for one in following if one.letter != "w"), None)
    if said is None or said.letter == "T":
        return said is not None
    return said.letter == "E" and " ".join(said.text.casefold().split()) in small["of a house"]


def _split(both: Sentence, cut: int) -> tuple[Sentence, Sentence]:
    head, tail = both.text[:cut].rstrip(), both.text[cut:].lstrip()
    start = len(both.text) - len(tail)
    first = tuple(place for place in both.places if place.start < len(head))
    spoken = both.place(start)
    later = (place for place in both.places if place.start > start)
    return (
        Sentence(head, first),
        Sentence(
            tail,
            (spoken._replace(start=0), *(one._replace(start=one.start - start) for one in later)),
        ),
    )
