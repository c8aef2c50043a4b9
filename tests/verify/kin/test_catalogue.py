"""The catalogue: what was kept is found again, by disguise and by layout."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path
from random import Random

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.verify import Catalogue, Clock, OutOfTime, read
from gridassay.verify.kin import catalogue

from ... import published
from .disguise import disguise, follow

CLOCK = Clock(float("inf"))
LINE = published.ENCYCLOPAEDIA.replace("0", ".")
CAGES = 'size = 6\ntitle = "Ebb"\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = {}\n'


@pytest.fixture
def path(tmp_path: Path) -> str:
    return str(tmp_path / "kept.sqlite")


def test_a_disguise_is_found_with_the_way_back(path: str) -> None:
    other = disguise(LINE, 9, (3, 3), Random(5))
    with Catalogue(path, budget=CLOCK) as kept:
        assert kept.search(read(LINE, "june"), budget=CLOCK, add=True).kin == ()
    with Catalogue(path, budget=CLOCK) as kept:
        found = kept.search(read(other, "july"), budget=CLOCK)
        assert [match.entry.source for match in found.kin] == ["june:1"]
        assert follow(found.kin[0].way.words(), other, 9) == LINE
        assert (found.itself, found.layout, len(kept)) == (None, (), 1)


def test_one_that_another_makes_at_the_same_moment_is_kept(
    path: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two look for the file before either has made it: the second made it again, and deleted it."""
    with Catalogue(path, budget=CLOCK) as kept:
        kept.search(read(LINE, "june"), budget=CLOCK, add=True)
    monkeypatch.setattr(catalogue, "_is_there", lambda path: False)
    with Catalogue(path, budget=CLOCK) as kept:
        assert len(kept) == 1


def test_the_same_puzzle_is_kept_once(path: str) -> None:
    with Catalogue(path, budget=CLOCK) as kept:
        kept.search(read(LINE, "june"), budget=CLOCK, add=True)
        again = kept.search(read(LINE, "june"), budget=CLOCK, add=True)
        assert again.itself is not None
        assert (again.kin, len(kept)) == ((), 1)
        reprinted = kept.search(read(LINE, "july"), budget=CLOCK, add=True)
        assert [match.entry.source for match in reprinted.kin] == ["june:1"]
        assert len(kept) == 2


def test_a_layout_is_found_without_its_values(path: str) -> None:
    with Catalogue(path, budget=CLOCK) as kept:
        kept.search(read(CAGES.format(5), "five.toml"), budget=CLOCK, add=True)
        found = kept.search(read(CAGES.format(7), "seven.toml"), budget=CLOCK)
        # 5 and 9 are one total, each digit taken from 7: that is more than a layout.
        reflected = kept.search(read(CAGES.format(9), "nine.toml"), budget=CLOCK)
    assert found.kin == ()
    assert [(entry.source, entry.title) for entry in found.layout] == [("five.toml", "Ebb")]
    assert [match.entry.source for match in reflected.kin] == ["five.toml"]


def test_forms_of_another_version_are_made_anew(path: str) -> None:
    with Catalogue(path, budget=CLOCK) as kept:
        kept.search(read(LINE, "june"), budget=CLOCK, add=True)
        kept.search(read(CAGES.format(5), "five.toml"), budget=CLOCK, add=True)
    store = sqlite3.connect(path)
    store.execute("UPDATE puzzle SET form = 'older', canonical = 'x', layout = 'y'")
    store.commit()
    store.close()
    with pytest.raises(OutOfTime):
        Catalogue(path, budget=Clock(-1))
    with Catalogue(path, budget=CLOCK) as kept:
        assert kept.renewed == 2
        other = disguise(LINE, 9, (3, 3), Random(6))
        assert kept.search(read(other, "july"), budget=CLOCK).kin_count == 1
    with Catalogue(path, budget=CLOCK) as kept:
        assert kept.renewed == 0


def test_many_of_a_kind_are_counted(path: str) -> None:
    rng = Random(8)
    with Catalogue(path, budget=CLOCK) as kept:
        for number in range(25):
            line = disguise(LINE, 9, (3, 3), rng)
            found = kept.search(read(line, f"n{number}"), budget=CLOCK, add=True)
            assert found.kin_count == number
        assert len(found.kin) == 20


@pytest.mark.parametrize(
    "content", [b"no database at all, but long enough to be read as one" * 9, b"x"]
)
def test_other_files_are_refused(path: str, content: bytes) -> None:
    Path(path).write_bytes(content)
    with pytest.raises(PuzzleError, match=r"kept\.sqlite: .* catalogue"):
        Catalogue(path, budget=CLOCK)
    assert Path(path).read_bytes() == content


def test_other_databases_are_left_alone(path: str) -> None:
    store = sqlite3.connect(path)
    store.execute("CREATE TABLE puzzle (name TEXT)")
    store.commit()
    store.close()
    with pytest.raises(PuzzleError, match="this database is not a catalogue of puzzles"):
        Catalogue(path, budget=CLOCK)


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(PuzzleError, match="cannot be used as a catalogue: unable to open"):
        Catalogue(str(tmp_path / "none" / "kept.sqlite"), budget=CLOCK)


def test_a_name_that_is_too_long_is_told() -> None:
    for looking in (False, True):
        with pytest.raises(PuzzleError, match="cannot be used as a catalogue: file name too long"):
            Catalogue("n" * 5_000, budget=CLOCK, looking=looking)


def test_looking_leaves_forms_of_another_version_as_they_are(path: str) -> None:
    with Catalogue(path, budget=CLOCK) as kept:
        kept.search(read(LINE, "june"), budget=CLOCK, add=True)
    spoil(path, "UPDATE puzzle SET form = 'older', canonical = 'x', layout = 'y'")
    before = Path(path).read_bytes()
    with Catalogue(path, budget=CLOCK, looking=True) as kept:
        other = disguise(LINE, 9, (3, 3), Random(6))
        assert kept.search(read(other, "july"), budget=CLOCK).kin_count == 1
    assert Path(path).read_bytes() == before


def spoil(path: str, command: str) -> None:
    store = sqlite3.connect(path)
    store.execute(command)
    store.commit()
    store.close()


@pytest.mark.parametrize("looking", [False, True])
@pytest.mark.parametrize(
    "command",
    [
        "UPDATE puzzle SET text = CAST(x'ff00fe' AS TEXT)",
        "UPDATE puzzle SET text = x'ff00fe'",
        "UPDATE puzzle SET title = x'00'",
        "UPDATE puzzle SET source = 7.5e300, title = x'00'",
        "UPDATE puzzle SET text = 'dear diary'",
        "UPDATE puzzle SET text = ''",
        "UPDATE puzzle SET text = 'size = ' || hex(zeroblob(4000)) || '1'",
        "UPDATE puzzle SET text = '1234341221434...'",
        "ALTER TABLE puzzle RENAME COLUMN layout TO shape",
        "ALTER TABLE puzzle RENAME TO puzzles",
    ],
)
@pytest.mark.parametrize("renewing", [False, True])
def test_a_damaged_catalogue_is_told(
    path: str, command: str, looking: bool, renewing: bool
) -> None:
    puzzle, other = read(LINE, "june"), read(disguise(LINE, 9, (3, 3), Random(6)), "july")
    with Catalogue(path, budget=CLOCK) as kept:
        kept.search(puzzle, budget=CLOCK, add=True)
    if renewing:
        spoil(path, "UPDATE puzzle SET form = 'older'")
    spoil(path, command)

    def look() -> None:
        with Catalogue(path, budget=CLOCK, looking=looking) as kept:
            kept.search(other, budget=CLOCK)

    if renewing and "1234341221434" in command:
        look()  # another puzzle in the place of the first, its form made anew, is another puzzle
        return
    with pytest.raises(PuzzleError, match=re.escape(path) + ": .*catalogue"):
        look()


@pytest.mark.parametrize("looking", [False, True])
def test_a_locked_catalogue_is_told_within_the_budget(path: str, looking: bool) -> None:
    with Catalogue(path, budget=CLOCK) as kept:
        kept.search(read(LINE, "june"), budget=CLOCK, add=True)
    store = sqlite3.connect(path, isolation_level=None)
    store.execute("BEGIN EXCLUSIVE")
    clock = Clock(0.2)
    with pytest.raises(PuzzleError, match="another program keeps this catalogue locked"):
        Catalogue(path, budget=clock, looking=looking)
    assert clock.time_spent() < 5  # what SQLite waits by itself
    store.close()
