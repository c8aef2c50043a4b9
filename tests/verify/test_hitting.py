"""Smallest hitting sets held against every subset."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.hitting import HittingSets

MEMBERS = 8
SETS = st.lists(st.frozensets(st.integers(0, MEMBERS - 1), min_size=1), max_size=12)


def best(sets: list[frozenset[int]], split: int) -> tuple[int, int]:
    """The cost of a cheapest hitting set: members below ``split``, then the others."""
    return min(
        (sum(member < split for member in chosen), sum(member >= split for member in chosen))
        for size in range(MEMBERS + 1)
        for chosen in combinations(range(MEMBERS), size)
        if all(not members.isdisjoint(chosen) for members in sets)
    )


@settings(max_examples=60, deadline=None)
@given(SETS, st.integers(0, MEMBERS))
def test_the_smallest_after_every_set(sets: list[frozenset[int]], split: int) -> None:
    with HittingSets(MEMBERS, split) as hitting:
        for known, members in enumerate(sets, start=1):
            hitting.add(members)
            found = hitting.smallest(Clock(60))
            assert all(not one.isdisjoint(found) for one in sets[:known])
            cost = sum(m < split for m in found), sum(m >= split for m in found)
            assert cost == best(sets[:known], split)


def test_without_sets_nothing_is_chosen() -> None:
    with HittingSets(5) as hitting:
        assert hitting.smallest(Clock(60)) == frozenset()


def test_a_bound_that_grows_past_the_first_counter() -> None:
    # Thirty disjoint pairs need thirty members; a triangle more needs two of its three.
    with HittingSets(63) as hitting:
        for pair in range(30):
            hitting.add({2 * pair, 2 * pair + 1})
            assert len(hitting.smallest(Clock(60))) == pair + 1
        for one in combinations((60, 61, 62), 2):
            hitting.add(one)
        assert len(hitting.smallest(Clock(60))) == 32


def spread_out(number: int) -> set[int]:
    return {(number * step * step + 7 * number) % 400 for step in range(1, 9)}


def test_time_stops_it() -> None:
    # Sets that overlap all over: a hard cover, which no bound from disjoint sets settles.
    with HittingSets(400) as hitting:
        for number in range(900):
            hitting.add(spread_out(number))
        with pytest.raises(OutOfTime):
            hitting.smallest(Clock(0.2))
