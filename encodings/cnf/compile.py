"""A whole model as clauses: variables, definitions, and every premise behind switches.

Each part of a premise binds while its own switch is true; a premise of several parts has a master
switch that turns all of them on. Nothing is switched by default: a question assumes the switches of
the premises it rests on.

``compile_plainly`` writes the same model without switches, for others to read and for proofs: what is on
always binds, and what is optional is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from math import comb
from typing import Any

from gridassay.encodings.board import Part
from gridassay.encodings.cnf import basic, counts, sums, tables  # noqa: F401  (register)
from gridassay.encodings.cnf.at_most_one import at_most_one
from gridassay.encodings.cnf.registry import EncodingError, every_encoder
from gridassay.encodings.cnf.writer import Clause, Writer
from gridassay.encodings.constraints import AllDifferent, Compare, Variable
from gridassay.encodings.model import Model, Premise
from gridassay.encodings.pace import TooLarge, pace, pace_with


@dataclass(frozen=True)
class Compiled:
    """Clauses with the meaning of their literals.

    ``switches`` gives each premise's master switch, ``parts`` the switch of each of its parts in
    order. ``mentioned`` has a literal for each premise with a letter: assumed true when any part of it is
    on, false when all parts are off. ``origins`` says at which clause each part begins.
    """

    writer: Writer
    switches: Mapping[str, int]
    parts: Mapping[str, tuple[int, ...]]
    mentioned: Mapping[str, int]
    origins: tuple[tuple[int, str], ...]

    @property
    def clauses(self) -> list[Clause]:
        """All clauses, DIMACS literals."""
        return self.writer.clauses

    @property
    def variables(self) -> int:
        """The number of propositional variables."""
        return self.writer.top

    def literal(self, variable: Variable, value: int) -> int:
        """True when the variable has the value."""
        return self.writer.literal(variable, value)

    def assumptions(self, on: Iterable[str | tuple[str, int]]) -> list[int]:
        """The literals to assume so that these premises, or parts of them by number, bind."""
        chosen = list(on)
        literals = [self.by_switch[switch] for switch in chosen]
        if self.mentioned:
            names = {switch if isinstance(switch, str) else switch[0] for switch in chosen}
            literals += [
                literal if name in names else -literal for name, literal in self.mentioned.items()
            ]
        return literals

    @cached_property
    def by_switch(self) -> dict[str | tuple[str, int], int]:
        """The literal that turns on each premise (by its name), or one part of it (name, number)."""
        found: dict[str | tuple[str, int], int] = dict(self.switches.items())
        for name, literals in self.parts.items():
            found |= {(name, number): literal for number, literal in enumerate(literals)}
        return found


def compile_model(
    model: Model,
    choices: Mapping[str, str] | None = None,
    tick: Callable[[], None] = lambda: None,
    take: Callable[[list[Clause]], None] | None = None,
    *,
    cuts: bool = False,
) -> Compiled:
    """Compile a model. ``tick`` is called again and again and may raise to stop (a budget).

    With ``take``, most clauses are given to it as they are made, and only the rest are in the result
    (``origins`` then says nothing). ``choices`` are the writer's. With ``cuts`` members about groups
    may be noted instead of written (``Writer.noted``). Raises TooLarge, with the part that was too
    much, and EncodingError if the choices name an unknown constraint or encoding.
    """
    for kind in choices or ():
        if kind not in every_encoder() and kind != "AtMostOne":
            raise EncodingError(f"there is no constraint {kind!r}")
    writer = Writer(model.domains, choices)
    writer.take = take
    writer.noted = [] if cuts else None
    origins = [(0, "one value each")]
    with pace_with(tick):
        _write_variables(writer, model)
        origins.append((len(writer.clauses), "letters that nothing mentions"))
        mentioned, in_use = _letters(writer, model)
        compiled = Compiled(writer, {}, {}, mentioned, ())
        return _with_premises(compiled, model.premises, in_use, origins)


def extend(
    ground: Compiled,
    model: Model,
    top: int,
    tick: Callable[[], None] = lambda: None,
    take: Callable[[list[Clause]], None] | None = None,
) -> Compiled:
    """Compile what a model adds to its ground, which is already compiled, as ``compile_model`` does.

    The clauses are only the added ones; they use the ground's variables and new ones from ``top``
    + 1 on. The switches and parts are those of both. Members about groups are noted.
    """
    assert model.ground is not None
    premises = model.premises[len(model.ground.premises) :]
    compiled = replace(ground, writer=ground.writer.above(top))
    compiled.writer.take = take
    compiled.writer.noted = []
    with pace_with(tick):
        return _with_premises(compiled, premises, {}, [])


def _with_premises(
    compiled: Compiled,
    premises: Sequence[Premise],
    in_use: Mapping[Variable, int],
    origins: list[tuple[int, str]],
) -> Compiled:
    writer = compiled.writer
    switches, parts = dict(compiled.switches), dict(compiled.parts)
    connected: list[tuple[tuple[int, ...], Any]] = []
    for premise in premises:
        own = []
        for part in premise.parts:
            pace()
            own.append(writer.fresh())
            origins.append((len(writer.clauses), part.label))
            idle = [-in_use[letter] for letter in part.letters if letter in in_use]
            with writer.under(-own[-1], *idle):
                _require(writer, part)
            if getattr(part.constraint, "connects", False):
                connected.append(((-own[-1], *idle), part.constraint))
        parts[premise.name] = tuple(own)
        if len(own) == 1:
            switches[premise.name] = own[0]
            continue
        switches[premise.name] = writer.fresh()
        origins.append((len(writer.clauses), premise.name))
        for switch in own:
            writer.define(-switches[premise.name], switch)
    _part_each_other(writer, connected)
    return Compiled(writer, switches, parts, compiled.mentioned, tuple(origins))


def _letters(writer: Writer, model: Model) -> tuple[dict[str, int], dict[Variable, int]]:
    """A literal for each premise with a letter, and one for each letter, true while it is in use.

    A letter that no premise uses is its least number.
    """
    mentioned: dict[str, int] = {}
    in_use: dict[Variable, int] = {}
    for letter, names in model.mentions.items():
        in_use[letter] = writer.fresh()
        for name in names:
            if name not in mentioned:
                mentioned[name] = writer.fresh()
            writer.define(-mentioned[name], in_use[letter])
        least = writer.literal(letter, model.domains[letter][0])
        writer.define(*(mentioned[name] for name in names), least)
    return mentioned, in_use


@dataclass(frozen=True)
class Plain:
    """Clauses that bind as they stand, with no switch among their variables.

    ``origins`` says at which clause each part begins of which premise.
    """

    writer: Writer
    origins: tuple[tuple[int, str], ...]


def compile_plainly(
    model: Model,
    tick: Callable[[], None] = lambda: None,
    choices: Mapping[str, str] | None = None,
    names: Collection[str] | None = None,
    *,
    cuts: bool = False,
) -> Plain:
    """Compile premises of a model, each asserted outright: those named, else all but optional ones.

    ``tick`` is called again and again and may raise to stop (a budget). With ``cuts`` members about
    groups may be noted instead of written (``Writer.noted``), and pairs that differ are written as
    one. Raises TooLarge.
    """
    with pace_with(tick):
        return _plainly(model, choices, names, cuts)


def _plainly(
    model: Model, choices: Mapping[str, str] | None, chosen: Collection[str] | None, cuts: bool
) -> Plain:
    origins = [(0, "one value each")]
    premises = [
        p for p in model.premises if (not p.optional if chosen is None else p.name in chosen)
    ]
    ground = model.ground if cuts else None
    if ground is not None and chosen is not None:
        ground = ground if {house.name for house in ground.premises} <= {*chosen} else None
    if ground is not None and len(ground.domains) == len(model.domains):
        writer = _with_houses(ground, frozenset((choices or {}).items()))
        premises = premises[len(ground.premises) :]
    else:
        writer = Writer(model.domains, choices)
        _write_variables(writer, model)
    writer.noted = [] if cuts else None
    connected: list[tuple[tuple[int, ...], Any]] = []
    on = {premise.name for premise in premises}
    idle = {letter for letter, names in model.mentions.items() if on.isdisjoint(names)}
    for letter in model.mentions:
        if letter in idle:
            origins.append((len(writer.clauses), f"{letter}, which no rule mentions"))
            writer.add(writer.literal(letter, model.domains[letter][0]))
    for premise in premises:
        together = _all_apart(premise, idle) if cuts else None
        if together is not None:
            origins.append((len(writer.clauses), premise.name))
            writer.require(together)
            continue
        for part in premise.parts:
            if not idle.isdisjoint(part.letters):
                continue
            pace()
            same = part.label == premise.name
            label = part.label if same else f"{premise.name}: {part.label}"
            origins.append((len(writer.clauses), label))
            _require(writer, part)
            if getattr(part.constraint, "connects", False):
                connected.append(((), part.constraint))
    if len(connected) > 1:
        origins.append((len(writer.clauses), "what connected groups say together"))
    _part_each_other(writer, connected)
    return Plain(writer, tuple(origins))


def _with_houses(ground: Model, choices: frozenset[tuple[str, str]]) -> Writer:
    """A writer that has already written the houses of a canvas."""
    kept = _houses(ground, choices)
    writer = kept.above(kept.top)
    writer.clauses += kept.clauses
    writer.cardinalities += kept.cardinalities
    return writer


@lru_cache(maxsize=8)
def _houses(ground: Model, choices: frozenset[tuple[str, str]]) -> Writer:
    return _plainly(ground, dict(choices), None, cuts=False).writer


def _all_apart(premise: Premise, idle: set[Variable]) -> AllDifferent | None:
    """A premise as one constraint, if its parts say that every two of some variables differ."""
    pairs = [
        (part.constraint.left, part.constraint.right)
        for part in premise.parts
        if isinstance(part.constraint, Compare)
        and part.constraint.relation == "!="
        and not part.constraint.offset
        and idle.isdisjoint(part.letters)
    ]
    open_parts = sum(idle.isdisjoint(part.letters) for part in premise.parts)
    variables = tuple(dict.fromkeys(variable for pair in pairs for variable in pair))
    different = len({frozenset(pair) for pair in pairs})
    if len(variables) > 2 and different == open_parts == comb(len(variables), 2):
        return AllDifferent(variables)
    return None


def _part_each_other(writer: Writer, connected: Sequence[tuple[tuple[int, ...], Any]]) -> None:
    if len(connected) > 1:
        from gridassay.encodings.cnf.opposites import part_each_other

        part_each_other(writer, connected)


def _require(writer: Writer, part: Part) -> None:
    try:
        writer.require(part.constraint)
    except TooLarge as error:
        raise TooLarge(f"{part.label}: {error}") from None


def _write_variables(writer: Writer, model: Model) -> None:
    """One value for each variable, and what always holds among them."""
    for variable in model.domains:
        literals = writer.literals(variable)
        writer.add(*literals)
        at_most_one(writer, literals)
    for definition in model.definitions:
        writer.require(definition)
