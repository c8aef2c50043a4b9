"""The page of an assay: what stands on it, where, and that nothing leaves the paper."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from hashlib import sha256
from html import escape
from pathlib import Path

import pypdfium2
import pytest

from gridassay.encodings.grid import classic
from gridassay.verify import read
from gridassay.verify.draw.marks import Box, Disc, Group, Mark, Picture, Text
from gridassay.verify.draw.route_chart import route_chart
from gridassay.verify.examination.examination import Assay, assay
from gridassay.verify.examination.page import assay_pages, page_html, page_words, write_page
from gridassay.verify.proof.certificate import certify
from gridassay.verify.solving.routes import route

from ...cli.run import EXAMPLES
from ..minimal import minimal

LEAN = "1... ...2 ..3. .4.."


@lru_cache
def examined(name: str) -> Assay:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    return assay(read(text, f"{name}.toml"), budget=30, document=text.encode())


def all_marks(marks: Sequence[Mark]) -> Iterator[Mark]:
    for mark in marks:
        yield mark
        if isinstance(mark, Group):
            yield from all_marks(mark.marks)


def texts(page: Picture) -> list[Text]:
    return [mark for mark in all_marks(page.marks) if isinstance(mark, Text)]


@pytest.mark.parametrize("name", ["harbour-lights", "two-piers", "ships-biscuit"])
def test_all_words_stand_on_paper_in_order(name: str) -> None:
    result = examined(name)
    pages = assay_pages(result)
    said = " ".join(t.text for page in pages for t in texts(page) if t.role == "words")
    place = -1
    for _, text in page_words(result):
        place = said.index(" ".join(text.split()), place + 1)
    for page in pages:
        assert (page.width, page.height) == (210, 297)
        for text in texts(page):
            assert 10 < text.x < 200
            assert 10 < text.y < 290


def test_the_puzzle_its_solution_and_the_foot() -> None:
    result = examined("harbour-lights")
    (page,) = assay_pages(result)
    pictures = [m for m in page.marks if isinstance(m, Group) and m.role == "picture"]
    assert len(pictures) == 2
    puzzle, solution = (
        [t.role for t in all_marks(p.marks) if isinstance(t, Text)] for p in pictures
    )
    assert puzzle.count("given") == solution.count("given") == 27
    assert len(solution) == 81
    assert page.title == "Assay of Harbour Lights"
    (foot,) = [t.text for t in texts(page) if t.role == "foot"]
    assert re.fullmatch(
        r"harbour-lights.toml, examined \d{4}-\d\d-\d\d by gridassay [\d.]+, page 1 of 1", foot
    )


def test_rule_text_is_on_the_page() -> None:
    (page,) = assay_pages(examined("ships-biscuit"))
    said = " ".join(text.text for text in texts(page))
    assert "Put the digits 1 to 6 into each row and column" in said


def test_the_evidence_is_known_by_its_hash() -> None:
    result = examined("harbour-lights")
    assert result.certificate is not None
    again = certify(
        (EXAMPLES / "harbour-lights.toml").read_bytes(), "harbour-lights.toml", budget=30
    )
    digest = sha256(again.to_bytes()).hexdigest()
    assert dict(page_words(result))["evidence"].endswith(f"SHA-256 {digest}")


def test_a_long_examination_goes_on_over_the_page() -> None:
    result = examined("two-piers")
    assert result.clues is not None
    names = tuple(f"a rule whose name is as long as names of rules can be {n}" for n in range(8))
    effects = [replace(result.clues.givens[0], clue=name * 10, wasted=True) for name in names]
    longer = replace(result, clues=replace(result.clues, rules=tuple(effects)))
    pages = assay_pages(longer)
    assert len(pages) == 2
    feet = [t.text for page in pages for t in texts(page) if t.role == "foot"]
    assert [foot.partition("page ")[2] for foot in feet] == ["1 of 2", "2 of 2"]
    for page in pages:
        (foot,) = (t for t in texts(page) if t.role == "foot")
        assert all(t.y < foot.y - foot.size for t in texts(page) if t is not foot)


def test_the_chart_has_a_bar_a_step_as_high_as_its_reason() -> None:
    found = route(minimal(classic(9), 4))
    marks, high = route_chart(found, (0, 3), 174)
    bars = [mark for mark in marks if isinstance(mark, Box)]
    assert len(bars) == len(found.steps)
    sizes = [sum(step.size) for step in found.steps]
    for bar, size in zip(bars, sizes, strict=True):
        assert bar.height / bars[0].height == pytest.approx(size / sizes[0])
        assert 0 <= bar.x <= bar.x + bar.width <= 174
    assert [bars.index(bar) for bar in bars if bar.role == "crux"] == [found.crux]
    first, second = (mark for mark in marks if isinstance(mark, Disc))
    assert bars[0].x < first.x < bars[1].x < bars[3].x < second.x < bars[4].x
    assert all(mark.y <= high for mark in marks if isinstance(mark, Text))


def test_no_chart_of_singles_alone() -> None:
    for name, bars in (("harbour-lights", False), ("two-piers", True)):
        marks = all_marks(assay_pages(examined(name))[-1].marks)
        assert any(isinstance(mark, Box) and mark.role == "crux" for mark in marks) == bars


def test_the_pdf_has_the_same_words_as_text(tmp_path: Path) -> None:
    out = tmp_path / "page.pdf"
    write_page(examined("two-piers"), out)
    document = pypdfium2.PdfDocument(out)
    assert len(document) == 1
    assert [round(side / 72 * 25.4) for side in document[0].get_size()] == [210, 297]
    said = " ".join(document[0].get_textpage().get_text_range().split())
    for caption, text in page_words(examined("two-piers")):
        assert caption in said
        assert text[:60] in said


def test_the_html_needs_nothing_else_and_says_it_all_in_text() -> None:
    html = page_html(examined("ships-biscuit"))
    assert not re.search(r"(src|href|url)\s*[=(]\s*[\"']?(http|//)", html)
    assert "<script" not in html
    for _, text in page_words(examined("ships-biscuit")):
        assert escape(text) in html


def test_markup_in_a_title_is_text() -> None:
    text = f'title = "<script>alert(1)</script>"\nsize = 4\ngivens = "{LEAN}"\n'
    assert "<script>" not in page_html(assay(read(text), budget=10))


@pytest.mark.parametrize(("line", "caption"), [("11" + "." * 14, "repair"), ("." * 16, "repair")])
def test_of_what_is_not_unique_the_mend_comes_first(line: str, caption: str) -> None:
    captions = [caption for caption, _ in page_words(assay(read(line), budget=10))]
    assert captions[:3] == ["", "verdict", caption]
    assert "wrong" in captions
    assert "route" not in captions
