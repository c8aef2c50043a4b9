"""Kinds of layers: known counts of loops, paths and border loops; givens, errors, writing and reading."""

from __future__ import annotations

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.writing import puzzle_text
from gridassay.verify import check
from gridassay.verify.proof.solutions import read_solution, write_solution

from .rules.boards import count
from .rules.witnesses import read_plainly, solutions


def board(rows: int, columns: int, layer: str, rest: str = "", digits: str = '"none"') -> Puzzle:
    text = (
        f'rows = {rows}\ncolumns = {columns}\nhouses = "none"\ndigits = {digits}\n{rest}\n'
        f'[[layer]]\nname = "cruise"\n{layer}\n'
    )
    return read_document(text, "test.toml")


def test_loops_through_all_cells() -> None:
    """Closed loops through all cells: 4×4 6, 6×6 1072 (OEIS A003763)."""
    assert count(board(4, 4, 'kind = "loop"\nvisits = "all"')) == 6


def test_loops_through_cells() -> None:
    """Simple cycles through cells of n×n: 1, 13, 213 (n = 2 to 4, OEIS A140517)."""
    assert [count(board(n, n, 'kind = "loop"')) for n in (2, 3, 4)] == [1, 13, 213]


def test_border_loops() -> None:
    """The same numbers for border loops of n = 1 to 3."""
    assert [count(board(n, n, 'kind = "border-loop"')) for n in (1, 2, 3)] == [1, 13, 213]


def test_paths_from_corner_to_corner() -> None:
    """Self-avoiding corner-to-corner paths of n×n cells: 2, 12, 184 (n = 2 to 4, OEIS A007764)."""
    for side, known in ((2, 2), (3, 12), (4, 184)):
        path = f'kind = "path"\nends = "r1c1 r{side}c{side}"'
        assert count(board(side, side, path)) == known


def test_paths_through_all_cells_count_once_from_either_end() -> None:
    """Undirected Hamiltonian paths of n×n: 4, 20, 276 (n = 2 to 4, from memory)."""
    found = [count(board(n, n, 'kind = "path"\nvisits = "all"')) for n in (2, 3, 4)]
    assert found == [4, 20, 276]


@pytest.mark.parametrize(
    "layer",
    [
        'kind = "loop"',
        'kind = "loop"\ntouching = false',
        'kind = "path"',
        'kind = "path"\nends = "r1c1 r2c3"',
        'kind = "path"\nvisits = "all"',
        'kind = "path"\ntouching = false',
    ],
)
def test_plain_reading_and_clauses_agree(layer: str) -> None:
    from gridassay.encodings.cp.compile import build_model
    from gridassay.verify.budget import Clock
    from gridassay.verify.engines.sat import SatEngine

    puzzle = board(2, 3, layer)
    plain = read_plainly(puzzle)
    assert set(solutions(SatEngine(puzzle.model, Clock(60)))) == plain
    assert plain
    assert build_model(puzzle.model, lambda *_: True)
    assert check(puzzle, engine="both").status == ("unique" if len(plain) == 1 else "multiple")


def test_given_links_and_sides() -> None:
    loop = board(3, 3, 'kind = "loop"\ngivens = ["r1c1-r1c2", "not r2c3-r2c2"]')
    assert [str(one) for one in loop.givens] == ["cruise r1c1-r1c2", "cruise not r2c2-r2c3"]
    fence = board(2, 2, 'kind = "border-loop"\ngivens = ["r1c2|r1c1", "not r1c1|top"]')
    assert [str(one) for one in fence.givens] == ["cruise r1c1|r1c2", "cruise not r1c1|top"]


@pytest.mark.parametrize(
    ("layer", "message"),
    [
        ('kind = "loup"', "layer 1 (loup): there is no layer of kind 'loup'; did you mean 'loop'?"),
        ('kind = "loop"\nends = "r1c1 r1c2"', "no field 'ends' on a loop, only on a path"),
        (
            'kind = "loop"\nvisit = "all"',
            "there is no field 'visit' on a loop; did you mean 'visits'?",
        ),
        (
            'kind = "shading"\nvalues = ["deep", "shallow"]\ngivens = 5',
            "(shading): givens: input should",
        ),
        ('kind = "border-loop"\nvisits = "all"', "there is no field 'visits' on a border loop"),
        ('kind = "loop"\ngivens = ["r1c1-r2c2"]', "r1c1 and r2c2 are not neighbours"),
        ('kind = "loop"\ngivens = ["r1c1-r9c9"]', "r9c9 is not on the canvas"),
        ('kind = "path"\nends = "r1c1 r1c1"', "a path cannot begin and end in one cell"),
        ('kind = "border-loop"\ngivens = ["r1c1|bottom"]', "write r1c1|r2c1"),
        ('kind = "shading"\nvalues = ["deep", "dark"]', "deep and dark begin with the same letter"),
        ('kind = "shading"\nvalues = ["deep"]', "two to nine words"),
        ('kind = "shading"\nvalues = ["deep", 2]', "all words, or all whole numbers"),
        (
            'kind = "shading"\nvalues = ["deep", "shallow"]\ngivens = """\n...\n.x.\n"""',
            "r2c2: 'x' is not a value of cruise (d s)",
        ),
        (
            'kind = "shading"\nvalues = ["deep", "shallow"]\ngivens = "ds"',
            "2 symbols, but 2 rows of 3 need 6",
        ),
    ],
)
def test_what_cannot_be(layer: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=r"test\.toml:\d+: ") as error:
        board(2, 3, layer)
    assert message in str(error.value)


@pytest.mark.parametrize("name", ["r1c1", "cage", "digits", "doubler"])
def test_a_name_that_means_something_else_is_refused(name: str) -> None:
    text = f'digits = "none"\nsize = 3\n[[layer]]\nname = "{name}"\nkind = "loop"\n'
    with pytest.raises(PuzzleError, match=r"t\.toml:4: layer 1 \(loop\): name: .*another name"):
        read_document(text, "t.toml")


def test_one_bracket_is_one_too_few() -> None:
    with pytest.raises(PuzzleError, match=r"^t\.toml:3: write \[\[layer\]\] in two brackets"):
        read_document(
            'digits = "none"\nsize = 3\n[layer]\nname = "cruise"\nkind = "loop"\n', "t.toml"
        )


def test_a_loop_needs_room() -> None:
    with pytest.raises(PuzzleError, match="no room for a loop"):
        board(1, 5, 'kind = "loop"')


def test_the_row_of_a_bad_given_is_named() -> None:
    layer = 'kind = "shading"\nvalues = ["deep", "shallow"]\ngivens = """\n...\n.x.\n"""'
    with pytest.raises(PuzzleError, match=r"test\.toml:12: "):
        board(2, 3, layer)


@pytest.mark.parametrize(
    "layer",
    [
        'kind = "shading"\nvalues = ["deep", "shallow"]\ngivens = """\nd..\n..s\n"""',
        'kind = "shading"\nvalues = [0, 1, 7]\ngivens = """\n0..\n..7\n"""',
        'kind = "loop"\ngivens = ["r1c1-r1c2", "not r1c2-r2c2"]',
        'kind = "path"\nends = "r1c1 r2c3"\nvisits = "all"',
        'kind = "border-loop"\ngivens = ["r1c1|top", "not r1c2|r1c3"]',
    ],
)
def test_written_out_and_read_again(layer: str) -> None:
    puzzle = board(2, 3, layer)
    again = read_document(puzzle_text(puzzle), "test.toml")
    assert again.givens == puzzle.givens
    assert again.board.domains == puzzle.board.domains
    found = check(puzzle).solutions[0]
    assert read_solution(puzzle, write_solution(puzzle, found)) == found
    assert puzzle.layers_shown(found).keys() == {"cruise"}


def test_a_layer_that_no_rule_mentions_is_warned_of() -> None:
    from gridassay.verify.budget import Clock
    from gridassay.verify.mending.cautions import warnings

    loop = board(2, 2, 'kind = "loop"')
    assert "No rule mentions the layer cruise" in warnings(loop, Clock(10))
    told = '[[rule]]\nkind = "on-it"\nlayer = "cruise"\ncells = "r1c1"\n'
    spoken = board(2, 2, f'kind = "loop"\n{told}')
    assert not any("layer" in one for one in warnings(spoken, Clock(10)))


def test_answers_tell_layers() -> None:
    from gridassay.verify import answer

    puzzle = board(2, 2, 'kind = "shading"\nvalues = ["deep", "shallow"]\ngivens = "ds.d"')
    assert answer(puzzle, "cruise=dsdd").result == "second solution"
    assert answer(puzzle, "cruise=ds.d").result == "open so far"
    wrong = answer(puzzle, "cruise=ssdd")
    assert (wrong.result, wrong.breaks) == ("wrong", "cruise r1c1=deep")
