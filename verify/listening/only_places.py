"""Houses in which a digit is said to have no other place: *row five's got nowhere else for it*.

Such words are a reason, said before or after the claim, in captions also in the sentence beside it. The
listener holds them against the board: a true placement that the house does not show is *wider*.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from gridassay.verify.listening.heard import Heard, OnlyIn
from gridassay.verify.listening.token import Token, letters_of
from gridassay.verify.solving.techniques import hidden_single

_AFTER = re.compile(
    r"(?:(?P<led>D)[wUEG]*)?(?P<only>T)(?:[wUI]*(?P<digit>D))?(?P<in>(?:[wU]*I)*[wU]*)(?P<house>[HA])"
)
"""*The only place left for a three in row five*, *has only one place in row 5*."""
_BEFORE = re.compile(r"(?P<house>[HA])[wUEGI]*(?P<only>T)(?:[wUI]*(?P<digit>D))?")
"""*Row four has only the one place for a five*, *as row 2 lets it in nowhere else*."""
_NEEDS = re.compile(r"(?P<house>H)[wUEI]*(?P<digit>D)[wUKES]*(?P<only>T)(?![wUI]*[DHA])")
"""*Row one needs a two, and there is only one place for it*."""
_VERB = re.compile(
    r"(?:(?P<digit>D)[wU]*I[wU]*(?P<house>H)|I[wU]*(?P<house2>H)[wUK]*(?P<digit2>D))"
    r"(?P<verb>[wUEGIDKAT]*?[EGIT])(?=[wU]*[CHLM])"
)
"""*In the second row the five can now only be in column six*."""
_WANTED = re.compile(
    r"(?P<house>H)[wU]*E[wU]*(?P<digit>D)[wUKS]*(?P<verb>[EGT][EGIT]*)(?=[wUI]*[CHLMQUD])"
)
"""*The third row wants a two, and that can only go in the box on the right*."""
_CONFINED = re.compile(
    r"(?:(?P<digit>D)[wU]*I[wU]*(?P<house>H)|(?P<house2>H)[wU]*(?P<digit2>D))"
    r"[wU]*(?:E[wUIT]*[IT]|T[wUI]*)[wU]*(?P<within>H)"
)
"""*The sixes in row seven are in box eight*, from which others lose them."""
_GOES_ON = re.compile("[wUI]*[DHA]")
_ENDS = (".", "!", "?")


def only_places(tokens: Sequence[Token], small: Mapping[str, frozenset[str]]) -> list[OnlyIn]:
    """The houses in which some digit is said to have one place, in order."""
    letters = letters_of(replace(one, letter="S") if one.text in _ENDS else one for one in tokens)
    found = [
        *_of_technique(tokens, letters, small),
        *_of_verb(tokens, letters, small),
        *_confinements(tokens, letters),
    ]
    return sorted(found, key=lambda one: one.start)


def running_on(
    tokens: Sequence[Token], at: int, small: Mapping[str, frozenset[str]]
) -> Iterator[OnlyIn]:
    """Those that begin before a place in the text, where a cue ends, and end after it.

    A house or digit that follows right after them belongs to the next claim: *six in box one | only
    place for it in row two*.
    """
    letters = letters_of(tokens)
    for one in _of_technique(tokens, letters, small):
        rest = [token for token in tokens if token.start >= one.end]
        if one.start < at < one.end and not _GOES_ON.match(letters_of(rest)):
            yield one
    for one in _of_verb(tokens, letters, small):
        after = [token.letter for token in tokens if at < token.start < one.end]
        if one.start < at < one.end and "D" not in after:
            yield one


def _of_technique(
    tokens: Sequence[Token], letters: str, small: Mapping[str, frozenset[str]]
) -> Iterator[OnlyIn]:
    for pattern in (_AFTER, _BEFORE, _NEEDS):
        for match in pattern.finditer(letters):
            named = tokens[match.start("only")]
            words = {*_plain(named).split()}
            if (
                named.technique != hidden_single.NAME
                or named.firm
                or not words & small["only place"]
            ):
                continue
            between = match.groupdict().get("in") and tokens[slice(*match.span("in"))]
            if any(_plain(one) in small["but"] for one in between or ()):
                continue  # *nowhere but row seven* says where it goes
            led = match.groupdict().get("led") and tokens[match.start("led")]
            digit = tokens[match.start("digit")] if match["digit"] else led
            before = _lead(tokens, match.start())
            yield _only_in(
                tokens[match.start("house")],
                digit or None,
                tokens[match.start() : match.end()],
                led=bool(before & small["led"] or (digit is None and words & small["no other"])),
            )


def _of_verb(
    tokens: Sequence[Token], letters: str, small: Mapping[str, frozenset[str]]
) -> Iterator[OnlyIn]:
    for match in (*_VERB.finditer(letters), *_WANTED.finditer(letters)):
        turned = "2" if match.groupdict().get("house2") else ""
        verb = tokens[match.start("verb") : match.end("verb")]
        words = {word for one in verb for word in _plain(one).split()}
        if words & small["only verb"]:
            yield _only_in(
                tokens[match.start(f"house{turned}")],
                tokens[match.start(f"digit{turned}")],
                tokens[match.start() : match.end()],
                led=False,
            )


def _confinements(tokens: Sequence[Token], letters: str) -> Iterator[OnlyIn]:
    for match in _CONFINED.finditer(letters):
        turned = "2" if match["house2"] else ""
        house, digit = (tokens[match.start(f"{one}{turned}")] for one in ("house", "digit"))
        said = _only_in(house, digit, tokens[match.start() : match.end()], led=False)
        if said.digit is not None:
            yield said._replace(within=tokens[match.start("within")].house)


def _only_in(house: Token, digit: Token | None, words: Sequence[Token], *, led: bool) -> OnlyIn:
    """``led`` tells that the words go with the claim before them."""
    one = digit.digits[0] if digit is not None and len(digit.digits) == 1 else None
    name = house.house or house.text.casefold().split()[-1]
    return OnlyIn(name, one, words[0].start, words[-1].end, led)


def _lead(tokens: Sequence[Token], place: int) -> set[str]:
    """The words right before a place, back to a break."""
    found: set[str] = set()
    while place and tokens[place - 1].letter in "wUBIS":
        place -= 1
        found.add(_plain(tokens[place]))
    return found


def with_only(
    claims: Sequence[Heard], said: Sequence[OnlyIn], before: Sequence[OnlyIn]
) -> list[Heard]:
    """The claims of a sentence with the words in it that may be a reason for each.

    Words of the sentence ``before`` may be one for the first. Words that go with the claim before them
    make no claim of their own.
    """
    claims = [one for one in claims if not _refers_back(one, said)]
    kept = [replace(one, only=tuple(_for(place, claims, said))) for place, one in enumerate(claims)]
    if kept:
        kept[0] = replace(kept[0], only=(*before, *kept[0].only))
    return kept


def _refers_back(claim: Heard, said: Sequence[OnlyIn]) -> bool:
    """Whether a claim is only *row two has nowhere else for it*."""
    if claim.concludes or claim.cells or claim.digits or claim.technique != hidden_single.NAME:
        return False
    end = claim.start + len(claim.said)
    return any(one.led and one.digit is None and claim.start <= one.start < end for one in said)


def said_beside(said: Sequence[OnlyIn], claims: Sequence[Heard]) -> list[OnlyIn]:
    """The words that may be a reason for the next sentence: those of a digit that no claim places."""
    placed = {digit for claim in claims for _, digit in claim.places}
    told = [one for one in said if one.digit is not None and not one.within]
    return [one for one in told if one.digit not in placed]


def shown_after(last: Heard, said: Sequence[OnlyIn], claims: Sequence[Heard]) -> Heard:
    """The last claim of a sentence with the words of the next one, whose claims are given."""
    said = [
        one
        for one in said
        if not any(
            claim.concludes and claim.start + len(claim.said) <= one.start for claim in claims
        )
    ]
    more = tuple(one for one in said if not one.within and (one.led or one.digit is not None))
    return replace(last, only=(*last.only, *more)) if more else last


def _for(place: int, claims: Sequence[Heard], said: Sequence[OnlyIn]) -> Iterator[OnlyIn]:
    claim = claims[place]
    end = claim.start + len(claim.said)
    before = claims[place - 1] if place else None
    after = claims[place + 1] if place + 1 < len(claims) else None
    for one in said:
        inside = claim.start <= one.start < end
        follows = one.start >= end and (after is None or (one.led and one.start < after.start))
        leads = (
            one.end <= claim.start
            and not one.led
            and (before is None or one.start >= before.start + len(before.said))
        )
        known = one.digit is not None and not (one.within and one.start >= end)
        if known or inside or follows or leads:
            yield one


def _plain(token: Token) -> str:
    return " ".join(token.text.casefold().split())
