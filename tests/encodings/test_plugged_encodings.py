"""Encodings of other packages, found by their entry points as an installer writes them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from gridassay.encodings.cnf.plugins import every_encoding
from gridassay.encodings.cnf.registry import EncodingError
from gridassay.encodings.grid import classic
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.counting.solution_count import solution_count
from gridassay.verify.engines.sat import SatEngine

from ..packages import Install, installer

PAIRS = """
from itertools import combinations

def pairs(writer, literals):
    for a, b in combinations(literals, 2):
        writer.add(-a, -b)
"""


@pytest.fixture
def install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Install:
    return installer("gridassay.encodings", tmp_path, monkeypatch)


def engine(choices: dict[str, str]) -> SatEngine:
    return SatEngine(Puzzle(classic(4)).model, Clock(10), choices)


def test_an_encoding_from_outside_is_listed_and_chosen_by_name(install: Install) -> None:
    install("skerry-pairs", {"AtMostOne.pairs": "skerry_pairs:pairs"}, "skerry_pairs", PAIRS)
    assert list(every_encoding()["AtMostOne"])[-1] == "pairs"
    # 288 solutions of the empty 4×4: published (see tests/verify).
    count = solution_count(engine({"AtMostOne": "pairs"}), (), Clock(10))
    assert (count.count, count.exact) == (288, True)


def test_an_unknown_name_lists_what_there_is() -> None:
    with pytest.raises(EncodingError, match="no encoding 'paris' of AtMostOne; built in are: pair"):
        engine({"AtMostOne": "paris"})
    with pytest.raises(EncodingError, match="no encoding 'nowhere' of Permutation"):
        engine({"Permutation": "nowhere"})


@pytest.mark.parametrize(
    ("point", "target", "message"),
    [
        ("AtMostOne.eddy", "nowhere:eddy", "ModuleNotFoundError: No module named 'nowhere'"),
        ("AtMostOne.eddy", "skerry_eddies:eddy", "is not a function"),
        ("AtMostOne.pairwise", "skerry_eddies:eddy", "is built in"),
        ("eddy", "skerry_eddies:eddy", "a dot and a name of its own"),
        ("Whirl.eddy", "skerry_eddies:eddy", "should be one of AllDifferent"),
    ],
)
def test_a_broken_package_is_one_clear_line(
    install: Install, point: str, target: str, message: str
) -> None:
    install("harbour-eddies", {point: target}, "skerry_eddies", "eddy = 5")
    with pytest.raises(EncodingError) as caught:
        every_encoding()
    assert "the plug-in harbour-eddies" in str(caught.value)
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)
    assert solution_count(engine({}), (), Clock(10)).count == 288  # and nothing else is disturbed


def test_two_packages_with_one_name(install: Install) -> None:
    for name in ("north-pier", "south-pier"):
        install(name, {"Sum.pier": "nowhere:pier"})
    with pytest.raises(EncodingError, match="plug-in north-pier and the plug-in south-pier both"):
        every_encoding()


def test_nobody_looks_for_them_unasked() -> None:
    code = (
        "import importlib.metadata as m; m.entry_points = None  # to ask it is a fault\n"
        "from gridassay.verify import check, read; check(read('1' + '.' * 15))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
