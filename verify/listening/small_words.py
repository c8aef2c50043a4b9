"""Small words whose meaning the words beside them decide: an arrow, *then*, *leaving*, *both*, *it*.

*7 in row 9 → r9c2 <> 7* concludes with the arrow, *7 → r9c2* places by it; *neither* denies of cells
that were said before where a verb follows, and of digits otherwise. The words are in the language's file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from gridassay.verify.listening.excepting import denied_after, with_exceptions
from gridassay.verify.listening.token import Token, letters_to_a_stop

_PASSED = "wUK"
_ASKED = re.compile("D[wUGI]*C")
_DENIED = re.compile("X+w*D(?![KVDXw]*[IF]+w*[CHAO])")
_SUM = re.compile(
    r"Cw*(?:\+w*C?w*)+(?:Ew*1)?|Cw*Ew*Cw*(?:\+w*Cw*)+|(?<!V)(?<!Vw)1w*(?:[+-]w*1w*)+(?=[KS]?w*(?:E|1|$)|S|Kw*C)"
)
_BOTH_ARE = re.compile("w*(?:Ew*D|X)")
_DASHES = ("-", "–")
_LIST = re.compile("w?D[wKV]*D")
_CONDITION = re.compile("Dw*I+w*Cw*(?=.)")
_SO_IT_IS = re.compile("Dw+E$")
_CLAIMS_APART = re.compile("[DHTB]/C")
_APPOSED = re.compile("CK[wUI]*[QLMH][wUKQLMH]*K$")
_ONLY_CELLS = re.compile("w*D[wBIG]*(?:C[wK]*)+")
_SO = re.compile("C.*S[wK]*$")
_HAS_ONE = re.compile("[BS].*[HA][wEU]*$")
_FALLS = re.compile("w*I[wI]*[CHAD]")
_AS = re.compile("w*D[wUSKB]*(?:Iw*[HA]|$)")
_AMONG = re.compile("w*D[wKV]*D(?!w*[IF]+w*C)")
_SAME = re.compile("D.*[AB]w*C[wK]*E$")
_TOLD_IN = re.compile("Dw*I[wI]*C[wUKEG]*$")
_SEVERAL, _MOST = 2, 9
"""So many cells make a sum, and none of them more than this, where figures are digits."""
IT, THEM = "it", "them"
"""What a token of the letter N stands for: the last cell, or the last cells."""


def settled(
    tokens: Sequence[Token], small: Mapping[str, frozenset[str]], *, spoken: bool
) -> list[Token]:
    """The tokens, with the letters that these words have here."""
    tokens = with_exceptions(tokens, small, spoken=spoken)
    plain = list(_listed(_bracketed(tokens), small))
    if not spoken:
        plain = list(_compared(_summed(_without_condition(plain, small), small), small))
    return list(_settled(list(denied_after(plain, small)), small, spoken))


def _bracketed(tokens: Sequence[Token]) -> list[Token]:
    """Without brackets that set a digit at its cell: *r4c2(9)*, *9(r4c2)*."""
    row = list(tokens)
    for place in range(len(row) - 3):
        one, first, other, last = row[place : place + 4]
        if f"{one.letter}{other.letter}" not in ("CD", "DC") or first.start != one.end:
            continue
        if (first.text, last.text) == ("(", ")"):
            row[place + 1], row[place + 3] = (replace(mark, letter="w") for mark in (first, last))
    return row


def _summed(tokens: Sequence[Token], small: Mapping[str, frozenset[str]]) -> list[Token]:
    """Without sums of cells, which say none of their digits; *a plus* is a mark."""
    row = list(tokens)
    for place, token in enumerate(row):
        article = place and row[place - 1].text.casefold() in ("a", "the")
        if token.letter == "K" and article and token.text.casefold() in small["plus"]:
            row[place] = replace(token, letter="U")
    signs = "".join(
        "-" if one.text in _DASHES else "+" if _adds(one, small) else _sign(one) for one in row
    )
    for match in _SUM.finditer(signs):
        if _lists_digits(row[match.start() : match.end()], signs[match.end() :]):
            continue
        for place in range(match.start(), match.end()):
            row[place] = replace(row[place], letter="U", cells=(), digits=())
    return row


def _lists_digits(told: Sequence[Token], after: str) -> bool:
    """Whether cells with a plus between them have some digits: *r1c2 + r5c2 = 35*, *= 3/5*."""
    cells = [one for one in told if one.letter == "C"]
    if len(cells) < _SEVERAL or len(told[-1].digits) == 0:
        return False
    many = len(told[-1].digits) == len(cells) and len(set(told[-1].digits)) == len(cells)
    total = int(told[-1].text) if told[-1].text.isdigit() else 0
    goes_on = len(told[-1].digits) == 1 and re.match("[KV]w*1", after)
    return (many and total > _MOST * len(cells)) or bool(goes_on)


def _listed(tokens: Sequence[Token], small: Mapping[str, frozenset[str]]) -> Iterator[Token]:
    """With digits as alternatives in *one of 2, 3 and 4* and *only 2 and 4*."""
    either = False
    for place, token in enumerate(tokens):
        letters = "".join(one.letter for one in tokens[place + 1 : place + 6])
        word = " ".join(token.text.casefold().split())
        if word in small["one of"] | small["only"] and _LIST.match(letters):
            either = True
            yield replace(token, letter="w")
        else:
            yield replace(token, either=True) if either and token.letter == "D" else token
            either = either and token.letter in "wK"


def _without_condition(tokens: Sequence[Token], small: Mapping[str, frozenset[str]]) -> list[Token]:
    """Without a digit in a cell from which only something would follow: *6 in r2c2 forces …*."""
    row = list(tokens)
    letters = "".join(one.letter for one in row)
    for match in _CONDITION.finditer(letters):
        if match.end() < len(row) and row[match.end()].text.casefold() in small["forces"]:
            row[match.start()] = replace(row[match.start()], letter="U", digits=())
    return row


def _sign(token: Token) -> str:
    """The letter of a token, or 1 for a number."""
    number = token.letter == "D" and (len(token.digits) == 1 or token.text.isdigit())
    number = number and not token.either
    return "1" if number or (token.letter == "U" and token.text.isdigit()) else token.letter


def _adds(token: Token, small: Mapping[str, frozenset[str]]) -> bool:
    return token.letter in "KUX" and token.text.casefold() in small["plus"]


def _compared(tokens: Sequence[Token], small: Mapping[str, frozenset[str]]) -> Iterator[Token]:
    """Without digits that something is only compared with: *next to the seven*."""
    words: list[str] = []
    plain_before = ""
    for token in tokens:
        last = " ".join(one for one in words[-4:] if one not in ("a", "an", "the"))
        but = bool(plain_before) and plain_before[-1] == "T"
        if token.letter == "D" and not but and any(last.endswith(one) for one in small["compared"]):
            token = replace(token, letter="U", digits=())
        amount = words[-1:] and words[-1] in small["amount"] and token.letter == "D"
        if amount and (token.text.isdigit() and len(token.text) > 1):
            token = replace(token, letter="U", digits=())
        words += token.text.casefold().split()
        plain_before += token.letter if token.letter not in "w" else ""
        yield token


def _says_digit(letters: str, place: int, *, verb: bool) -> bool:
    """Whether *it* is the cell of a digit: *r1c1, so it is a nine*, *so nine it is*."""
    before, after = letters[:place], letters[place + 1 :]
    ends = re.fullmatch("E[wU]*", after)
    if ends and before.rstrip("w")[-1:] == "D":
        return True
    told = "[wUK]*w*D(?:[VKw]+D)*w*" if verb else "E+w*D(?:[VKw]+D)*w*"
    return "C" in before and bool(re.fullmatch(told, after))


def _stands_for(
    tokens: Sequence[Token], place: int, small: Mapping[str, frozenset[str]]
) -> tuple[int, ...] | None:
    """The digit that *one* and *another* are: *the sevens: one goes in r3c5 and another in r8c2*."""
    word = tokens[place].text.casefold()
    if word not in small["plural"] and (tokens[place].letter != "D" or word != "one"):
        return None
    if place and tokens[place - 1].text.casefold() in (*small["a"], "the"):
        return None
    many = [one for one in tokens[:place] if one.letter == "D" and _many(one.text.casefold())]
    follows = "".join(one.letter for one in tokens[place + 1 :] if one.letter != "w")
    return many[-1].digits if many and re.match("[EG]*I+C", follows) else None


def _of_a_person(before: Sequence[Token], small: Mapping[str, frozenset[str]]) -> bool:
    """Whether a verb after these tokens is what somebody does: *I did …*."""
    words = " ".join(one.text for one in before[-3:]).casefold().split()
    return bool({*words[-2:]} & small["person"])


def _in_a_time(before: Sequence[Token], small: Mapping[str, frozenset[str]]) -> bool:
    """Whether a verb after these tokens only tells when: *when I …*, *before we …*."""
    words = " ".join(one.text for one in before[-3:]).casefold().split()
    return bool({*words[-3:-1]} & small["when"]) and bool({*words[-1:]} & small["person"])


def _begins_there(before: Sequence[Token], small: Mapping[str, frozenset[str]]) -> bool:
    """Whether a cell only tells which line is meant: *the 26 that begins at r6c9 has a five*."""
    words = _plain(before[-4:]).split()
    if len(words) < 3 or before[-1].letter != "I":
        return False
    return words[-2] in small["beginning"] or (
        words[-2] in small["begins"] and words[-3] in small["which"]
    )


def _no_digit(
    tokens: Sequence[Token], place: int, letters: str, small: Mapping[str, frozenset[str]]
) -> bool:
    """Whether a number names no digit to place: *the step one in box nine*, *where's the four*."""
    before = tokens[max(0, place - 3) : place]
    words = [_plain([one]) for one in before]
    kind = len(before) > 1 and before[-1].letter == "U" and words[-2] in ("the", "that", "this")
    if kind and tokens[place].text.casefold() in small["one"]:
        return True
    follows = letters[place + 1 :]
    asked = bool({*words[-2:]} & small["wheres"])
    return asked and "H" in follows and "C" not in follows


def _plain(tokens: Sequence[Token]) -> str:
    return " ".join(" ".join(one.text for one in tokens).casefold().split())


def _many(word: str) -> bool:
    return word.endswith("s") and not word.endswith("'s") and word != "ones"


def _set_off(tokens: Sequence[Token], place: int) -> bool:
    """Whether a word stands between commas."""
    near = [one.text for one in (*tokens[place - 1 : place], *tokens[place + 1 : place + 2])]
    return place > 0 and near == [",", ","]


def _settled(
    tokens: list[Token], small: Mapping[str, frozenset[str]], spoken: bool
) -> Iterator[Token]:
    letters = "".join(token.letter for token in tokens)
    for place, token in enumerate(tokens):
        word = " ".join(token.text.casefold().split())
        after, before = letters[place + 1 :], letters[:place].rstrip(_PASSED)[-1:]
        follows = after.lstrip(_PASSED)
        if token.letter == "E" and word in small["arrow"]:  # *2 -> r1c4, r1c6 = 3* places both
            said = letters_to_a_stop(tokens[place + 1 :])
            lists = "(?:(?:[wK]*C)+(?=Ew*D[wKV]*D))?" if before == "D" else "(?:[wK]*C)*"
            strikes = re.match(f"[wUK]*C(?:(?:[wK]*C)*[wUKE]*[XR]|{lists}E|wD)", said)
            yield replace(token, letter="S") if strikes else token
        elif (
            token.letter == "D"
            and word in small["one"]
            and _plain(tokens[place - 1 : place]) in small["has"]
            and (
                "D" in letters[:place]
                or any(_plain([one]) in small["one"] for one in tokens[:place])
                or (not spoken and _HAS_ONE.search(letters[:place]))
                or _plain(tokens[place + 1 : place + 2]) in small["again"]
            )
        ):  # *seven in box two: row one has one*
            yield replace(token, letter="U", digits=())
        elif (
            token.letter == "D"
            and word in small["one"]
            and _plain(tokens[place - 1 : place]) in small["only"]
            and "D" in letters[:place]
            and _plain(tokens[place + 1 : place + 2]) in small["which"]
        ):  # *the four at r1c7 is the only one that row one allows*
            yield replace(token, letter="U", digits=())
        elif (
            token.letter == "F"
            and word in small["leaving"]
            and (follows[:1] == "D" or (follows[:1] == "C" and before != "D"))
        ):
            yield replace(token, letter="S")
        elif (
            token.letter == "S"
            and word in small["then"]
            and (
                _set_off(tokens, place)
                or (follows[:1] == "C" and _ONLY_CELLS.fullmatch(letters[:place]))
            )
        ):
            yield replace(token, letter="w")
        elif (
            token.letter == "w"
            and word in small["that's"]
            and _APPOSED.search(letters[:place])
            and (re.match("w*D", after))
        ):  # *r3c7, on the next thermometer, that's a five*
            yield replace(token, letter="E")
        elif token.letter == "S" and word in small["then"] and before and before in "CDHEXG":
            midst = before in "EXG" or tokens[place - 1].text.casefold() in small["was"]
            verbs = ("E", "X") if tokens[place - 1].letter == "K" else ("E", "X", "G")
            yield replace(token, letter="w") if midst or follows[:1] in verbs else token
        elif token.letter == "R" and word in small["falls"] and _FALLS.match(after):
            falls_to_digit = before == "C" and follows.lstrip("wI")[:1] == "D"
            yield replace(token, letter="E" if falls_to_digit else "G")
        elif token.letter == "I" and word in small["as"] and before == "C" and _AS.match(after):
            yield replace(token, letter="E")  # *which leaves r2c7 as the 9 in box 3*
        elif (token.letter == "V" and word in small["either"] and before == "X") or (
            token.letter == "P" and word in small["where"] and _ASKED.match(after.lstrip("wU"))
        ):
            yield replace(token, letter="w")
        elif (
            token.letter == "F"
            and word in small["among"]
            and before == "C"
            and _AMONG.match(
                "".join(one.letter * max(1, len(one.digits)) for one in tokens[place + 1 :])
            )
        ):
            yield replace(token, letter="E")  # *r4c8 r4c9 from 6 7 8 9*
        elif token.letter == "T" and word in small["both"]:
            if (before in ("C", "E") and follows[:1] in ("D", "E", "X")) or (
                letters[:place].rstrip("wUKE")[-1:] == "C" and follows[:1] == "D"
            ):  # *r1c1 and r1c2 are both 2 or 3*
                yield replace(token, letter="w", technique="")
                continue
            if before in ("F", "R") and follows[:1] == "C":  # *out of both r1c1 and r1c2*
                yield replace(token, letter="w", technique="")
                continue
            meant = before in ("F", "R") or follows[:1] == "R"
            meant = meant or bool(before in ("", "S") and _BOTH_ARE.match(after))
            yield replace(token, letter="N", technique="", spot=THEM) if meant else token
        elif (
            token.letter == "X" and word in small["impossible"] and _TOLD_IN.search(letters[:place])
        ):
            yield replace(token, letter="R")  # *an 8 in r9c4 is impossible*
        elif token.letter == "T" and word == "last" and re.match("w*[QL]", after):
            yield replace(token, letter="w", technique="")  # *the last arrow*
        elif (
            token.letter == "U"
            and word in small["closes"]
            and re.match("w*[HA]", after)
            and not (before == "D" and _many(tokens[place - 1].text.casefold()))
        ):
            yield replace(token, letter="T", technique="last cell", firm=False)
        elif (
            token.letter == "L"
            and word == "the end"
            and before == "E"
            and re.match("w*Iw*H", after)
        ):
            yield replace(token, letter="T", technique="last cell", spot="", firm=False)
        elif token.letter == "K" and word == "/" and _CLAIMS_APART.match(before + "/" + follows):
            yield replace(token, letter="S")
        elif not spoken and _stands_for(tokens, place, small) is not None:
            yield replace(token, letter="D", digits=_stands_for(tokens, place, small) or ())
        elif not spoken and token.letter == "D" and word in small["one"] and _SAME.search(
            "".join("A" if one.text.casefold() in ("as", "since", "because") else one.letter
                    for one in tokens[:place])
        ) and not follows.strip("wK"):  # fmt: skip
            yield replace(token, letter="U", digits=())  # *a 9 at r8c5, as r7c4 is one*
        elif (
            token.letter == "w" and word in small["it"] and before == "F" and "C" in letters[:place]
        ):
            yield replace(token, letter="N", spot=IT)
        elif token.letter == "P" and word == "may" and before == "X":
            yield replace(token, letter="w")  # *neither r4c3 nor r4c4 may be 5*
        elif token.letter == "X" and word in small["neither"]:
            if after.lstrip("wUI")[:1] == "E" and letters[:place][-1:] != "C":
                yield replace(token, letter="N", spot=THEM)
            yield token
        elif token.letter == "w" and word in small["it"]:
            denied = _DENIED.match(after.lstrip("wE"))
            told = not spoken or bool(_SO.search(letters[:place]))
            cell = denied or (told and _says_digit(letters, place, verb="'" in word))
            yield replace(token, letter="N", spot=IT) if cell else token
        elif token.letter == "w" and word in small["only"] and before == "C" and after[:1] == "D":
            yield replace(token, letter="E")
        elif token.letter in "wN" and word in small["those"] and not spoken:
            struck = before in ("F", "R") or follows[:1] in ("X", "R")
            struck = struck or (before == "I" and bool({"X", "R"} & set(letters[:place])))
            yield replace(token, letter="N" if struck else "w", spot=THEM)
        elif token.letter == "w" and word in small["cell"] and not spoken:
            yield replace(token, letter="N", spot=IT)
        elif token.letter == "V" and word in small["either"] and before in ("I", "F"):
            last = not after.strip("wKUSB")
            yield replace(token, letter="N", spot=THEM) if last else token
        elif (
            token.letter == "w"
            and word in small["it's"]
            and letters[:place][-1:] == "C"
            and re.match("Dw*D|D[wV]*D", after.lstrip("w"))
        ):  # *in r1c4 it's three four six*
            yield replace(token, letter="E")
        elif token.letter == "C" and _begins_there(tokens[:place], small):
            yield replace(token, letter="U", cells=())
        elif spoken and token.letter == "D" and _no_digit(tokens, place, letters, small):
            yield replace(token, letter="U", digits=())
        elif (
            token.letter == "X"
            and not spoken
            and word not in small["neither"]
            and after[:1] == "U"
            and not re.match("[wUP]*[CDHQITAN]", after)
            and _of_a_person(tokens[:place], small)
        ):  # *though I did not look twice*
            yield replace(token, letter="w")
        elif (
            token.letter == "P"
            and not spoken
            and word in small["could"]
            and _in_a_time(tokens[:place], small)
        ):  # *when I had found matches*
            yield replace(token, letter="w")
        elif (
            token.letter == "S" and word in small["so"] and before == "E" and re.match("w*D", after)
        ):
            yield replace(token, letter="w")  # *r2c3 is so a four*
        elif token.letter == "E" and before == "D" and _SO_IT_IS.search(letters[: place + 1]):
            yield replace(token, letter="w") if not follows else token
        else:
            yield token
