"""A book made: its pages, outline, fonts and text; the pages for the web; the loose pictures."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

import pypdfium2
import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.book.checking import Asking
from gridassay.verify.book.edition import write_edition
from gridassay.verify.book.loose import write_loose
from gridassay.verify.book.making import book_style, find_out, known_in, set_pages, write_book
from gridassay.verify.book.reading import read_book
from gridassay.verify.book.record import Record, record_path
from gridassay.verify.book.volume import Volume
from gridassay.verify.draw.marks import Group, Mark

from .shelf import ALL, LINES, NAMES, book, four, puzzle, written

EXAMPLE = Path(__file__).parents[3] / "examples" / "book" / "slack-tide.toml"
CAGE = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 3\n'


def made(path: Path, out: Path, *, bleed: float = 0.0) -> Volume:
    with Record(record_path(str(path))) as record:
        found = read_book(str(path), record.facts)
        find_out(found, record, Asking())
        volume = set_pages(found, record, book_style(found), 10.0)
        write_book(volume, out, bleed=bleed)
    return volume


def texts(document: pypdfium2.PdfDocument) -> list[str]:
    return [page.get_textpage().get_text_range() for page in document]


def outline(document: pypdfium2.PdfDocument) -> list[tuple[int, str, int]]:
    return [
        (mark.level, mark.get_title(), mark.get_dest().get_index() + 1)
        for mark in document.get_toc()
    ]


def assert_all_fonts_are_embedded(data: bytes) -> None:
    descriptors = re.findall(rb"<<[^<>]*/Type /FontDescriptor[^<>]*>>", data)
    assert descriptors
    assert all(b"/FontFile2" in one for one in descriptors)
    fonts = re.findall(rb"<<(?:[^<>]|<<[^<>]*>>)*/Type /Font\b(?:[^<>]|<<[^<>]*>>)*>>", data)
    assert fonts
    assert all(b"/FontDescriptor" in one for one in fonts), "a font that readers have to have"


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Volume, bytes]:
    """Four puzzles in two chapters, the second of which brings a rule, with hints and answers."""
    folder = tmp_path_factory.mktemp("small")
    files = {**four(), "breakwater.toml": puzzle(LINES[3], "Breakwater", CAGE)}
    chapters = ("puzzles = ['slipway.toml', 'bollard.toml']", ALL)
    path = written(folder, {**files, "book.toml": book(*chapters, head="hints = true\ncell = 7")})
    out = folder / "out.pdf"
    return path, made(path, out), out.read_bytes()


def test_pages_and_outline(small: tuple[Path, Volume, bytes]) -> None:
    _, volume, data = small
    document = pypdfium2.PdfDocument(data)
    assert len(document) == len(volume)
    found = outline(document)
    assert [(level, title) for level, title, _ in found] == [
        (0, "Harbour Walls"),
        (0, "Contents"),
        (0, "Part 1"),
        (1, "1 Slipway"),
        (1, "2 Bollard"),
        (0, "Part 2"),
        (1, "3 Mooring"),
        (1, "4 Breakwater"),
        (0, "Hints"),
        (1, "First hints: what it takes"),
        (1, "Second hints: where to begin"),
        (1, "Third hints: the crux"),
        (0, "Answers"),
    ]
    said = texts(document)
    for _, title, page in found:
        for word in title.split():
            assert word in said[page - 1], title
    contents = said[found[1][2] - 1].split()
    for title in NAMES:
        (page,) = [number for _, name, number in found if name.endswith(title)]
        assert str(page) in contents[contents.index(title) :]
    assert document.get_metadata_value("Title") == "Harbour Walls"
    assert document.get_metadata_value("Keywords") == "puzzles, Part 1, Part 2"


def test_fonts_are_embedded_and_the_bytes_are_the_same_twice(
    small: tuple[Path, Volume, bytes], tmp_path: Path
) -> None:
    path, _, data = small
    assert_all_fonts_are_embedded(data)
    made(path, tmp_path / "again.pdf")
    assert (tmp_path / "again.pdf").read_bytes() == data


def test_a_rule_is_explained_once_before_its_puzzle(small: tuple[Path, Volume, bytes]) -> None:
    _, volume, data = small
    said = texts(pypdfium2.PdfDocument(data))
    explaining = [page for page, text in enumerate(said, 1) if "New with number 4" in text]
    assert explaining
    assert explaining[0] <= volume.starts[4]
    assert "Digits in a cage add up" in said[explaining[0] - 1]


def roles(marks: Sequence[Mark]) -> Iterator[str]:
    """The roles of all marks, those in groups included."""
    for mark in marks:
        yield mark.role
        if isinstance(mark, Group):
            yield from roles(mark.marks)


def test_puzzles_show_givens_alone_and_answers_all_digits(
    small: tuple[Path, Volume, bytes],
) -> None:
    path, _, _ = small
    with Record(record_path(str(path))) as record:
        found = read_book(str(path), record.facts)
        volume = set_pages(found, record, book_style(found), 10.0)
        counts = [Counter(roles(page.marks)) for page in volume.pages()]
    *before, answers = counts
    assert not any(count["digit"] for count in before)
    assert (answers["given"], answers["digit"]) == (4 * 5, 4 * 11)
    on_pages = sum(counts[page - 1]["given"] for page in {*volume.starts.values()})
    assert on_pages == 4 * 5 + 4, "the example of the rule has four digits"


def test_a_page_that_is_trimmed(small: tuple[Path, Volume, bytes], tmp_path: Path) -> None:
    path, _, _ = small
    made(path, tmp_path / "bleed.pdf", bleed=3.0)
    page = pypdfium2.PdfDocument((tmp_path / "bleed.pdf").read_bytes())[0]
    point = 72 / 25.4
    left, low, right, high = (side / point for side in page.get_trimbox())
    assert (right - left, high - low) == pytest.approx((148, 210))
    left, low, right, high = (side / point for side in page.get_bleedbox())
    assert (right - left, high - low) == pytest.approx((154, 216))
    image = page.render(scale=1).to_pil().convert("L")
    edge = round((7 + 1) * point)
    assert image.getpixel((edge, edge)) < 60, "the cover runs into what is cut off"
    assert image.getpixel((2, 2)) > 250


def test_a_puzzle_without_one_solution_has_no_answer(tmp_path: Path) -> None:
    files = {**four(Mooring="1" + "." * 15), "book.toml": book(ALL, head="hints = true")}
    volume = made(written(tmp_path, files), tmp_path / "out.pdf")
    assert [entry.title for entry in volume.unanswered] == ["Mooring"]
    said = texts(pypdfium2.PdfDocument((tmp_path / "out.pdf").read_bytes()))
    assert "It does not have exactly one solution." in " ".join(said[-1].split())
    assert any("Its route is not known to the end." in text for text in said)


def test_a_large_board_is_fitted_and_said(tmp_path: Path) -> None:
    files = {
        "a.toml": "size = 16\n",
        "book.toml": book("puzzles = ['a.toml']", head="answers = false"),
    }
    volume = made(written(tmp_path, files), tmp_path / "out.pdf")
    assert volume.fitted.keys() == {1}
    assert volume.fitted[1] == pytest.approx((148 - 30) / 16.12, abs=0.01)


def test_on_wide_paper_puzzles_stand_side_by_side(tmp_path: Path) -> None:
    head = 'page = "A4"\nanswers = false'
    volume = made(
        written(tmp_path, {**four(), "book.toml": book(ALL, head=head)}), tmp_path / "o.pdf"
    )
    assert set(volume.starts.values()) == {3}
    assert volume.fitted == {}


def test_walkthroughs_follow(tmp_path: Path) -> None:
    head = "walkthroughs = true\nanswers = false"
    path = written(tmp_path, {**four(), "book.toml": book("puzzles = ['slipway.toml']", head=head)})
    made(path, tmp_path / "out.pdf")
    said = texts(pypdfium2.PdfDocument((tmp_path / "out.pdf").read_bytes()))
    assert "Walkthrough" in said[-1]
    assert "Solved in" in said[-1]
    assert "1 of 1" not in said[-1]


def test_pages_for_the_web(small: tuple[Path, Volume, bytes], tmp_path: Path) -> None:
    path, _, _ = small
    out = tmp_path / "web"

    def write() -> None:
        with Record(record_path(str(path))) as record:
            found = read_book(str(path), record.facts)
            assert write_edition(found, book_style(found), known_in(record), out, 10.0) == []

    write()
    (out / "mark").touch()
    write()
    assert sorted(file.name for file in out.iterdir()) == [
        "chapter-1.html",
        "chapter-2.html",
        "index.html",
    ]
    page = (out / "chapter-2.html").read_text()
    assert page.count("<article") == 2
    assert page.count("<summary>Answer</summary>") == 2
    before, _, folded = page.partition("<summary>Answer</summary>")
    assert folded.count(">4</text>") > before.count(">4</text>")
    assert 'href="chapter-2.html#p4"' in (out / "index.html").read_text()
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "")
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "file").touch()
    out = tmp_path / "other"
    with pytest.raises(PuzzleError, match="already exists"):
        write()
    assert [file.name for file in out.iterdir()] == ["file"]


def test_loose_pictures_with_the_words_apart(
    small: tuple[Path, Volume, bytes], tmp_path: Path
) -> None:
    path, _, _ = small
    with Record(record_path(str(path))) as record:
        found = read_book(str(path), record.facts)
        count = write_loose(found, book_style(found), known_in(record), tmp_path / "p", 10.0)
    files = {file.name for file in (tmp_path / "p").iterdir()}
    assert count == 16 == len(files) - 1
    assert {"004-breakwater.svg", "004-breakwater-answer.pdf", "words.json"} < files
    words = json.loads((tmp_path / "p" / "words.json").read_text())
    assert [one["number"] for one in words] == [1, 2, 3, 4]
    assert (
        words[3]["rules"][-1]
        == "Digits in a cage add up to the number in its corner and do not repeat."
    )
    assert len(words[0]["hints"]) == 3
    width, _ = pypdfium2.PdfDocument(tmp_path / "p" / "004-breakwater.pdf")[0].get_size()
    assert width / 72 * 25.4 == pytest.approx(7 * 4.12, abs=0.1)


def test_the_example_book(tmp_path: Path) -> None:
    # Hints are left out: some of its routes take minutes.
    text = EXAMPLE.read_text().replace("hints = true", "hints = false")
    path = tmp_path / "slack-tide.toml"
    path.write_text(text.replace('"../', f'"{EXAMPLE.parents[1].as_posix()}/'))
    volume = made(path, tmp_path / "out.pdf")
    assert volume.unanswered == []
    assert sorted(volume.fitted) == [4, 6, 14]
    data = (tmp_path / "out.pdf").read_bytes()
    assert_all_fonts_are_embedded(data)
    document = pypdfium2.PdfDocument(data)
    assert len(document) == len(volume) == 54
    found = outline(document)
    assert [title for level, title, _ in found if level == 0] == [
        "The Slack Tide, a year of puzzles",
        "Contents",
        "Spring: Grids",
        "Summer: Cages and Lines",
        "Autumn: Marks and Numbers",
        "Winter: Land and Water",
        "Answers",
    ]
    entries = list(read_book(str(path)).entries)
    assert [title for level, title, _ in found if level] == [entry.printed for entry in entries]
    said = texts(document)
    for entry in entries:
        assert entry.title in said[volume.starts[entry.number] - 1].replace("\r\n", " ")
    assert "add up to the number in its corner, where it has one" in " ".join(said).replace(
        "\r\n", " "
    )
