"""The evidence that questions about the fillings of a rule have given, kept for later ones.

A question is a set of premises, as bits, and perhaps a candidate: is there a filling that has it and
breaks none of these? Every filling found is kept as the premises that it breaks, every refutation as
the premises that were enough for it. So a filling answers each question of whose premises it breaks
none, and a refutation each question that has all of its premises.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

_KEPT = 60
"""The latest fillings and refutations that are kept for each candidate."""


class Evidence(NamedTuple):
    """Whether there is a filling: the premises that it breaks, or those that are enough against it."""

    found: bool
    premises: int


class EvidenceBook:
    """Fillings and refutations, by the candidates that they are about."""

    def __init__(self) -> None:
        self._fillings: dict[int, list[Evidence]] = {}
        self._refutations: dict[int, list[Evidence]] = {}

    def filling(self, candidate: int, premises: int) -> Evidence | None:
        """A filling that has a candidate (a bit; 0 for any) and breaks none of these premises."""
        for one in self._fillings.get(candidate, ()):
            if not one.premises & premises:
                return one
        return None

    def refutation(self, candidate: int, premises: int) -> Evidence | None:
        """A refutation of a candidate by some of these premises."""
        for one in self._refutations.get(candidate, ()):
            if not one.premises & ~premises:
                return one
        return None

    def keep(self, candidates: Iterable[int], evidence: Evidence) -> None:
        """Keep what is known about each of these candidates."""
        kept = self._fillings if evidence.found else self._refutations
        for candidate in candidates:
            several = kept.setdefault(candidate, [])
            several.insert(0, evidence)
            del several[_KEPT:]
