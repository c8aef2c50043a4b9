"""A puzzle without its givens, stated in the constraint language: houses and rules as premises."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import count as numbers
from typing import Literal

from gridassay.encodings.board import Part, each_once
from gridassay.encodings.constraints import Constraint, Variable
from gridassay.encodings.grid import Canvas, HouseKind


@dataclass(frozen=True)
class Premise:
    """A house, of some kind, or a rule, with its parts: switched as one, cited part by part."""

    name: str
    kind: Literal["house", "rule"]
    parts: tuple[Part, ...]
    optional: bool = False
    house: HouseKind | None = None


@dataclass(frozen=True, eq=False)
class Model:
    """A puzzle without its givens, stated in the constraint language.

    ``domains`` lists every variable; ``shown`` the ones that make a solution; ``definitions``
    always hold. A letter in ``mentions`` is free if every premise that mentions it is off; it then
    counts as its least number, so that it does not multiply solutions. ``ground`` is the model of
    the houses alone, the same object for every puzzle on the canvas, if this one has the same
    variables and begins with the same premises.

    No two premises have the same name, so that a name identifies a premise. Raises
    ValueError if two do.
    """

    domains: Mapping[Variable, tuple[int, ...]]
    shown: tuple[Variable, ...]
    definitions: tuple[Constraint, ...]
    premises: tuple[Premise, ...]
    mentions: Mapping[Variable, tuple[str, ...]]
    ground: Model | None = None

    def __post_init__(self) -> None:
        names = Counter(premise.name for premise in self.premises)
        if len(names) < len(self.premises):
            raise ValueError(f"two premises have one name: {max(names, key=names.__getitem__)!r}")
        begins = () if self.ground is None else self.ground.premises
        if self.premises[: len(begins)] != begins:
            object.__setattr__(self, "ground", None)

    @cached_property
    def with_free_letters(self) -> Model:
        """The same, but that a letter which nothing mentions may be any of its numbers.

        What follows from some premises alone is asked of it: that nothing else mentions a letter says
        nothing about the letter.
        """
        return replace(self, mentions={}) if self.mentions else self

    @property
    def by_default(self) -> list[str]:
        """The names of the premises that are on unless a question says otherwise."""
        return [premise.name for premise in self.premises if not premise.optional]

    def spare_names(self, stem: str) -> Iterator[str]:
        """Names for further premises that this model does not use."""
        taken = {premise.name for premise in self.premises}
        return (name for name in (f"{stem} #{n}" for n in numbers()) if name not in taken)

    def excerpt(self, premises: Sequence[Premise]) -> Model:
        """The model of some premises alone, with only the variables that they use.

        They may be premises of this model, some of their parts, or others over its variables.
        """
        needed = {v for one in premises for part in one.parts for v in part.constraint.scope()}
        definitions: list[Constraint] = []
        shown = frozenset(self.shown)
        # A variable that no premise uses needs no definition.
        left = [(one, frozenset(one.scope()) - shown) for one in self.definitions]
        while drawn_in := [(one, scope) for one, scope in left if scope & needed]:
            definitions += [one for one, _ in drawn_in]
            needed = needed.union(*(one.scope() for one, _ in drawn_in))
            left = [pair for pair in left if pair not in drawn_in]
        names = {one.name for one in premises}
        return Model(
            {variable: self.domains[variable] for variable in self.domains if variable in needed},
            tuple(variable for variable in self.shown if variable in needed),
            tuple(definitions),
            tuple(premises),
            {
                letter: tuple(name for name in mentioning if name in names)
                for letter, mentioning in self.mentions.items()
                if letter in needed
            },
        )


def house_premises(canvas: Canvas) -> Iterator[Premise]:
    """The houses of a canvas as premises of one part each."""
    for name, cells, kind in canvas.houses:
        yield Premise(name, "house", (Part(name, each_once(canvas, cells)),), house=kind)
