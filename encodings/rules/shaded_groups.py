"""Rules about a shading: its groups, their connection and their sizes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import (
    AllOf,
    Count,
    Letter,
    Variable,
)
from gridassay.encodings.grid import Cell
from gridassay.encodings.groups import Connected, GroupCount, GroupSize, GroupSizes, Joined
from gridassay.encodings.rules.base import (
    Cells,
    RuleError,
    Shape,
    listing,
)
from gridassay.encodings.rules.layered import (
    Amount,
    Marked,
    OnShading,
    amount_check,
    amount_is,
    amount_letters,
    amount_words,
)
from gridassay.encodings.wording import quantity


class ConnectedValue(OnShading):
    """The cells with the value are one orthogonally connected group.

    With `empty = true`, the group may also be empty.

    Example: `kind = "connected"`, `layer = "water"`, `value = "deep"`: from any deep cell there is
    a way to any other through deep cells.
    """

    kind: Literal["connected"] = "connected"
    empty: bool = Field(default=False, description="whether no cell need have it")

    sentence: ClassVar[str] = "All cells of the value form one orthogonally connected group."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``connection of deep cells``."""
        return f"connection of {self.value} cells"

    def wording(self) -> str:
        """The sentence, with the value."""
        none = ", if there are any," if self.empty else ""
        return f"All {self.cells_called()}{none} form one orthogonally connected group."

    def holds(self, filled: Filled) -> bool:
        """One group, or none if that is allowed."""
        return len(self.groups_of(filled)) in ((0, 1) if self.empty else (1,))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        graph = self.shading(board).graph(board.canvas, self.number(board))
        yield Part(f"{self.layer}: {self.value} connected", Connected(graph, empty=self.empty))


class ToTheEdge(OnShading):
    """Every group of the value reaches the border of the canvas; the sides of holes count.

    Example: `kind = "to-the-edge"`, `layer = "water"`, `value = "deep"`: no deep cells are enclosed.
    """

    kind: Literal["to-the-edge"] = "to-the-edge"

    sentence: ClassVar[str] = (
        "Every orthogonally connected group of the value reaches the edge of the grid."
    )

    @property
    def spoken(self) -> str:
        """Its name in steps: ``way of deep cells to the edge``."""
        return f"way of {self.value} cells to the edge"

    def wording(self) -> str:
        """The sentence, with the value."""
        return (
            f"Every orthogonally connected group of {self.cells_called()} reaches the edge of the "
            "grid."
        )

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


class Groups(OnShading):
    """The groups of the value have these sizes, in any order, or there are this many of them.

    `sizes` lists them all (`[]` for none); `count` is a number, a letter, a range `[least, most]` or
    `"digit of r1c1"`. If both are given, both hold.

    Example: `kind = "groups"`, `layer = "sea"`, `value = "ship"`, `sizes = [3, 2, 2]`: three ships, one
    of three cells and two of two, which do not share a side.
    """

    kind: Literal["groups"] = "groups"
    sizes: tuple[int, ...] | None = Field(default=None, strict=False, description="of all groups")
    count: Amount | None = Field(default=None, description="how many groups there are")

    sentence: ClassVar[str] = "The groups of the value have the sizes given."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``list of ship groups``."""
        return f"list of {self.value} groups"

    def wording(self) -> str:
        """The sentence, with the value, the sizes and the number."""
        cells = self.cells_called()
        said = [f"There are no {cells}."] if self.sizes == () else []
        if self.sizes and len(self.sizes) == 1:
            size = quantity(self.sizes[0], "cell")
            said.append(f"All {cells} form one orthogonally connected group, of {size}.")
        elif self.sizes:
            sizes = listing([str(size) for size in sorted(self.sizes, reverse=True)], "and")
            said.append(f"The orthogonally connected groups of {cells} have the sizes {sizes}.")
        if self.count is not None:
            said.append(
                f"The number of orthogonally connected groups of {cells} is "
                f"{amount_words(self.count)}."
            )
        return " ".join(said)

    def check(self, board: Board) -> None:
        """Sizes are 1 or more and fit on the canvas; sizes, count or both are given."""
        super().check(board)
        if self.sizes is None and self.count is None:
            raise RuleError("give sizes, or count, or both", key="kind")
        if self.sizes is not None:
            if min(self.sizes, default=1) < 1:
                raise RuleError(
                    f"a group needs at least 1 cell, but sizes has {min(self.sizes)}", key="sizes"
                )
            if sum(self.sizes) > len(board.canvas.cells):
                raise RuleError(
                    f"sizes add up to {sum(self.sizes)}, but the canvas has "
                    f"{len(board.canvas.cells)} cells",
                    key="sizes",
                )
        if self.count is not None:
            amount_check(board, self.count)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letter that stands for their number."""
        return {} if self.count is None else amount_letters(self.count, len(board.canvas.cells))

    def holds(self, filled: Filled) -> bool:
        """Whether the groups have the listed sizes, and there are as many groups as the count says."""
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
        raise ValueError('this must be an array with one size per cell, or "digit"')
    for one in given:
        if isinstance(one, bool) or not isinstance(one, int | str) or one == "digit":
            raise ValueError(f'{one!r} is not a number, a letter or "any"')
    return tuple(given)


class SizeOfGroup(Marked, OnShading):
    """Each listed cell has the value and lies in a group with that many cells.

    `sizes` has a number, a letter or `"any"` for each cell, or is `"digit"`: the digit in the cell.
    No two of the cells lie in one group, and every group of the value holds one of them; `all =
    false` drops this last condition.

    Example: `kind = "group-size"`, `layer = "water"`, `value = "land"`, `cells = "r1c1 r3c4"`,
    `sizes = [2, 5]`: two islands, of two and five cells.
    """

    kind: Literal["group-size"] = "group-size"
    cells: Cells
    sizes: Annotated[tuple[int | str, ...] | Literal["digit"], BeforeValidator(_sizes)] = Field(
        description='one per cell: a number, a letter or "any"; or "digit" for all'
    )
    every: bool = Field(
        default=True, alias="all", description="whether each group holds one of the cells"
    )

    sentence: ClassVar[str] = "A number is the size of its group; no two are in one group."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``land numbers``."""
        return f"{self.value} numbers"

    def wording(self) -> str:
        """The sentence, with the value, and whether all groups have a number."""
        one, many = self.cells_called(one=True), self.cells_called()
        has = "exactly one" if self.every else "at most one"
        group = f"orthogonally connected group of {many}"
        if self.sizes == "digit":
            return (
                f"Each cell with a circle is a {one}, and its digit is the size of its {group}; "
                f"every such group has {has} circle."
            )
        if "any" in self.sizes:
            return (
                f"Each cell with a circle is a {one}, and a number in it is the size of its {group}; "
                f"every such group has {has} circle."
            )
        return (
            f"Each cell with a number is a {one}, and the number is the size of its {group}; every "
            f"such group has {has} number."
        )

    def check(self, board: Board) -> None:
        """A size for each cell, possible ones."""
        super().check(board)
        if self.sizes == "digit":
            if not board.canvas.digits:
                raise RuleError("there are no digits on this canvas", key="sizes")
            return
        if len(self.sizes) != len(self.cells):
            raise RuleError(
                f"sizes lists {len(self.sizes)}, but there are {len(self.cells)} cells", key="sizes"
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
        """One part per cell, one per pair of cells, one for the groups."""
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
        """The size in each cell, a ring if it is the digit or any."""
        for cell, size in self._each():
            plain = size in ("digit", "any")
            yield Shape("cell mark", (cell,), "" if plain else str(size), figure="circle")
