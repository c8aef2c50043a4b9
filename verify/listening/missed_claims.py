"""Claims that were not understood: each may have been a step that seems left out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

_CLAIMS = 6
"""For so many claims after it a sentence that was not understood may be the step that is missing."""


class MissedClaims:
    """The digits of sentences that were not understood, each with how many claims have followed."""

    def __init__(self) -> None:
        self._missed: list[tuple[frozenset[int], int]] = []

    def next_claim(self, before: Iterable[Sequence[int]], *, counts: bool = True) -> None:
        """Count a claim, and add the digits of the sentences ``before`` it that were not understood."""
        later = int(counts)
        self._missed = [(one, age + later) for one, age in self._missed if age < _CLAIMS]
        for digits in before:
            self.add(digits)

    def add(self, digits: Sequence[int]) -> None:
        """Add the digits of a claim that was not understood."""
        self._missed.append((frozenset(digits), 0))

    def may_hold(self, digits: Iterable[int]) -> bool:
        """Whether one of them named some digits, or none that was understood."""
        return any(not one or not one.isdisjoint(digits) for one, _ in self._missed)

    @property
    def any(self) -> bool:
        """Whether there was one."""
        return bool(self._missed)

    def cover(self, steps: Iterable[Iterable[int]], *, spoken: bool) -> bool:
        """Whether each of some steps, given by its digits, may be one of them, no two the same.

        Of ``spoken`` ones the digits may not have been understood either, and one may be several steps.
        """
        left = list(self._missed)
        if spoken and left:
            return True
        for digits in steps:
            place = next((at for at, (one, _) in enumerate(left) if one & {*digits}), None)
            if place is None:
                return False
            del left[place]
        self._missed = left
        return True
