"""Tidy routes: few strikes, none twice, and no technique that the question leaves out."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import pytest

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import Route, Step, audit, read, read_file, route, write_steps
from gridassay.verify.solving.techniques import SINGLES

from ...cli.run import EXAMPLES
from .test_route_kinds import MIXED

BUDGET = 300
LINES = MIXED["lines through each other"]
GIVENS = {
    "one": ". . . . . . / . . . . . . / . . . 2 . . / . . . . 6 . / . . 1 . . . / . . . . . .",
    "two": ". . 6 . . . / . . . . . . / . . . . . . / . . . . 5 . / . . 2 . . . / . . . . . .",
    "three": ". . 6 . . . / . . . . . . / . . . 2 . . / . . . . 1 . / . . . . . . / . . . . . .",
}
"""Givens with which the lines through each other have one solution."""

QUICK = ("kelp", "sandbanks", "weathercocks")
SUBSTITUTES = (*sorted(SINGLES), "rule alone", "rule with its houses")
"""The techniques by which a digit may be placed where its step has lost a premise."""


@lru_cache
def lines(name: str) -> Puzzle:
    rows = GIVENS[name].replace(" ", "").replace("/", "\n")
    return read(f'givens = """\n{rows}\n"""\n{LINES}', f"{name}.toml")


@lru_cache
def told(name: str, without: str = "", *, every_step: bool = False) -> Route:
    left_out = [without] if without else []
    return route(lines(name), without=left_out, every_step=every_step, budget=BUDGET)


def strikes(found: Route) -> list[Step]:
    return [step for step in found.steps if not step.places]


def test_two_strikes_of_a_rule_are_told_as_one() -> None:
    """The renban loses 6 beside a given 2, and 5 when it gets its 1; nothing between needs the first."""

    def of_the_renban(found: Route) -> list[set[object]]:
        head = "the renban from r5c3 to r6c3:"
        return [{*step.removes} for step in strikes(found) if step.text.startswith(head)]

    one, other = of_the_renban(told("two", every_step=True))
    assert one.isdisjoint(other)
    assert of_the_renban(told("two")) == [one | other]


def test_a_digit_is_placed_by_the_rule_whose_strike_was_left_out() -> None:
    usual = {
        mark: step.technique for step in told("one", every_step=True).steps for mark in step.places
    }
    changed = {
        (usual[mark], step.technique)
        for step in told("one").steps
        for mark in step.places
        if usual[mark] != step.technique
    }
    assert ("hidden single", "rule with its houses") in changed
    assert len(strikes(told("one"))) < len(strikes(told("one", every_step=True)))


@pytest.mark.parametrize("name", GIVENS)
@pytest.mark.parametrize("technique", SUBSTITUTES)
def test_what_is_left_out_takes_no_place(technique: str, name: str) -> None:
    found = told(name, technique)
    assert technique not in found.techniques
    if found.solved:
        heard = audit(lines(name), write_steps(found.steps, lines(name)), budget=BUDGET)
        assert {step.result for step in heard.steps} == {"sound"}


@pytest.mark.parametrize("technique", SUBSTITUTES)
def test_some_of_these_routes_are_solved_and_tidy_without_it(technique: str) -> None:
    solved = [name for name in GIVENS if told(name, technique).solved]
    assert solved
    for name in solved:
        untidied = told(name, technique, every_step=True)
        assert len(told(name, technique).steps) < len(untidied.steps)


@pytest.mark.parametrize("name", ["one", "three"])
def test_no_strike_can_be_left_out(name: str) -> None:
    puzzle, steps = lines(name), told(name).steps
    assert {step.result for step in audit(puzzle, write_steps(steps, puzzle)).steps} == {"sound"}
    for place, step in enumerate(steps):
        if not step.places:
            kept = write_steps([*steps[:place], *steps[place + 1 :]], puzzle)
            results = {heard.result for heard in audit(puzzle, kept, budget=BUDGET).steps}
            assert results - {"sound", "idle"}, step.text


def share(names: Iterable[str]) -> float:
    """The striking steps of tidy routes, as a share of those of the routes as they were found."""
    tidy = untidied = 0
    for name in names:
        puzzle = read_file(EXAMPLES / f"{name}.toml")
        tidy += len(strikes(route(puzzle, budget=BUDGET)))
        untidied += len(strikes(route(puzzle, every_step=True, budget=BUDGET)))
    return tidy / untidied


def test_tidy_routes_of_quick_examples_strike_less_than_half_as_often() -> None:
    assert share(QUICK) < 0.5


@pytest.mark.slow
def test_tidy_routes_of_all_examples_strike_at_most_three_fifths_as_often() -> None:
    """Measured over the 33 examples: 730 of 1,373, 53.2 %."""
    assert share(path.stem for path in EXAMPLES.glob("*.toml")) <= 0.6


def bad(name: str) -> list[str]:
    """The steps of the tidy route of an example which the audit does not find sound."""
    puzzle = read_file(EXAMPLES / f"{name}.toml")
    saved = write_steps(route(puzzle, budget=BUDGET).steps, puzzle)
    return [
        f"{name}: {heard.said} {heard.result}"
        for heard in audit(puzzle, saved, budget=BUDGET).steps
        if heard.result != "sound"
    ]


@pytest.mark.parametrize("name", QUICK)
def test_tidy_routes_of_quick_examples_audit_sound(name: str) -> None:
    """Kelp has one sure digit step whose cells each lie in another house of those listed."""
    assert not bad(name)


@pytest.mark.slow
def test_tidy_routes_of_all_examples_audit_sound() -> None:
    assert not [one for path in sorted(EXAMPLES.glob("*.toml")) for one in bad(path.stem)]
