"""Rules about loops and paths: three witnesses on every set of links of small boards."""

from __future__ import annotations

import pytest

from gridassay.encodings.constraints import Letter
from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.engines.sat import SatEngine

from .boards import count
from .witnesses import CLOCK, solutions, witnesses


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
        rule("stretch-total", "total = 3"),
        rule("stretch-total", 'total = "T"'),
        rule("stretch-total", 'total = "equal"'),
    ],
)
def test_digits_along(text: str) -> None:
    witnesses(board(1, 3, text, layer=PATH, digits="[1, 2]"))
    witnesses(board(2, 2, text, digits="[1, 2]"))


def test_equal_stretches_of_a_path_with_a_zero() -> None:
    witnesses(board(2, 2, rule("stretch-total", 'total = "equal"'), layer=PATH, digits="[0, 1]"))


def test_along_a_path_with_a_direction() -> None:
    rising = rule("along", 'formula = "a < b"')
    ends = PATH + '\nends = "{}"'
    # Three of three digits rise in one way; with 4 digits in 4, and from the other end as well.
    straight = board(1, 3, rising, layer=ends.format("r1c3 r1c1"), digits="[1, 2, 3]")
    assert witnesses(straight) == 1
    assert count(board(1, 3, rising, layer=ends.format("r1c1 r1c3"), digits="[1, 2, 3, 4]")) == 4
    level = rule("along", 'formula = "a <= b"')
    witnesses(board(2, 2, level, layer=ends.format("r1c1 r2c2"), digits="[1, 2]"))


def with_givens(puzzle: Puzzle) -> list[tuple[int, ...]]:
    engine = SatEngine(puzzle.model, CLOCK)
    engine.settle(puzzle.givens)
    return solutions(engine)


@pytest.mark.parametrize("layer", ['kind = "loop"', 'kind = "loop"\nvisits = "all"', PATH])
@pytest.mark.parametrize("total", ['"equal"', "10", '"T"'])
@pytest.mark.parametrize("by", ["box", "turn"])
def test_totals_of_visits_to_boxes(layer: str, total: str, by: str) -> None:
    """All loops over a filled grid, and those that the plain reading keeps of them."""
    head = 'size = 4\ngivens = "1234341223414123"\n[[layer]]\nname = "cruise"\n'
    # Of paths there are many: more of them is known.
    known = '"r1c1-r1c2", "r2c2-r2c3"' + (', "r3c3-r4c3", "r2c4-r3c4"' if layer == PATH else "")
    known = "" if "all" in layer else f"givens = [{known}]\n"
    free = read_document(f"{head}{layer}\n{known}", "test.toml")
    told = rule("stretch-total", f"total = {total}", f'by = "{by}"')
    held = read_document(f"{head}{layer}\n{known}{told}", "test.toml")
    every = with_givens(free)
    kept = set(with_givens(held))
    numbers = held.board.domains.get(Letter("T"), (0,)) if total == '"T"' else (None,)
    rows = [(*row[:16], *([] if n is None else [n]), *row[16:]) for row in every for n in numbers]
    assert len(every) > 5
    assert kept == {row for row in rows if next(held.violations(row), None) is None}


def test_a_shading_matches_a_loop() -> None:
    shading = '[[layer]]\nname = "water"\nkind = "shading"\nvalues = ["deep", "shallow"]\n'
    matches = '[[rule]]\nkind = "matches"\nlayer = "water"\nvalue = "deep"\nof = "cruise"\n'
    witnesses(board(2, 2, shading + matches))
    assert count(board(3, 3, shading + matches)) == 13
    inside = matches + "inside = true\n"
    assert count(board(3, 3, shading + inside)) == 13


def test_a_shading_matches_the_cells_inside_a_border_loop() -> None:
    """Outside check: 213 closed ways on 4 by 4 points, OEIS A140517 (from memory); 3 on 2 by 3."""
    shading = '[[layer]]\nname = "water"\nkind = "shading"\nvalues = ["deep", "shallow"]\n'
    matches = '[[rule]]\nkind = "matches"\nlayer = "water"\nvalue = "deep"\nof = "cruise"\n'
    inside = shading + matches + "inside = true\n"
    assert witnesses(board(1, 2, inside, layer=BORDER)) == 3
    puzzle = board(3, 3, inside, layer=BORDER)
    found = solutions(SatEngine(puzzle.model, CLOCK))
    assert len(found) == 213
    assert not any(list(puzzle.violations(row)) for row in found)


@pytest.mark.parametrize(
    ("text", "layer", "message"),
    [
        (
            rule("turns", 'cells = "r1c1"'),
            BORDER,
            "a loop or a path, but cruise is a border loop",
        ),
        (
            rule("sides-on-it", 'cell = "r1c1"', "count = 1"),
            PATH,
            "a border loop, but cruise is a path",
        ),
        (rule("inside", 'cells = "r1c1"'), PATH, "inside needs a loop or a border loop"),
        (rule("along", 'formula = "a <"'), PATH, "rule about digits"),
    ],
)
def test_what_cannot_stand(text: str, layer: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=r"test\.toml:\d+: ") as error:
        board(2, 3, text, layer=layer)
    assert message in str(error.value)


@pytest.mark.parametrize(
    ("text", "layer", "message"),
    [
        (rule("along", 'formula = "a < b"'), PATH, "the path must have ends"),
        (rule("along", 'formula = "a <"'), PATH, "formula: "),
        (rule("stretch-total", "total = 4", 'by = "box"'), PATH, "box needs boxes"),
        (rule("stretch-total", "total = 4", 'by = "house"'), PATH, "'turn' or 'box'"),
    ],
)
def test_what_cannot_stand_on_digits(text: str, layer: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=r"test\.toml:\d+: ") as error:
        board(2, 3, text, layer=layer, digits="[1, 2]")
    assert message in str(error.value)
