"""Small words of written sentences: *was*, *had* and *as*, and what comes after *not possible*.

What was so is claimed as if it were so now. The words are in the language's file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from gridassay.verify.listening.token import Token

_PASSED = "wUK"
_TELLS_WHY = re.compile("w*(?:[HA](?:[wK]*[HA])*|C(?:[wK]*C)*)w*[EGXRT]")
_WAS = re.compile("[wS]*(?:[DCT]|I+w*C)")
_HAD = re.compile("[wT]*D")


def with_written_words(
    tokens: Sequence[Token], small: Mapping[str, frozenset[str]]
) -> Iterator[Token]:
    """The tokens, with the letters that these words have here."""
    letters = "".join(token.letter for token in tokens)
    for place, token in enumerate(tokens):
        word = _plain(token)
        after, before = letters[place + 1 :], letters[:place].rstrip(_PASSED)[-1:]
        was = token.letter in "wP" and word in small["was"] and before in {*"CDHNA"}
        had = token.letter == "P" and word in small["had"] and before in {*"CHA"}
        if (was and _WAS.match(after)) or (had and _HAD.match(after)):
            yield replace(token, letter="E")  # *r7c2 was 9*, *row two had its 4 in r2c6*
        elif token.letter == "I" and word in small["as it holds"] and _TELLS_WHY.match(after):
            yield replace(token, letter="B")  # *r7c7 can't be 9, as column 8 has its 8*
        elif token.text == "," and place and _plain(tokens[place - 1]) in small["not so"]:
            yield replace(token, letter="S")  # *an 8 in r9c4 was not possible, r7c4 …*
        else:
            yield token


def _plain(token: Token) -> str:
    return " ".join(token.text.casefold().split())
