"""How rules are pointed at: *the 22 cage in box 4*, *the arrow that starts in r3c2*."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence

from gridassay.encodings.grid import Cell
from gridassay.encodings.naming import phrases
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.listening.token import Token
from gridassay.verify.listening.vocabulary import Vocabulary
from gridassay.verify.solving.board.position import Layout

_CELLS_AFTER = re.compile(r"(?: r\d+c\d+)+$")


TokenAt = Callable[[str, int], Token | None]
"""The token of a cell, or of a house, at a place of a text, if there is one."""


def sights(puzzle: Puzzle) -> dict[str, str]:
    """The phrases of the rules of a puzzle by what one sees, also of those that have an id."""
    plain = (rule.model_copy(update={"id": None}) if rule.id else rule for rule in puzzle.rules)
    return phrases(dict(zip(puzzle.rule_names, plain, strict=True)), puzzle.board)


def drawn_lines(puzzle: Puzzle) -> dict[str, tuple[Cell, ...]]:
    """The rules of a puzzle that are drawn as plain lines, with the cells of each from end to end.

    Thermometers and arrows, which have a bulb and a tip, are none of them.
    """
    lines = {}
    for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
        for shape in rule.shapes(puzzle.board):
            if shape.form == "line" and {shape.first_end, shape.last_end} <= {"", "circle"}:
                lines[name] = shape.cells
    return lines


class RuleNames:
    """The rules of a puzzle, as they may be pointed at in a text."""

    def __init__(
        self, layout: Layout, words: Vocabulary, sights: Mapping[str, str], *, spoken: bool
    ) -> None:
        """``sights`` has what one sees of each rule, whether or not it has an id."""
        self._layout = layout
        self._spoken = spoken
        self._words = words
        self._phrases = list(_rule_phrases(layout, sights, words.counts))
        self._phrases += [] if spoken else list(_signs(layout))
        self._totals = list(_totals(layout, words.counts)) if not spoken else []

    def token(self, text: str, place: int, cell_at: TokenAt, house_at: TokenAt) -> Token | None:
        """The rules that may be meant by the words at a place, if they point at any."""
        if place and text[place - 1].isalnum():
            return None
        size = None if self._spoken else self._words.rule_size.match(text, place)
        begin = size.end() if size else place
        for pattern, rules in self._phrases:
            match = pattern.match(text, begin)
            if match:
                end = match.end()
                if not self._spoken:
                    end, rules = self._through(text, end, rules, cell_at)
                    end, rules = self._within(text, end, rules, house_at)
                if size and end == match.end():
                    rules = self._sized(rules, self._words.sizes[size["size"].casefold()])
                return Token("Q", text[place:end], place, end, rules=rules)
        return self._total(text, place, house_at)

    def _total(self, text: str, place: int, house_at: TokenAt) -> Token | None:
        """The one rule in a house that is called by its total alone: *the 14 in box 8*."""
        for pattern, rules in self._totals:
            match = pattern.match(text, place)
            if match:
                end, kept = self._within(text, match.end(), rules, house_at)
                told = end > match.end() or self._words.rule_told.match(text, end)
                if len(kept) == 1 and told:
                    return Token("Q", text[place:end], place, end, rules=kept)
        return None

    def _sized(self, rules: Sequence[str], size: str) -> tuple[str, ...]:
        """The one rule with the most cells, or the fewest; all if there is none."""
        lengths = {rule: len(self._layout.span(rule)) for rule in rules}
        extreme = max(lengths.values()) if size == "long" else min(lengths.values())
        kept = tuple(rule for rule in rules if lengths[rule] == extreme)
        return kept if len(kept) == 1 else tuple(rules)

    def _within(
        self, text: str, end: int, rules: Sequence[str], house_at: TokenAt
    ) -> tuple[int, tuple[str, ...]]:
        """With the house that only one of them lies in: *the 14 cage in column 6*."""
        between = self._words.rule_within.match(text, end)
        house = house_at(text, between.end()) if between else None
        if house is None:
            return end, tuple(rules)
        cells = set(self._layout.scope(house.house))
        kept = tuple(rule for rule in rules if cells.issuperset(self._layout.span(rule)))
        return (house.end, kept) if len(kept) == 1 else (end, tuple(rules))

    def _through(
        self, text: str, end: int, rules: Sequence[str], cell_at: TokenAt
    ) -> tuple[int, tuple[str, ...]]:
        """With the cell at which a line begins or ends: *with its bulb in r1c2*, *from r2c4*."""
        written = {self._layout.index[one] for one in _written_after(text, end, cell_at)}
        within = [rule for rule in rules if written and written <= set(self._layout.span(rule))]
        if within:
            return end, tuple(within)
        match = self._words.rule_end.match(text, end)
        cell = cell_at(text, match.end()) if match else None
        if cell is None or len(cell.cells) != 1:
            return end, tuple(rules)
        at = self._layout.index[cell.cells[0]]
        kept = tuple(rule for rule in rules if at in _ends(self._layout.span(rule)))
        return (cell.end, kept) if kept else (end, tuple(rules))


def _totals(
    layout: Layout, counts: Mapping[str, str]
) -> Iterator[tuple[re.Pattern[str], tuple[str, ...]]]:
    """The totals of rules that are not digits, as they are said with an article: *the 14*."""
    having: dict[str, list[str]] = {}
    for name, phrase in layout.said.items():
        total = phrase.removeprefix("the ").partition(" ")[0]
        if total.isdigit() and int(total) > len(layout.canvas.digits):
            having.setdefault(total, []).append(name)
    for total, rules in having.items():
        yield (
            re.compile(rf"(?:the|that|this)\s+(?:{counts.get(total, total)})\b", re.IGNORECASE),
            tuple(rules),
        )


def _signs(layout: Layout) -> Iterator[tuple[re.Pattern[str], tuple[str, ...]]]:
    """The rules that are called by the letter that one sees: *X*, *the V in box 2*."""
    having: dict[str, list[str]] = {}
    for name, phrase in layout.said.items():
        sign = phrase.removeprefix("the ").partition(" ")[0]
        if len(sign) == 1 and sign.isalpha() and sign.isupper():
            having.setdefault(sign, []).append(name)
    for sign, rules in having.items():
        yield re.compile(rf"(?:(?i:the|that|this)\s+)?{sign}(?![\w-])"), tuple(rules)


def _written_after(text: str, end: int, cell_at: TokenAt) -> set[Cell]:
    """The cells that stand right after the name of a rule, as in notes: ``10 cage r6c45``."""
    space = re.compile(r"\s*\(?").match(text, end)
    cell = cell_at(text, space.end()) if space else None
    return set(cell.cells) if cell else set()


def _ends(cells: Sequence[int]) -> tuple[int, ...]:
    return (cells[0], cells[-1]) if cells else ()


def _rule_phrases(
    layout: Layout, sights: Mapping[str, str], counts: Mapping[str, str]
) -> Iterator[tuple[re.Pattern[str], tuple[str, ...]]]:
    """The ways to point at rules: ``the 22 cage in box 4``, ``the 22 cage``, ``the cage``, the id."""
    meant: dict[str, list[str]] = {}
    for name, phrase in [*layout.said.items(), *sights.items()]:
        if name not in layout.premises:
            continue  # doublers and letters have phrases in every puzzle
        plain = phrase.removeprefix("the ")
        short = plain.partition(" in ")[0].partition(" at ")[0].partition(" from ")[0]
        short = _CELLS_AFTER.sub("", short)
        noun = short.rpartition(" ")[2] if short[:1].isdigit() else short.partition(" '")[0]
        for one in dict.fromkeys((name, plain, short, noun)):
            if any(len(word) > 2 and word.isalpha() for word in one.split()):
                known = meant.setdefault(one, [])
                known += [] if name in known else [name]
    for phrase in sorted(meant, key=lambda one: (-len(one), one)):
        said = [counts.get(word, re.escape(word)) for word in phrase.split()]
        words = r"[\s-]+".join(f"(?:{word})" for word in said)
        if len(said) == 2 and phrase[0].isdigit():
            words = f"(?:{words}|{said[1]}\\s+of\\s+(?:{said[0]}))"
        yield (
            re.compile(rf"(?:(?:the|that|this)\s+)?{words}\b", re.IGNORECASE),
            tuple(meant[phrase]),
        )
