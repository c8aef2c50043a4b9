"""The first chapter of the example book: one puzzle broken, two exchanged, one disguised; all is told."""

from __future__ import annotations

import shutil
from pathlib import Path

from gridassay.encodings.files import read_file
from gridassay.verify.book.checking import Asking
from gridassay.verify.book.reading import read_book
from gridassay.verify.book.record import Record, record_path
from gridassay.verify.book.results import BookCheck, check_book

EXAMPLES = Path(__file__).parents[3] / "examples"
PATIENT = 600.0
"""Seconds for a puzzle: a busy machine changes nothing of what is told."""


def checked(path: Path) -> BookCheck:
    """The check without routes, which no want of the example calls for."""
    with Record(record_path(str(path))) as record:
        return check_book(read_book(str(path)), record, Asking(PATIENT, routes=False))


def told(found: BookCheck) -> list[str]:
    """The problems of its puzzles, without those that are open for lack of a route."""
    return [f"{one.where}: {one.what}" for one in found.problems if "route" not in one.what]


def test_one_broken_two_exchanged_and_one_disguised(tmp_path: Path) -> None:
    whole = (EXAMPLES / "book" / "slack-tide.toml").read_text(encoding="utf-8")
    head, first, *_ = whole.split("[[chapter]]")
    path = tmp_path / "book" / "slack-tide.toml"
    path.parent.mkdir()
    path.write_text(f"{head}[[chapter]]{first}", encoding="utf-8")
    names = [line.strip(' ",') for line in first.splitlines() if '"../' in line]
    for name in names:
        shutil.copy(EXAMPLES / Path(name).name, tmp_path)
    before = checked(path)
    assert before.ok
    assert len(before.rows) == len(names)

    # The 7 of Ropewalk's first row falls out; Sandbanks and Two Piers stand in each other's place; and a
    # Harbour Lights upside down, its digits 1 and 9 exchanged, stands where Night Crossing stood.
    ropewalk = tmp_path / "ropewalk.toml"
    ropewalk.write_text(ropewalk.read_text(encoding="utf-8").replace(".7...25", ".....25"))
    text = path.read_text(encoding="utf-8")
    for one, other in (("sandbanks", "???"), ("two-piers", "sandbanks"), ("???", "two-piers")):
        text = text.replace(f"../{one}.toml", f"../{other}.toml")
    path.write_text(text, encoding="utf-8")
    line = read_file(tmp_path / "harbour-lights.toml").given_line()
    rows = [line[at : at + 9].translate(str.maketrans("19", "91")) for at in range(72, -1, -9)]
    disguised = "\n".join(rows)
    night = 'title = "Night Crossing"\ncredit = "Old Hask"\n' + f'givens = """\n{disguised}\n"""\n'
    (tmp_path / "night-crossing.toml").write_text(night, encoding="utf-8")

    found = checked(path)
    assert not found.ok
    said = told(found)
    assert "2 Ropewalk: it has several solutions, and the book wants one solution" in said
    assert "3 Two Piers and 4 Sandbanks: have changed places since the last check" in said
    assert any(
        one.startswith("5 Night Crossing: is 1 Harbour Lights in disguise: ") for one in said
    )
    assert [row.ok for row in found.rows] == [False, False, True, True, False, True]
    assert [[entry.number for entry in group] for group in found.duplicates] == [[1, 5]]
