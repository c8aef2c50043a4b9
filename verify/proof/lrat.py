"""From a DRAT proof to an LRAT proof: the hints, and only the clauses that are needed.

A DRAT proof leaves the checker to search for the propagation that shows each clause; an LRAT proof
names the clauses to propagate, in order. Forwards, a solver of python-sat propagates each step and says
which literals followed, in order. Backwards from the contradiction, only steps that are needed (Goldberg
and Novikov 2003) are looked at again: for each literal that took part, a clause is found from which it
followed, if possible one of the formula. Literals that follow from the clauses alone become one-literal
clauses with their own lines, so that no hint list has to repeat their derivation.

Deletions are neither followed nor written. The checker looks only at the hinted clauses, so clauses no
longer used cost it no time, while lines that delete them would make the proof longer.

This module need not be trusted: `checker.check_lrat` follows every hint again.
"""

from array import array
from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from gridassay.verify.proof.checker import (
    UNFINISHED,
    DratStep,
    Look,
    LratStep,
    ProofRefused,
    Propagator,
    go_on,
    not_implied,
)

PROPAGATING = "minisat22"  # tells the literals in order, and the literal at which they clash
MOST_KEPT = (
    20_000_000  # literals of propagations kept for the way back; beyond it, hints are found at once
)


def with_hints(
    clauses: Sequence[Sequence[int]], steps: Iterable[DratStep], look: Look = go_on
) -> list[LratStep]:
    """Turn a DRAT refutation of the clauses into an LRAT one that holds only what it needs.

    ``look`` is called regularly and may raise to stop. Raises `ProofRefused` if a step does not follow
    from all those before it, deleted ones too, or if no contradiction does.
    """
    from pysat.solvers import Solver

    with Solver(name=PROPAGATING) as solver:
        replay = _Replay(solver, look)
        if replay.start(clauses):
            return replay.backwards()
        for step in steps:
            look()
            if not step.delete and replay.follow(step):
                return replay.backwards()
    raise ProofRefused(UNFINISHED)


def to_text(steps: Iterable[LratStep]) -> str:
    """Write an LRAT proof, one step per line."""
    lines = []
    for step in steps:
        numbers = (step.number, *step.literals, 0, *step.hints, 0)
        lines.append(" ".join(map(str, numbers)) + "\n")
    return "".join(lines)


def to_drat(steps: Iterable[LratStep]) -> str:
    """Write the clauses of an LRAT proof as a DRAT proof without deletions.

    Each follows by unit propagation from those before it, since its hints are among them.
    """
    return "".join(f"{' '.join(map(str, (*step.literals, 0)))}\n" for step in steps)


class _Why(NamedTuple):
    """The reason of a step: literals that were true for good, then indices of clauses, in order."""

    units: list[int]
    clauses: list[int]


class _Followed(NamedTuple):
    """A step that was added: what was known before, and what followed from its denial."""

    known: int  # how many literals were true for good
    step: DratStep
    trail: Sequence[int] = ()  # in order; the last literal is false already, or was denied
    why: _Why | None = None  # if it was found at once


class _Derived(NamedTuple):
    """A line of the LRAT proof: the index of its clause, its literals, and its hints as indices."""

    clause: int
    literals: tuple[int, ...]
    hints: tuple[int, ...]


class _Replay:
    """A proof being replayed, forwards and then backwards. Clauses are known by their index."""

    def __init__(self, solver: Any, look: Look) -> None:
        self._top = Propagator(look)  # what is true for good, and why
        self._solver = solver
        self._look = look
        self._n_clauses = 0
        self._number: list[int] = []  # in the formula, by index of a clause of it
        self._started: frozenset[int] = frozenset()  # what is true for good by the formula alone
        self._followed: dict[int, _Followed] = {}  # by index of the clause of a step
        self._grew: dict[
            int, slice
        ] = {}  # by index of a clause: the literals that became true for good
        self._kept = 0
        self._indexed = 0  # how many clauses are in the following two
        self._place: dict[int, int] = {}  # of a literal that is true for good: on the trail
        # By literal: what it follows from by a clause of two literals, and by which.
        self._short: defaultdict[int, dict[int, int]] = defaultdict(dict)
        self._long: defaultdict[int, list[int]] = defaultdict(list)  # by literal, in order
        self._needed: set[int] = set()
        self._unit: dict[int, int] = {}  # by literal true for good and needed: index of its line
        self._no_clause = -2  # the next index of a line that is not a clause of the DRAT proof
        self._derived: list[_Derived] = []  # the last one first

    def start(self, formula: Sequence[Sequence[int]]) -> bool:
        """Add the clauses of the formula; return whether all is refuted now."""
        self._n_clauses = len(formula)
        true, later = self._top.true, []
        for number, clause in enumerate(formula, 1):
            if len(clause) > 1:
                later.append((number, clause))
            elif self._add(clause, number):
                return True
        for number, clause in later:
            # Clauses that say nothing any longer are left out: given digits make that many.
            if true.isdisjoint(clause) and self._add(clause, number):
                return True
        self._solver.append_formula(self._top.clauses)
        self._started = frozenset(true)
        return False

    def follow(self, step: DratStep) -> bool:
        """Add the clause of a step, which must follow; return whether all is refuted now."""
        top = self._top
        known = len(top.trail)
        if top.is_idle(step.literals):
            return False  # nothing can need it
        denied = [-literal for literal in step.literals if -literal not in top.true]
        holds, followed = self._solver.propagate(denied)
        if holds:
            raise not_implied(step)
        opposite = {-literal for literal in denied}
        clash = next((at for at, literal in enumerate(followed) if literal in opposite), None)
        if clash is not None:  # the solver went on, or found it when it came to deny that literal
            followed = followed[: clash + 1]
        index = len(top.clauses)
        found = _Followed(known, step, array("i", followed))
        if self._kept + len(followed) > MOST_KEPT:
            found = _Followed(known, step, why=self._why(found, index))
        self._kept += len(found.trail)
        self._followed[index] = found
        self._solver.add_clause(step.literals)
        return self._add(step.literals)

    def _add(self, literals: Sequence[int], number: int = 0) -> bool:
        """Add a clause, with its number in the formula; return whether all is refuted now."""
        top = self._top
        index, known = len(top.clauses), len(top.trail)
        if number:
            self._number.append(number)
        self._conflict = top.add(literals)
        if len(top.trail) > known:
            self._grew[index] = slice(known, len(top.trail))
            for place in range(known, len(top.trail)):
                self._place[top.trail[place]] = place
        return self._conflict is not None

    def backwards(self) -> list[LratStep]:
        """The lines that the contradiction needs, numbered without gaps."""
        top = self._top
        assert self._conflict is not None
        conflict = top.clauses[self._conflict]
        self._derive((), _Why([-literal for literal in conflict], [self._conflict]))
        for index in sorted(self._grew.keys() | self._followed.keys(), reverse=True):
            for literal in reversed(top.trail[self._grew.get(index, slice(0))]):
                if self._unit.get(literal, 0) < 0:
                    reason = top.reason[literal]
                    others = [-other for other in top.clauses[reason] if other != literal]
                    self._derive((literal,), _Why(others, [reason]), self._unit[literal])
            if index in self._needed and index in self._followed:
                self._look()
                followed = self._followed[index]
                why = followed.why or self._why(followed, index)
                self._derive(followed.step.literals, why, index)
        return self._steps()

    def _why(self, followed: _Followed, index: int) -> _Why:
        """The clauses from which the last literal of a trail follows, where it clashes."""
        known, step, trail, _ = followed
        self._index()
        clauses = self._top.clauses
        last = len(trail) - 1
        at = {literal: place for place, literal in enumerate(trail) if place < last}
        denied = {-literal for literal in step.literals}
        backwards = [self._reason(trail[last], last, at, known, index)]
        used = {-literal for literal in clauses[backwards[0]]}
        for place in range(last - 1, -1, -1):
            literal = trail[place]
            if literal in used and literal not in denied:
                reason = self._reason(literal, place, at, known, index)
                backwards.append(reason)
                used.update(-other for other in clauses[reason] if other != literal)
        return _Why([u for u in used if u not in at and u not in denied], backwards[::-1])

    def _index(self) -> None:
        """Know the clauses by their literals, but for those that the formula alone makes idle."""
        clauses = self._top.clauses
        for index in range(self._indexed, len(clauses)):
            clause = clauses[index]
            if not self._started.isdisjoint(clause):
                continue
            if len(clause) == 2:
                for one, other in (clause, reversed(clause)):
                    self._short[one].setdefault(-other, index)
            else:
                for literal in clause:
                    self._long[literal].append(index)
        self._indexed = len(clauses)

    def _reason(self, literal: int, place: int, at: dict[int, int], known: int, index: int) -> int:
        """A clause before ``index`` whose other literals were false before a place of the trail."""
        short = self._short[literal]
        for other in short.keys() & at.keys():
            if at[other] < place and short[other] < index:
                return short[other]
        clauses, top = self._top.clauses, self._place
        for found in self._long[literal]:
            if found >= index:
                break
            for other in clauses[found]:
                if other == literal:
                    continue
                there = at.get(-other)
                if (top.get(-other, known) >= known) if there is None else (there >= place):
                    break
            else:
                return found
        raise AssertionError("the solver propagated what no clause says")

    def _unit_of(self, literal: int) -> int:
        """The index of the line that says a literal which is true for good."""
        if literal not in self._unit:
            reason = self._top.reason[literal]
            if len(self._top.clauses[reason]) == 1:
                self._needed.add(reason)
                self._unit[literal] = reason
            else:
                self._unit[literal] = self._no_clause
                self._no_clause -= 1
        return self._unit[literal]

    def _derive(self, literals: Sequence[int], why: _Why, index: int = -1) -> None:
        """Write a line, from the last to the first. All that it rests on is needed from now on."""
        self._needed.update(why.clauses)
        hints = (*map(self._unit_of, sorted(why.units)), *why.clauses)
        self._derived.append(_Derived(index, tuple(dict.fromkeys(literals)), hints))

    def _steps(self) -> list[LratStep]:
        first = self._n_clauses
        lines = list(enumerate(reversed(self._derived), 1))
        number = dict(enumerate(self._number))
        number |= {line.clause: first + place for place, line in lines}
        return [
            LratStep(
                place,
                first + place,
                line.literals,
                tuple(number[hint] for hint in line.hints),
            )
            for place, line in lines
        ]
