"""Digits that must be in a cage or line: a digit of every filling leaves the cells that see its places.

An 8 cage of three cells is 1, 2, 5 or 1, 3, 4: wherever it lies in a box, the rest of the box has
no 1. The rule is read by its meaning, from the candidates of its cells; if it lets cells of one
house be equal, that house counts too: three cells of an arrow in one box differ. Doublers that must be
in it are told as well (``sure_doubler.py``).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import (
    Idea,
    cell_names,
    digit_names,
    premise_name,
    word_list,
)
from gridassay.verify.solving.board.position import ALL, Mark, Position, Zone, members
from gridassay.verify.solving.rule_meaning.fillings import RuleFillings, fillings_of
from gridassay.verify.solving.techniques import sure_doubler
from gridassay.verify.solving.techniques.house_words import rest_removal
from gridassay.verify.solving.techniques.strike_words import Strike
from gridassay.verify.solving.techniques.struck import no_repeats

NAME = "sure digit"

Ground = tuple[tuple[Zone, ...], tuple[Switch, ...]]
"""The houses that count in, and the premises by which the places see a target."""


def find(position: Position, touched: int = ALL) -> Iterator[Idea]:
    """For every rule: the strikes of its digits, those with one ground together.

    Only rules about some of the ``touched`` cells (a bit set) are read.
    """
    layout = position.layout
    yield from sure_doubler.find(position, touched)
    for rule in fillings_of(layout):
        # A rule on a whole house holds each digit by that house: these are locked candidates.
        if rule.whole or not rule.bits & touched:
            continue
        for (houses, links), removes in _grounds(position, rule).items():
            yield _idea(position, rule, houses, links, tuple(removes))


def with_more(
    position: Position, switch: Switch, own: Sequence[Mark], more: Sequence[Mark]
) -> Idea | None:
    """The strikes of some digits of one rule, those of which some are its ``own`` or ``more``.

    None if they do not have all of these.
    """
    wanted = {*own, *more}
    for rule in fillings_of(position.layout):
        if rule.switch != switch:
            continue
        together: dict[
            tuple[tuple[Zone, ...], frozenset[int]], tuple[list[Switch], list[Mark]]
        ] = {}
        for (houses, links), removes in _grounds(position, rule).items():
            if not wanted.isdisjoint(removes):
                key = houses, frozenset(digit for _, digit in removes)
                several, marks = together.setdefault(key, ([], []))
                several += links
                marks += removes
        for (houses, _), (several, marks) in together.items():
            if wanted <= {*marks}:
                return _idea(position, rule, houses, tuple(dict.fromkeys(several)), tuple(marks))
    return None


def _grounds(position: Position, rule: RuleFillings) -> dict[Ground, list[Mark]]:
    """The strikes of a rule's digits, those with one ground together."""
    layout = position.layout
    grounds: dict[Ground, list[Mark]] = {}
    for digit, cells in enumerate(position.where):
        spots = cells & rule.bits
        if not spots & (spots - 1):
            continue
        targets = cells & ~rule.bits & layout.seen_by_all(spots)
        if not targets or not rule.must_hold(position, rule.houses, 1 << digit):
            continue
        houses = rule.houses_needed(position, 1 << digit)
        for target in members(targets):
            ground = (houses, layout.links(members(spots), target))
            grounds.setdefault(ground, []).append((target, digit))
    return grounds


def _idea(
    position: Position,
    rule: RuleFillings,
    houses: tuple[Zone, ...],
    links: tuple[Switch, ...],
    removes: tuple[Mark, ...],
) -> Idea:
    digits = tuple(dict.fromkeys(digit for _, digit in removes))
    spots = [(1 << digit, members(position.where[digit] & rule.bits)) for digit in digits]
    cells = rule.cells_needed(position, houses, spots)
    places = tuple(sorted({cell for _, cells in spots for cell in cells}))
    # "In these cells" tells that the rule's other cells have lost the digits.
    lost = tuple(cell for cell in rule.cells if cell not in places)
    return Idea(
        NAME,
        removes=removes,
        cells=tuple(dict.fromkeys((*cells, *lost))),
        switches=tuple(dict.fromkeys((*rule.switches(houses), *links))),
        shown=rule.cells,
        core=places,
        digits=digits,
        say=partial(_say, position, rule, houses, links, cells, digits, places, removes),
    )


def _say(
    position: Position,
    rule: RuleFillings,
    houses: tuple[Zone, ...],
    links: tuple[Switch, ...],
    cells: tuple[int, ...],
    digits: tuple[int, ...],
    places: tuple[int, ...],
    removes: tuple[Mark, ...],
) -> str:
    layout = position.layout
    head = premise_name(layout, rule.switch)
    if houses:
        names = word_list(premise_name(layout, house.switch) for house in houses)
        head += no_repeats(head, names)
    strike = Strike.of(position, rule.piece, houses, cells, (), removes)
    why = strike.must_hold(sum(1 << digit for digit in digits))
    end = rest_removal(position, links, rule.bits, removes)
    named, where = digit_names(layout, digits), cell_names(layout, places, "or")
    if why:
        verb = "is" if len(digits) == 1 else "are"
        return f"{head}: {why}; its {named} {verb} in {where}, {end}"
    comma = "," if houses else ""
    return f"{head}{comma} must hold {named}, in {where}, {end}"
