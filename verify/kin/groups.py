"""Among many puzzles, those that are the same one in disguise; by solution too, and so near kin."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime
from gridassay.verify.counting.verdict import check
from gridassay.verify.faults import Disagreement
from gridassay.verify.kin.examine import solution_grid
from gridassay.verify.kin.form import canonical
from gridassay.verify.kin.transformation import Transformation, between, carries, turning


@dataclass(frozen=True)
class KinGroup:
    """Puzzles that are one in disguise, in the order given; ``ways`` lead each later one back.

    ``ways[0]`` takes ``puzzles[1]`` onto ``puzzles[0]``, and so on; None where the time ran out once
    the forms were known. ``form`` is their canonical form,
    None for a puzzle, alone, whose form was not found in time.
    """

    form: str | None
    puzzles: tuple[Puzzle, ...]
    ways: tuple[Transformation | None, ...]

    def to_json(self) -> list[str]:
        """The sources, as the JSON contract has them."""
        return [puzzle.source for puzzle in self.puzzles]

    def ways_json(self) -> list[dict[str, Any]]:
        """The ways back for programs."""
        return [
            {"from": puzzle.source, "to": self.puzzles[0].source, **way.to_json()}
            for puzzle, way in zip(self.puzzles[1:], self.ways, strict=True)
            if way is not None
        ]


def kin_groups(
    puzzles: Iterable[Puzzle], *, budget: float = DEFAULT_SECONDS
) -> tuple[KinGroup, ...]:
    """Group puzzles that are kin; each stands in one group, a group where its first puzzle stood.

    ``budget`` is in seconds a puzzle; one whose form is not found in time stands alone. Every way has
    been checked by its plain meaning; Disagreement is raised should one not hold.
    """
    return grouped(((puzzle, form_in_time(puzzle, budget)) for puzzle in puzzles), budget)


def grouped(
    forms: Iterable[tuple[Puzzle, str | None]], budget: float = DEFAULT_SECONDS
) -> tuple[KinGroup, ...]:
    """The same for puzzles with the texts of their forms, None for what was not found in time."""
    return tuple(
        KinGroup(
            form,
            tuple(found),
            tuple(_way_in_time(puzzle, found[0], budget) for puzzle in found[1:]),
        )
        for form, found in _by_form(forms)
    )


def _by_form(
    forms: Iterable[tuple[Puzzle, str | None]],
) -> Iterator[tuple[str | None, list[Puzzle]]]:
    members: dict[str | int, list[Puzzle]] = {}
    for number, (puzzle, form) in enumerate(forms):
        members.setdefault(number if form is None else form, []).append(puzzle)
    for key, found in members.items():
        yield (key if isinstance(key, str) else None), found


def form_in_time(puzzle: Puzzle, budget: float) -> str | None:
    """The text of the canonical form, or None where the budget ran out."""
    try:
        return canonical(puzzle, budget=budget).text
    except OutOfTime:
        return None


def _way_in_time(first: Puzzle, second: Puzzle, budget: float) -> Transformation | None:
    try:
        return way_between(first, second, budget)
    except OutOfTime:
        return None


def way_between(first: Puzzle, second: Puzzle, budget: float = DEFAULT_SECONDS) -> Transformation:
    """A way from one puzzle to another that is kin to it, checked by its plain meaning.

    Raises ValueError where they are no kin, OutOfTime, and Disagreement should the check fail.
    """
    clock = Clock(budget)
    one, other = canonical(first, budget=clock), canonical(second, budget=clock)
    if one.text != other.text:
        raise ValueError(f"{first.source} and {second.source} are no kin")
    way = between(first, one, second, other)
    if one.automorphisms(clock) > 1:
        # There are other ways, and one may be a plain turn.
        way = turning(first, second, clock) or way
    if not carries(way, first, second, clock):
        raise Disagreement(
            f"{first.source} and {second.source} have one form, and yet: {way.words()}, does not "
            "take one onto the other"
        )
    return way


@dataclass(frozen=True)
class SameSolution:
    """Puzzles with one solution grid up to symmetry.

    ``grids`` groups the solution grids. ``kin`` are the puzzles, those together that are the same in
    disguise: where there are several, puzzles of different ones are *near kin*, with one solution and
    other givens or rules.
    """

    grids: KinGroup
    kin: tuple[tuple[Puzzle, ...], ...]


def same_solutions(
    puzzles: Iterable[Puzzle], *, budget: float = DEFAULT_SECONDS
) -> tuple[tuple[SameSolution, ...], tuple[Puzzle, ...]]:
    """Group puzzles by their solution grids, and list those that have not one solution, or not in time.

    The grid alone counts, as a filled-in canvas without rules. ``budget`` is in seconds a puzzle.
    """
    solved: list[tuple[Puzzle, Puzzle]] = []
    unsolved = []
    for puzzle in puzzles:
        verdict = check(puzzle, budget=budget)
        if verdict.status == "unique":
            solved.append((puzzle, solution_grid(puzzle, verdict.solutions[0])))
        else:
            unsolved.append(puzzle)
    owner = {id(grid): puzzle for puzzle, grid in solved}
    found = []
    for group in kin_groups((grid for _, grid in solved), budget=budget):
        owners = [owner[id(grid)] for grid in group.puzzles]
        kin = _by_form((puzzle, form_in_time(puzzle, budget)) for puzzle in owners)
        found.append(SameSolution(group, tuple(tuple(members) for _, members in kin)))
    return tuple(found), tuple(unsolved)
