"""Among many puzzles, those that are the same one in disguise; by solution too, and so near kin."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime
from gridassay.verify.kin.examine import solution_grid
from gridassay.verify.kin.form import canonical
from gridassay.verify.kin.transformation import Transformation, between, carries
from gridassay.verify.verdict import Disagreement, check


@dataclass(frozen=True)
class Group:
    """Puzzles that are one in disguise, in the order given; ``ways`` lead each later one back.

    ``ways[0]`` takes ``puzzles[1]`` onto ``puzzles[0]``, and so on. ``form`` is their canonical form,
    None for a puzzle, alone, whose form was not found in time.
    """

    form: str | None
    puzzles: tuple[Puzzle, ...]
    ways: tuple[Transformation, ...]

    def to_json(self) -> list[str]:
        """The sources, as the JSON contract has them."""
        return [puzzle.source for puzzle in self.puzzles]

    def ways_json(self) -> list[dict[str, Any]]:
        """The ways back for programs."""
        return [
            {"from": puzzle.source, "to": self.puzzles[0].source, **way.to_json()}
            for puzzle, way in zip(self.puzzles[1:], self.ways, strict=True)
        ]


def groups(puzzles: Iterable[Puzzle], budget: float = DEFAULT_SECONDS) -> tuple[Group, ...]:
    """Group puzzles that are kin; each stands in one group, a group where its first puzzle stood.

    ``budget`` is in seconds a puzzle; one whose form is not found in time stands alone. Every way has
    been checked by its plain meaning; Disagreement is raised should one not hold.
    """
    members: dict[str | int, list[Puzzle]] = {}
    for number, puzzle in enumerate(puzzles):
        key = form_in_time(puzzle, budget) or number
        members.setdefault(key, []).append(puzzle)
    return tuple(
        Group(
            key if isinstance(key, str) else None,
            tuple(found),
            tuple(way_between(puzzle, found[0], budget) for puzzle in found[1:]),
        )
        for key, found in members.items()
    )


def form_in_time(puzzle: Puzzle, budget: float) -> str | None:
    """The text of the canonical form, or None where the budget ran out."""
    try:
        return canonical(puzzle, budget).text
    except OutOfTime:
        return None


def way_between(first: Puzzle, second: Puzzle, budget: float = DEFAULT_SECONDS) -> Transformation:
    """A way from one puzzle to another that is kin to it, checked by its plain meaning.

    Raises ValueError where they are no kin, OutOfTime, and Disagreement should the check fail.
    """
    clock = Clock(budget)
    one, other = canonical(first, clock), canonical(second, clock)
    if one.text != other.text:
        raise ValueError(f"{first.source} and {second.source} are no kin")
    way = between(first, one, second, other)
    if not carries(way, first, second, clock):
        raise Disagreement(
            f"{first.source} and {second.source} have one form, and yet: {way.words()}, does not "
            "take one onto the other"
        )
    return way


@dataclass(frozen=True)
class Solved:
    """Puzzles with the same solution grid up to symmetry.

    ``grids`` groups the solution grids; ``near`` are the groups of kin among the puzzles, of which
    there are several where some have the same solution and other givens: near kin.
    """

    grids: Group
    near: tuple[tuple[Puzzle, ...], ...]


def solved_groups(
    puzzles: Sequence[Puzzle], budget: float = DEFAULT_SECONDS
) -> tuple[tuple[Solved, ...], tuple[Puzzle, ...]]:
    """Group puzzles by their solution grids; and the puzzles that have not exactly one, or not in time.

    ``budget`` is in seconds a puzzle.
    """
    grids, unsolved, origin = [], [], dict[int, Puzzle]()
    for puzzle in puzzles:
        verdict = check(puzzle, budget=budget)
        if verdict.status != "unique":
            unsolved.append(puzzle)
            continue
        grid = solution_grid(puzzle, verdict.solutions[0])
        origin[id(grid)] = puzzle
        grids.append(grid)
    found = []
    for group in groups(grids, budget):
        owners = [origin[id(grid)] for grid in group.puzzles]
        kin: dict[str | int, list[Puzzle]] = {}
        for number, owner in enumerate(owners):
            kin.setdefault(form_in_time(owner, budget) or number, []).append(owner)
        found.append(Solved(group, tuple(map(tuple, kin.values()))))
    return tuple(found), tuple(unsolved)
