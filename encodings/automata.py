"""Deterministic finite automata over the digits of a line.

A rule that reads a line cell by cell (a pattern, a sandwich, how many digits are seen) is an
automaton: some states, and for each state and digit the state after it. `explore` makes one from a
step function, `patterns.py` from a pattern; the constraint language does the rest.

>>> rising = explore(0, range(1, 4), lambda last, digit: digit if digit > last else None)
>>> rising.accepts((1, 3)), rising.accepts((3, 1))
(True, False)
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import ClassVar, TypeVar

from gridassay.encodings.pace import pace

State = TypeVar("State", bound=Hashable)

STATE_LIMIT = 10_000
"""Default for `explore`."""


class TooManyStatesError(ValueError):
    """An automaton needs more than `limit` states."""

    def __init__(self, limit: int) -> None:
        super().__init__(limit)
        self.limit = limit

    def __str__(self) -> str:
        return f"more than {self.limit:,} states are needed"


@dataclass(frozen=True)
class Dfa:
    """A deterministic automaton: `step` maps a state and a symbol to the next state.

    Where `step` has no entry the word is rejected, whatever follows. Equality compares the numbered
    automata, not their languages; minimal automata over one alphabet are equal exactly if their
    languages are.
    """

    start: int
    accepting: frozenset[int]
    step: Mapping[tuple[int, int], int] = field(hash=False)

    @property
    def states(self) -> frozenset[int]:
        """Every state that occurs."""
        return frozenset(
            {self.start, *self.accepting, *(state for state, _ in self.step), *self.step.values()}
        )

    @property
    def needs(self) -> dict[int, int]:
        """The fewest symbols after which each state may accept; not those that never do."""
        before: dict[int, set[int]] = defaultdict(set)
        for (state, _), after in self.step.items():
            before[after].add(state)
        found = dict.fromkeys(self.accepting, 0)
        waiting = deque(found)
        while waiting:
            state = waiting.popleft()
            for earlier in before[state]:
                if earlier not in found:
                    found[earlier] = found[state] + 1
                    waiting.append(earlier)
        return found

    def accepts(self, word: Sequence[int]) -> bool:
        """Whether the automaton ends in an accepting state after reading the whole word."""
        state = self.start
        for symbol in word:
            after = self.step.get((state, symbol))
            if after is None:
                return False
            state = after
        return state in self.accepting

    def minimal(self, alphabet: Iterable[int]) -> Dfa:
        """The automaton with the fewest states that accepts the same words over `alphabet`.

        States are numbered from 0 as a breadth-first walk with the symbols in rising order meets
        them, so that equal languages give equal automata. A state from which nothing is accepted
        is left out, with the steps into it (but not the start).

        Partition refinement by Hopcroft ("An n log n algorithm for minimizing states in a finite
        automaton", 1971): of the two halves of a split block only the smaller need split others.
        """
        symbols = sorted(set(alphabet))
        total = self._total(symbols)._renumber(symbols)
        block_of = total._equivalent(symbols)
        merged = Dfa(
            block_of[total.start],
            frozenset(block_of[state] for state in total.accepting),
            {(block_of[s], symbol): block_of[t] for (s, symbol), t in total.step.items()},
        )
        return merged._alive()._renumber(symbols)

    def _total(self, symbols: Sequence[int]) -> Dfa:
        """The automaton with a step for every state and symbol, through a sink if necessary."""
        states = self.states
        sink = max(states) + 1
        step = {
            (state, symbol): self.step.get((state, symbol), sink)
            for state in sorted(states)
            for symbol in symbols
        }
        if sink in step.values():
            step.update({(sink, symbol): sink for symbol in symbols})
        return Dfa(self.start, self.accepting, step)

    def _alive(self) -> Dfa:
        """The automaton without steps into states from which no word is accepted."""
        before: dict[int, list[int]] = defaultdict(list)
        for (state, _), target in self.step.items():
            before[target].append(state)
        alive = set(self.accepting)
        waiting = list(alive)
        while waiting:
            for state in before[waiting.pop()]:
                if state not in alive:
                    alive.add(state)
                    waiting.append(state)
        step = {key: target for key, target in self.step.items() if target in alive}
        return Dfa(self.start, self.accepting, step)

    def _renumber(self, symbols: Sequence[int]) -> Dfa:
        """The automaton with only the reachable states, in the order in which they are reached."""

        def after(state: int, symbol: int) -> int | None:
            return self.step.get((state, symbol))

        return explore(
            self.start, symbols, after, self.accepting.__contains__, limit=len(self.states)
        )

    def _equivalent(self, symbols: Sequence[int]) -> dict[int, int]:
        """A block number for every state of a total automaton, one per class of equal behaviour."""
        before: dict[int, dict[int, set[int]]] = {symbol: defaultdict(set) for symbol in symbols}
        for (state, symbol), target in self.step.items():
            before[symbol][target].add(state)
        blocks = [set(self.accepting), set(self.states - self.accepting)]
        block_of = {state: i for i, block in enumerate(blocks) for state in block}
        waiting = {(min((0, 1), key=lambda i: len(blocks[i])), symbol) for symbol in symbols}
        while waiting:
            pace()
            splitter, symbol = waiting.pop()
            arriving: dict[int, set[int]] = defaultdict(set)
            for target in blocks[splitter]:
                for state in before[symbol][target]:
                    arriving[block_of[state]].add(state)
            for old, inside in arriving.items():
                if len(inside) == len(blocks[old]):
                    continue
                outside = blocks[old] - inside
                blocks[old] = outside
                new = len(blocks)
                blocks.append(inside)
                block_of.update(dict.fromkeys(inside, new))
                smaller = new if len(inside) <= len(outside) else old
                for other in symbols:
                    waiting.add((new if (old, other) in waiting else smaller, other))
        return block_of


class LateDfa(Dfa):
    """An automaton that is made when it is first needed; a large one is forgotten again.

    Those of long lines have a million steps, and a puzzle may have dozens of them. Equal ``key``s
    mean the same automaton, so that it is made once for neighbouring rules of a puzzle.
    """

    KEPT = 50_000
    """Steps up to which one is kept for good."""

    _last: ClassVar[tuple[object, Dfa]] = ((), Dfa(0, frozenset(), {}))

    def __init__(self, key: Hashable, make: Callable[[], Dfa]) -> None:
        vars(self).update(key=key, make=make)

    def _build(self) -> Dfa:
        kept: Dfa | None = vars(self).get("kept")
        if kept is not None:
            return kept
        key, last = LateDfa._last
        if key != vars(self)["key"]:
            last = vars(self)["make"]()
            LateDfa._last = vars(self)["key"], last
        if len(last.step) <= self.KEPT:
            vars(self)["kept"] = last
        return last

    def __reduce__(
        self,
    ) -> tuple[type[Dfa], tuple[int, frozenset[int], dict[tuple[int, int], int]]]:
        """Return a state that is complete, so that another process need not build it again."""
        return Dfa, (self.start, self.accepting, dict(self.step))

    @property
    def start(self) -> int:
        """Where a word begins."""
        return self._build().start

    @property
    def accepting(self) -> frozenset[int]:
        """Whether a word may end."""
        return self._build().accepting

    @property
    def step(self) -> Mapping[tuple[int, int], int]:
        """The next state by state and symbol."""
        return self._build().step


def _any_state(_: Hashable) -> bool:
    return True


def explore(
    start: State,
    alphabet: Iterable[int],
    step: Callable[[State, int], State | None],
    accepting: Callable[[State], bool] = _any_state,
    limit: int = STATE_LIMIT,
) -> Dfa:
    """The automaton of a step function, its states numbered from 0 in breadth-first order.

    `step` gives the state after a symbol, or None when nothing accepted can follow; `accepting`
    says which states a word may end in (all, if not given). Raises TooManyStatesError when more
    than `limit` states can be reached.
    """
    symbols = sorted(set(alphabet))
    number: dict[State, int] = {start: 0}
    waiting = deque([start])
    steps: dict[tuple[int, int], int] = {}
    while waiting:
        state = waiting.popleft()
        pace()
        for symbol in symbols:
            after = step(state, symbol)
            if after is None:
                continue
            if after not in number:
                if len(number) == limit:
                    raise TooManyStatesError(limit)
                number[after] = len(number)
                waiting.append(after)
            steps[number[state], symbol] = number[after]
    ends = frozenset(i for state, i in number.items() if accepting(state))
    return Dfa(0, ends, steps)
