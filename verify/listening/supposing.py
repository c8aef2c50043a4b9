"""Stories said aloud: *suppose r1c3 is a 4; then r2c2 is 9, and … So r1c3 isn't 4.*

Until the supposition is taken back by its opposite, nothing that follows from it is claimed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from gridassay.encodings.grid import Cell
from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.token import Token

_SUPPOSED = re.compile("P+(?:C[EP]+D|D[EGP]*I+C)")
_ABOUT_IT = re.compile("P+D")
_MOST_SENTENCES = 6
"""After so many sentences without the opposite, a supposition is forgotten."""


class Supposing:
    """Remembers what is supposed, from sentence to sentence."""

    def __init__(self, small: Mapping[str, frozenset[str]]) -> None:
        self._small = small
        self._supposed: tuple[Cell, int] | None = None
        self._firmly = False
        self._left = 0
        self._cell: Cell | None = None
        self._struck: frozenset[tuple[Cell, int]] = frozenset()

    @property
    def supposes(self) -> bool:
        """Whether something is supposed at present."""
        return self._supposed is not None

    def sift(self, tokens: Sequence[Token], claims: list[Heard]) -> list[Heard]:
        """The claims of a sentence that hold, and those by which a story ends with its supposition."""
        begun = self._begins(tokens)
        if begun is not None:
            self._supposed, self._left = begun, _MOST_SENTENCES
        named = [one for one in tokens if one.letter == "C" and len(one.cells) == 1]
        self._cell = named[-1].cells[0] if named else self._cell
        if self._supposed is None:
            return claims
        ends = [one for one in claims if self._ends(one)]
        if ends:
            told = replace(ends[0], supposed=self._supposed)
            self._supposed = None
            return [told, *claims[claims.index(ends[0]) + 1 :]]
        if begun is None:
            self._left -= 1
            first = next((_plain(one) for one in tokens if one.letter != "K"), "")
            if self._firmly or first in self._small["goes on"]:
                claims = []
            if not self._left:
                self._supposed = None
        return claims

    def without_reductio(self, tokens: Sequence[Token], claims: Sequence[Heard]) -> list[Heard]:
        """The claims of a sentence without what would follow from a digit that was just ruled out.

        *c2 is not 9: c2 = 9, d2 = 3, two 3s*, *r1c4 <> 4, else r1c5 = 4 and r1c6 = 4*. What comes after
        *then* may be such.
        """
        kept: list[Heard] = []
        doubted = False
        for claim in claims:
            if self._struck.intersection(claim.places):
                break
            end = kept[-1].start + len(kept[-1].said) if kept and kept[-1].removes else None
            led = [
                _plain(one)
                for one in tokens
                if end is not None and end - 1 <= one.start < claim.start
            ]
            if self._small["otherwise"].intersection(led):
                break
            doubted = doubted or (":" in led and bool(self._small["then"].intersection(led)))
            kept.append(replace(claim, sure=claim.sure and not doubted))
            self._struck = frozenset(() if claim.left else claim.removes)
        if not tokens or tokens[-1].text not in ("!", "?"):  # *not 4?! r4c3 = 4 - ...*
            self._struck = frozenset()
        return kept

    def _begins(self, tokens: Sequence[Token]) -> tuple[Cell, int] | None:
        """The candidate that a sentence supposes to be true."""
        place = next(
            (at for at, one in enumerate(tokens) if _plain(one) in self._small["suppose"]), None
        )
        if place is None:
            return None
        row = [one for one in tokens[place:] if one.letter not in "w"]
        letters = "".join(one.letter for one in row)
        match = _SUPPOSED.match(letters)
        it = any(_plain(one) in self._small["it"] for one in tokens[place : place + 3])
        about_it = None if match or not it else _ABOUT_IT.match(letters)
        found = match or about_it
        if found is None:
            return None
        said = row[: found.end()]
        digits = next(one.digits for one in said if one.letter == "D")
        cells = next((one.cells for one in said if one.letter == "C"), ())
        if about_it and self._cell is not None:
            cells = (self._cell,)
        if len(digits) != 1 or len(cells) != 1:
            return None
        self._firmly = _plain(tokens[place]) not in self._small["if"]
        return cells[0], digits[0]

    def _ends(self, claim: Heard) -> bool:
        """Whether a claim is the opposite of the supposition, or another digit in its cell."""
        assert self._supposed is not None
        cell, digit = self._supposed
        other = any(at == cell and worth != digit for at, worth in claim.places)
        return other or self._supposed in claim.removes


def _plain(token: Token) -> str:
    return " ".join(token.text.casefold().split())
