"""The walkthrough sheet: which pictures there are, what stands in them, that pages hold it all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import pytest

from benchmarks.corpora import puzzles
from gridassay.encodings.grid import classic
from gridassay.verify import Route, check, read, route
from gridassay.verify.draw.marks import Group, Mark, Picture, Text
from gridassay.verify.draw.route_sheet import sheet_html, sheet_pages
from gridassay.verify.draw.route_views import (
    along,
    position_view,
    view_of_number,
    view_of_run,
    view_of_step,
)
from gridassay.verify.solving.techniques import SINGLES, TECHNIQUES
from gridassay.verify.solving.words import ending

from ... import published
from ...cli.run import EXAMPLES, gridassay
from ..minimal import minimal

LIGHTS = EXAMPLES / "harbour-lights.toml"


@lru_cache
def mixed() -> Route:
    """A route in which singles and other steps alternate."""
    found = route(minimal(classic(9), 4))
    assert {step.technique in SINGLES for step in found.steps} == {True, False}
    return found


def texts(marks: Sequence[Mark], role: str) -> Iterator[Text]:
    for mark in marks:
        if isinstance(mark, Group):
            yield from texts(mark.marks, role)
        elif isinstance(mark, Text) and mark.role == role:
            yield mark


def said(pages: Sequence[Picture], role: str) -> list[str]:
    return [text.text for page in pages for text in texts(page.marks, role)]


def test_every_step_stands_on_the_sheet_once_in_order() -> None:
    found = mixed()
    pages = sheet_pages(found)
    numbers = said(pages, "step number")
    assert numbers == [str(number) for number in range(1, len(found.steps) + 1)]
    words = " ".join(said(pages, "words"))
    for step in found.steps:
        assert step.text[1:] in words


def test_nothing_leaves_the_page_and_nothing_overlaps_the_foot() -> None:
    for page in sheet_pages(mixed()):
        assert (page.width, page.height) == (210, 297)
        (foot,) = texts(page.marks, "page number")
        for text in (*texts(page.marks, "words"), *texts(page.marks, "coordinate")):
            assert text.x > 10
            assert 10 < text.y < foot.y - foot.size


def pictures(found: Route) -> int:
    pages = sheet_pages(found)
    return sum(
        isinstance(mark, Group) and mark.role == "picture" for p in pages for mark in p.marks
    )


def test_plain_steps_share_pictures_and_other_steps_have_their_own() -> None:
    found = mixed()
    plain = {name for one in TECHNIQUES if one.group <= 4 for name in one.names}
    others = sum(step.technique not in plain for step in found.steps)
    assert others + 3 <= pictures(found) < len(found.steps) / 3


def killer() -> Route:
    """A killer of 27 cages that named techniques solve to the end."""
    (puzzle,) = puzzles("told", 4, 1)
    found = route(puzzle, budget=60)
    assert found.solved
    assert len(puzzle.rules) == 27
    return found


def test_opening_marks_share_a_picture_and_a_killer_fits_on_few_pages() -> None:
    found = killer()
    pages = sheet_pages(found)
    assert len(pages) <= 12
    numbers = said(pages, "step number")
    assert numbers == [str(number) for number in range(1, len(found.steps) + 1)]
    opening = [number for number, step in enumerate(found.steps) if step.group]
    first = last = opening[0]
    while last + 1 in opening:
        last += 1
    assert last - first >= 5
    for number in (first + 1, last + 1):
        view = view_of_number(found.puzzle, number)
        assert view.caption == f"Steps {first + 1}–{last + 1}, opening marks of the drawn rules."
        assert len(view.struck) == sum(len(s.removes) for s in found.steps[first : last + 1])


def test_digits_and_candidates_are_those_before_the_step() -> None:
    found = mixed()
    solution = dict(zip(found.puzzle.canvas.cells, check(found.puzzle).solutions[0], strict=True))
    seen = []
    for step, before in along(found):
        view = view_of_step(found.puzzle, step, before)
        assert all(solution[cell] == digit for cell, digit in view.digits.items())
        assert not view.placed.keys() & view.digits.keys()
        for cell, digit in (*step.removes, *step.places):
            assert digit in view.candidates[cell]
        assert set(view.struck) == set(step.removes)
        seen.append(len(view.digits))
    assert seen == sorted(seen)
    assert len(position_view(found.end).digits) == 81


def test_candidates_are_drawn_from_the_first_strike_on() -> None:
    assert not said(sheet_pages(route(read(published.ENCYCLOPAEDIA))), "candidate")
    found = mixed()
    first = next(n for n, step in enumerate(found.steps) if step.removes)
    early = replace(found, steps=found.steps[:first], end=list(along(found))[first][1])
    assert said(sheet_pages(found), "candidate")
    # The last picture shows what is left, and the runs before it no candidate.
    assert len(said(sheet_pages(early), "candidate")) == sum(
        len(digits) for digits in position_view(early.end).candidates.values()
    )
    (step, before), *_ = along(found)
    assert view_of_run([step], before, pencilled=True).candidates
    assert not view_of_run([step], before, pencilled=False).candidates


def test_a_start_with_struck_candidates_shows_them() -> None:
    found = mixed()
    after = next(n for n, step in enumerate(found.steps) if step.removes) + 1
    later = route(found.puzzle, start=list(along(found))[after][1], most=1)
    assert said(sheet_pages(later, end=ending(later, partial=True)), "candidate")


def test_a_puzzle_without_a_route_is_a_page_that_says_so() -> None:
    (page,) = sheet_pages(route(read("11..............")))
    assert "The puzzle has no solution, so there is no route." in said([page], "words")


@pytest.mark.parametrize("name", ["sheet.html", "sheet.pdf"])
def test_the_command_writes_one_file(tmp_path: Path, name: str) -> None:
    out = tmp_path / name
    run = gridassay("route", LIGHTS, "--sheet", out)
    assert run.code == 0
    data = out.read_bytes()
    if name.endswith("pdf"):
        assert data.startswith(b"%PDF")
    else:
        text = data.decode()
        assert text.count("<li>") == 54
        assert "http" not in text.replace("http://www.w3.org/2000/svg", "")
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_a_part_of_a_route_does_not_claim_to_be_stuck(tmp_path: Path) -> None:
    out = tmp_path / "next.html"
    gridassay("route", LIGHTS, "--next", "--sheet", out)
    assert "The position after 1 step." in out.read_text()
    assert "stuck" not in out.read_text()


def test_markup_in_a_title_is_text() -> None:
    puzzle = replace(read(published.ENCYCLOPAEDIA), title="<script>alert(1)</script>")
    assert "<script>" not in sheet_html(route(puzzle))


@pytest.mark.parametrize("name", ["sheet.doc", "nowhere/sheet.pdf"])
def test_what_cannot_be_written_is_one_line(tmp_path: Path, name: str) -> None:
    run = gridassay("route", LIGHTS, "--sheet", tmp_path / name)
    assert run.code == 2
    assert run.err.count("\n") == 1
    assert name in run.err
