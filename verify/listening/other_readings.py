"""Other readings of a claim that is false as it was heard.

A listener pairs a digit with the cell beside it, but people also say the digit first. A claim that is
false, while the same digit is true in the cell on its other side, was heard wrongly, not said wrongly.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from gridassay.encodings.grid import Cell
from gridassay.verify.listening.clauses import Span
from gridassay.verify.listening.heard import Heard, Pair
from gridassay.verify.listening.token import Token, letters_of

_BETWEEN = frozenset("wIHJEGU")
"""What may stand between a digit and its cell: *the nine in row eight is row eight column seven*."""
_PLAIN = re.compile(
    "(?P<cell>C)(?:K[^CDKS]+K)?[wK]*E[wE]*(?P<digit>D)(?!w*[UI]|&w*U)|^[wSK&]*(?P<digit2>D)[wG]*I[wI]*(?P<cell2>C)w*$"
)
"""*Row four column two is a six*; not *is the six of them*, *is six and something*."""
_IN_CELL = re.compile("D[wIGEH]*$")
"""Before a cell that has its digit before it."""
_NUMBER = re.compile(r"\d{2,}|/")
_DENIED_BEFORE, _DENIED_AFTER = re.compile("X[EI]*$"), re.compile("[EG]*X[EG]*(?:$|[SBPTK])")


def with_others(
    claims: Sequence[Heard], said: Sequence[Token], following: Sequence[Token]
) -> list[Heard]:
    """The claims of a sentence with what they may say instead.

    ``following`` are the tokens of the next sentence, if nothing parts it from this one.
    """
    return [
        _with_others(claim, said, following)
        if len(claim.places) == 1
        else replace(claim, near=_struck_before(claim, said))
        if claim.removes and not claim.near
        else claim
        for claim in claims
    ]


def _struck_before(claim: Heard, said: Sequence[Token]) -> tuple[Pair, ...]:
    """A strike of digits from the cells before them: *r2c3, so it isn't six either, r2c4 and r2c5*."""
    cells = {cell for cell, _ in claim.removes}
    digits = dict.fromkeys(digit for _, digit in claim.removes)
    named = [one for one in said if one.letter == "C" and one.firm]
    own = next((place for place, one in enumerate(named) if cells & {*one.cells}), 0)
    spoken = [one for one in said if one.letter == "D" and {*one.digits} & {*digits}]
    if not own or not spoken or spoken[0].start < named[own - 1].start:
        return ()
    if any(one.letter == "F" and spoken[0].end <= one.start < named[own].start for one in said):
        return ()  # *7 is out of r2c3* says of which cell
    wanted = [one for one in digits if any(one in token.digits for token in spoken[:1])]
    return tuple((cell, digit) for cell in named[own - 1].cells for digit in wanted)


def _with_others(claim: Heard, said: Sequence[Token], following: Sequence[Token]) -> Heard:
    tokens = [*said, *following]
    (own,) = claim.places
    if claim.sure and _is_plain(said, own):
        return replace(claim, doubtful=claim.doubtful and not _is_cut_short(said))
    near, alone = [], []
    bound = set()
    for place, token in enumerate(tokens):
        if token.letter != "D":
            continue
        after, before = _beside(tokens[place + 1 :]), _beside(tokens[:place][::-1])
        bound |= {*after, *before}
        here = own[0] in (*after, *before)
        if here and token.digits == (own[1],):
            near += [(cell, own[1]) for cell in (*after, *before)]
        elif (len(token.digits) == 1 or token.either) and (here or not (*after, *before)):
            alone += [(own[0], digit) for digit in token.digits]
    near += [(cell, own[1]) for one in said if own[0] in one.cells for cell in one.others]
    far = [(cell, own[1]) for one in said for cell in _cell(one) if cell not in bound]
    return replace(
        claim,
        near=tuple(dict.fromkeys(pair for pair in near if pair != own)),
        far=tuple(dict.fromkeys([*alone, *far])),
    )


def _is_plain(said: Sequence[Token], own: Pair) -> bool:
    """Whether nothing but a verb stands between a cell and its digit: *row four column two is a six*."""
    letters = letters_of(
        replace(one, letter="&") if one.text.casefold() == "and" else one for one in said
    )
    for match in _PLAIN.finditer(letters):
        turned = "2" if match["cell2"] else ""
        cell, digit = (said[match.start(f"{one}{turned}")] for one in ("cell", "digit"))
        words = {one.text.strip() for one in said[match.start() : match.end()]}
        plain = not _IN_CELL.search(letters[: match.start()]) and ":" not in words
        if plain and cell.firm and cell.cells == own[:1] and digit.digits == own[1:]:
            return True
    return False


def _is_cut_short(said: Sequence[Token]) -> bool:
    """Whether a sentence breaks off with *no*, which does not deny what it said."""
    return sum(one.letter == "X" for one in said) == 1 and any(
        one.letter == "X" and one.text.casefold() == "no" for one in said
    )


def _beside(tokens: Sequence[Token]) -> tuple[Cell, ...]:
    """The one cell that comes first among some tokens, if nothing that parts comes before it."""
    for token in tokens:
        if token.letter == "C":
            return _cell(token)
        if token.letter not in _BETWEEN:
            break
    return ()


def _cell(token: Token) -> tuple[Cell, ...]:
    return token.cells if token.letter == "C" and token.firm and len(token.cells) == 1 else ()


def apart(claims: Sequence[Heard]) -> list[Heard]:
    """The claims of a talk, none of which may say instead what another one beside it says."""
    kept = []
    for place, claim in enumerate(claims):
        said = {pair for one in claims[max(0, place - 2) : place + 3] for pair in one.places}
        near = tuple(pair for pair in claim.near if pair not in said)
        kept.append(
            replace(claim, near=near, far=tuple(pair for pair in claim.far if pair not in said))
        )
    return kept


def is_doubtful(row: Sequence[Token], span: Span, claim: Heard, digits: int, *, sums: bool) -> bool:
    """Whether the words of a claim say more than was heard, so that it cannot be called wrong.

    A *not* beside a placement, a number taken for two digits (*16/2*) if there may be ``sums``, and every
    digit of a cell struck (of ``digits``).
    """
    letters = "".join(token.letter for token in row)
    inside, then = row[span.first : span.end], letters[span.end :]
    if inside[-1].letter == "D" and ":" in {one.text.strip() for one in inside} and then[:1] == "E":
        return True  # *r6c6: 8 is away* says something of the digit
    if claim.left and inside[0].letter == "D" and re.match("[BEJ]*D", then):
        return True  # *8 or 9, r3c4: 2 3*
    if any(_NUMBER.search(one.text) for one in row[span.first : span.end] if one.letter == "D"):
        return claim.left and sums
    if claim.removes:
        struck = [digit for cell, digit in claim.removes if cell == claim.removes[0][0]]
        return len(struck) >= digits
    before, after = letters[: span.first], letters[span.end :]
    return bool(_DENIED_BEFORE.search(before) or _DENIED_AFTER.match(after))
