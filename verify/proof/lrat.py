"""From a DRAT proof to an LRAT proof: the hints, and only the clauses that are needed.

A DRAT proof leaves the checker to search for the propagation that shows each clause; an LRAT proof
names the clauses to propagate, in order. The proof is replayed forwards with the checker's own
`Propagator`, which remembers from which clause each literal follows; walking back from the conflict
collects the clauses that took part. Literals that follow from the clauses alone become one-literal
clauses with their own lines, so that no hint list has to repeat their derivation. Then, backwards
from the empty clause, only used clauses are kept (Goldberg and Novikov 2003 mark the used clauses
in this way; Wetzler, Heule and Hunt 2014 for DRAT) and numbered afresh.

No deletions are written. The checker looks only at the hinted clauses, so clauses no longer
used cost it no time, while lines that delete them would make the proof longer.

This module need not be trusted: `checker.check_lrat` follows every hint again.
"""

from collections.abc import Iterable, Sequence

from gridassay.verify.proof.checker import (
    ASSUMED,
    UNFINISHED,
    DratStep,
    Look,
    LratStep,
    ProofRefused,
    Propagator,
    go_on,
    not_implied,
)


def with_hints(
    clauses: Sequence[Sequence[int]], steps: Iterable[DratStep], look: Look = go_on
) -> list[LratStep]:
    """Turn a DRAT refutation of the clauses into an LRAT one that holds only what it needs.

    ``look`` is called regularly and may raise to stop.

    Raises `ProofRefused` for the same proofs, and with the same words, as `checker.check_drat`.
    """
    replay = _Replay(len(clauses), look)
    for clause in clauses:
        if replay.add(clause):
            return replay.trimmed()
    for step in steps:
        if step.delete:
            replay.propagator.delete(step.literals)
        elif not replay.propagator.is_idle(step.literals):
            hints = replay.hints(step)
            if replay.add(step.literals, hints):
                return replay.trimmed()
    raise ProofRefused(UNFINISHED)


def to_text(steps: Iterable[LratStep]) -> str:
    """Write an LRAT proof, one step per line."""
    lines = []
    for step in steps:
        numbers = (step.number, *step.literals, 0, *step.hints, 0)
        lines.append(" ".join(map(str, numbers)) + "\n")
    return "".join(lines)


class _Replay:
    """A proof being replayed: the clauses so far, their LRAT numbers, and how each was derived."""

    def __init__(self, n_clauses: int, look: Look) -> None:
        self.propagator = Propagator(look)
        self._n_clauses = n_clauses  # of the formula; derived clauses are numbered after those
        self._derived: list[tuple[tuple[int, ...], tuple[int, ...]]] = []  # literals, hints
        self._number: list[int] = []  # by the propagator's index of a clause
        self._unit: dict[int, int] = {}  # by literal true for good: the number of its own clause

    def add(self, literals: Sequence[int], hints: tuple[int, ...] | None = None) -> bool:
        """Add a clause, of the formula when it has no hints; return whether all is refuted now."""
        propagator = self.propagator
        known = len(propagator.trail)
        if hints is None:
            self._number.append(len(self._number) + 1)
        else:
            self._number.append(self._derive(literals, hints))
        conflict = propagator.add(literals)
        for literal in propagator.trail[known:]:
            index = propagator.reason[literal]
            others = [other for other in propagator.clauses[index] if other != literal]
            self._unit[literal] = (
                self._derive((literal,), self._falsifying(others, index))
                if others
                else self._number[index]
            )
        if conflict is not None:
            self._derive((), self._falsifying(propagator.clauses[conflict], conflict))
        return conflict is not None

    def hints(self, step: DratStep) -> tuple[int, ...]:
        """The numbers of the clauses that show by propagation, in this order, that a step follows.

        Raises `ProofRefused` when it does not follow.
        """
        propagator = self.propagator
        known = len(propagator.trail)
        conflict = propagator.refute(step.literals)
        if conflict is None:
            raise not_implied(step)
        backwards = [self._number[conflict]]
        used = {-literal for literal in propagator.clauses[conflict]}
        for literal in reversed(propagator.trail[known:]):
            index = propagator.reason[literal]
            if literal in used and index != ASSUMED:
                backwards.append(self._number[index])
                used.update(-other for other in propagator.clauses[index])
        propagator.undo(known)
        # The rest was true beforehand: an assumption of the step, or true for good.
        used.difference_update([-literal for literal in step.literals])
        units = [self._unit[literal] for literal in used if literal in propagator.true]
        return (*sorted(units), *reversed(backwards))

    def trimmed(self) -> list[LratStep]:
        """The derived clauses that the last one needs, numbered without gaps."""
        first = self._n_clauses + 1
        needed = {len(self._derived) - 1}
        for position in range(len(self._derived) - 1, -1, -1):
            if position in needed:
                needed.update(hint - first for hint in self._derived[position][1] if hint >= first)
        number = {first + position: first + rank for rank, position in enumerate(sorted(needed))}
        steps = []
        for line, position in enumerate(sorted(needed), 1):
            literals, hints = self._derived[position]
            renumbered = tuple(number.get(hint, hint) for hint in hints)
            steps.append(LratStep(line, number[first + position], literals, renumbered))
        return steps

    def _derive(self, literals: Sequence[int], hints: tuple[int, ...]) -> int:
        self._derived.append((tuple(dict.fromkeys(literals)), hints))
        return self._n_clauses + len(self._derived)

    def _falsifying(self, literals: Iterable[int], index: int) -> tuple[int, ...]:
        """Hints for a clause whose given literals are false for good."""
        return (*sorted({self._unit[-literal] for literal in literals}), self._number[index])
