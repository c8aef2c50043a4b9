"""Terms say what constraints say: equal terms are equal in meaning, reflections keep it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridassay.encodings.automata import explore
from gridassay.encodings.constraints import (
    AllDifferent,
    AnyOf,
    Automaton,
    Compare,
    Constraint,
    Count,
    HowMany,
    In,
    Permutation,
    Sum,
    Table,
)
from gridassay.encodings.grid import Cell
from gridassay.verify.kin.terms import Digit, Member, Term, map_term, reflect, term_of

CELLS = tuple(Cell(1, column) for column in range(1, 4))
DIGITS = frozenset({1, 2, 3})
SOME_CELLS = st.lists(st.sampled_from(CELLS), min_size=2, max_size=3)
SOME_DIGITS = st.frozensets(st.sampled_from(sorted(DIGITS)), min_size=1)
ROWS = list(product(DIGITS, repeat=2))


def automaton(cells: list[Cell], threshold: int) -> Automaton:
    """The word's total is at least the threshold."""
    dfa = explore(0, DIGITS, lambda total, digit: min(total + digit, 9), lambda t: t >= threshold)
    return Automaton(tuple(cells), dfa)


SIMPLE: st.SearchStrategy[Constraint] = st.one_of(
    st.builds(In, st.sampled_from(CELLS), SOME_DIGITS, st.booleans()),
    st.builds(
        Compare,
        st.sampled_from(CELLS),
        st.sampled_from(["==", "!=", "<="]),
        st.sampled_from(CELLS),
        st.integers(-1, 1),
    ),
    st.builds(AllDifferent, SOME_CELLS.map(tuple)),
    st.just(Permutation(CELLS, DIGITS)),
    st.builds(
        lambda cells, relation, total, sign: Sum(
            tuple(cells), relation, total, (sign,) + (1,) * (len(cells) - 1)
        ),
        SOME_CELLS,
        st.sampled_from(["==", "!=", "<=", ">="]),
        st.integers(-2, 7),
        st.sampled_from([-1, 1, 2]),
    ),
    st.builds(
        Table,
        st.permutations(CELLS).map(lambda cells: tuple(cells[:2])),
        st.frozensets(st.sampled_from(ROWS)),
        st.booleans(),
    ),
    st.builds(automaton, SOME_CELLS, st.integers(2, 7)),
    st.builds(Count, SOME_CELLS.map(tuple), SOME_DIGITS, st.frozensets(st.integers(0, 3))),
)
CONSTRAINTS: st.SearchStrategy[Constraint] = st.one_of(
    SIMPLE,
    st.builds(AnyOf, st.lists(SIMPLE, max_size=3).map(tuple)),
    st.builds(HowMany, st.lists(SIMPLE, max_size=3).map(tuple), st.frozensets(st.integers(0, 3))),
)


def accepted(constraint: Constraint) -> set[tuple[int, ...]]:
    return {
        values
        for values in product(sorted(DIGITS), repeat=3)
        if constraint.holds(dict(zip(CELLS, values, strict=True)))
    }


def renamings(numeric: bool) -> Iterator[dict[int, int]]:
    for order in permutations(sorted(DIGITS)) if not numeric else [(1, 2, 3)]:
        yield dict(zip(sorted(DIGITS), order, strict=True))


@settings(max_examples=400, deadline=None)
@given(first=CONSTRAINTS, second=CONSTRAINTS)
def test_what_maps_a_term_onto_another_maps_the_meaning(
    first: Constraint, second: Constraint
) -> None:
    one, other = term_of(first, DIGITS), term_of(second, DIGITS)
    for places in permutations(range(3)):
        for digits in renamings(one.numeric):

            def image(
                member: Member, places: tuple[int, ...] = places, digits: dict[int, int] = digits
            ) -> Member:
                if isinstance(member, Digit):
                    return Digit(digits[member.value])
                return member if isinstance(member, Term) else CELLS[places[CELLS.index(member)]]  # type: ignore[arg-type]

            landed = set()
            for values in accepted(first):
                moved = [0, 0, 0]
                for place, value in zip(places, values, strict=True):
                    moved[place] = digits[value]
                landed.add(tuple(moved))
            if map_term(one, image) == other:
                assert landed == accepted(second)


@settings(max_examples=300, deadline=None)
@given(constraint=CONSTRAINTS)
def test_a_reflection_accepts_the_reflected(constraint: Constraint) -> None:
    turned = {tuple(4 - value for value in values) for values in accepted(constraint)}
    assert accepted(reflect(constraint, 4)) == turned


def test_orders_of_writing_that_mean_the_same_are_one_term() -> None:
    a, b, c = CELLS
    even = frozenset({(1, 2), (2, 1), (3, 3)})
    palindromes = explore((), DIGITS, _longer, _palindrome_of_three)
    pairs: list[tuple[Constraint, Constraint]] = [
        (Compare(a, "!=", b), Compare(b, "!=", a)),
        (Compare(a, "==", b, 1), Compare(b, "==", a, -1)),
        (AllDifferent((a, b, c)), Permutation((c, a, b), DIGITS)),
        (In(a, frozenset({1, 2})), In(a, frozenset({3}), inside=False)),
        (Sum((a, b), "==", 1, (1, -1)), Sum((b, a), "==", -1, (1, -1))),
        (Sum((a, b), ">=", 4), Sum((b, a), "<=", -4, (-1, -1))),
        (Table((a, b), even), Table((b, a), even)),
        (Automaton((a, b, c), palindromes), Automaton((c, b, a), palindromes)),
    ]
    for first, second in pairs:
        assert term_of(first, DIGITS) == term_of(second, DIGITS)


def _longer(word: tuple[int, ...], digit: int) -> tuple[int, ...] | None:
    return (*word, digit) if len(word) < 3 else None


def _palindrome_of_three(word: tuple[int, ...]) -> bool:
    return len(word) == 3 and word == word[::-1]


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (Compare(CELLS[0], "<=", CELLS[1]), Compare(CELLS[1], "<=", CELLS[0])),
        (Sum(CELLS, "==", 5), Sum(CELLS, "==", 6)),
        (Sum(CELLS, "==", 6), Sum(CELLS, "==", 6, distinct=True)),
        (Table(CELLS[:2], frozenset({(1, 2)})), Table(CELLS[1::-1], frozenset({(1, 2)}))),
    ],
)
def test_what_differs_in_meaning_differs(first: Constraint, second: Constraint) -> None:
    assert term_of(first, DIGITS) != term_of(second, DIGITS)
