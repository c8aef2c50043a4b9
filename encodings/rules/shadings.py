"""Rules over a shading: groups that hang together, how large they are, what is counted and seen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, product
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import (
    AllOf,
    AnyOf,
    Compare,
    Constraint,
    Count,
    In,
    Letter,
    Variable,
)
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.groups import Connected, GroupCount, GroupSize, GroupSizes, Joined
from gridassay.encodings.layers.shading import Shading
from gridassay.encodings.rules.base import (
    Cells,
    Numbers,
    RuleError,
    Shape,
    distinct_cells,
    length_between,
    listing,
    spell,
)
from gridassay.encodings.rules.layered import (
    Amount,
    OnLayer,
    OnShading,
    amount_check,
    amount_is,
    amount_letters,
    amount_stated,
    amount_words,
)


class ConnectedValue(OnShading):
    """The cells of the value are one group, connected by sides.

    `empty = true` also allows that no cell has it.

    Example: `kind = "connected"`, `layer = "water"`, `value = "deep"`: from any deep cell one can go
    to any other through deep cells.
    """

    kind: Literal["connected"] = "connected"
    empty: bool = Field(default=False, description="whether no cell need have it")

    sentence: ClassVar[str] = "All cells of the value are connected by sides."

    def wording(self) -> str:
        """With the value."""
        none = ", if there are any" if self.empty else ""
        return f"All {self.value} cells{none} are connected by sides."

    def holds(self, filled: Filled) -> bool:
        """One group, or none where that is allowed."""
        return len(self.groups_of(filled)) in ((0, 1) if self.empty else (1,))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        graph = self.shading(board).graph(board.canvas, self.number(board))
        yield Part(f"{self.layer}: {self.value} connected", Connected(graph, empty=self.empty))


class ToTheEdge(OnShading):
    """Every group of the value reaches the border of the canvas, a hole's side included.

    Example: `kind = "to-the-edge"`, `layer = "water"`, `value = "deep"`: no deep cells are enclosed.
    """

    kind: Literal["to-the-edge"] = "to-the-edge"

    sentence: ClassVar[str] = "Every group of the value reaches the edge of the grid."

    def wording(self) -> str:
        """With the value."""
        return f"Every group of {self.value} cells reaches the edge of the grid."

    def holds(self, filled: Filled) -> bool:
        """Each group has a cell with fewer than four neighbours."""
        canvas = filled.board.canvas
        return all(
            any(len(canvas.neighbours(cell)) < 4 for cell in group)
            for group in self.groups_of(filled)
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: connected through what lies beyond the border."""
        canvas = board.canvas
        graph = self.shading(board).graph(canvas, self.number(board))
        rim = frozenset(
            canvas.index[cell] for cell in canvas.cells if len(canvas.neighbours(cell)) < 4
        )
        yield Part(f"{self.layer}: {self.value} to the edge", Connected(graph, outside=rim))


def _some_values(given: object) -> object:
    if not isinstance(given, list | tuple) or not given:
        raise ValueError("an array of values is meant")
    return tuple(given)


class NoSquare(OnLayer):
    """No square of two by two cells is all of one value.

    `values` lists the values that it is said of, each by itself; all of them when it is left out.

    Example: `kind = "no-square"`, `layer = "water"`, `values = ["deep"]`: of r1c1, r1c2, r2c1 and r2c2
    at least one is not deep.
    """

    kind: Literal["no-square"] = "no-square"
    values: Annotated[tuple[str | int, ...], BeforeValidator(_some_values)] | None = Field(
        default=None, description="the values it is said of; all by default"
    )

    on_kinds: ClassVar[tuple[type[Shading], ...]] = (Shading,)
    sentence: ClassVar[str] = "No 2×2 square is all of one value."

    def wording(self) -> str:
        """With the values."""
        if self.values is None:
            return f"No 2×2 square of the {self.layer} is shaded all alike."
        return f"No 2×2 square is all {listing([str(one) for one in self.values], 'or all')}."

    def place(self) -> str:
        """Its layer and values."""
        return " ".join([self.layer, *map(str, self.values or ())])

    def _numbers(self, board: Board) -> dict[str | int, int]:
        layer = self.found(board)
        assert isinstance(layer, Shading)
        return {value: layer.number(value) for value in self.values or layer.values}

    def check(self, board: Board) -> None:
        """The layer has the values."""
        super().check(board)
        try:
            self._numbers(board)
        except RuleError as error:
            raise RuleError(str(error), key="values") from None

    def holds(self, filled: Filled) -> bool:
        """Each square is looked at."""
        layer = self.found(filled.board)
        assert isinstance(layer, Shading)
        barred = set(self._numbers(filled.board).values())
        for cells in _squares(filled.board.canvas):
            met = {filled.numbers[layer.at(cell)] for cell in cells}
            if len(met) == 1 and met <= barred:
                return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a square and value."""
        layer = self.found(board)
        assert isinstance(layer, Shading)
        for cells in _squares(board.canvas):
            for value, number in self._numbers(board).items():
                alone = frozenset({number})
                others = tuple(In(layer.at(cell), alone, inside=False) for cell in cells)
                yield Part(f"{self.layer}: no {value} square at {cells[0]}", AnyOf(others))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Nothing but its sentence."""
        yield Shape("grid")


def _squares(canvas: Canvas) -> Iterator[tuple[Cell, Cell, Cell, Cell]]:
    for cell in canvas.cells:
        square = (cell, cell.step(0, 1), cell.step(1, 0), cell.step(1, 1))
        if all(one in canvas.index for one in square):
            yield square


class Groups(OnShading):
    """The groups of the value have these sizes, in any order, or there are so many of them.

    `sizes` lists them all (`[]` for none); `count` is a number, a letter, a range `[least, most]` or
    `"digit of r1c1"`. With both, both hold.

    Example: `kind = "groups"`, `layer = "sea"`, `value = "ship"`, `sizes = [3, 2, 2]`: three ships, one
    of three cells and two of two, which do not share a side.
    """

    kind: Literal["groups"] = "groups"
    sizes: tuple[int, ...] | None = Field(default=None, strict=False, description="of all groups")
    count: Amount | None = Field(default=None, description="how many groups there are")

    sentence: ClassVar[str] = "The groups of the value have the sizes given."

    def wording(self) -> str:
        """With the value, the sizes and the number."""
        said = []
        if self.sizes is not None:
            sizes = listing([str(size) for size in self.sizes], "and")
            said.append(f"have the sizes {sizes} in some order" if sizes else "are none")
        if self.count is not None:
            said.append(f"are {amount_words(self.count)} in number")
        return f"The groups of {self.value} cells {' and '.join(said)}."

    def check(self, board: Board) -> None:
        """Sizes are 1 or more and fit on the canvas; one of both is given."""
        super().check(board)
        if self.sizes is None and self.count is None:
            raise RuleError("give sizes, or count, or both", key="kind")
        if self.sizes is not None:
            if min(self.sizes, default=1) < 1:
                raise RuleError(f"a group of {min(self.sizes)} is not possible", key="sizes")
            if sum(self.sizes) > len(board.canvas.cells):
                raise RuleError(
                    f"sizes add up to {sum(self.sizes)}, and the canvas has "
                    f"{len(board.canvas.cells)} cells",
                    key="sizes",
                )
        if self.count is not None:
            amount_check(board, self.count)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letter that stands for their number."""
        return {} if self.count is None else amount_letters(self.count, len(board.canvas.cells))

    def holds(self, filled: Filled) -> bool:
        """The sizes sorted are those listed, and as many as is said."""
        groups = self.groups_of(filled)
        if self.sizes is not None and sorted(map(len, groups)) != sorted(self.sizes):
            return False
        return self.count is None or amount_is(filled, self.count, len(groups))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part for the sizes, one for the number."""
        graph = self.shading(board).graph(board.canvas, self.number(board))
        named = f"{self.layer}: {self.value} groups"
        if self.sizes is not None:
            cells = self.at(board, board.canvas.cells)
            whole = Count(cells, frozenset({self.number(board)}), frozenset({sum(self.sizes)}))
            yield Part(f"{named} of their sizes", AllOf((whole, GroupSizes(graph, self.sizes))))
        if self.count is not None:
            counts: frozenset[int] | Variable
            if isinstance(self.count, Cell):
                counts = self.count
            elif isinstance(self.count, tuple):
                counts = frozenset(range(self.count[0], self.count[1] + 1))
            else:
                letter = isinstance(self.count, str)
                counts = Letter(str(self.count)) if letter else frozenset({int(self.count)})
            yield Part(f"{named} in number", GroupCount(graph, counts))


Size = int | str


def _sizes(given: object) -> object:
    if given == "digit":
        return "digit"
    if not isinstance(given, list | tuple) or not given:
        raise ValueError('an array with a size for each cell is meant, or "digit"')
    for one in given:
        if isinstance(one, bool) or not isinstance(one, int | str) or one == "digit":
            raise ValueError(f'{one!r} is not a number, a letter or "any"')
    return tuple(given)


class SizeOfGroup(OnShading):
    """Each listed cell has the value and lies in a group with that many cells.

    `sizes` has a number, a letter or `"any"` for each cell, or is `"digit"`: the digit in the cell. No
    two of the cells lie in one group, and every group of the value holds one of them; `all = false`
    drops the last.

    Example: `kind = "group-size"`, `layer = "water"`, `value = "land"`, `cells = "r1c1 r3c4"`,
    `sizes = [2, 5]`: two islands, of two and five cells.
    """

    kind: Literal["group-size"] = "group-size"
    cells: Cells
    sizes: Annotated[tuple[int | str, ...] | Literal["digit"], BeforeValidator(_sizes)] = Field(
        description='one a cell: a number, a letter or "any"; or "digit" for all'
    )
    every: bool = Field(
        default=True, alias="all", description="whether each group holds one of the cells"
    )

    sentence: ClassVar[str] = "A number is the size of its group; no two are in one group."

    def wording(self) -> str:
        """With the value, and whether all groups have a number."""
        number = "digit in a marked cell" if self.sizes == "digit" else "number in a cell"
        each = "every such group has exactly one" if self.every else "no group has more than one"
        return f"A {number} is the size of its group of {self.value} cells; {each}."

    def where(self) -> tuple[Cell, ...]:
        """Its cells."""
        return self.cells

    def check(self, board: Board) -> None:
        """A size for each cell, possible ones."""
        super().check(board)
        length_between(self.cells, 1)
        distinct_cells(self.cells)
        if self.sizes == "digit":
            if not board.canvas.digits:
                raise RuleError("there are no digits on this canvas", key="sizes")
            return
        if len(self.sizes) != len(self.cells):
            raise RuleError(
                f"sizes lists {len(self.sizes)}, and there are {len(self.cells)} cells", key="sizes"
            )
        for size in self.sizes:
            if isinstance(size, int) and size < 1:
                raise RuleError(f"a group of {size} is not possible", key="sizes")

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letters among its sizes."""
        if self.sizes == "digit":
            return {}
        most = len(board.canvas.cells)
        return {one: (1, most) for one in self.sizes if isinstance(one, str) and one != "any"}

    def _each(self) -> Sequence[tuple[Cell, int | str]]:
        sizes = ["digit"] * len(self.cells) if self.sizes == "digit" else self.sizes
        return list(zip(self.cells, sizes, strict=True))

    def holds(self, filled: Filled) -> bool:
        """Each cell's group by itself, then the groups."""
        groups = self.groups_of(filled)
        listed = set(self.cells)
        for cell, size in self._each():
            group = next((group for group in groups if cell in group), None)
            if group is None or len(group & listed) > 1:
                return False
            if size == "digit" and len(group) != filled[cell]:
                return False
            if size not in ("digit", "any") and len(group) != filled.number(size):
                return False
        return not self.every or all(group & listed for group in groups)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a cell, one for each two, one for the groups."""
        graph = self.shading(board).graph(board.canvas, self.number(board))
        index, named = board.canvas.index, f"{self.layer}: {self.value}"
        for cell, size in self._each():
            sizes: frozenset[int] | Variable
            if size == "any":
                yield Part(f"{named} at {cell}", self.has(board, cell))
                continue
            if size == "digit":
                sizes = cell
            else:
                sizes = Letter(size) if isinstance(size, str) else frozenset({size})
            yield Part(f"{named} group at {cell}", GroupSize(graph, index[cell], sizes))
        for one, other in combinations(self.cells, 2):
            apart = Joined(graph, index[one], index[other], stated=False)
            yield Part(f"{named} groups at {one} and {other} are two", apart)
        if self.every:
            anchors = frozenset(index[cell] for cell in self.cells)
            yield Part(f"{named}: each group has a number", Connected(graph, outside=anchors))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The size in each cell, a ring where it is the digit or any."""
        for cell, size in self._each():
            plain = size in ("digit", "any")
            yield Shape("cell mark", (cell,), "" if plain else str(size), figure="circle")


class Apart(OnShading):
    """No two cells of the value touch.

    `touching` is `"side"`, `"diagonal"` (by a corner only) or `"any"` (by a side or a corner).

    Example: `kind = "apart"`, `layer = "sky"`, `value = "star"`, `touching = "any"`: no two stars touch,
    not even at a corner.
    """

    kind: Literal["apart"] = "apart"
    touching: Literal["side", "diagonal", "any"] = "side"

    sentence: ClassVar[str] = "No two cells of the value touch."

    def wording(self) -> str:
        """With the value and how they do not touch."""
        how = {
            "side": "share a side",
            "diagonal": "touch at a corner only",
            "any": "touch, not even at a corner",
        }
        return f"No two {self.value} cells {how[self.touching]}."

    def place(self) -> str:
        """With the way of touching, where it is not by a side."""
        return " ".join(
            filter(None, (super().place(), {"side": ""}.get(self.touching, self.touching)))
        )

    def _moves(self) -> tuple[tuple[int, int], ...]:
        side, corner = ((0, 1), (1, 0)), ((1, 1), (1, -1))
        return {"side": side, "diagonal": corner, "any": (*side, *corner)}[self.touching]

    def _pairs(self, canvas: Canvas) -> Iterator[tuple[Cell, Cell]]:
        for cell in canvas.cells:
            for move in self._moves():
                if (other := cell.step(*move)) in canvas.index:
                    yield cell, other

    def holds(self, filled: Filled) -> bool:
        """By distance of rows and columns."""
        near = {"side": {(0, 1), (1, 0)}, "diagonal": {(1, 1)}, "any": {(0, 1), (1, 0), (1, 1)}}
        return not any(
            (abs(a.row - b.row), abs(a.column - b.column)) in near[self.touching]
            for a, b in combinations(self.cells_with(filled), 2)
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part for each two cells."""
        for one, other in self._pairs(board.canvas):
            both = (self.has(board, one, inside=False), self.has(board, other, inside=False))
            yield Part(f"{self.layer}: not both {self.value} {one} {other}", AnyOf(both))


class CountIn(OnShading):
    """So many of the cells have the value.

    `count` is a number, a letter, a range `[least, most]` or `"digit of r1c1"`.

    Example: `kind = "count-in"`, `layer = "sky"`, `value = "star"`, `cells = "r1c1..r1c9"`, `count = 2`:
    two stars in row 1.
    """

    kind: Literal["count-in"] = "count-in"
    cells: Cells
    count: Amount

    sentence: ClassVar[str] = "A number tells how many of the cells have the value."

    def wording(self) -> str:
        """With the value."""
        return f"A number beside marked cells tells how many of them are {self.value} cells."

    def where(self) -> tuple[Cell, ...]:
        """Its cells."""
        return self.cells

    def check(self, board: Board) -> None:
        """At least a cell, none twice."""
        super().check(board)
        length_between(self.cells, 1)
        distinct_cells(self.cells)
        amount_check(board, self.count)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letter that is counted up to."""
        return amount_letters(self.count, len(self.cells))

    def holds(self, filled: Filled) -> bool:
        """They are counted."""
        return amount_is(filled, self.count, len(self.cells_with(filled).intersection(self.cells)))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        variables, alone = self.at(board, self.cells), frozenset({self.number(board)})

        def being(counts: frozenset[int]) -> Constraint:
            return Count(variables, alone, counts)

        stated = amount_stated(board, self.count, len(self.cells), being)
        yield Part(f"{self.layer}: {self.value} in {spell(self.cells)}", stated)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """An outline with the number."""
        yield Shape("cage", self.cells, f"{amount_words(self.count)} {str(self.value)[0]}")


class SeenOf(OnShading):
    """The cell has the value, and so many cells of the value, itself included, are seen from it.

    One sees along the row and the column, both ways, up to the first cell of another value or the
    border. `count` is a number, a letter, a range `[least, most]` or `"digit of r1c1"`.

    Example: `kind = "seen-of"`, `layer = "water"`, `value = "deep"`, `cell = "r2c2"`, `count = 3`.
    """

    kind: Literal["seen-of"] = "seen-of"
    cell: Cells
    count: Amount

    sentence: ClassVar[str] = "A number tells how many cells of the value are seen from its cell."

    def wording(self) -> str:
        """With the value."""
        return (
            f"A number in a {self.value} cell tells how many {self.value} cells are seen from it along "
            "its row and column, itself included; any other cell blocks the view."
        )

    def where(self) -> tuple[Cell, ...]:
        """Its cell."""
        return self.cell

    def check(self, board: Board) -> None:
        """One cell."""
        super().check(board)
        if len(self.cell) != 1:
            raise RuleError("cell is one cell", key="cell")
        amount_check(board, self.count)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letter that stands for the number."""
        return amount_letters(self.count, 1 + sum(map(len, self._rays(board.canvas))))

    def _rays(self, canvas: Canvas) -> list[list[Cell]]:
        rays = []
        for move in ((-1, 0), (0, -1), (0, 1), (1, 0)):
            ray: list[Cell] = []
            while (nearest := (ray or [*self.cell])[-1].step(*move)) in canvas.index:
                ray.append(nearest)
            rays.append(ray)
        return rays

    def holds(self, filled: Filled) -> bool:
        """Going on in each direction while cells have the value."""
        having = self.cells_with(filled)
        (start,) = self.cell
        if start not in having:
            return False
        seen = 1
        for down, right in ((-1, 0), (1, 0), (0, -1), (0, 1)):
            other = start.step(down, right)
            while other in having:
                seen += 1
                other = other.step(down, right)
        return amount_is(filled, self.count, seen)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: the runs in the four directions that make the number."""
        rays = self._rays(board.canvas)
        most = 1 + sum(map(len, rays))
        runs: dict[int, list[Constraint]] = {}
        for reach in product(*(range(len(ray) + 1) for ray in rays)):
            seen: list[Constraint] = []
            for ray, length in zip(rays, reach, strict=True):
                seen += [self.has(board, cell) for cell in ray[:length]]
                seen += [self.has(board, cell, inside=False) for cell in ray[length : length + 1]]
            runs.setdefault(1 + sum(reach), []).append(AllOf(tuple(seen)))

        def being(counts: frozenset[int]) -> Constraint:
            return AnyOf(tuple(run for count in sorted(counts) for run in runs.get(count, ())))

        (start,) = self.cell
        stated = amount_stated(board, self.count, most, being)
        label = f"{self.layer}: {self.value} seen from {start}"
        yield Part(label, AllOf((self.has(board, start), stated)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The number in a circle."""
        yield Shape("cell mark", self.cell, amount_words(self.count), figure="circle")


class DigitsOf(OnShading):
    """Cells of the value hold these digits only.

    `only = true`: and no other cell holds one of them.

    Example: `kind = "digits-of"`, `layer = "water"`, `value = "deep"`, `digits = [2, 4, 6]`:
    deep cells hold even digits.
    """

    kind: Literal["digits-of"] = "digits-of"
    needs_digits: ClassVar[bool] = True
    digits: Numbers
    only: bool = Field(default=False, description="whether no other cell holds them")

    sentence: ClassVar[str] = "Cells of the value hold the digits given."

    def wording(self) -> str:
        """With the value and the digits."""
        written = listing([str(digit) for digit in self.digits], "or")
        other = ", and no other cell does" if self.only else ""
        return f"Each {self.value} cell holds {written}{other}."

    def check(self, board: Board) -> None:
        """The digits are digits of the canvas."""
        super().check(board)
        for digit in self.digits:
            if digit not in board.canvas.digits:
                raise RuleError(f"{digit} is not a digit of this canvas", key="digits")

    def holds(self, filled: Filled) -> bool:
        """Cell by cell."""
        having = self.cells_with(filled)
        for cell in filled.board.canvas.cells:
            if cell in having and filled[cell] not in self.digits:
                return False
            if self.only and cell not in having and filled[cell] in self.digits:
                return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a cell."""
        held = frozenset(self.digits)
        for cell in board.canvas.cells:
            said: list[Constraint] = [AnyOf((self.has(board, cell, inside=False), In(cell, held)))]
            if self.only:
                said.append(AnyOf((self.has(board, cell), In(cell, held, inside=False))))
            yield Part(f"{self.layer}: digit of {self.value} {cell}", AllOf(tuple(said)))


class SameAlong(OnLayer):
    """The cells of a drawn line, cage or pair have one value, whichever it is.

    `same = false`: not all of them have the same.

    Example: `kind = "same-along"`, `layer = "water"`, `cells = "r1c1 r2c2"`.
    """

    kind: Literal["same-along"] = "same-along"
    cells: Cells
    same: bool = Field(default=True, description="false: they are not all the same")

    on_kinds: ClassVar[tuple[type[Shading], ...]] = (Shading,)
    sentence: ClassVar[str] = "The cells of a line have one value."

    def wording(self) -> str:
        """With the layer."""
        if self.same:
            return f"The cells that are joined by a line are shaded alike ({self.layer})."
        return f"The cells that are joined by a line are not all shaded alike ({self.layer})."

    def where(self) -> tuple[Cell, ...]:
        """Its cells."""
        return self.cells

    def check(self, board: Board) -> None:
        """Two cells or more, none twice."""
        super().check(board)
        length_between(self.cells, 2)
        distinct_cells(self.cells)

    def _layer(self, board: Board) -> Shading:
        found = self.found(board)
        assert isinstance(found, Shading)
        return found

    def holds(self, filled: Filled) -> bool:
        """One value is met, or more than one."""
        layer = self._layer(filled.board)
        return (len({filled.numbers[layer.at(cell)] for cell in self.cells}) == 1) is self.same

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        first, *rest = map(self._layer(board).at, self.cells)
        equal = AllOf(tuple(Compare(first, "==", other) for other in rest))
        word = "the same" if self.same else "not the same"
        yield Part(
            f"{self.layer}: {word} {spell(self.cells)}", equal if self.same else equal.negated()
        )

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line."""
        yield Shape("line", self.cells)
