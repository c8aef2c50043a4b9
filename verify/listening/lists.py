"""Cells in a row, and digits: one token each, which remembers whether *or* stood between them."""

from __future__ import annotations

import re

from gridassay.verify.listening.token import Token

_SEVERAL_IN = re.compile("IC(?:K?C)+(?:$|[SB])")
_BETWEEN = ("a", "an", "the", "-", "–")


def joined(tokens: list[Token], singular: frozenset[str]) -> list[Token]:
    """Merge cells in a row, and digits: ``r1c1, r1c2 and r1c3``; *or* between them is remembered."""
    row: list[Token] = []
    for place, token in enumerate(tokens):
        joint = 0
        while joint < len(row) and row[-1 - joint].letter in "KVw":
            joint += 1
        last = row[-1 - joint] if joint < len(row) else None
        between = row[len(row) - joint :]
        same = last is not None and last.spot == token.spot
        if last is not None and not between and set(last.cells) & set(token.cells):
            same = False  # *between r5c5 and r5c6, r5c5 is …* begins anew
        if last is not None and (last.others or token.others):
            same = False  # *the foot of column six, and the second square*
        plain = same and all(
            one.letter in "KV" or one.text.casefold() in _BETWEEN for one in between
        )
        some = any(one.letter == "V" for one in between)
        article = any(one.text.casefold() == "the" for one in between)
        told = next((one.text.casefold() for one in tokens[place + 1 :] if one.letter != "w"), "")
        if token.letter == "C" and told in singular and [one.text for one in between] == [","]:
            plain = False  # *XY-wing: r5c5, r2c5, r5c7, r2c7 isn't 6*
        figures = last is not None and not between and _figure(last) and _figure(token)
        tight = last is not None and _set_tight(last, between, token)
        goes_on = (
            figures
            or tight
            or (
                plain
                and _is_row(row[: len(row) - joint], token, tokens[place + 1 :], some, article)
            )
        )
        if plain and last and goes_on:
            either = token.either or last.either or some
            either = either or (token.letter == "D" and any(one.text == "/" for one in between))
            del row[len(row) - joint - 1 :]
            token = Token(
                token.letter,
                f"{last.text} {token.text}",
                last.start,
                token.end,
                tuple(dict.fromkeys((*last.cells, *token.cells))),
                tuple(dict.fromkeys((*last.digits, *token.digits))),
                either=either,
                spot=token.spot,
            )
        row.append(token)
    return row


def _set_tight(last: Token, between: list[Token], token: Token) -> bool:
    """Whether two figures have a comma without a space between them: *6,8*."""
    plain = _figure(last) and _figure(token) and [one.text for one in between] == [","]
    return plain and between[0].start == last.end and token.start == between[0].end


def _figure(token: Token) -> bool:
    return token.letter == "D" and token.text[-1].isdigit() and not token.spot


def _letters(tokens: list[Token]) -> str:
    return "".join(one.letter for one in tokens if one.letter != "w")


def _is_row(
    before: list[Token], token: Token, after: list[Token], some: bool, apart_from: bool
) -> bool:
    """Whether a token continues the one before; ``r1c1 = 3, 4 in r1c2`` is about two cells."""
    if token.letter not in "CD" or before[-1].letter != token.letter:
        return False
    earlier = next((one.letter for one in reversed(before[:-1]) if one.letter != "w"), "")
    next_one = next((one.letter for one in after if one.letter != "w"), "")
    if token.letter == "C":
        told = "".join(one.letter for one in after if one.letter != "w")[:2] == "ED"
        passed = "wKB"
        if told and len(next(one for one in after if one.letter == "D").digits) == 1:
            passed = "wKBSH"  # *5 in row 2 -> r2c6, r2c9 = 8*
        if (
            told
            and next((one.letter for one in reversed(before[:-1]) if one.letter not in passed), "")
            == "D"
        ):
            return False  # *3 in r2c2, r2c4 = 5*
        if earlier == "D" and next_one == "D":
            return False  # *6 R7C3, R9C3 9*
        later = _letters(after)
        if earlier == "I" and re.match("E?R(?!F?D)", later):
            return True  # *7 in r6c5 and r7c5 are gone*
        if re.search("D[^SBC]*T[^SBD]*$", _letters(before)) and next_one == "E":
            return False  # *1 and 7 are left for r4c6, and r5c4 is 9*
        return not (earlier in ("I", "F", "E") and next_one in ("E", "X", "R"))
    if some:
        return True
    if token.spot and not re.match("[DKw]*V", "".join(one.letter for one in after)):
        return False  # *C = 18, 3 used*
    apart = next((one.letter for one in reversed(before[:-1]) if one.letter not in "wK"), "")
    if apart == "C" and re.match(
        "[IG]*C", "".join(one.letter for one in after if one.letter != "w")
    ):
        return False  # *r1c1 1 or 4 and 3 in r2c4*, *r2c9 is 3, 1 r3c9*
    led = "".join(one.letter for one in before[:-1] if one.letter != "w")
    if led.endswith("X") and not re.search("C[^SB]*$", led):
        return True  # *no 1, 5, 7 in r3c2*
    if apart_from and earlier in ("E", "C") and _one_cell(before[:-1], next_one):
        return False  # *r2c4 is a 5, and the 6 …* is not about one cell
    if earlier == "E" and not re.search("[CHQAD]", led[:-1]) and _SEVERAL_IN.match(_letters(after)):
        return True  # *it is 4 and 6 in r1c4 and r2c4*
    return not (earlier in ("E", "X") and next_one in tuple("IGEXRBLM"))


def _one_cell(before: list[Token], following: str) -> bool:
    """Whether one cell, or what a house holds, is spoken of."""
    said = next((one for one in reversed(before) if one.letter not in "wE"), None)
    if said is None or following == "F":
        return False
    return len(said.cells) == 1 or (said.letter == "H" and following == "E")
