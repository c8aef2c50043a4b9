"""Lightest hitting sets held against every subset."""

from __future__ import annotations

import random
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridassay.verify.budget import Clock, OutOfTime, TooHard
from gridassay.verify.engines.hitting_sets import LightestHitting


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.integers(1, 4), min_size=1, max_size=8),
    st.lists(st.sets(st.integers(0, 7), min_size=1), max_size=12),
)
def test_lightest_hitting_sets_grow_as_brute_force_says(
    weights: list[int], wanted: list[set[int]]
) -> None:
    count = len(weights)
    family: list[set[int]] = []
    with LightestHitting(weights) as hitting:
        for members in wanted:
            family.append({member % count for member in members})
            hitting.add(family[-1])
            least = min(
                sum(w for w, on in zip(weights, bits, strict=True) if on)
                for bits in product((False, True), repeat=count)
                if all(any(bits[m] for m in members) for members in family)
            )
            found = hitting.find(sum(weights), Clock(10))
            assert found is not None
            assert all(found & members for members in family)
            assert sum(weights[number] for number in found) == least == hitting.lower_bound
            assert hitting.find(least - 1, Clock(10)) is None


def test_excluded_hitting_sets_do_not_return() -> None:
    with LightestHitting([1] * 4) as hitting:
        hitting.add({0, 1})
        hitting.add({2, 3})
        seen = set()
        while (found := hitting.find(2, Clock(10))) is not None:
            seen.add(frozenset(found))
            hitting.exclude(found)
    assert seen == {frozenset(pair) for pair in product((0, 1), (2, 3))}


def test_without_sets_nothing_is_chosen() -> None:
    with LightestHitting([1] * 5) as hitting:
        assert hitting.lightest(Clock(60)) == frozenset()


def test_a_bound_that_grows_set_by_set() -> None:
    # Thirty disjoint pairs need thirty members; a triangle more needs two of its three.
    with LightestHitting([1] * 63) as hitting:
        for pair in range(30):
            hitting.add({2 * pair, 2 * pair + 1})
            assert len(hitting.lightest(Clock(60))) == pair + 1
        for one in combinations((60, 61, 62), 2):
            hitting.add(one)
        assert len(hitting.lightest(Clock(60))) == 32


def test_time_stops_it() -> None:
    # Sets that overlap all over: a hard cover, which no bound from disjoint sets settles.
    chance = random.Random(1)
    with LightestHitting([1] * 60) as hitting:
        for _ in range(600):
            hitting.add(chance.sample(range(60), 6))
        with pytest.raises(OutOfTime):
            hitting.lightest(Clock(0.2))


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.integers(0, 3), min_size=1, max_size=4),
    st.lists(st.integers(1, 3), min_size=1, max_size=4),
    st.lists(
        st.tuples(st.sets(st.integers(0, 7)), st.sets(st.integers(0, 7), max_size=2)), max_size=10
    ),
)
def test_sets_under_a_condition_and_numbers_added_later(
    first: list[int], more: list[int], wanted: list[tuple[set[int], set[int]]]
) -> None:
    weights = [*first, *more]
    family: list[tuple[set[int], set[int]]] = []
    with LightestHitting(first) as hitting:
        count = len(first)
        for place, (members, when) in enumerate(wanted):
            if place == len(wanted) // 2:
                assert hitting.elements(more) == range(count, len(weights))
                count = len(weights)
            one, other = ({number % count for number in some} for some in (members, when))
            family.append((one, other))
            hitting.add(one, when=other)
            sets = [
                frozenset(number for number, on in enumerate(bits) if on)
                for bits in product((False, True), repeat=count)
            ]
            meeting = [
                found
                for found in sets
                if all(found & one or not other <= found for one, other in family)
            ]
            found = hitting.find(sum(weights), Clock(10))
            if not meeting:
                assert found is None
                return
            assert found in meeting
            weigh = [sum(weights[number] for number in some) for some in (found, *meeting)]
            assert weigh[0] == min(weigh) == hitting.lower_bound


def test_effort_stops_it() -> None:
    chance = random.Random(1)
    with LightestHitting([1] * 60, effort=500) as hitting:
        for _ in range(600):
            hitting.add(chance.sample(range(60), 6))
        with pytest.raises(TooHard):
            hitting.lightest(Clock(60))
