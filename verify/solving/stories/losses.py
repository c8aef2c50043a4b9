"""The candidates that a table has lost on a supposed board: by which links, and which a strike needs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gridassay.verify.solving.board.position import Mark, members
from gridassay.verify.solving.stories.tables import FillingTable


class Losses:
    """The candidates of a table that are gone, by the links by which they went."""

    def __init__(
        self,
        table: FillingTable,
        start: Sequence[int],
        masks: Sequence[int],
        by: Sequence[Mapping[int, int]],
        rests: Sequence[int],
    ) -> None:
        """Candidates at the ``start`` and now; the link of each that went, by value and unknown.

        ``rests`` has the links on which each link rests.
        """
        # What each unknown allows, and the fillings with any of that.
        self._having: dict[int, tuple[int, ...]] = {}
        self._allowed: dict[int, int] = {}
        self._by_link: dict[int, list[Mark]] = {}
        for place, unknown in enumerate(table.scope):
            gone = start[unknown] & ~masks[unknown]
            if not gone:
                continue
            self._having[unknown] = table.having[place]
            self._allowed[unknown] = table.with_any(place, masks[unknown])
            for value in members(gone):
                self._by_link.setdefault(by[value][unknown], []).append((unknown, value))
        self._numbers = sorted(
            (number for number in self._by_link if number),
            key=lambda number: (-rests[number].bit_count(), -number),
        )

    def few(self, every: int) -> tuple[Mark, ...]:
        """Candidates that have to be gone so that none of these fillings is left, chosen for few links.

        The supposition costs nothing; the links are left out one by one, long ones first.
        """
        allowed, by_link, having = self._allowed, self._by_link, self._having
        left_out: set[int] = set()
        for number in self._numbers:
            wider = dict(allowed)
            for unknown, value in by_link[number]:
                wider[unknown] |= having[unknown][value]
            alive = every
            for some in wider.values():
                alive &= some
                if not alive:
                    break
            if not alive:
                allowed = wider
                left_out.add(number)
        return tuple(
            mark for number, some in by_link.items() if number not in left_out for mark in some
        )
