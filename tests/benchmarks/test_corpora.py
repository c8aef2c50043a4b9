"""The corpora are the ones that were indexed, and say what their makers say."""

from __future__ import annotations

import json

import pytest

from benchmarks import corpora
from benchmarks.corpora import FOLDER, INDEX, batches, fingerprint, known_verdicts, lines, puzzles
from benchmarks.corpora.make_told import Probe
from gridassay.verify import check

NAMES = sorted(path.stem for path in FOLDER.glob("*.txt"))


def test_every_corpus_is_indexed_as_it_is() -> None:
    index = json.loads(INDEX.read_text(encoding="utf-8"))
    assert sorted(index) == NAMES
    for name, entry in index.items():
        assert entry["sha256"] == fingerprint(name), name
        assert entry["puzzles"] == len(entry["verdicts"]) == len(puzzles(name))


def test_a_corpus_that_changed_gives_no_verdicts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(corpora, "fingerprint", lambda name: "0" * 64)
    with pytest.raises(ValueError, match="hard9 has changed"):
        known_verdicts("hard9")


def test_minimal_grids_are_minimal() -> None:
    for line in lines("hard9")[:4]:
        for place, symbol in enumerate(line):
            if symbol != ".":
                without = f"{line[:place]}.{line[place + 1 :]}"
                assert check(corpora.read(without)).status == "multiple"


def test_disguises_keep_the_number_of_givens_and_the_verdict() -> None:
    made = next(batches("seventeen", 5, 0, 20))
    assert len(set(made)) == 20
    for line in made:
        assert sum(symbol != "." for symbol in line) == 17
        assert check(corpora.read(line)).status == "unique"


def test_told_variants_are_of_a_dozen_families_and_settled_candidate_by_candidate() -> None:
    told = puzzles("told")
    assert len(told) == 60
    assert len({str(puzzle.title).rpartition(" ")[0] for puzzle in told}) == 12
    for puzzle in told[::11]:
        assert not Probe(puzzle).left(puzzle.givens)
        assert check(puzzle).status == "unique"
