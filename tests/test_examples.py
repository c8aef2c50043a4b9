"""The puzzles in ``examples/``: what each says of itself is true, and it can be explained in print."""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.encodings.files import read_puzzles
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules.combinations import Combination
from gridassay.verify import check

from .cli.run import EXAMPLES, gridassay

FILES = sorted(EXAMPLES.glob("*.toml"))


def read(file: Path) -> Puzzle:
    (puzzle,) = read_puzzles(str(file))
    assert isinstance(puzzle, Puzzle)
    return puzzle


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_both_engines_find_what_the_file_expects(file: Path) -> None:
    puzzle = read(file)
    assert puzzle.expect == "unique"
    verdict = check(puzzle, engine="both", budget=300)  # a busy machine is slow
    assert verdict.met
    assert len(verdict.solutions) == 1


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_its_rules_print(file: Path) -> None:
    run = gridassay("rules", "--text", file)
    assert run.code == 0
    puzzle = read(file)
    areas = "regions" if any(grid.regions for grid in puzzle.canvas.grids) else "boxes"
    for rule in puzzle.rules:
        # Places may follow where sentences have to be told apart.
        said = rule.printed.replace("boxes or regions", areas)
        said = said.replace("the lowest and the highest possible digit", "the 1 and the 9")
        assert any(line.startswith(said.removesuffix(".")) for line in run.out.splitlines())


def test_the_examples_show_what_puzzles_can_be() -> None:
    puzzles = [read(file) for file in FILES]
    assert any(not puzzle.givens for puzzle in puzzles)
    assert any(len(puzzle.canvas.grids) == 5 for puzzle in puzzles)
    assert any(puzzle.rules and grid.regions for puzzle in puzzles for grid in puzzle.canvas.grids)
    assert len({layer.kind for puzzle in puzzles for layer in puzzle.layers}) >= 4
    assert any(puzzle.board.letters and puzzle.letters_differ for puzzle in puzzles)
    assert any(puzzle.doublers for puzzle in puzzles)
    assert any(isinstance(rule, Combination) for puzzle in puzzles for rule in puzzle.rules)
    assert len({puzzle.title for puzzle in puzzles}) == len(puzzles)
