"""docs/rules.md and its pictures are what docs/make_pages.py makes, and its examples are true."""

from __future__ import annotations

from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest

from gridassay.encodings.files import read_puzzles
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules import RULES
from gridassay.verify import check

DOCS = Path(__file__).parent.parent / "docs"


def test_the_rule_pages_are_in_step() -> None:
    spec = spec_from_file_location("make_pages", DOCS / "make_pages.py")
    assert spec
    assert spec.loader
    made = module_from_spec(spec)
    spec.loader.exec_module(made)
    stale = [
        path.name
        for path, content in made.files()
        if not path.exists() or path.read_text(encoding="utf-8") != content
    ]
    assert not stale, "run python docs/make_pages.py"


def test_there_is_an_example_of_every_kind_and_no_other() -> None:
    assert {path.stem for path in (DOCS / "rules").glob("*.toml")} == set(RULES)
    assert {path.stem for path in (DOCS / "rules").glob("*.svg")} == set(RULES)


@pytest.mark.parametrize("kind", RULES)
def test_the_digits_of_an_example_keep_its_rule(kind: str) -> None:
    (puzzle,) = read_puzzles(str(DOCS / "rules" / f"{kind}.toml"))
    assert isinstance(puzzle, Puzzle)
    assert any(rule.kind == kind for rule in puzzle.rules)
    assert check(puzzle).status in ("unique", "multiple")
