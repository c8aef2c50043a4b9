"""Rules of rules: a number of the nested rules are true. For puzzles in which some clues lie."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field, SerializeAsAny, WithJsonSchema

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, HowMany
from gridassay.encodings.grid import Cell, GridError
from gridassay.encodings.pace import pacing
from gridassay.encodings.rules.base import ANY_RULE, Rule, RuleError, Shape, listing
from gridassay.encodings.rules.reading import read_rule
from gridassay.encodings.wording import mid_sentence, plural

DEEPEST = 5
"""The most levels of rules inside one another; each level can double what is written for a rule."""


def _read_nested(given: object) -> object:
    """Read the nested tables, each by its kind."""
    if not isinstance(given, list | tuple) or not given:
        raise ValueError("at least one nested rule is needed, each a [[rule.of]] table")
    if _levels(given) > DEEPEST:
        raise RuleError(f"more than {DEEPEST} levels of rules inside one another", key="of")
    return tuple(_read_one(number, table) for number, table in enumerate(pacing(given), start=1))


def _levels(tables: Sequence[object]) -> int:
    """How deep the tables are nested. A loop, so that no nesting is too deep for it."""
    levels = 0
    while tables:
        levels += 1
        tables = [
            inner
            for table in tables
            if isinstance(table, dict) and isinstance(table.get("of"), list)
            for inner in table["of"]
        ]
    return levels


def _read_one(number: int, table: object) -> Rule:
    if isinstance(table, Rule):
        return table
    if not isinstance(table, dict):
        raise RuleError(f"nested rule {number} is not a table", inside=(number,))
    try:
        rule = read_rule(table)
        if rule.optional:
            raise RuleError("a nested rule is true or false, never optional", key="optional")
        if rule.defines:
            raise RuleError("it says what cells count as, which is never true or false", key="kind")
    except RuleError as error:
        raise _deeper(error, number, table.get("kind")) from None
    return rule


def _deeper(error: RuleError | GridError, number: int, kind: object) -> RuleError:
    """The error of a nested rule as its outer rule reports it."""
    named = f"nested rule {number} ({kind})" if isinstance(kind, str) else f"nested rule {number}"
    inside = error.inside if isinstance(error, RuleError) else ()
    key = error.key if isinstance(error, RuleError) else ""
    return RuleError(f"{named}: {error}", key=key, inside=(number, *inside))


Nested = Annotated[
    tuple[SerializeAsAny[Rule], ...],
    BeforeValidator(_read_nested),
    WithJsonSchema({"type": "array", "minItems": 1, "items": ANY_RULE}),
]


class Combination(Rule):
    """Base of the rules that say how many of their nested rules are true."""

    count: int = Field(ge=0, description="how many are true")
    of: Nested = Field(description="the nested rules, of any kind")

    def counts(self) -> frozenset[int]:
        """The allowed numbers of true rules."""
        raise NotImplementedError

    def where(self) -> tuple[Cell, ...]:
        """The cells of its nested rules, each once."""
        return tuple(dict.fromkeys(cell for rule in self.of for cell in rule.where()))

    def drawn(self) -> Iterator[Rule]:
        """Its nested rules, true or not."""
        for rule in self.of:
            yield from rule.drawn()

    def place(self) -> str:
        """The number, and its nested rules by their own ids or kinds and places."""
        return f"{self.count} of {', '.join(map(_name, self.of))}"

    def check(self, board: Board) -> None:
        """Every nested rule can stand on the board."""
        for number, rule in enumerate(self.of, start=1):
            try:
                rule.check(board)
            except (RuleError, GridError) as error:
                raise _deeper(error, number, rule.kind) from None

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letters of its nested rules."""
        spans: dict[str, tuple[int, int]] = {}
        for rule in self.of:
            for letter, (low, high) in rule.letters(board).items():
                lowest, highest = spans.get(letter, (low, high))
                spans[letter] = min(low, lowest), max(high, highest)
        return spans

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: a nested rule is true when all its own parts are."""
        members = tuple(
            AllOf(tuple(part.constraint for part in rule.all_parts(board)))
            for rule in pacing(self.of)
        )
        yield Part(f"{self.kind} {self.place()}", HowMany(members, self.counts()))

    def all_parts(self, board: Board) -> Iterator[Part]:
        """The same: each nested rule is false by itself if it reads a cell without a value."""
        return self.parts(board)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The shapes of its nested rules."""
        for rule in self.of:
            yield from rule.shapes(board)

    def site(self) -> str:
        """It has no place of its own: its nested rules have."""
        return ""

    @property
    def spoken(self) -> str:
        """Words for its claim."""
        return f"claim that {self.count} of {len(self.of)} clues {_are(self.count)} true"

    @property
    def seen_as(self) -> str:
        """Its own sentence, which names its clues."""
        return self.wording()

    def wording(self) -> str:
        """Words for how many are true, which clues are meant, and what each of them says."""
        groups: dict[tuple[str, str], list[Rule]] = {}
        for rule in self.of:
            groups.setdefault((rule.spoken, _inside(rule)), []).append(rule)
        said = []
        for (_, inner), rules in groups.items():
            if isinstance(rules[0], Combination):
                said += [f"[{inner}]"] * len(rules)
            else:
                said.append(f"{_clues(rules)} ({inner})")
        number = len(self.of)
        these = f"these {number} clues" if number > 1 else "this 1 clue"
        return f"Of {these}, {self._opening()}: {'; '.join(said)}."

    def _opening(self) -> str:
        raise NotImplementedError


class Exactly(Combination):
    """Exactly ``count`` of the nested rules are true; the others are false.

    A rule is false if its plain reading as a whole is false: a cage lies if its total is
    wrong or a digit repeats. Nested rules have their own tables, `[[rule.of]]`, and may be of any kind,
    even `exactly` again. A letter ranges over the numbers that it could stand for if the rules that
    use it were true.

    Example: `kind = "exactly"`, `count = 1` over a `greater` from r1c1 to r1c2 and a `greater` from
    r1c2 to r1c1 says only that the two cells differ.
    """

    kind: Literal["exactly"] = "exactly"

    sentence: ClassVar[str] = "Of these clues, exactly so many are true and the others are false."

    def counts(self) -> frozenset[int]:
        """Just that number."""
        return frozenset({self.count})

    def holds(self, filled: Filled) -> bool:
        """This many nested rules hold."""
        return [rule.is_kept(filled) for rule in self.of].count(True) == self.count

    def _opening(self) -> str:
        if self.count == 0:
            return "exactly 0 are true, so that all are false"
        if self.count == len(self.of):
            return f"exactly {self.count} {_are(self.count)} true, that is, all"
        return f"exactly {self.count} {_are(self.count)} true and the others are false"


class AtLeast(Combination):
    """At least ``count`` of the nested rules are true; the others may be true or false.

    Nested rules are written as for `exactly`.

    Example: `kind = "at-least"`, `count = 1` over an `even` cell r1c1 and an `odd` cell r1c2
    excludes only an odd r1c1 beside an even r1c2.
    """

    kind: Literal["at-least"] = "at-least"

    sentence: ClassVar[str] = "Of these clues, at least so many are true."

    def counts(self) -> frozenset[int]:
        """That number and all greater ones."""
        return frozenset(range(self.count, len(self.of) + 1))

    def holds(self, filled: Filled) -> bool:
        """This many nested rules hold, or more."""
        return [rule.is_kept(filled) for rule in self.of].count(True) >= self.count

    def _opening(self) -> str:
        return f"at least {self.count} {_are(self.count)} true"


def _inside(rule: Rule) -> str:
    """Its sentence, to stand in brackets; a setter's own sentence keeps its capital."""
    if rule.text is not None:
        return rule.printed.removesuffix(".")
    return mid_sentence(rule.wording())


def _are(number: int) -> str:
    return "is" if number == 1 else "are"


def _clues(rules: Sequence[Rule]) -> str:
    """Clues of one sort, named by what is written at them and where they are."""
    if len(rules) == 1:
        site = rules[0].site()
        of = "of" if site.startswith(("row ", "column ")) else ""
        return " ".join(filter(None, ("the", rules[0].sign(), rules[0].spoken, of, site)))
    places = [_place_words(rule) for rule in rules]
    return f"the {plural(rules[0].spoken)} {listing(places, 'and')}"


def _place_words(rule: Rule) -> str:
    """The text at a clue, and where it is."""
    site = rule.site()
    link = " at "
    if site.startswith(("from ", "with ")):
        link = " "
    elif site.startswith(("row ", "column ")):
        link = " of "
    return link.join(filter(None, (rule.sign(), rule.site())))


def _name(rule: Rule) -> str:
    return rule.id or rule.own_name()
