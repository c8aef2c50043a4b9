"""Rules over loops and paths: three witnesses on every set of links of small boards."""

from __future__ import annotations

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle

from .boards import count
from .witnesses import witnesses


def board(
    rows: int, columns: int, rules: str, *, layer: str = 'kind = "loop"', digits: str = '"none"'
) -> Puzzle:
    named = f'[[layer]]\nname = "cruise"\n{layer}\n'
    text = (
        f'rows = {rows}\ncolumns = {columns}\nhouses = "none"\ndigits = {digits}\n{named}\n{rules}'
    )
    return read_document(text, "test.toml")


def rule(kind: str, *fields: str) -> str:
    return "\n".join(["[[rule]]", f'kind = "{kind}"', 'layer = "cruise"', *fields, ""])


BORDER = 'kind = "border-loop"'
PATH = 'kind = "path"'


@pytest.mark.parametrize("layer", ['kind = "loop"', PATH])
@pytest.mark.parametrize(
    "text",
    [
        rule("on-it", 'cells = "r1c1 r2c2"'),
        rule("on-it", 'cells = "r1c1"', "on = false"),
        rule("turns", 'cells = "r1c2"'),
        rule("straight", 'cells = "r1c2"'),
        rule("counts-on-it", 'cells = "r1c1 r1c2 r2c3"', "count = 2"),
        rule("counts-on-it", 'cells = "r1c1 r1c2 r2c3"', "count = [0, 1]"),
    ],
)
def test_witnesses(text: str, layer: str) -> None:
    witnesses(board(2, 3, text, layer=layer))


@pytest.mark.parametrize(
    "text",
    [
        rule("sides-on-it", 'cell = "r1c1"', "count = 2"),
        rule("sides-on-it", 'cell = "r1c2"', "count = [1, 3]"),
        rule("inside", 'cells = "r1c2"'),
        rule("inside", 'cells = "r1c1"', 'side = "out"'),
    ],
)
def test_border_loops(text: str) -> None:
    witnesses(board(1, 2, text, layer=BORDER))


def test_inside_a_loop_of_cells() -> None:
    for side in ("in", "out"):
        witnesses(board(2, 3, rule("inside", 'cells = "r2c2"', f'side = "{side}"')))


def test_the_ring_of_a_square_has_its_middle_inside() -> None:
    """Of the 13 loops of 3×3 one goes round the middle, and the 12 others pass through it."""
    assert count(board(3, 3, rule("inside", 'cells = "r2c2"'))) == 1
    assert count(board(3, 3, rule("on-it", 'cells = "r2c2"'))) == 12


@pytest.mark.parametrize(
    "text",
    [
        rule("along", 'formula = "abs(a-b) == 1"'),
        rule("along", 'formula = "a == 2"'),
        rule("stretch-total", "total = 3"),
    ],
)
def test_digits_along(text: str) -> None:
    if "a == 2" in text:
        with pytest.raises(PuzzleError, match="not the same for a, b as for b, a"):
            board(1, 3, text, layer=PATH, digits="[1, 2]")
        return
    witnesses(board(1, 3, text, layer=PATH, digits="[1, 2]"))
    witnesses(board(2, 2, text, digits="[1, 2]"))


def test_a_shading_matches_a_loop() -> None:
    shading = '[[layer]]\nname = "water"\nkind = "shading"\nvalues = ["deep", "shallow"]\n'
    matches = '[[rule]]\nkind = "matches"\nlayer = "water"\nvalue = "deep"\nof = "cruise"\n'
    witnesses(board(2, 2, shading + matches))
    assert count(board(3, 3, shading + matches)) == 13
    inside = matches + "inside = true\n"
    assert count(board(3, 3, shading + inside)) == 13


@pytest.mark.parametrize(
    ("text", "layer", "message"),
    [
        (
            rule("turns", 'cells = "r1c1"'),
            BORDER,
            "a loop or a path, and cruise is a border loop",
        ),
        (
            rule("sides-on-it", 'cell = "r1c1"', "count = 1"),
            PATH,
            "a border loop, and cruise is a path",
        ),
        (rule("inside", 'cells = "r1c1"'), PATH, "inside needs a loop or a border loop"),
        (rule("along", 'formula = "a <"'), PATH, "rule of digits"),
    ],
)
def test_what_cannot_stand(text: str, layer: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=r"test\.toml:\d+: ") as error:
        board(2, 3, text, layer=layer)
    assert message in str(error.value)
