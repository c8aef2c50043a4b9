"""The story of a position: which suppositions are worth following, and which of them is told.

Stories stand in one order: fewest links, then fewest premises, then those after which a cell is left
with one digit, then the nearest to the last placement. What is followed is chosen by probing
(``probing.py``) and bounded by counts of suppositions, never by the clock.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position, layout_of, members
from gridassay.verify.solving.rule_meaning.pieces import pieces_of
from gridassay.verify.solving.stories.building import QUICK, SLOW, ideas_of, story_of
from gridassay.verify.solving.stories.probing import Prober
from gridassay.verify.solving.stories.supposing import Deeper, Ground, Outcome, Supposition
from gridassay.verify.solving.stories.tables import Tables

MOST_LINKS = 12
"""Links of a story beyond which nobody follows it."""

SHORT = 3
"""Links of a story that is told before chains."""

_EASY = 6
"""Links up to which no other techniques are tried to make it shorter."""

_SHORTENED = ((QUICK, 40),)
"""Suppositions followed with further techniques to find a shorter story, those that force most."""

_FOLLOWED = ((QUICK, 60), (SLOW, 8))
"""The same where no story is known at all, until one is."""

_BUILT = 8
"""Outcomes of one length of which the story is made."""

Distance = Callable[[int], int]


class StoryTeller:
    """Finds stories in the positions of one puzzle."""

    def __init__(self, puzzle: Puzzle, clock: Clock) -> None:
        layout = layout_of(puzzle)
        self._clock = clock
        self._tables = Tables(layout, puzzle.board, tuple(pieces_of(layout)))
        self._prober = Prober(puzzle.model)

    def story(
        self,
        position: Position,
        distance: Distance = lambda _: 0,
        targets: Iterable[Mark] | None = None,
        *,
        short: bool = False,
    ) -> Idea | None:
        """The first story in the order of stories; None where none is found.

        ``targets`` are the candidates that may be supposed, every one when left out. One that is to be
        ``short`` is made of singles and single rules. Raises OutOfTime.
        """
        open_marks = [
            (unknown, value)
            for unknown in members(position.open_unknowns)
            for value in members(position.masks[unknown])
        ]
        wanted = open_marks if targets is None else sorted(set(targets) & set(open_marks))
        self._prober.enter(position)
        probes = self._prober.probe(position, wanted)
        ground = Ground(position, self._tables.at(position.masks))
        failing = [mark for mark in wanted if probes[mark].fails]
        most = SHORT if short else MOST_LINKS
        found = self._outcomes(ground, failing, most, None)
        known = len(found)
        forcing = sorted(wanted, key=lambda mark: (-probes[mark].forces, mark))
        for finders, count in () if short else _SHORTENED if found else _FOLLOWED:
            shortest = min((len(one.links) for one in found), default=most + 1)
            if shortest <= _EASY or (found and known == 0):
                break
            deeper: Deeper = partial(ideas_of, finders)
            tried = [*failing[: count // 2], *forcing[:count]]
            found += self._outcomes(ground, tried, shortest - 1, deeper)
        idea = self._told(position, found, distance)
        return idea and self._widened(ground, idea, failing)

    def openings(self, position: Position, targets: Iterable[Mark]) -> int:
        """How many candidates stories of singles and single rules strike at a position."""
        self._prober.enter(position)
        probes = self._prober.probe(position, sorted(targets))
        ground = Ground(position, self._tables.at(position.masks))
        failing = [mark for mark, probe in probes.items() if probe.fails]
        return sum(
            Supposition(ground, (mark,), MOST_LINKS).follow() is not None for mark in failing
        )

    def _widened(self, ground: Ground, idea: Idea, failing: Sequence[Mark]) -> Idea:
        """The same story of more candidates of its unknown, where it is no longer for them."""
        assert idea.story is not None
        length, premises = idea.story.length, len(idea.cells) + len(idea.spots) + 1
        unknown = idea.removes[0][0]
        for other in [one for one in failing if one[0] == unknown and one not in idea.removes]:
            outcome = Supposition(ground, tuple(sorted([*idea.removes, other])), length).follow()
            wider = story_of(ground.position, outcome) if outcome else None
            if wider and len(wider.cells) + len(wider.spots) <= premises:
                idea = wider
        return idea

    def _outcomes(
        self, ground: Ground, marks: Sequence[Mark], most: int, deeper: Deeper | None
    ) -> list[Outcome]:
        """How suppositions end, the shortest ones."""
        found: list[Outcome] = []
        for mark in dict.fromkeys(marks):
            self._clock.check()
            outcome = Supposition(ground, (mark,), most, deeper).follow()
            if outcome:
                found.append(outcome)
                most = min(most, len(outcome.links))
        return found

    def _told(
        self, position: Position, found: Sequence[Outcome], distance: Distance
    ) -> Idea | None:
        def worth(outcome: Outcome) -> tuple[int, ...]:
            unknown, _ = outcome.supposed[0]
            places = position.masks[unknown].bit_count() == 2
            return (
                len(outcome.links),
                outcome.premises,
                not places,
                distance(unknown),
                *outcome.supposed[0],
            )

        best: tuple[tuple[int, ...], Idea] | None = None
        built = 0
        for outcome in sorted(found, key=worth):
            if best and (len(outcome.links) > best[0][0] or built >= _BUILT):
                break
            idea = story_of(position, outcome)
            if idea is None or idea.story is None:
                continue
            built += 1
            order = (
                idea.story.length,
                len(idea.cells) + len(idea.spots),
                *worth(outcome)[2:],
            )
            if best is None or order < best[0]:
                best = order, idea
        return best[1] if best else None
