"""Pages of a book, and that PDF and PNG show what was drawn."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read
from gridassay.verify.book.sheets import PAPERS, PageLayout, pages
from gridassay.verify.draw.marks import Group, Picture, Text
from gridassay.verify.draw.output import write_pictures
from gridassay.verify.draw.pdf import pdf
from gridassay.verify.draw.raster import png
from gridassay.verify.draw.scene import picture, with_margin
from gridassay.verify.draw.style import DARK
from gridassay.verify.draw.view import View

from .pictures import EXAMPLES, WORKED, marks_in, puzzle_of, with_role

NAMES = ["harbour-lights", "ropewalk", "sandbanks", "two-piers"]


@pytest.fixture
def puzzles() -> list[Puzzle]:
    return [puzzle_of(EXAMPLES / f"{name}.toml") for name in NAMES]


def spread(mark: Group) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of where the text of a group begins."""
    texts = [one for one in marks_in(mark.marks) if isinstance(one, Text)]
    xs, ys = [text.x for text in texts], [text.y for text in texts]
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("per_page", [1, 2, 3, 4, 6, 9])
@pytest.mark.parametrize("paper", PAPERS)
def test_puzzles_share_a_page_without_touching(
    puzzles: list[Puzzle], per_page: int, paper: str
) -> None:
    many = [*puzzles, puzzle_of(WORKED / "arrow.toml"), *puzzles]
    sheets = pages(many, PageLayout(paper, per_page))  # type: ignore[arg-type]
    assert len(sheets) == -(-len(many) // per_page)
    for sheet in sheets:
        assert (sheet.width, sheet.height) == PAPERS[paper]  # type: ignore[index]
        boxes = [spread(mark) for mark in sheet.marks if isinstance(mark, Group)]
        for number, (left, top, right, bottom) in enumerate(boxes):
            assert left > 0
            assert right < sheet.width
            assert top > 0
            assert bottom < sheet.height
            for other in boxes[:number]:
                apart = left > other[2] or other[0] > right or top > other[3] or other[1] > bottom
                assert apart


def test_puzzles_are_numbered_and_answers_stand_at_the_back(puzzles: list[Puzzle]) -> None:
    solved = [View(digits=dict.fromkeys(puzzle.canvas.cells, 1)) for puzzle in puzzles]
    sheets = pages(puzzles, PageLayout(per_page=3), answers=solved)
    assert [len(with_role(sheet, "title")) for sheet in sheets] == [3, 1, 4]
    numbers = [m.text[0] for sheet in sheets for m in with_role(sheet, "title")]  # type: ignore[union-attr]
    assert numbers == ["1", "2", "3", "4", "1", "2", "3", "4"]
    assert not any(with_role(sheet, "digit") for sheet in sheets[:2])
    blanks = sum(len(p.canvas.cells) - len(p.givens) for p in puzzles)
    assert len(with_role(sheets[2], "digit")) == blanks
    assert [with_role(sheet, "page number")[0].text for sheet in sheets] == ["1", "2", "3"]  # type: ignore[union-attr]


def test_a_pdf_has_the_pages_and_their_text(puzzles: list[Puzzle]) -> None:
    document = pypdfium2.PdfDocument(pdf(pages(puzzles, PageLayout(per_page=2))))
    assert len(document) == 2
    width, height = document[0].get_size()
    assert (width / 72 * 25.4, height / 72 * 25.4) == pytest.approx((210, 297))
    text = document[0].get_textpage().get_text_range()
    assert "1 · Harbour Lights" in text
    assert "2 · Ropewalk" in text
    digits = sum(text.count(digit) for digit in "123456789")
    assert digits >= len(puzzles[0].givens) + len(puzzles[1].givens)


def test_a_pdf_is_the_same_twice(puzzles: list[Puzzle]) -> None:
    assert pdf([picture(puzzles[0])]) == pdf([picture(puzzles[0])])


def test_letters_beyond_latin_and_arrows_are_in_the_pdf() -> None:
    puzzle = replace(read("." * 16), title="Ψάρι ↓ Якорь Ł", credit="é")
    text = pypdfium2.PdfDocument(pdf([picture(puzzle)]))[0].get_textpage().get_text_range()
    assert "Ψάρι ↓ Якорь Ł" in text


def pixels(drawn: Picture, dpi: float = 100) -> Image.Image:
    return Image.open(io.BytesIO(png(drawn, dpi=dpi))).convert("RGB")


def test_a_png_has_the_size_asked_for_and_shows_its_digits(puzzles: list[Puzzle]) -> None:
    puzzle = puzzles[0]
    image = pixels(picture(puzzle, heading=False, width=91.2), 254)
    assert image.size == (912, 912)
    plain = pixels(picture(replace(puzzle, givens=()), heading=False, width=91.2), 254)
    size = 100

    def differs(cell: Cell) -> bool:
        left, top = 6 + (cell.column - 1) * size, 6 + (cell.row - 1) * size
        box = (left + 20, top + 20, left + 80, top + 80)
        return image.crop(box).tobytes() != plain.crop(box).tobytes()

    assert {cell for cell in puzzle.canvas.cells if differs(cell)} == {
        fact.variable for fact in puzzle.givens
    }


def test_a_dark_png_is_dark(puzzles: list[Puzzle]) -> None:
    image = pixels(with_margin(picture(puzzles[0], style=DARK)))
    assert image.getpixel((1, 1)) == (0x15, 0x17, 0x1C)


def test_files_take_the_format_of_their_name(puzzles: list[Puzzle], tmp_path: Path) -> None:
    drawn = picture(puzzles[0])
    for name, start in (("a.svg", b"<svg"), ("a.PNG", b"\x89PNG"), ("a.pdf", b"%PDF")):
        write_pictures([drawn], tmp_path / name)
        assert (tmp_path / name).read_bytes().startswith(start)
    with pytest.raises(ValueError, match=r"ends in \.svg, \.png, \.pdf"):
        write_pictures([drawn], tmp_path / "a.gif")
    with pytest.raises(ValueError, match="holds one picture, but there are 2"):
        write_pictures([drawn, drawn], tmp_path / "a.svg")


def test_long_rules_are_set_smaller_before_the_grid_is() -> None:
    puzzle = puzzle_of(EXAMPLES / "lobster-pots.toml")

    def letters(height: float | None) -> float:
        drawn = picture(puzzle, width=80, height=height)
        return min(mark.size for mark in with_role(drawn, "rule text") if isinstance(mark, Text))

    full = picture(puzzle, width=80)
    assert letters(None) == letters(full.height) > letters(0.9 * full.height) > letters(60)
    assert picture(puzzle, width=80, height=0.75 * full.height).height <= 0.75 * full.height
