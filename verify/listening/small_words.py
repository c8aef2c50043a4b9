"""Small words whose meaning the words beside them decide: an arrow, *then*, *leaving*, *both*, *it*.

*7 in row 9 → r9c2 <> 7* concludes with the arrow, *7 → r9c2* places by it; *neither* denies of cells
that were said before where a verb follows, and of digits otherwise. The words are in the language's file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from gridassay.verify.listening.token import Token

_PASSED = "wUK"
_ASKED = re.compile("D[wUGI]*C")
_DENIED = re.compile("X+w*D(?![KVDXw]*[IF]+w*[CHAO])")
IT, THEM = "it", "them"
"""What a token of the letter N stands for: the last cell, or the last cells."""


def settled(tokens: Sequence[Token], small: Mapping[str, frozenset[str]]) -> list[Token]:
    """The tokens, with the letters that these words have here."""
    return list(_settled(list(tokens), small))


def _settled(tokens: list[Token], small: Mapping[str, frozenset[str]]) -> Iterator[Token]:
    letters = "".join(token.letter for token in tokens)
    for place, token in enumerate(tokens):
        word = " ".join(token.text.casefold().split())
        after, before = letters[place + 1 :], letters[:place].rstrip(_PASSED)[-1:]
        follows = after.lstrip(_PASSED)
        if token.letter == "E" and word in small["arrow"]:
            strikes = re.match("[wUK]*C(?:[wK]*C)*[wUKE]*[XR]", after)
            yield replace(token, letter="S") if strikes else token
        elif token.letter == "F" and word in small["leaving"] and follows[:1] == "D":
            yield replace(token, letter="S")
        elif token.letter == "S" and word in small["then"] and before and before in "CDH":
            yield replace(token, letter="w") if follows[:1] in ("E", "X") else token
        elif (token.letter == "V" and word in small["either"] and before == "X") or (
            token.letter == "P" and word in small["where"] and _ASKED.match(after.lstrip("wU"))
        ):
            yield replace(token, letter="w")
        elif token.letter == "T" and word in small["both"]:
            meant = before in ("F", "R") or follows[:1] == "R"
            yield replace(token, letter="N", technique="", spot=THEM) if meant else token
        elif token.letter == "X" and word in small["neither"]:
            if after.lstrip("wUI")[:1] == "E":
                yield replace(token, letter="N", spot=THEM)
            yield token
        elif token.letter == "w" and word in small["it"] and _DENIED.match(after.lstrip("wE")):
            yield replace(token, letter="N", spot=IT)
        else:
            yield token
