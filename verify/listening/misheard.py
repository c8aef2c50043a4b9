"""Numbers that captions misheard: *row nine column for*, *the ate*."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gridassay.verify.listening.token import Token

_ARTICLES = ("a", "an", "the")


def corrected(
    tokens: list[Token], misheard: Mapping[str, int], reader: Mapping[str, int]
) -> Iterator[Token]:
    """The tokens with misheard numbers corrected where a number is needed.

    ``misheard`` are the words and their numbers, ``reader`` the digits of the puzzle by their symbols.
    """
    for place, token in enumerate(tokens):
        word = token.text.casefold()
        value = misheard.get(word)
        before = next((one for one in reversed(tokens[:place]) if one.letter != "w"), None)
        after = tokens[place + 1] if place + 1 < len(tokens) else None
        slot = before is not None and before.letter in "EX" and not _number_follows(after)
        last = tokens[place - 1].text.casefold() if place else "."
        ends = after is None or after.text in ",.;"
        slot = slot or (not place and after is not None and after.text.casefold() == "in")
        slot = slot or last in _ARTICLES or (last in ",.;" and ends)
        slot = slot or _among(tokens, place)
        always = token.letter == "U"
        if value is not None and (slot or always) and str(value) in reader:
            yield Token("D", token.text, token.start, token.end, digits=(reader[str(value)],))
        else:
            yield token


def _among(tokens: list[Token], place: int) -> bool:
    """Whether a word stands beside *or* and a number: *for or six*, *one or to*."""
    before = [one.letter for one in tokens[max(0, place - 2) : place]]
    after = [one.letter for one in tokens[place + 1 : place + 3]]
    return before == ["D", "V"] or after == ["V", "D"]


def _number_follows(token: Token | None) -> bool:
    return token is not None and token.letter in "DHCw"
