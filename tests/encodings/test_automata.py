"""Automata: the languages of built ones, complements, and fewest states."""

from collections.abc import Iterator
from itertools import permutations, product
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridassay.encodings.automata import Dfa, TooManyStatesError, explore

ALPHABET = (1, 2, 3)


@st.composite
def automata(draw: st.DrawFn) -> Dfa:
    size = draw(st.integers(1, 6))
    states = st.integers(0, size - 1)
    keys = st.tuples(states, st.sampled_from(ALPHABET))
    return Dfa(
        draw(states),
        draw(st.frozensets(states)),
        draw(st.dictionaries(keys, states, max_size=3 * size)),
    )


def words(longest: int) -> Iterator[tuple[int, ...]]:
    for length in range(longest + 1):
        yield from product(ALPHABET, repeat=length)


def language(dfa: Dfa, longest: int = 5) -> set[tuple[int, ...]]:
    return {word for word in words(longest) if dfa.accepts(word)}


def futures(dfa: Dfa) -> set[frozenset[tuple[int, ...]]]:
    """The continuations of every word read: the classes of Myhill and Nerode (1958).

    States of an automaton with n states that differ at all differ on a word shorter than n (Moore
    1956), and all that can be reached are reached by such a word; a sink may make one more state
    of six here.
    """
    found = set()
    for start in words(6):
        state: int | None = dfa.start
        for symbol in start:
            state = None if state is None else dfa.step.get((state, symbol))
        if state is not None:
            found.add(state)
    return {frozenset(language(Dfa(state, dfa.accepting, dfa.step), 6)) for state in found}


@given(automata())
def test_minimal_accepts_the_same_words(dfa: Dfa) -> None:
    assert language(dfa.minimal(ALPHABET)) == language(dfa)


@given(automata())
def test_minimal_has_a_state_for_each_future_that_accepts_something(dfa: Dfa) -> None:
    alive = futures(dfa) - {frozenset()}
    assert len(dfa.minimal(ALPHABET).states) == max(1, len(alive))


@given(automata())
def test_equal_languages_give_equal_minimal_automata(dfa: Dfa) -> None:
    minimal = dfa.minimal(ALPHABET)
    assert hash(dfa.minimal(ALPHABET)) == hash(minimal)
    renamed = Dfa(
        minimal.start + 7,
        frozenset(state + 7 for state in minimal.accepting),
        {(s + 7, symbol): t + 7 for (s, symbol), t in minimal.step.items()},
    )
    assert renamed.minimal(ALPHABET) == minimal


def test_minimal_of_an_empty_language_is_one_lonely_state() -> None:
    assert Dfa(3, frozenset({9}), {(3, 1): 4, (4, 1): 3}).minimal([1]) == Dfa(0, frozenset(), {})


def test_symbols_outside_the_alphabet_are_rejected() -> None:
    everything = explore(0, ALPHABET, lambda state, symbol: state)
    assert everything.accepts((1, 2, 3))
    assert not everything.accepts((1, 4))


@pytest.mark.parametrize("length", range(6))
def test_strictly_rising_words_are_counted_by_binomials(length: int) -> None:
    rising = explore(0, range(1, 7), lambda last, digit: digit if digit > last else None)
    accepted = [word for word in product(range(1, 7), repeat=length) if rising.accepts(word)]
    assert len(accepted) == comb(6, length)
    assert len(rising.states) == 7


def test_explored_seen_counts_give_stirling_numbers() -> None:
    # Unsigned Stirling numbers of the first kind, row 5 (OEIS A132393, from memory).
    for seen, expected in enumerate([0, 24, 50, 35, 10, 1]):

        def step(state: tuple[int, int], digit: int) -> tuple[int, int]:
            top, count = state
            return (digit, count + 1) if digit > top else state

        dfa = explore((0, 0), range(1, 6), step, lambda state, seen=seen: state[1] == seen)
        assert sum(dfa.accepts(order) for order in permutations(range(1, 6))) == expected


def test_explore_numbers_states_as_it_meets_them() -> None:
    thirds = explore("none", [2, 1], lambda state, symbol: f"{state}{symbol}"[-1], "1".__eq__)
    assert thirds == Dfa(
        0,
        frozenset({1}),
        {(0, 1): 1, (0, 2): 2, (1, 1): 1, (1, 2): 2, (2, 1): 1, (2, 2): 2},
    )


def test_explore_stops_at_its_limit() -> None:
    assert len(explore(0, [1], lambda n, _: n + 1 if n < 9 else None, limit=10).states) == 10
    with pytest.raises(TooManyStatesError, match="more than 10 states"):
        explore(0, [1], lambda n, _: n + 1, limit=10)
