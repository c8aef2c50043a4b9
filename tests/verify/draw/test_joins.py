"""Patterns are joined: strong links and weak ones are told apart, and what is struck is seen."""

from __future__ import annotations

from gridassay.encodings.grid import Cell
from gridassay.verify import read
from gridassay.verify.draw.joins import joins
from gridassay.verify.draw.route_views import along
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.view import View
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.routes import route

from .pictures import EXAMPLES, puzzle_of, with_role


def board(**candidates: str) -> Position:
    """An empty 9 by 9 board with these candidates in some cells, and 9 nowhere else."""
    position = Position.start(read("." * 81))
    layout = position.layout
    wanted = {layout.index[cell]: candidates.get(str(cell)) for cell in layout.cells}
    for cell, digits in wanted.items():
        for digit in range(9):
            keep = str(layout.digits[digit]) in digits if digits else layout.digits[digit] != 9
            if not keep:
                position.remove(cell, digit)
    return position


def told(lines: list) -> set[tuple[str, str, str]]:  # type: ignore[type-arg]
    return {
        (f"{one.start[0]}={one.start[1]}", f"{one.end[0]}={one.end[1]}", one.kind) for one in lines
    }


def test_a_skyscraper_has_two_strong_links_a_weak_one_and_is_seen_from_its_far_ends() -> None:
    position = board(r1c2="89", r1c8="89", r5c2="79", r5c7="79", r3c8="89")
    cells = (Cell(1, 2), Cell(1, 8), Cell(5, 2), Cell(5, 7))
    houses = ("row 1", "row 5", "column 2", "column 8", "box 3")
    found = told(joins("skyscraper", cells, (9,), houses, [(Cell(3, 8), 9)], position))
    assert found == {
        ("r1c2=9", "r1c8=9", "strong"),
        ("r5c2=9", "r5c7=9", "strong"),
        ("r1c2=9", "r5c2=9", "weak"),
        ("r1c8=9", "r3c8=9", "sight"),
    }


def test_a_wing_joins_its_pivot_to_its_pincers() -> None:
    position = board(r1c1="12", r1c8="19", r3c2="29", r3c8="9")
    cells = (Cell(1, 1), Cell(1, 8), Cell(3, 2))
    found = told(joins("XY-wing", cells, (9,), (), [(Cell(3, 8), 9)], position))
    assert {("r1c1=1", "r1c8=1", "weak"), ("r1c1=2", "r3c2=2", "weak")} <= found
    assert ("r1c8=1", "r1c8=9", "strong") in found
    assert {one for one in found if one[2] == "sight"} == {
        ("r1c8=9", "r3c8=9", "sight"),
        ("r3c2=9", "r3c8=9", "sight"),
    }


def test_a_group_is_one_node_of_a_chain_and_no_link_is_drawn_inside_it() -> None:
    # 9 in row 1: r1c2, or one of r1c8 and r1c9, which see r3c7; in column 7: r3c7 or r7c7.
    nines = dict.fromkeys(("r1c2", "r1c8", "r1c9", "r3c7", "r7c7", "r7c2"), "89")
    cells = (Cell(1, 2), Cell(1, 8), Cell(1, 9), Cell(3, 7), Cell(7, 7))
    for way in (cells, cells[::-1]):
        houses = ("row 1", "column 7")
        found = joins("X-chain", way, (9,), houses, [(Cell(7, 2), 9)], board(**nines))
        lines = {(frozenset({one, other}), kind) for one, other, kind in told(found)}
        assert lines == {
            (frozenset({"r1c2=9", "r1c8=9"}), "strong"),
            (frozenset({"r1c8=9", "r3c7=9"}), "weak"),
            (frozenset({"r3c7=9", "r7c7=9"}), "strong"),
            (frozenset({"r1c2=9", "r7c2=9"}), "sight"),
            (frozenset({"r7c7=9", "r7c2=9"}), "sight"),
        }


def test_lines_are_told_apart_without_colour() -> None:
    puzzle = puzzle_of(EXAMPLES / "sandbanks.toml")
    found = route(puzzle, most=40)
    step, before = next(pair for pair in along(found) if pair[0].technique == "skyscraper")
    view = View(
        candidates=dict.fromkeys(puzzle.canvas.cells, (1, 9)),
        joins=joins(step.technique, step.cells, step.digits, step.houses, [], before),
    )
    drawn = picture(puzzle, view)
    strong, weak = with_role(drawn, "strong link"), with_role(drawn, "weak link")
    assert (len(strong), len(weak)) == (2, 1)
    assert not any(line.stroke.dash for line in strong)  # type: ignore[union-attr]
    assert all(line.stroke.dash for line in weak)  # type: ignore[union-attr]
