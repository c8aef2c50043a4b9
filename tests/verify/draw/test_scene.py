"""The content of a picture, counted in its marks and in the SVG made from them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules import RULES
from gridassay.verify import read
from gridassay.verify.draw.marks import Box, Disc, Lines, Text
from gridassay.verify.draw.scene import picture, with_margin
from gridassay.verify.draw.style import DARK, LIGHT
from gridassay.verify.draw.svg import svg
from gridassay.verify.draw.view import View
from gridassay.verify.reference import sentences

from .pictures import EXAMPLES, SVG, WORKED, marks_in, parsed, puzzle_of, with_role

GOLDEN = Path(__file__).parent / "golden"


@pytest.fixture
def harbour() -> Puzzle:
    return puzzle_of(EXAMPLES / "harbour-lights.toml")


def texts(marks: list[object]) -> list[str]:
    return [mark.text for mark in marks if isinstance(mark, Text)]


@pytest.mark.parametrize("name", ["harbour-lights", "sandbanks", "two-piers", "ropewalk"])
def test_pictures_stay_as_they_were(name: str) -> None:
    """Look at a picture before taking its new form: the file is what `svg` wrote."""
    drawn = svg(with_margin(picture(puzzle_of(EXAMPLES / f"{name}.toml")))) + "\n"
    assert drawn == (GOLDEN / f"{name}.svg").read_text()


def test_every_given_stands_in_its_cell(harbour: Puzzle) -> None:
    givens = with_role(picture(harbour, heading=False), "given")
    size = 90 / 9.12
    found = {(1 + int(mark.y // size), 1 + int(mark.x // size)): mark.text for mark in givens}  # type: ignore[union-attr]
    assert found == {tuple(fact.variable): str(fact.value) for fact in harbour.givens}  # type: ignore[arg-type]


def test_walls_go_round_the_boxes_and_hairlines_between_cells(harbour: Puzzle) -> None:
    drawn = picture(harbour)
    (walls,) = with_role(drawn, "walls")
    (hairlines,) = with_role(drawn, "hairlines")
    assert isinstance(walls, Lines)
    assert isinstance(hairlines, Lines)
    assert len(walls.lines) == 8
    assert len(hairlines.lines) == 16


def test_an_overlap_has_the_walls_of_both_grids() -> None:
    drawn = picture(puzzle_of(EXAMPLES / "two-piers.toml"))
    assert len(with_role(drawn, "given")) == len(puzzle_of(EXAMPLES / "two-piers.toml").givens)
    (walls,) = with_role(drawn, "walls")
    assert isinstance(walls, Lines)
    across = [line for line in walls.lines if line[0][1] == line[1][1]]
    lengths = sorted(round((end[0] - start[0]) * 15.12 / 90) for start, end in across)
    # Two walls of grid A alone, two of B alone, and two that run from one into the other.
    assert lengths == [9, 9, 9, 9, 15, 15]


def test_a_hole_that_cells_shut_in_is_filled() -> None:
    # Row 2 has a hole between cells and one at the right edge.
    bare = read_document('rows = 3\ncolumns = 4\nhouses = "none"\ngivens = "....._._...."\n', "x")
    assert len(with_role(picture(bare), "hole")) == 1
    assert not with_role(picture(puzzle_of(EXAMPLES / "two-piers.toml")), "hole")


@pytest.mark.parametrize("style", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("kind", RULES)
def test_every_kind_is_drawn(kind: str, style: object) -> None:
    puzzle = puzzle_of(WORKED / f"{kind}.toml")
    drawn = picture(puzzle, style=style)  # type: ignore[arg-type]
    root = parsed(drawn)
    named = {group.get("data-name") for group in root.iter(f"{SVG}g")}
    for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
        shown = " ".join(texts(with_role(drawn, "rule text")))  # type: ignore[arg-type]
        assert sentences(puzzle)[name] in shown
        forms = {shape.form for shape in rule.shapes(puzzle.board)}
        assert (name in named) is (forms != {"grid"})
        for shape in rule.shapes(puzzle.board):
            if shape.label and shape.form in ("cage", "outside"):
                assert shape.label in texts(with_role(drawn, "label"))  # type: ignore[arg-type]


@pytest.mark.parametrize("kind", RULES)
def test_nothing_runs_off_the_sheet(kind: str) -> None:
    drawn = with_margin(picture(puzzle_of(WORKED / f"{kind}.toml")), 2)
    for mark in marks_in(drawn.marks):
        if isinstance(mark, Lines):
            points = [point for line in mark.lines for point in line]
        elif isinstance(mark, Disc):
            points = [(mark.x - mark.radius, mark.y - mark.radius)]
            points.append((mark.x + mark.radius, mark.y + mark.radius))
        elif isinstance(mark, Box):
            points = [(mark.x, mark.y), (mark.x + mark.width, mark.y + mark.height)]
        else:
            assert isinstance(mark, Text)
            points = [(mark.x, mark.y)]
        assert all(0 <= x <= drawn.width and 0 <= y <= drawn.height for x, y in points), mark


def test_the_width_is_kept_whatever_stands_beside_the_grid() -> None:
    for path in (EXAMPLES / "harbour-lights.toml", WORKED / "sandwich.toml"):
        root = parsed(with_margin(picture(puzzle_of(path), width=120)))
        assert root.get("width") == "120mm"
        assert (root.get("viewBox") or "").startswith("0 0 120 ")


def test_markup_in_a_title_is_text() -> None:
    title = "Buoys & <b onload='x'>Bells</b> \u0001]]>"
    puzzle = replace(read("." * 16), title=title, credit="<script>")
    root = parsed(picture(puzzle))
    kept = title.replace("\u0001", r"\u{1}")
    assert root.findtext(f"{SVG}title") == kept
    assert not list(root.iter(f"{SVG}script"))
    written = "".join(text.text or "" for text in root.iter(f"{SVG}text"))
    assert kept in written
    assert "<script>" in written


def test_what_a_view_shows_is_drawn(harbour: Puzzle) -> None:
    house = harbour.canvas.houses[1]
    drawn = picture(
        harbour,
        View(
            digits={Cell(1, 2): 9},
            candidates={Cell(2, 1): (1, 3, 6), Cell(2, 2): (3, 6)},
            differing={Cell(9, 1): (6, 5)},
            heat={Cell(1, 1): 0.5, Cell(1, 3): 0.0},
            ringed=[Cell(1, 1)],
            ringed_candidates=[(Cell(2, 2), 3), (Cell(2, 2), 6)],
            houses=[house],
            struck=[(Cell(2, 1), 3)],
            placed={Cell(6, 1): 7},
            doubled=[Cell(1, 2)],
            caption="a pair in row 2",
        ),
        numbered=True,
    )
    counts = {
        "digit": 1,
        "candidate": 5,
        "split": 1,
        "differing digit": 2,
        "heat": 2,
        "heat bar": 1,
        "ring": 1,
        "candidate ring": 2,
        "house bracket": 1,
        "struck": 1,
        "strike": 1,
        "placed": 1,
        "placed digit": 1,
        "doubled": 1,
        "caption": 1,
        "coordinate": 18,
    }
    assert {role: len(with_role(drawn, role)) for role in counts} == counts


def test_a_candidate_keeps_its_place_whatever_else_stands_in_the_cell(harbour: Puzzle) -> None:
    def place(candidates: tuple[int, ...]) -> tuple[float, float]:
        drawn = picture(harbour, View(candidates={Cell(2, 2): candidates}))
        (mark,) = [
            m for m in with_role(drawn, "candidate") if isinstance(m, Text) and m.text == "5"
        ]
        return mark.x, mark.y  # type: ignore[union-attr]

    assert place((5,)) == place((1, 5, 9))


def test_rules_that_a_step_does_not_use_fade() -> None:
    puzzle = read_document(
        'size = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nid = "used"\n'
        '[[rule]]\nkind = "cage"\ncells = "r3c1 r3c2"\nid = "idle"\n',
        "x",
    )
    root = parsed(picture(puzzle, View(rules=["used"]), legend=False))
    inks = {
        group.get("data-name"): group.find(f"{SVG}path").get("stroke")  # type: ignore[union-attr]
        for group in root.iter(f"{SVG}g")
        if group.get("class") == "rule"
    }
    assert inks["used"] == LIGHT.look(0, "cage").ink != inks["idle"]


def test_a_rule_that_is_off_is_not_drawn() -> None:
    puzzle = read_document(
        'size = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\noptional = true\n', "x"
    )
    assert "cage" not in svg(picture(puzzle))


def test_a_puzzle_shows_itself_in_a_notebook(harbour: Puzzle) -> None:
    assert harbour._repr_svg_() == svg(picture(harbour)) == picture(harbour)._repr_svg_()
    shown, Puzzle.drawn_by = Puzzle.drawn_by, None
    try:
        assert harbour._repr_svg_() is None
    finally:
        Puzzle.drawn_by = shown


def test_the_line_of_a_loop_leaves_room_for_the_digits_of_its_cells() -> None:
    drawn = picture(puzzle_of(EXAMPLES / "mail-boat.toml"), heading=False)
    (first, *_) = (mark for mark in with_role(drawn, "line") if isinstance(mark, Lines))
    (three,) = (m for m in with_role(drawn, "given") if isinstance(m, Text) and m.text == "3")
    # It is given from the 3 in r1c2 to r1c3, which is empty: it begins beside the 3.
    ((start, end),) = first.lines
    assert start[1] == end[1]
    assert min(start[0], end[0]) > three.x + three.size / 3


def test_totals_of_two_outlines_that_begin_in_one_cell_stand_apart() -> None:
    cages = "".join(
        f'[[rule]]\nkind = "cage"\ncells = "r1c1 {other}"\nsum = {total}\n'
        for other, total in (("r1c2", 5), ("r2c1", 3))
    )
    drawn = picture(read(f"size = 4\n{cages}", "two.toml"))
    totals = {m.text: m for m in with_role(drawn, "label") if isinstance(m, Text)}
    assert totals["3"].x > totals["5"].x + totals["5"].size
    # Neither border is drawn over a total; the third is that of the legend.
    order = list(marks_in(drawn.marks))
    borders = [place for place, one in enumerate(order) if isinstance(one, Lines) and one.closed]
    assert borders[1] < min(order.index(total) for total in totals.values())
