"""A rule that says that all marks of some kinds are drawn, so that a missing mark has a meaning too."""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce
from operator import or_
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import Table
from gridassay.encodings.rules.base import Listed, Numbers, RuleError, listing
from gridassay.encodings.rules.extent import WholeGrid, extent
from gridassay.encodings.rules.marks import Pairs, with_difference, with_ratio, with_sum

MarkKind = Literal["consecutive-pair", "double-pair", "pair-sum", "pair-difference", "pair-ratio"]
_LISTS = {"pair-sum": "sums", "pair-difference": "differences", "pair-ratio": "ratios"}


class MarksComplete(WholeGrid):
    """All marks of the listed `kinds` are drawn: neighbours without a mark satisfy none
    of them.

    It is about every pair of orthogonal neighbours.

    With `pair-sum` among the kinds, `sums` lists the totals that are meant, whether drawn anywhere
    or not (`[5, 10]` if all V and X are given); likewise `differences` with `pair-difference` and
    `ratios` with `pair-ratio`. A mark of any of the kinds exempts its pair from all of them, even
    while it is switched off or stated to be false. Kinds that are complete separately get one rule
    each.

    Example: `kind = "marks-complete"`, `kinds = ["consecutive-pair", "double-pair"]`: two
    neighbours with no dot between them are never 3 and 4, nor 3 and 6.
    """

    kind: Literal["marks-complete"] = "marks-complete"
    kinds: Annotated[tuple[MarkKind, ...], Listed, Field(min_length=1)]
    sums: Numbers | None = None
    differences: Numbers | None = None
    ratios: Numbers | None = None

    noun: ClassVar[str] = "rule that all marks are given"
    sentence: ClassVar[str] = "All marks of these kinds are given."

    def wording(self) -> str:
        """Words for the marks that are all given, and for the meaning of their absence."""
        names = {
            "consecutive-pair": "white dots",
            "double-pair": "black dots",
            "pair-sum": f"sums of {_or(self.sums)}",
            "pair-difference": f"differences of {_or(self.differences)}",
            "pair-ratio": f"ratios of {_or(self.ratios)}",
        }
        bans = {
            "consecutive-pair": "hold consecutive digits",
            "double-pair": "hold a digit and its double",
            "pair-sum": f"add up to {_or(self.sums)}",
            "pair-difference": f"differ by {_or(self.differences)}",
            "pair-ratio": f"hold a digit and {_or(self.ratios)} times that digit",
        }
        given = listing([names[kind] for kind in self.kinds], "and")
        several = len(self.kinds) > 1
        banned = " nor ".join(bans[kind] for kind in self.kinds)
        banned = f"neither {banned}" if several else f"do not {banned}"
        none = "none of these" if several else "none"
        return self.about(
            f"All {given} are given: two cells that share a side and have {none} between them {banned}."
        )

    def check(self, board: Board) -> None:
        """Numbers are listed for the kinds that need them, and for no other."""
        super().check(board)
        if len(set(self.kinds)) < len(self.kinds):
            raise RuleError("a kind is listed twice", key="kinds")
        for kind, numbers in _LISTS.items():
            given = getattr(self, numbers) is not None
            if kind in self.kinds and not given:
                raise RuleError(
                    f"{kind} is among the kinds: say which {numbers} are complete", key="kinds"
                )
            if given and kind not in self.kinds:
                raise RuleError(
                    f"{numbers} is given, but {kind} is not among the kinds", key=numbers
                )

    def holds(self, filled: Filled) -> bool:
        """No pair of neighbours without a mark satisfies one."""
        cells = extent(filled.board.canvas, self.grid).cells
        marked = {frozenset(cells) for kind, cells in filled.board.drawn if kind in self.kinds}
        for cell in cells:
            for other in (cell.step(0, 1), cell.step(1, 0)):
                if other not in cells or frozenset((cell, other)) in marked:
                    continue
                low, high = sorted(filled.values((cell, other)))
                small, large = sorted((low, high), key=abs)
                if (
                    ("consecutive-pair" in self.kinds and high == low + 1)
                    or ("double-pair" in self.kinds and large == 2 * small)
                    or (low + high in (self.sums or ()))
                    or (high - low in (self.differences or ()))
                    or any(large == ratio * small for ratio in self.ratios or ())
                ):
                    return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair of neighbours without a mark."""
        marked = {tuple(sorted(cells)) for kind, cells in board.drawn if kind in self.kinds}
        banned = self._ban(board)
        for pair in extent(board.canvas, self.grid).apart(((0, 1), (1, 0))):
            if pair not in marked:
                yield Part(
                    f"no mark {pair[0]}–{pair[1]}", Table(board.values(pair), banned, listed=False)
                )

    def _ban(self, board: Board) -> Pairs:
        values = board.value_domain
        sets: list[Pairs] = []
        if "consecutive-pair" in self.kinds:
            sets.append(with_difference(values, 1))
        if "double-pair" in self.kinds:
            sets.append(with_ratio(values, 2))
        sets += [with_sum(values, total) for total in self.sums or ()]
        sets += [with_difference(values, difference) for difference in self.differences or ()]
        sets += [with_ratio(values, ratio) for ratio in self.ratios or ()]
        return reduce(or_, sets)


def _or(numbers: tuple[int, ...] | None) -> str:
    return listing([str(number) for number in numbers or ()], "or")
