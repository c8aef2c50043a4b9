"""The meaning of a book file: places, numbers, wants; and all that is wrong with one, told at once."""

from __future__ import annotations

import tomllib
from pathlib import Path

import jsonschema
import pytest

from gridassay.verify.book.contents import Book
from gridassay.verify.book.document import BookRefused, book_schema
from gridassay.verify.book.reading import read_book
from gridassay.verify.book.starting import new_book
from gridassay.verify.solving.levels import GROUPS

from .shelf import ALL, LINES, NAMES, book, four, puzzle, written


def numbers(found: Book) -> list[tuple[int, str]]:
    return [(entry.number, entry.source) for entry in found.entries]


def refused(path: Path) -> list[str]:
    with pytest.raises(BookRefused) as caught:
        read_book(str(path))
    return [str(error).removeprefix(f"{path.parent}/") for error in caught.value.errors]


def test_a_pattern_is_sorted_and_what_matches_twice_stands_once(tmp_path: Path) -> None:
    chapters = ("puzzles = ['mooring.toml', '*.toml']", "puzzles = ['slipway.toml', 'in/*.toml']")
    files = {**four(), "in/later.toml": puzzle(LINES[0]), "book.toml": book(*chapters)}
    found = read_book(str(written(tmp_path, files)))
    assert numbers(found) == [
        (1, "mooring.toml"),
        (2, "bollard.toml"),
        (3, "breakwater.toml"),
        (4, "slipway.toml"),
        (5, "in/later.toml"),
    ]
    assert [len(chapter.entries) for chapter in found.chapters] == [4, 1]


def test_lines_of_a_file_by_number_and_numbers_that_run_on(tmp_path: Path) -> None:
    text = "# proof sheet\n" + "\n".join(LINES) + "\n"
    table = 'puzzles = ["l.txt:3"]\n[[chapter.puzzle]]\nfile = "l.txt:2"\nnumber = 40'
    made = book(table, "puzzles = ['l.txt:4-9', 'l.txt']", head="number-from = 7")
    found = read_book(str(written(tmp_path, {"l.txt": text, "book.toml": made})))
    assert numbers(found) == [(7, "l.txt:3"), (40, "l.txt:2"), (41, "l.txt:4"), (42, "l.txt:5")]
    assert next(found.entries).puzzle().given_line() == LINES[1]


def test_a_table_counts_for_a_puzzle_wherever_it_stands_first(tmp_path: Path) -> None:
    table = "\n[[chapter.puzzle]]\nfile = 'bollard.toml'\nnumber = 9\nwants = { wasted = 2 }"
    made = book(ALL + table, wants='wasted = 0\nlevel = ["singles", "sets"]')
    found = read_book(str(written(tmp_path, {**four(), "book.toml": made})))
    assert [number for number, _ in numbers(found)] == [1, 9, 10, 11]
    assert [entry.wants.wasted for entry in found.entries] == [0, 2, 0, 0]
    assert {entry.wants.level for entry in found.entries} == {(0, 2)}


def test_the_wording_of_the_book_is_printed_for_every_rule_of_a_kind(tmp_path: Path) -> None:
    cage = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 3\ntext = "An old sentence."\n'
    made = book("puzzles = ['a.toml']") + '[wording]\ncage = "Add up the pot."\n'
    files = {"a.toml": puzzle("." * 16, "A", cage), "book.toml": made}
    (entry,) = read_book(str(written(tmp_path, files))).entries
    assert entry.puzzle().rules[0].printed == "Add up the pot."
    assert entry.original().rules[0].printed == "An old sentence."


def test_everything_wrong_with_places_and_wants_is_told_at_once(tmp_path: Path) -> None:
    chapter = (
        'puzzles = ["nowhere.toml", "none-*.toml", "slipway.toml", "short.toml", "l.txt:7"]\n'
        '[[chapter.puzzle]]\nfile = "bollard.toml"\nnumber = 1\n'
        'wants = { level = ["singles", "sets"], needs = ["XY-wing"] }'
    )
    made = book(chapter, wants='level = ["chains", "singles"]\nsymmetric = "half trun"')
    files = {"short.toml": 'size = 4\ngivens = """1"""\n', "l.txt": LINES[0]}
    told = refused(written(tmp_path, {**four(), **files, "book.toml": made}))
    assert told == [
        "book.toml:4: wants: nothing can meet level: from chains to singles goes down; "
        "name the easier group first",
        "book.toml:5: wants: nothing can meet symmetric: there is no pattern 'half trun'; "
        "did you mean half turn?",
        "book.toml:9: there is no file nowhere.toml",
        "book.toml:9: no file matches none-*.toml",
        "short.toml:2: givens: 1 symbols, but 4 rows of 4 need 16",
        "book.toml:9: there is no puzzle on line 7 of l.txt",
        "book.toml:11: wants of bollard.toml: nothing can meet needs: a puzzle that needs XY-wing "
        "has the level wings at least, and level ends with sets",
        "book.toml:11: number 1 stands twice: slipway.toml and bollard.toml",
    ]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "title = 3\n[[chapter]]\npuzzles = ['a']",
            ["1: title: input should be a valid string (it is 3)"],
        ),
        (
            "title = 'a'\npage = 'A6'\ncell = 'x'\n[wants]\nwasted = -1\n[[chapter]]\npuzzels = []",
            [
                '2: page is "A4", "A5", "letter", or [width, height] in millimetres',
                "3: cell: input should be a valid number (it is 'x')",
                '5: wasted is a number from 0 up, or "any"',
                "7: there is no field 'puzzels'; did you mean 'puzzles'?",
            ],
        ),
        ("title = 'a'", [" chapter is missing"]),
        ("title = ", [" not TOML: Invalid value (at end of document)"]),
        (
            "title = 'a'\nmargin = 70\n[[chapter]]\npuzzles = ['slipway.toml']",
            ["2: margin: a page of 148 by 210 mm with margins of 70 mm leaves less than 60 mm"],
        ),
        (
            "title = 'a'\nstyle = 'x.style.toml'\n[[chapter]]\npuzzles = ['slipway.toml']\n"
            "explains = ['cagee']\n[wording]\nthermo = 'a'",
            [
                "7: wording: there is no rule 'thermo'; did you mean 'thermometer'?",
                "2: style: there is no file x.style.toml",
                "5: explains: there is no rule 'cagee'; did you mean 'cage'?",
            ],
        ),
    ],
)  # fmt: skip
def test_everything_wrong_with_a_table_is_told_at_once(
    tmp_path: Path, text: str, told: list[str]
) -> None:
    path = written(tmp_path, {**four(), "book.toml": text})
    found = refused(path)
    assert [one.removeprefix("book.toml:") for one in found] == told


def test_a_new_book_reads_back_with_a_chapter_a_folder(tmp_path: Path) -> None:
    files = {**four(), "late spring/z.txt": LINES[0], "mine.style.toml": 'base = "dark"\n'}
    path = written(tmp_path, files)
    text, count = new_book(str(tmp_path), path)
    assert count == 5
    path.write_text(text)
    found = read_book(str(path))
    assert [chapter.title for chapter in found.chapters] == ["Puzzles", "Late Spring"]
    order = [f"{name.lower()}.toml" for name in sorted(NAMES)]
    assert [source for _, source in numbers(found)] == [*order, "late spring/z.txt:1"]
    assert new_book(str(tmp_path), path)[0] == text, "the book itself is not a puzzle of it"


def test_a_folder_with_a_bad_file_makes_no_book(tmp_path: Path) -> None:
    written(tmp_path, {**four(), "bad.toml": "size = 4\ngivens = 3\n", "worse.txt": "12\n"})
    with pytest.raises(BookRefused) as caught:
        new_book(str(tmp_path), tmp_path / "book.toml")
    assert [Path(one.source.partition(":")[0]).name for one in caught.value.errors] == [
        "bad.toml",
        "worse.txt",
    ]


def test_the_schema_takes_what_is_read_and_refuses_what_is_not(tmp_path: Path) -> None:
    schema = book_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    table = "\n[[chapter.puzzle]]\nfile = 'bollard.toml'\nnumber = 9\nwants = { wasted = 2 }"
    made = book(ALL + table, head="page = [120, 180]\nnumber-from = 3", wants='wasted = "any"')
    jsonschema.validate(tomllib.loads(made), schema)
    for bad in ('page = "A6"', "number-from = -1", "chapters = 3"):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(tomllib.loads(book(ALL, head=bad)), schema)
    level = tomllib.loads(book(ALL, wants=f'level = ["{GROUPS[0]}", "no such group"]'))
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(level, schema)


def test_a_puzzle_line_has_the_title_and_the_credit_that_the_book_gives_it(tmp_path: Path) -> None:
    own = 'file = "l.txt:2"\ntitle = "Groyne"\ncredit = "Hask"'
    table = f'puzzles = ["l.txt:1"]\n[[chapter.puzzle]]\n{own}'
    files = {"l.txt": "\n".join(LINES[:2]), "book.toml": book(table)}
    bare, named = read_book(str(written(tmp_path, files))).entries
    assert (bare.title, bare.printed) == ("", "Puzzle 1")
    assert (named.printed, named.credit) == ("2 Groyne", "Hask")
    assert (named.puzzle().title, named.puzzle().credit) == ("Groyne", "Hask")
    assert named.original().title == "", "its file stays as it is"


@pytest.mark.parametrize(("written_as", "size"), [("a5", (148, 210)), ("Letter", (215.9, 279.4))])
def test_a_paper_is_known_by_its_name_in_any_case(
    tmp_path: Path, written_as: str, size: tuple[float, float]
) -> None:
    made = book(ALL, head=f'page = "{written_as}"')
    assert read_book(str(written(tmp_path, {**four(), "book.toml": made}))).size == size
