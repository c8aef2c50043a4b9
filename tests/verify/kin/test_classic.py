"""Kin among grids without rules: disguises found and undone, nothing merged, groups of known order."""

from __future__ import annotations

from itertools import permutations, product
from math import factorial
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from gridassay.encodings.grid import Canvas, Grid, canvas_of, classic
from gridassay.encodings.lines import read_givens
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import canonical, kin_groups, read, symmetries
from gridassay.verify.kin import way_between

from ... import published
from .disguise import disguise, follow, grids_of_four, images, moves_of_four

BASES = (published.ENCYCLOPAEDIA_SOLUTION, published.LIBRARY_SOLUTION)
LATIN = canvas_of([Grid(5)])
FLAT = canvas_of([Grid(6, box=(2, 3))])
LATIN_ROWS = "1234523451345124512351234"
FLAT_ROWS = "123456456123231564564231312645645312"


def on(canvas: Canvas, line: str, source: str = "") -> Puzzle:
    return Puzzle(canvas, read_givens(line, canvas), source=source)


def thinned(line: str, share: float, rng: Random) -> str:
    return "".join(symbol if rng.random() < share else "." for symbol in line)


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10**9), share=st.sampled_from([0.0, 0.1, 0.25, 0.4, 1.0]))
def test_a_disguise_is_found_and_the_printed_way_leads_back(seed: int, share: float) -> None:
    rng = Random(seed)
    for canvas, whole, box in (
        (classic(9), rng.choice(BASES), (3, 3)),
        (LATIN, LATIN_ROWS, None),
        (FLAT, FLAT_ROWS, (2, 3)),
    ):
        size = canvas.rows
        line = thinned(whole, share, rng)
        other = disguise(line, size, box, rng)
        first, second = on(canvas, line), on(canvas, other)
        assert canonical(first).text == canonical(second).text
        assert follow(way_between(second, first).words(), other, size) == line


def test_the_seventeen_givens_are_told_apart_and_known_again() -> None:
    rng = Random(7)
    lines = [line.replace("0", ".") for line in published.SEVENTEEN]
    puzzles = [read(line, f"a{number}") for number, line in enumerate(lines)]
    puzzles += [read(disguise(line, 9, (3, 3), rng), f"b{n}") for n, line in enumerate(lines)]
    groups = [group.to_json() for group in kin_groups(puzzles)]
    assert groups == [[f"a{number}:1", f"b{number}:1"] for number in range(len(lines))]


def test_the_canonical_line_is_itself_one_of_the_kin() -> None:
    line = published.ENCYCLOPAEDIA.replace("0", ".")
    form = canonical(read(line)).text
    assert canonical(read(form)).text == form
    assert follow(way_between(read(line), read(form)).words(), line, 9) == form


def test_the_288_grids_of_four_fall_into_two_classes() -> None:
    # 288 grids of 4×4 in 2 classes: Taalman, "Taking Sudoku Seriously" (Mathematics Magazine 2007);
    # from memory. One class has 96 grids, the other 192.
    grids = grids_of_four()
    assert len(grids) == 288
    sizes = [len(group.puzzles) for group in kin_groups(map(read, grids))]
    assert sorted(sizes) == [96, 192]


def test_grouping_is_the_orbits_of_the_group_written_out() -> None:
    rng, moves = Random(3), moves_of_four()
    assert len(set(moves)) == 128
    lines = [thinned(rng.choice(grids_of_four()), rng.choice([0.2, 0.3]), rng) for _ in range(60)]
    for group in kin_groups(map(read, lines)):
        orbit = set(images(group.puzzles[0].given_line(), moves, "1234"))
        inside = {puzzle.given_line() for puzzle in group.puzzles}
        assert inside == orbit & set(lines)


def test_the_ways_of_empty_grids_are_the_known_groups() -> None:
    # 2 · 6⁸ = 3,359,232 ways to move the cells of a 9×9 grid: Russell and Jarvis, "Mathematics of
    # Sudoku II" (2006); from memory.
    assert symmetries(on(classic(9), "." * 81)).automorphisms == 3_359_232 * factorial(9)
    # Two rows in each of three bands, three columns in each of two stacks; nothing turns.
    flat = (2**3 * factorial(3)) * (factorial(3) ** 2 * 2)
    assert symmetries(on(FLAT, "." * 36)).automorphisms == flat * factorial(6)
    # Latin squares: rows, columns and digits at will, and rows for columns.
    for size in (5, 7, 13):
        expected = 2 * factorial(size) ** 3
        assert symmetries(on(canvas_of([Grid(size)]), "." * size**2)).automorphisms == expected


def test_the_ways_of_the_most_symmetric_grid() -> None:
    # 648 is the most that any 9×9 grid has, and this one has it: Russell and Jarvis, "Mathematics of
    # Sudoku II" (2006); from memory.
    line = "123456789456789123789123456231564897564897231897231564312645978645978312978312645"
    known = symmetries(read(line))
    assert known.automorphisms == known.solution_automorphisms == 648
    for way in known.generators:
        assert follow(way.words(), line, 9) == line


def test_ways_of_a_puzzle_counted_by_trying_all() -> None:
    rng = Random(11)
    for _ in range(10):
        line = thinned(rng.choice(grids_of_four()), 0.3, rng)
        expected = sum(image == line for image in images(line, moves_of_four(), "1234"))
        assert symmetries(read(line)).automorphisms == expected


def test_diagonals_leave_the_ways_that_trying_all_leaves() -> None:
    orders = [
        [3 * band + within for band, three in zip(bands, threes, strict=True) for within in three]
        for bands in permutations(range(3))
        for threes in product(permutations(range(3)), repeat=3)
    ]
    # Rows may move if some move of the columns then puts both diagonals back in place.
    diagonals = {frozenset((i, i) for i in range(9)), frozenset((i, 8 - i) for i in range(9))}
    kept = 0
    for rows in orders:
        place = {row: to for to, row in enumerate(rows)}
        for columns in (place, {column: 8 - to for column, to in place.items()}):
            landed = {frozenset((place[r], columns[c]) for r, c in one) for one in diagonals}
            kept += landed == diagonals
    cages = [f'[[rule]]\nkind = "cage"\ncells = "{run}"' for run in ("r1c1..r9c9", "r1c9..r9c1")]
    puzzle = read("\n".join(["size = 9", *cages]))
    assert symmetries(puzzle, solution=False).automorphisms == 2 * kept * factorial(9)


def test_boxes_that_lie_or_stand_are_one() -> None:
    lying, standing = (
        read(f'size = 6\nbox = "{box}"\ngivens = "12{"." * 34}"') for box in ("2x3", "3x2")
    )
    assert canonical(lying).text != canonical(standing).text
    turned = read(f'size = 6\nbox = "3x2"\ngivens = "1.....2{"." * 29}"')
    assert canonical(lying).text == canonical(turned).text
    assert way_between(lying, turned).words() == "falling diagonal mirror"


def test_canvases_are_told_apart_in_the_line() -> None:
    boxes = ("2x4", "none")
    forms = {canonical(read(f'size = 8\nbox = "{box}"')).text for box in boxes}
    assert forms == {"." * 64, "." * 64 + " no boxes"}
