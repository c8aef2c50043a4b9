"""A random puzzle and the truth about it, found by trying every filling of its board."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import NamedTuple

from .boards import Board, Cell, boards
from .makers import LETTERED, Place, rule
from .readings import READINGS, Scene, Table, nested

LETTER_NUMBERS = range(61)
"""The numbers that a letter is tried with: more than any clue on these boards can be."""


class World(NamedTuple):
    """A filling: digits by place, doubled places, and the letter's number (None without one)."""

    digits: tuple[int, ...]
    doubled: tuple[int, ...] = ()
    letter: int | None = None


@dataclass(frozen=True)
class Case:
    """A puzzle as tables: a board, its givens, its rules."""

    board: Board
    givens: Mapping[Cell, int]
    tables: tuple[Table, ...]

    @property
    def lettered(self) -> bool:
        """Whether a letter stands for a clue."""
        return any(table.get(LETTERED.get(table["kind"], "")) == "A" for table in self.tables)

    def text(self) -> str:
        """The puzzle file."""
        board = self.board
        lines = []
        for row in range(1, board.rows + 1):
            cells = [(row, column) for column in range(1, board.columns + 1)]
            symbols = [
                board.symbol(self.givens[cell])
                if cell in self.givens
                else "."
                if cell in board.cells
                else "_"
                for cell in cells
            ]
            lines.append("".join(symbols))
        drawn = "\n".join(lines)
        givens = f'givens = """\n{drawn}\n"""\n'
        # Keys of the whole file come before its first table.
        head = givens + board.head if board.head.startswith("[[") else board.head + givens
        doublers = "[doublers]\n" if board.doublers else ""
        rules = (_table(f"k{n}", table, "rule") for n, table in enumerate(self.tables, start=1))
        return head + doublers + "".join(rules)

    def line(self, world: World) -> str:
        """A filling as one line over the rectangle."""
        held = dict(zip(self.board.cells, world.digits, strict=True))
        cells = (
            (r, c) for r in range(1, self.board.rows + 1) for c in range(1, self.board.columns + 1)
        )
        return "".join(self.board.symbol(held[cell]) if cell in held else "_" for cell in cells)

    def unknowns(self, world: World) -> dict[str, int]:
        """The rest of a filling, by name."""
        cells = self.board.cells
        told = {f"doubler r{cells[p][0]}c{cells[p][1]}": 1 for p in world.doubled}
        return told | ({} if world.letter is None else {"A": world.letter})

    @cached_property
    def clues(self) -> tuple[str, ...]:
        """The names of givens and rules."""
        given = (f"r{r}c{c}={digit}" for (r, c), digit in self.givens.items())
        return (*given, *(f"k{n}" for n in range(1, len(self.tables) + 1)))

    @cached_property
    def kept(self) -> list[tuple[World, int]]:
        """Every filling of the board with the clues that it keeps, as bits in the order of ``clues``."""
        scene = Scene(self.board, self.tables)
        places = [(scene.index[cell], digit) for cell, digit in self.givens.items()]
        tests = [READINGS[table["kind"]](table, scene) for table in self.tables]
        found = []
        for world, values in _worlds(self.board):
            bits = 0
            for number, (place, digit) in enumerate(places):
                bits |= (world.digits[place] == digit) << number
            for number, test in enumerate(tests, start=len(places)):
                bits |= test(world.digits, values, {}) << number
            found.append((world, bits))
        return found

    @cached_property
    def solutions(self) -> list[World]:
        """The fillings that keep every clue."""
        if not self.lettered:
            every = (1 << len(self.clues)) - 1
            return [world for world, bits in self.kept if bits == every]
        # All rules say what is drawn where, including those with the letter.
        scene = Scene(self.board, self.tables)
        places = [(scene.index[cell], digit) for cell, digit in self.givens.items()]
        plain, lettered = (
            [READINGS[t["kind"]](t, scene) for t in self.tables if ("A" in t.values()) == letter]
            for letter in (False, True)
        )
        return [
            world._replace(letter=number)
            for world, values in _worlds(self.board)
            if all(world.digits[place] == digit for place, digit in places)
            and all(test(world.digits, values, {}) for test in plain)
            for number in LETTER_NUMBERS
            if all(test(world.digits, values, {"A": number}) for test in lettered)
        ]

    def without(self, clues: Sequence[int]) -> int:
        """How many fillings keep every clue but these, by their numbers."""
        needed = (1 << len(self.clues)) - 1
        for number in clues:
            needed &= ~(1 << number)
        return sum(not needed & ~bits for _, bits in self.kept)

    def smaller(self) -> Iterator[Case]:
        """The case without one thing, for every thing that can be removed."""
        for number, table in enumerate(self.tables):
            rest = (*self.tables[:number], *self.tables[number + 1 :])
            yield replace(self, tables=rest)
            for inner in range(len(nested(table))):
                of = [*table["of"][:inner], *table["of"][inner + 1 :]]
                if of:
                    changed = {**table, "of": of, "count": min(table["count"], len(of))}
                    yield replace(
                        self, tables=(*self.tables[:number], changed, *self.tables[number + 1 :])
                    )
        for cell in self.givens:
            yield replace(self, givens={c: d for c, d in self.givens.items() if c != cell})


def smallest_conflict(case: Case) -> int:
    """The size of a smallest set of clues that no filling keeps."""
    kept = {bits for _, bits in case.kept}
    for size in range(len(case.clues) + 1):
        for chosen in combinations(range(len(case.clues)), size):
            needed = sum(1 << number for number in chosen)
            if all(needed & ~bits for bits in kept):
                return size
    raise AssertionError("some filling keeps every clue")


def _values(board: Board, world: World) -> tuple[int, ...]:
    if not world.doubled:
        return world.digits
    return tuple(d * (1 + (p in world.doubled)) for p, d in enumerate(world.digits))


def _worlds(board: Board) -> Iterator[tuple[World, tuple[int, ...]]]:
    if not board.doublers:
        for digits in board.worlds:
            yield World(digits), digits
        return
    for digits, placements in zip(board.worlds, board.doublers, strict=True):
        for doubled in placements:
            world = World(digits, doubled)
            yield world, _values(board, world)


def _table(name: str, table: Table, header: str) -> str:
    lines = [f"[[{header}]]", f'kind = "{table["kind"]}"']
    lines += [f'id = "{name}"'] if header == "rule" else []
    lines += [
        f"{key} = {_value(v)}"
        for key, v in table.items()
        if key != "kind" and v is not nested(table)
    ]
    inner = "".join(_table("", one, f"{header}.of") for one in nested(table))
    return "\n".join(lines) + "\n" + inner


def _value(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    return str(value)


def random_case(dice: random.Random) -> Case:
    """A random puzzle, mostly near one with a solution."""
    every = boards()
    board = dice.choices([b for b, _ in every], [weight for _, weight in every])[0]
    world = dice.choice(board.worlds)
    place, tables = Place(board, dice), []
    for _ in range(dice.choice((0, 1, 1, 2, 2, 3, 4))):
        made = rule(place, world, tables)
        if made is not None:
            tables.append(made)
    if dice.random() < 0.1 and not board.doublers:
        tables = _lettered(tables, dice)
    most = len(board.cells)
    count = dice.randint(0, min(most, 9)) if len(board.cells) > 6 else dice.randint(0, most // 2)
    chosen = dice.sample(range(most), count)
    givens = {board.cells[p]: world[p] for p in chosen}
    if givens and dice.random() < 0.15:
        givens[dice.choice(list(givens))] = dice.choice(board.digits)
    case = Case(board, dict(sorted(givens.items())), tuple(tables))
    return _made_unique(case, dice) if dice.random() < 0.35 else case


def _made_unique(case: Case, dice: random.Random) -> Case:
    """The case with givens added until it has one solution, if it has any."""
    if case.lettered or not case.solutions:
        return case
    wanted, left, givens = dice.choice(case.solutions), case.solutions, dict(case.givens)
    while True:
        open_places = [
            place
            for place, cell in enumerate(case.board.cells)
            if cell not in givens and len({world.digits[place] for world in left}) > 1
        ]
        if not open_places:
            return Case(case.board, dict(sorted(givens.items())), case.tables)
        place = dice.choice(open_places)
        givens[case.board.cells[place]] = wanted.digits[place]
        left = [world for world in left if world.digits[place] == wanted.digits[place]]


def _lettered(tables: list[Table], dice: random.Random) -> list[Table]:
    able = [n for n, t in enumerate(tables) if LETTERED.get(t["kind"], "") in t]
    for number in dice.sample(able, min(len(able), dice.choice((1, 1, 2)))):
        table = tables[number]
        tables[number] = {**table, LETTERED[table["kind"]]: "A"}
    return tables
