"""*Nobody but r3c2 could be a 3*, *could not be anything but 6*: no mere possibilities, one remains.

Cells that another is only compared with say nothing of themselves: *r4c5 is larger than r4c4*.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from gridassay.verify.listening.token import Token

_CELLS = re.compile("[wU]*(?:C[wK]*)+V[wKV]*(?:C[wKV]*)*C(?![wKV]*C)")
_OF_CELLS = re.compile("Iw*C[wK]*(?:C[wK]*)*C(?=E)")
_OUTRANKS = re.compile("Cw*Uw*(C)(?=[wU]*[KSB])")


def with_exceptions(
    tokens: Sequence[Token], small: Mapping[str, frozenset[str]], *, spoken: bool
) -> list[Token]:
    """A sentence in which all but one are ruled out, as the statement that it makes of that one."""
    row = list(tokens)
    for place in range(len(row) - 1):
        words = " ".join(_plain(one) for one in row[place : place + 2])
        whole = next((one for one in small["all but"] if f"{words} ".startswith(f"{one} ")), "")
        if not whole and _plain(row[place]) not in small["all but"]:
            continue
        row = [
            replace(one, letter="w") if one.letter == "P" and _plain(one) in small["could"] else one
            for one in row
        ]
        if row[place].letter == "U" and (row[place + 1].letter == "U" or whole):
            row[max(0, place - 3) : place] = _denial_turned(row[max(0, place - 3) : place])
    return row if spoken else _without_compared(row, small)


def denied_after(tokens: Sequence[Token], small: Mapping[str, frozenset[str]]) -> Iterator[Token]:
    """With the *neither* of cells after them: *neither r1c1 nor r1c2 can hold a nine*."""
    letters = "".join(token.letter for token in tokens)
    later: dict[int, Token] = {}
    for place, token in enumerate(tokens):
        cells = _CELLS.match(letters, place + 1) or _OF_CELLS.match(letters, place + 1)
        if token.letter == "X" and token.text.casefold() in small["neither"] and cells:
            later[cells.end() - 1] = replace(token, start=tokens[cells.end() - 1].end)
            continue
        led = tokens[place - 1].text.casefold() in small["neither"] if place else False
        if token.letter != "I" or not (led and later):  # *none of r1c1, r1c2 and r1c3 is a 9*
            yield token
        if place in later:
            yield later[place]


def _denial_turned(before: Sequence[Token]) -> list[Token]:
    """*Cannot be anything but* says what it is."""
    denied = next((at for at, one in enumerate(before) if one.letter == "X"), None)
    if denied is None or any(one.letter not in "XEGwU" for one in before[denied:]):
        return list(before)
    is_it = replace(before[denied], letter="E")
    return [*before[:denied], is_it, *(replace(one, letter="w") for one in before[denied + 1 :])]


def _without_compared(tokens: list[Token], small: Mapping[str, frozenset[str]]) -> list[Token]:
    """Without the cell after *than*, or after an unknown verb right behind the first cell."""
    row = list(tokens)
    letters = "".join(one.letter for one in row)
    compared = [
        place
        for place in range(1, len(row))
        if letters[place] == "C"
        and _plain(row[place - 1]).split()[-1:] == [*small["than"]]
        and "C" in letters[:place]
    ]
    if "T" not in letters:
        compared += [
            match.start(1)
            for match in _OUTRANKS.finditer(letters)
            if not any(_leads(one, small["which"]) for one in row[match.end() : match.end() + 2])
        ]
    for place in compared:
        row[place] = replace(row[place], letter="U", cells=())
    return row


def _leads(token: Token, words: frozenset[str]) -> bool:
    """Whether a token begins with one of some words."""
    return _plain(token).partition(" ")[0] in words


def _plain(token: Token) -> str:
    return " ".join(token.text.casefold().split())
