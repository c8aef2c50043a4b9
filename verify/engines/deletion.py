"""Sets from which nothing can be left out, found by leaving out one member after another.

Deletion, as in J. Marques-Silva, "Minimal unsatisfiability: models, algorithms and applications", ISMVL
2010: a member stays if the others are not enough without it. Where an answer also tells what it rested
on, everything else is left out at once (refinement by clause sets, A. Belov, I. Lynce and J.
Marques-Silva, "Towards efficient MUS extraction", AI Communications 25, 2012).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from typing import TypeVar

Item = TypeVar("Item")


def irreducible(
    items: Iterable[Item], rests_on: Callable[[list[Item]], Collection[Item] | None]
) -> list[Item]:
    """Those of the items, in their order, that are enough together and none of which can be left out.

    All of them together are enough. ``rests_on`` gives those of fewer items on which it rests that
    they are enough; None if they are not, or if that would take too long to see: then the one that was
    left out stays. The items are different from each other, and are left out in their order.
    """
    kept = list(items)
    for one in tuple(kept):
        if one in kept:
            fewer = [other for other in kept if other != one]
            enough = rests_on(fewer)
            if enough is not None:
                kept = [other for other in fewer if other in enough]
    return kept


def fewest(items: Iterable[Item], enough: Callable[[list[Item]], bool]) -> list[Item]:
    """The same, if an answer tells only whether some of the items are enough."""
    return irreducible(items, lambda some: some if enough(some) else None)
