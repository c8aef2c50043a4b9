"""A puzzle: a board, its givens and its rules, and all of it in the constraint language.

Everything that can be switched on or off is a *premise*: a given, a house, a rule. ``Puzzle.model``
states the houses and rules as constraints, each with its labelled parts; givens are facts about
cells and are handed to an engine question by question.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import combinations
from typing import TYPE_CHECKING, ClassVar, Literal

from gridassay.encodings.board import Board, Drawn, Filled, Laid, Part
from gridassay.encodings.constraints import Compare, Doubler, Letter, Variable
from gridassay.encodings.counted import Counting
from gridassay.encodings.former_names import formerly
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.model import Model, Premise, house_premises
from gridassay.encodings.pace import TooLarge, pace, pacing
from gridassay.encodings.reserved import free, trouble_with
from gridassay.encodings.variables import Fact as Fact
from gridassay.encodings.wording import quantity

if TYPE_CHECKING:
    from gridassay.encodings.rules.base import Rule

Expectation = Literal["unique", "multiple", "none"]
Solution = tuple[int, ...]
"""The numbers of a solution in the order of ``Board.shown``: cells in reading order, then unknowns."""


@formerly(told="in_one_line", filled="fill", doubled="doubled_cells", broken="violations")
@dataclass(frozen=True, repr=False)
class Puzzle:
    """Givens and rules on a canvas, with what its file says about it.

    ``source`` is where it came from (``FILE`` or ``FILE:LINE``), for messages and results.
    """

    canvas: Canvas
    givens: tuple[Fact, ...] = ()
    rules: tuple[Rule, ...] = ()
    doublers: bool = False
    letters_differ: bool = False
    title: str = ""
    credit: str = ""
    expect: Expectation | None = None
    source: str = ""
    layers: tuple[Laid, ...] = ()

    drawn_by: ClassVar[Callable[[Puzzle], str] | None] = None
    """Makes the SVG by which a puzzle shows itself; set by whoever can draw, as puzzles cannot."""

    def __repr__(self) -> str:
        size = f"{self.canvas.rows}x{self.canvas.columns}"
        counts = f"{quantity(len(self.givens), 'given')}, {quantity(len(self.rules), 'rule')}"
        return f"<Puzzle: {', '.join(filter(None, (self.title, size, counts)))}>"

    def _repr_svg_(self) -> str | None:
        """The picture in a notebook, if there is something to draw it."""
        return None if Puzzle.drawn_by is None else Puzzle.drawn_by(self)

    def with_givens(self, givens: Iterable[Fact]) -> Puzzle:
        """The same puzzle with other givens.

        Everything that does not depend on them is shared, above all the model, so that an
        engine compiled for one serves the other.
        """
        other = replace(self, givens=tuple(givens))
        shared = ("bare_board", "board", "rule_names", "rule_phrases", "model")
        vars(other).update({name: vars(self)[name] for name in shared if name in vars(self)})
        return other

    @property
    def plain(self) -> bool:
        """Whether there are only a canvas with its houses and givens."""
        return not (self.rules or self.doublers or self.layers)

    @cached_property
    def bare_board(self) -> Board:
        """The canvas before its letters are known; the rules that fit on it bring them.

        Rules that say what cells count as have been heard; optional ones leave them their digits.
        """
        board = Board(self.canvas, self.doublers, layers=self.layers)
        defining = (rule for rule in self.rules if rule.defines and not rule.optional)
        said = tuple(one for rule in defining if (one := rule.counts_as(board)))
        if not said:
            return board
        numbers = board.layered[said[0].beside._replace(cell=self.canvas.cells[0])]
        return replace(board, shaded=Counting(self.canvas.digits, numbers, said))

    @cached_property
    def board(self) -> Board:
        """The canvas with the unknowns that the rules bring and the places they are drawn at.

        Raises ValueError if a letter has the name of something else, such as a cell.
        """
        if self.plain:
            return _plain_board(self.canvas)
        bare = self.bare_board
        spans: dict[str, tuple[int, int]] = {}
        for rule in pacing(self.rules):
            for letter, (low, high) in rule.letters(bare).items():
                lowest, highest = spans.get(letter, (low, high))
                spans[letter] = min(low, lowest), max(high, highest)
        letters = {
            free(name): tuple(range(low, high + 1)) for name, (low, high) in sorted(spans.items())
        }
        drawn = tuple(
            Drawn(seen.kind, seen.where()) for rule in self.rules for seen in rule.drawn()
        )
        return replace(bare, letters=letters, drawn=drawn)

    @cached_property
    def rule_names(self) -> tuple[str, ...]:
        """The name of each rule in results: its id, else its kind and place.

        Rules that would share a name get their number in the file: ``cage#3``. No two premises
        have the same name, whatever ids rules were given outside files; an id that means something else
        (a house, a given) does not count.
        """
        plain = [
            rule.id if rule.id and not trouble_with(rule.id) else rule.own_name()
            for rule in self.rules
        ]
        others = {"doublers", "letters", *(house.name for house in self.canvas.houses)}
        others |= {layer.name for layer in self.layers}
        times = Counter([*plain, *others])
        taken = {name for name in times if times[name] == 1} | others
        numbered: Counter[str] = Counter()
        names = []
        for rule, name in zip(self.rules, plain, strict=True):
            numbered[rule.kind] += 1
            if times[name] > 1:
                name = f"{rule.kind}#{numbered[rule.kind]}"
                while name in taken:
                    name += "#"
                taken.add(name)
            names.append(name)
        return tuple(names)

    @cached_property
    def rule_phrases(self) -> Mapping[str, str]:
        """The phrase for each rule, by its name in results: ``the 17 cage in box 1``."""
        from gridassay.encodings.naming import phrases

        return phrases(dict(zip(self.rule_names, self.rules, strict=True)), self.board)

    @cached_property
    def clue_phrases(self) -> Mapping[str, tuple[str, ...]]:
        """Phrases for the clues inside each rule that has some, in their order, by the rule's name."""
        from gridassay.encodings.naming import phrases

        found = {}
        for name, rule in zip(self.rule_names, self.rules, strict=True):
            inside = tuple(rule.drawn())
            if inside != (rule,):
                numbered = {str(number): one for number, one in enumerate(inside)}
                told = phrases(numbered, self.board)
                found[name] = tuple(told[number] for number in numbered)
        return found

    @cached_property
    def model(self) -> Model:
        """The houses and rules in the constraint language."""
        if self.plain:
            return _plain_model(self.canvas)
        board, ground = self.board, _plain_model(self.canvas)
        premises = [*ground.premises]
        if board.doublers:
            premises.append(Premise("doublers", "rule", tuple(board.doubler_parts())))
        stated = ((layer.name, tuple(layer.parts(board))) for layer in self.layers)
        premises += [Premise(name, "rule", parts) for name, parts in stated if parts]
        mentions: dict[Variable, list[str]] = {Letter(name): [] for name in board.letters}
        for name, rule in zip(self.rule_names, self.rules, strict=True):
            if rule.defines:
                continue
            pace()
            try:
                parts = tuple(pacing(rule.all_parts(board)))
            except TooLarge as error:
                raise TooLarge(f"{name}: {error}") from None
            premises.append(Premise(name, "rule", parts, rule.optional))
            for letter in rule.letters(board):
                mentions[Letter(letter)].append(name)
        if self.letters_differ:
            differ = (
                Part(f"{first} and {second} differ", Compare(first, "!=", second), (first, second))
                for first, second in combinations(mentions, 2)
            )
            premises.append(Premise("letters", "rule", tuple(differ)))
        return Model(
            board.domains,
            board.shown,
            board.definitions(),
            tuple(premises),
            {letter: tuple(names) for letter, names in mentions.items()},
            ground if board.shown == ground.shown else None,
        )

    def fill(self, solution: Solution) -> Filled:
        """The board filled in with a solution, for plain readings."""
        return Filled(self.board, dict(zip(self.board.shown, solution, strict=True)))

    def line(self, solution: Solution) -> str:
        """A solution's digits as one line over the bounding rectangle."""
        return self.canvas.line(solution[: len(self.canvas.digit_cells)])

    def whole(self, solution: Solution) -> str:
        """A solution's digits as one line, then what each layer is: ``water=dds…``."""
        shown = self.layers_shown(solution)
        layers = (f"{name}={text.replace(' ', ',')}" for name, text in shown.items())
        return " ".join([self.line(solution), *layers])

    def in_one_line(self, solution: Solution) -> str:
        """A solution on one line, as people are told it: as ``whole``, without a line of no digits."""
        return self.whole(solution) if self.canvas.digits else self.whole(solution).split(" ", 1)[1]

    def layers_shown(self, solution: Solution) -> dict[str, str]:
        """Each layer of a solution by its name, as results show it."""
        values = dict(zip(self.board.shown, solution, strict=True))
        return {layer.name: layer.solution_text(self.canvas, values) for layer in self.layers}

    def given_line(self) -> str:
        """The givens as one line over the bounding rectangle."""
        given = dict(self.givens)
        return self.canvas.line([given.get(cell) for cell in self.canvas.cells])

    def letters(self, solution: Solution) -> dict[str, int]:
        """The number of each letter in a solution."""
        shown = zip(self.board.shown, solution, strict=True)
        return {one.name: number for one, number in shown if isinstance(one, Letter)}

    def doubled_cells(self, solution: Solution) -> tuple[Cell, ...]:
        """The doublers of a solution, in reading order."""
        shown = zip(self.board.shown, solution, strict=True)
        return tuple(one.cell for one, number in shown if isinstance(one, Doubler) and number)

    def unknowns(self, solution: Solution) -> dict[str, int]:
        """The unknowns of a solution by name: 1 for each doubler, and each letter's number."""
        doublers = {str(Doubler(cell)): 1 for cell in self.doubled_cells(solution)}
        return doublers | self.letters(solution)

    def violations(self, solution: Solution, ignoring: Sequence[str] = ()) -> Iterator[str]:
        """The givens, houses and rules that a full grid breaks, by the plain reading alone.

        ``ignoring`` names premises that are off. This uses no clauses or solvers.
        """
        index = self.board.place
        for given in self.givens:
            if solution[index[given.variable]] != given.value and str(given) not in ignoring:
                yield str(given)
        for name, read in self.canvas.house_readers:
            digits = read(solution)
            if len(set(digits)) < len(digits) and name not in ignoring:
                yield name
        if self.plain:
            return
        filled = self.fill(solution)
        numbers = filled.numbers
        for name, rule in zip(self.rule_names, self.rules, strict=True):
            if not rule.optional and name not in ignoring and not rule.is_kept(filled):
                yield name
        for layer in self.layers:
            if layer.name not in ignoring and not layer.holds(filled):
                yield layer.name
        if self.doublers and "doublers" not in ignoring and not self._doublers_hold(filled):
            yield "doublers"
        if self.letters_differ and "letters" not in ignoring:
            letters = [numbers[Letter(name)] for name in self._letters_in_use(ignoring)]
            if len(set(letters)) < len(letters):
                yield "letters"

    def _letters_in_use(self, ignoring: Sequence[str]) -> set[str]:
        """The letters mentioned by some rule that is on."""
        return {
            letter
            for name, rule in zip(self.rule_names, self.rules, strict=True)
            if not rule.optional and name not in ignoring
            for letter in rule.letters(self.bare_board)
        }

    def _doublers_hold(self, filled: Filled) -> bool:
        numbers, doubler = filled.numbers, self.board.doubler
        double = {cell for cell in self.canvas.cells if numbers[doubler(cell)] == 1}
        one_each = all(
            sum(cell in double for cell in house.cells) == 1 for house in self.canvas.houses
        )
        held = [
            [filled[cell] for cell in grid.cells if cell in double] for grid in self.canvas.grids
        ]
        return one_each and all(len(set(digits)) == len(digits) for digits in held)


@lru_cache(maxsize=64)
def _plain_board(canvas: Canvas) -> Board:
    return Board(canvas)


@lru_cache(maxsize=64)
def _plain_model(canvas: Canvas) -> Model:
    board = _plain_board(canvas)
    return Model(board.domains, board.shown, (), tuple(house_premises(canvas)), {})
