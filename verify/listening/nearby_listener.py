"""A listener who looks at the board for what was said around a digit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile

from gridassay.verify.listening.adjoining import near
from gridassay.verify.listening.bearings import Listing, Mention
from gridassay.verify.listening.best_fit import best_fit
from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.hearsay import may_be_misheard
from gridassay.verify.listening.listed import listed_cells, one_of_them
from gridassay.verify.listening.listener import TalkListener
from gridassay.verify.listening.nearby import (
    Meant,
    core_of,
    drops,
    meant,
    named_cell,
    said_around,
    tells_of_rule,
    tells_where,
)
from gridassay.verify.listening.only_single import only_single
from gridassay.verify.listening.pointing import pointed_at
from gridassay.verify.listening.readings import outside
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.listening.spots import singles
from gridassay.verify.solving.techniques import hidden_single


class NearbyListener(TalkListener):
    """Judges a claim of cells without names by all that was said around its digit."""

    _since = 0
    _written = False
    _listing: Listing | None = None
    _group: tuple[int, ...] = ()
    _left: Sequence[str | None] = ()

    def judge(self, heard: Heard) -> list[TalkStep]:
        """As without it, but for the cell that all of the words around the digit single out."""
        self._written = heard.time is None
        values = len(self.layout.digits)
        return [
            self._not_understood(heard)
            if not self._written and step.result == "wrong" and may_be_misheard(heard, step, values)
            else step
            for step in self._judge_all(heard)
        ]

    def _judge_all(self, heard: Heard) -> list[TalkStep]:
        """The results of a claim, without regard to what may be misheard."""
        mention = heard.mention
        if mention is None:
            return self._once(heard) if heard.gleaned else super().judge(heard)
        if mention.listing is not None:
            if mention.listing == self._listing:
                return []
            listed = self._listed(heard, mention.listing, mention.text)
            if listed is not None:
                return self._once(listed)
        told = self._one_of_them(heard, mention) if mention.listing is None else None
        if told is not None:
            return super().judge(told)
        found = self._nearby(mention)
        own = bool(heard.digits or heard.concludes)
        guesses = not self._written or tells_where(mention, self._since)
        if found is None and guesses and not self._true_of(heard):
            cell = best_fit(mention, self._spoken_board(), self._since, self._gives)
            named = named_cell(mention, self._spoken_board(), self._since)
            if cell is not None and named in (None, cell):
                return self._best_guess(heard, mention, cell)
        if found is None:
            steps = self._otherwise(heard, mention, own=own)
            if not self._written and all(step.result == "unclear" for step in steps):
                cell = only_single(mention, self._spoken_board(), self._since)
                if cell is not None:
                    return self._best_guess(heard, mention, cell)
            if not steps and tells_of_rule(mention, self._since):
                self._missed.add((mention.digit,))
            return steps
        since = self._since
        self._since = max((one.end for one in found.parts), default=0)
        if own and heard.start >= since and self._stays(heard, found):
            return super().judge(heard)
        return super().judge(self._told(heard, mention, found))

    def _once(self, heard: Heard) -> list[TalkStep]:
        """The result of a claim of what is left; nothing if it is the last such claim again."""
        steps = super().judge(heard)
        left = [step.means for step in steps if " not " in (step.means or "")]
        again = bool(left) and left == self._left and steps[0].result == "idle"
        self._left = left or self._left
        return [] if again else steps

    def _listed(self, heard: Heard, listing: Listing, text: str) -> Heard | None:
        """The claim that some cells have the digits of a list and no others, if the board shows which."""
        cells = listed_cells(listing, self._spoken_board(), self._group)
        if not cells:
            return None
        self._listing, self._group = listing, cells
        self._since = max(self._since, listing.end)
        removes = tuple(
            (self.layout.cells[cell], digit)
            for cell in cells
            for digit in self.layout.digits
            if digit not in listing.digits
        )
        return Heard(
            said=text[listing.start : listing.end],
            start=listing.start,
            removes=removes,
            missed=heard.missed,
            line=heard.line,
            time=heard.time,
            until=heard.until,
        )

    def _one_of_them(self, heard: Heard, mention: Mention) -> Heard | None:
        """The claim of one of the cells that were just spoken of together."""
        board = self._spoken_board()
        cell = one_of_them(mention, self._group, board, self._since, self._gives)
        if cell is None:
            return None
        parts = core_of(mention, self._since)
        self._since = max([mention.end, *(one.end for one in parts)])
        return self._told(heard, mention, Meant(cell, parts))

    def _best_guess(self, heard: Heard, mention: Mention, cell: int) -> list[TalkStep]:
        """The result of a claim of the cell that fits best, which may be told more clearly yet."""
        after = [*takewhile(lambda one: one.kind != "stop", mention.after)]
        self._since = max([mention.end, *(one.end for one in after)])
        said = set(self._said)
        told = self._told(heard, mention, Meant(cell, ()))
        if self._written:
            told = replace(told, said=said_around(mention))
        steps = super().judge(told)
        self._said = said
        return steps

    def _true_of(self, heard: Heard) -> bool:
        """Whether what was heard alone is one claim that is true and open."""
        if not (heard.digits or heard.concludes):
            return False
        if not self._points(heard):
            return True
        readings = pointed_at(heard, self._spoken_board()).readings
        return len(readings) == 1 and bool(self._true(readings[0].places))

    def _otherwise(self, heard: Heard, mention: Mention, *, own: bool) -> list[TalkStep]:
        """The result of a claim of which the board does not show the cell."""
        board = self._spoken_board()
        cell = named_cell(mention, board, self._since)
        place = (self.layout.cells[cell], mention.digit) if cell is not None else None
        readings = pointed_at(heard, board).readings if own and self._points(heard) else ()
        if len(readings) == 1:
            claim = readings[0]
            wrong = self._false(claim)
            (other,) = self._cells_of(claim) if claim.places else (None,)
            if other is not None and drops(other, mention, board, self._since, every=wrong):
                return [self._not_understood(heard)]
            slip = bool(outside(claim, self.layout)) or other != cell
            if place is None or not slip:
                return super().judge(heard)
        if place is not None and self._has_value(*place):
            claim = self._told(heard, mention, Meant(cell or 0, ()))
            if self._false(claim):
                return super().judge(claim)
        return super().judge(heard) if own else []

    def _nearby(self, mention: Mention) -> Meant | None:
        return meant(mention, self._spoken_board(), self._since, self._gives)

    def _gives(self, cell: int, digit: int) -> bool:
        """Whether one short step, or singles of which some were left out, place a digit in a cell."""
        place = (self.layout.cells[cell], self.layout.digits[digit])
        claim = self._claim(Heard("", 0, places=(place,)))
        if self._follows(claim, self.position):
            return True
        if self._written:
            return self._after_few(claim)
        return self._meant(Heard("", 0, near=(place,), gleaned=True)) is not None

    def _stays(self, heard: Heard, found: Meant) -> bool:
        """Whether the claim as it was heard may be meant: true and open, where all that was said fits."""
        if heard.concludes or not self._points(heard):
            return False
        if any(one.kind == "only" and one.said for one in found.parts):
            return False
        board = self._spoken_board()
        readings = pointed_at(heard, board).readings
        if len(readings) != 1 or len(readings[0].places) != 1:
            return False
        (cell,) = self._cells_of(readings[0])
        if not all(cell in self.layout.scope(house) for house in heard.houses):
            return False
        if cell == found.cell:
            digit = self.layout.digit_index[readings[0].places[0][1]]
            return bool(heard.technique) or cell in singles(board, digit)
        beside = [one for one in found.parts if one.kind == "near"]
        fits = all(near(cell, one, board) != one.denied for one in beside)
        return bool(self._true(readings[0].places)) and fits

    def _told(self, heard: Heard, mention: Mention, found: Meant) -> Heard:
        """The claim of a cell that was found, for the reason that was said."""
        place = (self.layout.cells[found.cell], mention.digit)
        reason = [one for one in found.parts if one.kind == "only" and one.said]
        house = reason[0].said if reason and reason[0].said in self._houses() else ""
        begin = min([mention.start, *(one.start for one in found.parts if one.end)])
        end = max([mention.end, *(one.end for one in found.parts)])
        return Heard(
            said=mention.text[begin:end].strip(),
            start=begin,
            places=(place,),
            technique=hidden_single.NAME if house else "",
            houses=(house,) if house else (),
            missed=heard.missed,
            only=heard.only,
            mention=mention,
            line=heard.line,
            time=heard.time,
            until=heard.until,
        )

    def _houses(self) -> set[str]:
        return {zone.name for zone in self.layout.zones}
