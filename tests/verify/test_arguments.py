"""A question that is asked about the wrong kind of thing says what it takes."""

from __future__ import annotations

from typing import Any

import pytest

from gridassay.verify import (
    Catalogue,
    answer,
    audit,
    check,
    compare,
    fill_in,
    kin_groups,
    nearest_solutions,
    picture,
    position_from,
    read,
    repair,
    route,
    write_candidates,
    write_steps,
)


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda p: audit(p, []), "audit takes a text as steps, not a list"),
        (lambda p: audit(p, steps=route(p)), "audit takes a text as steps, not a Route"),
        (lambda p: answer(p, p), "answer takes a text as grid, not a Puzzle"),
        (lambda p: compare(p, "1..."), "compare takes a Puzzle, not a str: read or read_file"),
        (kin_groups, "kin_groups takes several of Puzzle in a list, not a Puzzle"),
        (lambda p: kin_groups(["1..."]), "the list for kin_groups takes a Puzzle, not a str"),
        (lambda p: picture(p, route(p)), "picture takes a View, not a Route: View"),
        (
            lambda p: write_steps(route(p), p),
            "write_steps takes several of Step in a list, not a Route",
        ),
        (lambda p: position_from(p, p), "position_from takes a text as text, not a Puzzle"),
        (write_candidates, "write_candidates takes a Position, not a Puzzle: position_from"),
        (lambda p: fill_in(None, ""), "fill_in takes an OpenPuzzle or a Puzzle, not None"),
        (
            lambda p: repair(p, check(p)),
            "takes a solution of a verdict as solution, not a Verdict",
        ),
        (lambda p: Catalogue([p]), "a catalogue is in a file"),
        (lambda p: read("1" * 16, p), "read takes a text as source, not <Puzzle"),
    ],
)
def test_other_arguments_of_the_wrong_kind_are_named(ask: Any, says: str) -> None:
    with pytest.raises(TypeError, match=says):
        ask(read("1....4....4...23"))


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda p: nearest_solutions(p, []), "both solutions of a verdict as known, not 0"),
        (lambda p: nearest_solutions(p, ((1,), (2,))), "known, with 16 values, not 1"),
        (lambda p: repair(p, (1, 2)), "a solution of a verdict as solution, with 16 values, not 2"),
    ],
)
def test_solutions_of_other_puzzles_are_refused(ask: Any, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        ask(read("1....4....4...23"))
