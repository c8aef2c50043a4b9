"""Groups of puzzles that are the same in disguise, or that have the same solution grid."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.wording import quantity
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, looking_at_arguments
from gridassay.verify.counting.verdict import check
from gridassay.verify.faults import Disagreement
from gridassay.verify.in_short import InShort
from gridassay.verify.kin.examine import solution_grid
from gridassay.verify.kin.form import canonical
from gridassay.verify.kin.transformation import Transformation, between, carries, turning


@dataclass(frozen=True, repr=False)
class KinGroup(InShort):
    """Puzzles that are the same in disguise; ``ways`` lead each later one back to the first.

    ``ways[0]`` takes ``puzzles[1]`` onto ``puzzles[0]``, and so on; None if the time ran out once
    the forms were known. ``form`` is their canonical form,
    None for a puzzle, alone, whose form was not found in time.
    """

    form: str | None
    puzzles: tuple[Puzzle, ...]
    ways: tuple[Transformation | None, ...]

    def in_short(self) -> str:
        """How many puzzles, and where they came from."""
        named = [puzzle.title or puzzle.source for puzzle in self.puzzles]
        return f"{quantity(len(named), 'puzzle')}: {', '.join(named)}"

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


@looking_at_arguments
def kin_groups(
    puzzles: Iterable[Puzzle], *, budget: float = DEFAULT_SECONDS
) -> tuple[KinGroup, ...]:
    """Group puzzles that are kin; groups come in the order of their first puzzles.

    ``budget`` is in seconds per puzzle; one whose form is not found in time is alone in its group.
    Every way has been checked by its plain meaning; Disagreement is raised if one does not hold.
    """
    return groups_of(((puzzle, form_in_time(puzzle, budget)) for puzzle in puzzles), budget=budget)


def groups_of(
    forms: Iterable[tuple[Puzzle, str | None]], *, budget: float = DEFAULT_SECONDS
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
    """The text of the canonical form, or None if the budget ran out."""
    try:
        return canonical(puzzle, budget=budget).text
    except OutOfTime:
        return None


def _way_in_time(first: Puzzle, second: Puzzle, budget: float) -> Transformation | None:
    try:
        return way_between(first, second, budget=budget)
    except OutOfTime:
        return None


def way_between(
    first: Puzzle, second: Puzzle, *, budget: float = DEFAULT_SECONDS
) -> Transformation:
    """A way from one puzzle to another that is kin to it, checked by its plain meaning.

    Raises ValueError if they are not kin, OutOfTime, or Disagreement if the check fails.
    """
    clock = Clock(budget)
    one, other = canonical(first, budget=clock), canonical(second, budget=clock)
    if one.text != other.text:
        raise ValueError(f"{first.source} and {second.source} are not kin")
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
    """Puzzles with the same solution grid up to symmetry.

    ``grids`` groups the solution grids. ``kin`` groups the puzzles that are the same in
    disguise. Puzzles of different groups are *near kin*: they have the same solution but other
    givens or rules.
    """

    grids: KinGroup
    kin: tuple[tuple[Puzzle, ...], ...]


@looking_at_arguments
def same_solutions(
    puzzles: Iterable[Puzzle], *, budget: float = DEFAULT_SECONDS
) -> tuple[tuple[SameSolution, ...], tuple[Puzzle, ...]]:
    """Group puzzles by their solution grids, and list those without one solution found in time.

    The grid alone counts, as a filled-in canvas without rules. ``budget`` is in seconds per puzzle.
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
