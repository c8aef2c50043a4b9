"""Finds the story of a position: which suppositions are worth following, and which of them is told.

Where each of them needs many links, the cases of a cell or digit may come to something by fewer.

Stories have one order: fewest links, then fewest premises, then those after which a cell is left
with one digit, then the nearest to the last placement. Suppositions are chosen by probing
(``probing.py``) and bounded by their number, never by the clock.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position, layout_of, members
from gridassay.verify.solving.rule_meaning.pieces import pieces_of
from gridassay.verify.solving.stories.building import (
    QUICK,
    SLOW,
    FinderNear,
    Touched,
    Untold,
    ideas_of,
    story_of,
    told_smoothly,
)
from gridassay.verify.solving.stories.either import MOST_EITHER, shortest_either
from gridassay.verify.solving.stories.links import Distance, Ground, Outcome, tellings
from gridassay.verify.solving.stories.probing import Probe, Prober
from gridassay.verify.solving.stories.supposing import Supposition
from gridassay.verify.solving.stories.tables import Tables

MOST_LINKS = 12
"""The largest number of links in a story that a person can follow."""

_FOLLOWED = 20
"""The most links to which a supposition is followed; made shorter, its story may have far fewer."""

SHORT = 3
"""The most links of a story that is told before chains."""

_EASY = 6
"""The most links of a story that nothing else is tried to shorten: further techniques, cases."""

_FAILING = 60
"""How many of the suppositions that fail at a glance are followed; those that fail soonest."""

_SHORTENED = 20
"""How many suppositions are followed with further techniques to find a shorter story."""

_BATCHES = ((QUICK, 15), (QUICK, 45), (SLOW, 4))
"""If no story is known: which techniques are tried on how many suppositions, until one is found."""

_RETOLD = 12
"""Rounds in which links that cannot be told are refused, and others looked for."""

_BUILT = 8
"""How many outcomes of one length are made into stories to choose from."""


class _Scene:
    """A position, with the suppositions that were followed there, and how far."""

    def __init__(self, ground: Ground, probes: Mapping[Mark, Probe]) -> None:
        masks = ground.position.masks
        self.ground = ground
        self.marks = frozenset(probes)
        self.fails = [mark for mark, probe in probes.items() if probe.fails]
        # How much is forced until something fails depends on what the solver was asked before.
        by_few = sorted(self.fails, key=lambda mark: (masks[mark[0]].bit_count(), mark))
        self.failing = by_few[:_FAILING]
        forcing = (mark for mark, probe in probes.items() if not probe.fails)
        self.forcing = sorted(forcing, key=lambda mark: (-probes[mark].forces, mark))
        self._suppositions: dict[Mark, Supposition] = {}

    def refuse(self, untold: Sequence[Untold]) -> None:
        """Forget how some suppositions ended: they are followed without the link that cannot be told."""
        for outcome, link in untold:
            mark = outcome.supposed[0]
            before = self._suppositions[mark]
            more = tellings(link) if link else ()
            refused = before.refused.union(more)
            limit = _FOLLOWED if link else 0
            self._suppositions[mark] = Supposition(
                self.ground, (mark,), limit, before.deeper, refused
            )

    def follow(
        self,
        marks: Sequence[Mark],
        most: int,
        clock: Clock,
        finders: dict[str, FinderNear] | None = None,
    ) -> int:
        """Follow some suppositions side by side, level by level; the links of the shortest story known.

        None is followed beyond the length of that story, or beyond ``most``.
        """

        def deeper(board: Position, changed: int) -> Iterator[Idea]:
            assert finders
            return ideas_of(finders, board, Touched(changed, self.ground.read_whole))

        going: list[Supposition] = []
        for mark in dict.fromkeys(marks):
            one = self._suppositions.get(mark)
            if one is None:
                one = self._suppositions[mark] = Supposition(self.ground, (mark,), _FOLLOWED)
            if finders:
                one.deeper = deeper
            going.append(one)
        shortest = self._shortest()
        for level in range(most):
            if level >= shortest:
                break
            still = []
            for one in going:
                clock.check()
                if one.rise(level):
                    still.append(one)
                if one.best:
                    shortest = min(shortest, len(one.best.links))
            going = still
        return shortest

    def _shortest(self) -> int:
        lengths = (len(one.best.links) for one in self._suppositions.values() if one.best)
        return min(lengths, default=MOST_LINKS + 1)

    def shorten(self) -> None:
        """Make shorter the stories that are nearly the shortest."""
        known = [one for one in self._suppositions.values() if one.best]
        known.sort(key=lambda one: (len(one.best.links) if one.best else 0, one.supposed))
        for one in known[:_BUILT]:
            one.shorten(_FOLLOWED)

    def outcomes(self) -> list[Outcome]:
        """The ends of the suppositions that ended."""
        return [one.best for one in self._suppositions.values() if one.best]


class StoryTeller:
    """Finds stories in the positions of one puzzle."""

    def __init__(self, puzzle: Puzzle, clock: Clock) -> None:
        layout = layout_of(puzzle)
        self._clock = clock
        self._tables = Tables(layout, puzzle.board, tuple(pieces_of(layout)))
        self._prober = Prober(puzzle.model)
        self._known: tuple[object, _Scene] | None = None

    def story(
        self,
        position: Position,
        distance: Distance = lambda _: 0,
        targets: Iterable[Mark] | None = None,
        *,
        short: bool = False,
    ) -> Idea | None:
        """The first story in the order of stories; None if none is found.

        ``targets`` are the candidates that may be supposed, every one when left out. A ``short``
        story is made of singles and single rules. Raises OutOfTime.
        """
        scene = self._scene(position, targets)
        most = SHORT if short else _FOLLOWED
        idea = self._supposing(scene, position, distance, most, short=short)
        links = idea.story.length if idea and idea.story else MOST_EITHER + 1
        if short or links <= _EASY:
            return idea
        wanted = None if targets is None else scene.marks
        either = shortest_either(scene.ground, links - 1, distance, wanted, self._clock)
        return either or idea

    def _supposing(
        self, scene: _Scene, position: Position, distance: Distance, most: int, *, short: bool
    ) -> Idea | None:
        """The first story that supposes something."""
        for _ in range(_RETOLD):
            shortest = scene.follow(scene.failing, most, self._clock)
            if not short:
                self._deeper(scene, shortest)
                if min(map(len, (one.links for one in scene.outcomes())), default=0) > _EASY:
                    scene.shorten()
            found = [one for one in scene.outcomes() if len(one.links) <= min(most, MOST_LINKS)]
            idea, untold = self._tell(position, found, distance)
            if idea:
                return told_smoothly(position, self._widen(scene.ground, idea, scene.fails))
            if not untold:
                break
            scene.refuse(untold)
        return None

    def _scene(self, position: Position, targets: Iterable[Mark] | None) -> _Scene:
        """The search state of a position: the earlier one, if it is the same position."""
        open_marks = [
            (unknown, value)
            for unknown in members(position.open_unknowns)
            for value in members(position.masks[unknown])
        ]
        wanted = open_marks if targets is None else sorted(set(targets) & set(open_marks))
        key = (tuple(position.masks), position.placed, tuple(wanted))
        if self._known is None or self._known[0] != key:
            self._prober.enter(position)
            probes = self._prober.probe(position, wanted)
            ground = Ground(position.copy(), self._tables.at(position.masks))
            self._known = key, _Scene(ground, probes)
        return self._known[1]

    def _deeper(self, scene: _Scene, shortest: int) -> None:
        """Look with further techniques for a story if there is none, or only a long one."""
        if shortest <= _EASY:
            return
        if shortest <= MOST_LINKS:
            again = [*scene.failing[: _SHORTENED // 2], *scene.forcing[: _SHORTENED // 2]]
            scene.follow(again, shortest - 1, self._clock, QUICK)
            return
        begun = 0
        tried = [*scene.failing[:15], *scene.forcing]
        for finders, count in _BATCHES:
            if finders is SLOW:
                begun = 0
            shortest = scene.follow(tried[begun : begun + count], _FOLLOWED, self._clock, finders)
            if shortest <= MOST_LINKS:
                return
            begun += count

    def openings(self, position: Position, targets: Iterable[Mark]) -> int:
        """How many candidates stories of singles and single rules strike at a position."""
        self._prober.enter(position)
        probes = self._prober.probe(position, sorted(targets))
        ground = Ground(position, self._tables.at(position.masks))
        failing = [mark for mark, probe in probes.items() if probe.fails]
        found = 0
        for mark in failing:
            self._clock.check()
            found += Supposition(ground, (mark,), MOST_LINKS).fails()
        return found

    def _widen(self, ground: Ground, idea: Idea, failing: Sequence[Mark]) -> Idea:
        """The same story for more candidates of its unknown, if that does not make it longer."""
        assert idea.story is not None
        length, premises = idea.story.length, len(idea.cells) + len(idea.spots) + 1
        unknown = idea.removes[0][0]
        for other in [one for one in failing if one[0] == unknown and one not in idea.removes]:
            outcome = Supposition(ground, tuple(sorted([*idea.removes, other])), length).follow()
            wider = story_of(ground.position, outcome) if outcome else None
            if isinstance(wider, Idea) and len(wider.cells) + len(wider.spots) <= premises:
                idea = wider
        return idea

    def _tell(
        self, position: Position, found: Sequence[Outcome], distance: Distance
    ) -> tuple[Idea | None, list[Untold]]:
        """The first of the stories that can be told, and what cannot."""

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
        untold: list[Untold] = []
        built = 0
        for outcome in sorted(found, key=worth):
            if best and (len(outcome.links) > best[0][0] or built >= _BUILT):
                break
            idea = story_of(position, outcome)
            if isinstance(idea, Untold):
                untold.append(idea)
                continue
            assert idea.story is not None
            built += 1
            order = (
                idea.story.length,
                len(idea.cells) + len(idea.spots),
                *worth(outcome)[2:],
            )
            if best is None or order < best[0]:
                best = order, idea
        return (best[1] if best else None), untold
