"""Why a rule rules a candidate out, perhaps with its houses: what would follow from it, to a clash.

Only what the step rests on is known: candidates of some cells, places of some digits, what is placed in
the houses. From the supposed candidate a few things follow one after the other, as one sees them: a
digit with one place left in a house, a cell with one digit left, what the rule then makes of its
cells. Where that does not end in a clash, the few cases of one cell or digit are gone through. Each
step is proved when it is taken, and what the clash does not need is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from gridassay.verify.solving.board.ideas import Spot
from gridassay.verify.solving.board.position import Mark, Position, Zone, bits_of, members
from gridassay.verify.solving.rule_meaning.arguments import (
    MOST_NEEDED,
    Act,
    Argument,
    Clash,
    Loss,
    State,
    is_short,
    shorter,
    told_first,
)
from gridassay.verify.solving.rule_meaning.shortages import (
    places_in,
    short_of_cells,
    short_of_digits,
)
from gridassay.verify.solving.rule_meaning.small_engine import About
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes, reader_of

_MOST_CHOICES = 10
"""Cells and digits whose cases are tried."""

_MOST_HAD = 4
"""The most values that an unknown is said to have, all of which are ruled out."""

_MOST_ACTS = 12


class Clashes:
    """Finds the arguments against candidates that a reading strikes."""

    def __init__(self, position: Position, reading: RuleStrikes, cells: Iterable[int]) -> None:
        """The candidates of the ``cells`` are known, and the places of the reading's digits."""
        self._layout = layout = position.layout
        self._scope = reading.piece.scope
        self._zones = tuple(dict.fromkeys((*reading.zones, *(zone for _, zone in reading.spots))))
        self._full = [zone for zone in self._zones if zone.full]
        around = (cell for zone in self._zones for cell in zone.cells)
        self._unknowns = tuple(dict.fromkeys((*self._scope, *around)))
        self._desk, self._on = reader_of(layout).desk(reading)
        self._board = position.copy()
        self._rule_strikes: dict[tuple[int, ...], tuple[Mark, ...] | None] = {}
        self._rule_needs: dict[tuple[int, ...], int] = {}
        self._position = position
        self._housed = bits_of(cell for zone in self._zones for cell in zone.cells)
        self._start = State([], set())
        self.know(cells, reading.spots)

    def know(self, cells: Iterable[int], spots: Iterable[Spot]) -> None:
        """Only these candidates and places of digits are known, and what is placed in the houses."""
        position = self._position
        masks = list(self._layout.full)
        known = {*cells, *members(position.placed & self._housed)}
        for unknown in known:
            masks[unknown] = position.masks[unknown]
        for digit, zone in spots:
            for cell in members(zone.bits & ~position.where[digit]):
                masks[cell] &= ~(1 << digit)
        self._start = State(masks, set())
        for unknown in [one for one in known if masks[one].bit_count() == 1]:
            self._decide(self._start, unknown)

    def again(self, mark: Mark, told: Argument) -> Argument | None:
        """An argument from what is now known, with what it then leaves; None if it does not hold."""
        return self._check(mark, told)

    def argument(self, mark: Mark, *, least: bool = False) -> Argument | None:
        """The argument against one candidate; None if none is short enough.

        With ``least``, the rule strikes only what is used, which may be the same for several.
        """
        told = []
        for rule_first in (False, True):
            state = self._start.copy()
            self._suppose(state, mark)
            found = self._follow(state, rule_first=rule_first)
            kept = found and self._trim(mark, found, least=least)
            if kept:
                told.append(kept)
        return min(told, key=lambda one: one.weight, default=None)

    def _suppose(self, state: State, mark: Mark) -> None:
        state.masks[mark[0]] = 1 << mark[1]
        self._decide(state, mark[0])

    def _decide(self, state: State, unknown: int) -> None:
        """Say what an unknown is; its digit goes from the cells of its houses."""
        state.decided.add(unknown)
        if self._layout.is_cell(unknown):
            for zone in self._zones:
                if zone.bits >> unknown & 1:
                    for peer in zone.cells:
                        if peer != unknown:
                            state.masks[peer] &= ~state.masks[unknown]

    def _apply(self, state: State, act: Act) -> None:
        for unknown, value in act.places:
            state.masks[unknown] = 1 << value
            self._decide(state, unknown)
        for unknown, value in act.removes:
            state.masks[unknown] &= ~(1 << value)
        for unknown in dict.fromkeys(unknown for unknown, _ in act.removes):
            if state.masks[unknown].bit_count() == 1 and unknown not in state.decided:
                self._decide(state, unknown)

    def _follow(
        self, state: State, *, rule_first: bool = False, cases: bool = True
    ) -> Argument | None:
        """Everything that follows, and at the end perhaps cases."""
        ways = (self._strikes, self._singles) if rule_first else (self._singles, self._strikes)
        acts: list[Act] = []
        while len(acts) <= _MOST_ACTS:
            clashes = list(self._clashes(state))
            if clashes:
                return Argument(tuple(acts), min(clashes, key=lambda clash: clash.weight))
            now = list(ways[0](state)) or list(ways[1](state))
            if not now:
                break
            acts += now
            for act in now:
                self._apply(state, act)
        return self._by_cases(state, tuple(acts)) if cases else None

    def _by_cases(self, state: State, acts: tuple[Act, ...]) -> Argument | None:
        best: Argument | None = None
        for digit, zone, marks in list(self._choices(state))[:_MOST_CHOICES]:
            found = []
            for mark in marks:
                supposed = state.copy()
                self._suppose(supposed, mark)
                case = self._follow(supposed, cases=False)
                if case is None:
                    break
                found.append((mark, case))
            if len(found) < len(marks):
                continue
            told = Argument(acts, None, tuple(found), digit, zone)
            if best is None or told.weight < best.weight:
                best = told
        return best

    def _choices(self, state: State) -> Iterator[tuple[int | None, Zone | None, list[Mark]]]:
        """Digits with few places and unknowns with few candidates, the fewest first."""
        found: list[tuple[int | None, Zone | None, list[Mark]]] = []
        for zone in self._full:
            for digit in range(len(self._layout.digits)):
                places = places_in(state, digit, zone)
                if 1 < len(places) <= MOST_NEEDED:
                    found.append((digit, zone, [(cell, digit) for cell in places]))
        for unknown in self._unknowns:
            mask = state.masks[unknown]
            if 1 < mask.bit_count() <= MOST_NEEDED:
                found.append((None, None, [(unknown, value) for value in members(mask)]))
        yield from sorted(found, key=lambda one: len(one[2]))

    def _singles(self, state: State) -> Iterator[Act]:
        taken: set[int] = set()
        for zone in self._full:
            for digit in range(len(self._layout.digits)):
                places = places_in(state, digit, zone)
                if len(places) == 1 and places[0] not in state.decided | taken:
                    taken.add(places[0])
                    yield Act(((places[0], digit),), zone)
        for unknown in self._unknowns:
            mask = state.masks[unknown]
            if mask.bit_count() == 1 and unknown not in state.decided | taken:
                yield Act(((unknown, mask.bit_length() - 1),))

    def _strikes(self, state: State) -> Iterator[Act]:
        struck = self._by_rule(state)
        if struck:
            yield Act(removes=struck)

    def _by_rule(self, state: State) -> tuple[Mark, ...] | None:
        """The strikes of the rule from its own unknowns, in order; None if it has no filling."""
        key = tuple([state.masks[one] for one in self._scope])
        if key not in self._rule_strikes:
            about = self._about(state.masks)
            self._rule_strikes[key] = (
                None
                if self._desk.empty(self._on, about)
                else tuple(sorted(self._desk.strikes(self._board, self._on, self._scope, about)))
            )
        return self._rule_strikes[key]

    def _about(self, masks: list[int]) -> About:
        # Desks look only at the candidates.
        self._board.masks = masks
        return self._desk.about_cells(self._board, self._scope)

    def _clashes(self, state: State) -> Iterator[Clash]:
        for zone in self._zones:
            yield from short_of_digits(state, zone)
            if zone.full:
                yield from short_of_cells(state, zone, self._layout.all_digits)
        if all(state.masks[unknown] for unknown in self._scope) and self._by_rule(state) is None:
            yield min(self._short_of_values(state), key=told_first, default=Clash())

    def _short_of_values(self, state: State) -> Iterator[Clash]:
        """The unknowns that have none of the values which the rule then leaves to them."""
        for unknown in self._scope:
            wanted = self._needed_values(state, unknown) if self._is_needy(state, unknown) else 0
            have = state.masks[unknown]
            if wanted and is_short(wanted, have):
                yield Clash((unknown,), needs=wanted)
            elif wanted and have.bit_count() <= _MOST_HAD:
                yield Clash((unknown,), needs=wanted, have=have, by_have=True)

    def _is_needy(self, state: State, unknown: int) -> bool:
        """Whether an unknown is open, or was known before anything was supposed."""
        return unknown not in state.decided or unknown in self._start.decided

    def _loss(self, state: State, unknown: int, wanted: int, also: Sequence[int]) -> Loss:
        """When an unknown lost what the rule needs of it, and whether another cell took it then."""
        if not any(wanted & self._start.masks[one] for one in (unknown, *also)):
            return "before"
        if also:
            return "then"
        peers = [
            peer
            for zone in self._zones
            if self._layout.is_cell(unknown) and zone.bits >> unknown & 1
            for peer in zone.cells
            if peer in state.decided and peer != unknown
        ]
        took = wanted.bit_count() == 1 and any(state.masks[peer] == wanted for peer in peers)
        return "to another" if took else "then"

    def _needed_values(self, state: State, unknown: int) -> int:
        """The values that the rule leaves to an unknown, if it has none of them any more; else 0."""
        have, full = state.masks[unknown], self._layout.full[unknown]
        masks = state.masks[:]
        masks[unknown] = full
        key = unknown, *(masks[one] for one in self._scope)
        if key not in self._rule_needs:
            about = self._about(masks)
            own = [(unknown, value) for value in members(full)]
            gone = self._desk.refuted(own, self._on, about)
            self._rule_needs[key] = full & ~bits_of(value for _, value in gone)
        wanted = self._rule_needs[key]
        if wanted & have:
            return 0
        taken = 0
        for zone in self._zones if self._layout.is_cell(unknown) else ():
            if zone.bits >> unknown & 1:
                for peer in zone.cells:
                    if peer in state.decided:
                        taken |= state.masks[peer]
        return wanted & ~taken or wanted

    def _trim(self, mark: Mark, found: Argument, *, least: bool) -> Argument | None:
        """The same without what is not needed, its strikes with what they leave."""
        told = self._check(mark, found)
        if told is None:
            return None
        trying = True
        while trying:
            trying = False
            for less in shorter(told, least=least):
                kept = self._check(mark, less)
                if kept is not None:
                    told, trying = kept, True
                    break
        return told

    def _check(self, mark: Mark, told: Argument) -> Argument | None:
        state = self._start.copy()
        self._suppose(state, mark)
        return self._holds(state, told)

    def _holds(self, state: State, told: Argument) -> Argument | None:
        """The argument on the board as it then is; None if a part of it does not follow."""
        acts = []
        for act in told.acts:
            if not self._follows(state, act):
                return None
            self._apply(state, act)
            changed = dict.fromkeys(unknown for unknown, _ in act.removes)
            left = tuple((one, state.masks[one], self._layout.full[one]) for one in changed)
            acts.append(replace(act, left=left))
        if told.clash is not None:
            clash = self._still(state, told.clash)
            return Argument(tuple(acts), clash) if clash else None
        unknown = told.cases[0][0][0]
        if told.digit is not None and told.zone is not None:
            open_marks = {(c, told.digit) for c in places_in(state, told.digit, told.zone)}
        else:
            open_marks = {(unknown, value) for value in members(state.masks[unknown])}
        if open_marks != {mark for mark, _ in told.cases}:
            return None
        cases = []
        for mark, case in told.cases:
            supposed = state.copy()
            self._suppose(supposed, mark)
            kept = self._holds(supposed, case)
            if kept is None:
                return None
            cases.append((mark, kept))
        return replace(told, acts=tuple(acts), cases=tuple(cases))

    def _follows(self, state: State, act: Act) -> bool:
        for unknown, value in act.places:
            if act.zone is None:
                if state.masks[unknown] != 1 << value:
                    return False
            elif places_in(state, value, act.zone) != [unknown]:
                return False
        if not act.removes:
            return True
        return set(act.removes) <= set(self._by_rule(state) or ())

    def _also(self, state: State, unknown: int, wanted: int) -> tuple[int, ...]:
        """The other open cells in which the rule would do with the one digit that an unknown needs."""
        if wanted & (wanted - 1) or not self._layout.is_cell(unknown):
            return ()
        masks = state.masks[:]
        lacking = [
            one
            for one in self._scope
            if self._layout.is_cell(one)
            and one not in (unknown, *state.decided)
            and not masks[one] & wanted
        ]
        for one in (unknown, *lacking):
            masks[one] |= wanted
        marks = [(one, wanted.bit_length() - 1) for one in lacking]
        gone = self._desk.refuted(marks, self._on, self._about(masks))
        return tuple(one for one, digit in marks if (one, digit) not in gone)

    def _still(self, state: State, clash: Clash) -> Clash | None:
        """The clash on the board as it then is."""
        if clash.needs:
            (unknown,) = clash.cells
            if not self._is_needy(state, unknown) or not state.masks[unknown]:
                return None
            if self._by_rule(state) is not None:
                return None
            wanted = self._needed_values(state, unknown)
            known, have = unknown in state.decided, state.masks[unknown]
            told = have.bit_count() <= _MOST_HAD if clash.by_have else is_short(wanted, have)
            if not wanted or not told:
                return None
            also = () if clash.by_have or known else self._also(state, unknown, wanted)
            lost = self._loss(state, unknown, wanted, also)
            return replace(clash, needs=wanted, have=have, known=known, lost=lost, also=also)
        if clash.zone is None:
            return clash if self._by_rule(state) is None else None
        union = 0
        if clash.by_digits:
            for digit in clash.digits:
                union |= bits_of(places_in(state, digit, clash.zone))
            cells = members(union)
            return replace(clash, cells=cells) if len(cells) < len(clash.digits) else None
        for cell in clash.cells:
            union |= state.masks[cell]
        digits = members(union)
        return replace(clash, digits=digits) if len(digits) < len(clash.cells) else None
