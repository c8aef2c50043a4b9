"""Strikes of a letter in numbers: "r1c1 and r1c2 make at least 3 and never 5, so A is 3, 4 or 6"."""

from __future__ import annotations

from dataclasses import replace

from gridassay.verify.solving.rule_meaning.sums import extent, fillings
from gridassay.verify.solving.techniques.bounds import bounds, is_letter
from gridassay.verify.solving.techniques.facts import Makes, MakesNever
from gridassay.verify.solving.techniques.struck import Struck


def by_letter(strike: Struck) -> str:
    """The amounts that the cells of a total make, if only the letter of that total is struck."""
    total, layout = strike.total, strike.layout
    struck = {unknown for unknown, _ in strike.struck}
    if total is None or total.amount or len(struck) != 1:
        return ""
    (letter,) = struck
    if not is_letter(layout, letter) or strike.beside:
        return ""
    cells = [place for place, unknown in enumerate(total.cells) if unknown != letter]
    weight = total.weights[total.cells.index(letter)]
    if {total.weights[place] for place in cells} != {-weight} or abs(weight) != 1:
        return ""
    part = replace(total.among(cells), weights=(1,) * len(cells))
    masks = [strike.masks[cell] for cell in part.cells]
    low, high = extent(part, masks, layout.domains)
    gone = sorted(layout.domains[letter][place] for _, place in strike.struck)
    never = tuple(value for value in gone if low <= value <= high)
    if any(
        fillings(replace(part, amount=value), masks, layout.domains, 0) != [] for value in never
    ):
        return ""
    least = low if gone[0] < low else None
    most = high if gone[-1] > high else None
    if least is None and most is None:
        return ""
    made = Makes(part.cells, least, most).words(layout)
    said = [strike.they(made, part.cells)]
    said += [MakesNever(never).words(layout)] if never else []
    end = bounds(strike.position, strike.struck)
    return f"{strike.premises()}{''.join(said)}, so {end}"
