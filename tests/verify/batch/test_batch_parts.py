"""Batches that ask more than verdicts: the same answers anywhere, certificates, what a route needs."""

from __future__ import annotations

import hashlib
import json
import os
import pty
import random
import re
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.verify import clues, read
from gridassay.verify.batch.asking import PARTS, Questions, certificate_name
from gridassay.verify.batch.reports import read_results
from gridassay.verify.batch.run import BatchError, count_puzzles, find_files, run_batch
from gridassay.verify.kin import symmetries
from gridassay.verify.proof.recheck import recheck
from gridassay.verify.solving.route_questions import calls_for
from gridassay.verify.solving.routes import route
from gridassay.verify.solving.techniques import SINGLES

from ... import published
from ...cli.run import EXAMPLES, gridassay
from ..counting.test_bulk import spoilt

ALL = Questions(3000, tuple(PARTS), "locked candidates", "singles")

# Made by our own tools. The first wants locked candidates and singles, the second a pair (naked or
# hidden) and singles, each found by hand with pencil marks after the singles have run dry.
LOCKED = "4....7.....2....5.......8.2....45.9.....6.1.77........2.5....1.64..3...5.896...2."
PAIR = "..9.8...26......83......6.4...2.....1...3..4...89.4...71.3...5...2...7..5..79.8.."


def stable(out: Path) -> list[dict[str, Any]]:
    return [
        {key: value for key, value in result.items() if key not in ("seconds", "engine")}
        for result in read_results(out)
    ]


@pytest.fixture
def mixed(tmp_path: Path) -> Path:
    """Lines with one, several and no solutions, a bad one, a drawn grid and variants."""
    rng = random.Random(2)
    folder = tmp_path / "in"
    folder.mkdir()
    lines = [LOCKED, PAIR, published.ENCYCLOPAEDIA, "12345", spoilt(published.ENCYCLOPAEDIA, rng)]
    lines += [spoilt(line, rng) for line in published.SEVENTEEN[:3]]
    (folder / "lines.txt").write_text("\n".join(lines) + "\n")
    (folder / "drawn.txt").write_text("1...\n..3.\n.4..\n...2\n")
    (folder / "killer.toml").write_text(published.killer())
    return tmp_path


def test_the_same_answers_in_any_process_and_order(mixed: Path) -> None:
    files = list(find_files([str(mixed / "in")]))
    run_batch(files, mixed / "one.jsonl", questions=ALL, certificates=mixed / "one")
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        run_batch(
            files[::-1], mixed / "two.jsonl", questions=ALL, certificates=mixed / "two",
            executor=pool, ordered=False,
        )  # fmt: skip
    one, two = (
        sorted(stable(mixed / f"{name}.jsonl"), key=lambda result: str(result["source"]))
        for name in ("one", "two")
    )
    assert one == two
    assert {result.get("verdict") for result in one} == {"unique", "multiple", "none", None}
    kept = {path.name: path.read_bytes() for path in (mixed / "one").iterdir()}
    assert kept == {path.name: path.read_bytes() for path in (mixed / "two").iterdir()}
    assert set(kept) == {result["certify"]["out"] for result in one if "verdict" in result}


def test_what_was_asked_before_makes_no_difference(tmp_path: Path) -> None:
    files = []
    for number in range(4):
        (tmp_path / f"{number}.toml").write_text(published.killer())
        files.append(str(tmp_path / f"{number}.toml"))
    run_batch(files, tmp_path / "o.jsonl", questions=Questions(120, ("clues",)))
    first, *others = (
        [r["clues"][key] for key in ("droppable", "rules")] for r in stable(tmp_path / "o.jsonl")
    )
    assert others == [first] * 3


def test_parts_are_what_the_commands_give(tmp_path: Path) -> None:
    file = tmp_path / "one.txt"
    file.write_text(PAIR + "\n")
    run_batch([str(file)], tmp_path / "o.jsonl", questions=ALL, certificates=tmp_path / "kept")
    (result,) = read_results(tmp_path / "o.jsonl")
    puzzle = read(PAIR)
    effects = clues(puzzle)
    assert [given["wasted"] for given in result["clues"]["givens"]] == [False] * 25
    assert [given["opens"] for given in result["clues"]["givens"]] == [
        [str(cell) for cell in effect.opens or ()] for effect in effects.givens
    ]
    assert result["route"]["techniques"] == route(puzzle).techniques
    assert result["kin"]["canonical"] == symmetries(puzzle).canonical
    assert "ran_out" not in result
    assert '"seconds"' not in json.dumps([result[name] for name in PARTS])


def test_certificates_hold(mixed: Path) -> None:
    asked = Questions(60, ("certify",))
    run_batch(
        find_files([str(mixed / "in")]), mixed / "o.jsonl",
        questions=asked, certificates=mixed / "kept" / "here",
    )  # fmt: skip
    for result in read_results(mixed / "o.jsonl"):
        if "error" in result:
            continue
        path = mixed / "kept" / "here" / result["certify"]["out"]
        data = path.read_bytes()
        assert hashlib.sha256(data).hexdigest() == result["certify"]["sha256"]
        found = recheck(data, str(path))
        assert found.result == "passed", result["source"]
        assert result["certify"]["verdict"] == result["verdict"]
        assert result["certify"]["source"] == result["source"]


@pytest.mark.parametrize(
    "source", ["a/b/tide.txt:4", "../../x y/ü?*.toml", "C:\\tide\\:7", "-:1", "." * 300, "a:b/c.txt:2"]
)  # fmt: skip
def test_names_of_certificates_are_safe(source: str) -> None:
    name = certificate_name(source)
    assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9.-]{0,80}\.zip", name)
    assert name != certificate_name(source + "1")


@pytest.mark.parametrize(("part", "loaded"), [("kin", True), ("form", True), ("clues", False)])
def test_slow_libraries_are_imported_before_the_first_clock(
    part: str, loaded: bool, tmp_path: Path
) -> None:
    (tmp_path / "one.txt").write_text(PAIR + "\n")
    program = f"""
import sys
from gridassay.verify.batch import run
from gridassay.verify.batch.asking import Answered, Questions
from gridassay.encodings.files import pieces
seen = []
run.ask = lambda *about: seen.append("igraph" in sys.modules) or Answered({{}})
run.answer(list(pieces({str(tmp_path / "one.txt")!r})), Questions(parts=({part!r},)))
print(seen)
"""
    ended = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert ended.stdout.strip() == str([loaded])


def test_what_runs_out_is_told(tmp_path: Path) -> None:
    cage = '[[rule]]\nkind = "cage"\ncells = "r1c1..r1c14"\nrepeats = true\nsum = 100\n'
    (tmp_path / "x.toml").write_text(f'rows = 1\ncolumns = 14\nhouses = "none"\n{cage}')
    asked = Questions(0.0, tuple(PARTS), "naked pair")
    total = run_batch(
        [str(tmp_path / "x.toml")], tmp_path / "o.jsonl", questions=asked, certificates=tmp_path
    )
    (result,) = read_results(tmp_path / "o.jsonl")
    assert result["ran_out"] == [*PARTS, "needs"]
    assert "wanted" not in result
    assert (total.ran_out, total.wanted) == (1, 0)


def test_killed_with_parts_it_goes_on(mixed: Path) -> None:
    files = list(find_files([str(mixed / "in")]))
    asked = Questions(60, ("route",), "naked pair", "singles")
    whole, out = mixed / "whole.jsonl", mixed / "out.jsonl"
    total = run_batch(files, whole, questions=asked)
    data = whole.read_bytes()
    rng = random.Random(4)
    for cut in [0, len(data) - 1, *(rng.randrange(len(data)) for _ in range(2))]:
        out.write_bytes(data[:cut])
        again = run_batch(files, out, questions=asked, resume=True)
        assert stable(out) == stable(whole)
        assert (again.total, again.wanted) == (total.total, total.wanted)


@pytest.mark.parametrize(
    "other",
    [
        Questions(),
        Questions(parts=("clues",), needs="naked pair"),
        Questions(parts=("route",), needs="X-wing"),
        Questions(parts=("route",), needs="naked pair", otherwise="singles"),
    ],
)
def test_other_questions_do_not_go_on(tmp_path: Path, other: Questions) -> None:
    (tmp_path / "in.txt").write_text(PAIR + "\n")
    file = str(tmp_path / "in.txt")
    first = Questions(parts=("route",), needs="naked pair")
    run_batch([file], tmp_path / "o.jsonl", questions=first)
    with pytest.raises(BatchError, match="or what is asked of it, has changed"):
        run_batch([file], tmp_path / "o.jsonl", questions=other, resume=True)


def test_bad_lines_left_over_are_no_drawn_grid(tmp_path: Path) -> None:
    file, out = tmp_path / "in.txt", tmp_path / "o.jsonl"
    file.write_text(f"{LOCKED}\n12345\n12345\n12345\n12345\n12345\n12345\n")
    run_batch([str(file)], tmp_path / "whole.jsonl")
    out.write_text((tmp_path / "whole.jsonl").read_text().split("\n")[0] + "\n")
    run_batch([str(file)], out, resume=True)
    assert stable(out) == stable(tmp_path / "whole.jsonl")
    run_batch([str(file)], tmp_path / "more.jsonl", questions=Questions(needs="naked pair"))
    assert [r["source"] for r in stable(tmp_path / "more.jsonl")] == [
        f"{file}:{n}" for n in range(1, 8)
    ]


def stuck_by_singles(line: str) -> bool:
    """Whether naked and hidden singles alone leave cells open: written out plainly, as by hand."""
    houses = [[9 * r + c for c in range(9)] for r in range(9)]
    houses += [[9 * r + c for r in range(9)] for c in range(9)]
    houses += [
        [9 * (r + i) + c + j for i in range(3) for j in range(3)]
        for r in (0, 3, 6)
        for c in (0, 3, 6)
    ]
    grid = list(line)

    def marks(cell: int) -> set[str]:
        seen = {grid[other] for house in houses if cell in house for other in house}
        return set("123456789") - seen if grid[cell] == "." else set()

    moved = True
    while moved:
        moved = False
        for cell in range(81):
            if len(one := marks(cell)) == 1:
                grid[cell], moved = one.pop(), True
        for house in houses:
            for digit in "123456789":
                spots = [cell for cell in house if digit in marks(cell)]
                if len(spots) == 1:
                    grid[spots[0]], moved = digit, True
    return "." in grid


def test_what_a_route_calls_for() -> None:
    for line, technique in ((LOCKED, "Locked  candidates"), (PAIR, "naked pair")):
        assert stuck_by_singles(line)
        assert calls_for(read(line), technique, only_singles=True)
        assert not calls_for(read(line), "X-wing", only_singles=True)
    assert not calls_for(read(PAIR), "locked candidates", only_singles=True)
    easy = read(published.ENCYCLOPAEDIA)
    assert not stuck_by_singles(published.ENCYCLOPAEDIA)
    assert set(route(easy).techniques) <= set(SINGLES)
    assert not calls_for(easy, "naked pair", only_singles=True)
    with pytest.raises(PuzzleError, match="no technique 'x-wong'; did you mean X-wing"):
        calls_for(easy, "x-wong")


def test_chains_stand_in_for_a_pattern_where_they_are_allowed() -> None:
    skyscraper = "34..7.8.......95.27.921..........75..6.8.19...3.........6.2......4....39...4.71.."
    assert stuck_by_singles(skyscraper)
    assert calls_for(read(skyscraper), "skyscraper", only_singles=True)
    assert not calls_for(read(skyscraper), "skyscraper")


def test_the_command_lists_what_is_wanted(mixed: Path) -> None:
    run = gridassay(
        "batch", mixed / "in" / "lines.txt", "--out", mixed / "o.jsonl", "--csv", mixed / "o.csv",
        "--needs", "Naked Pair", "--otherwise", "singles",
    )  # fmt: skip
    assert run.code == 2
    assert run.out.splitlines()[:2] == [f"wanted  {mixed}/in/lines.txt:2", "1 of 8 wanted"]
    wanted = [result.get("wanted") for result in read_results(mixed / "o.jsonl")]
    assert (wanted[:4], set(wanted[4:])) == ([False, True, False, None], {False})


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--needs", "x-wong"], "there is no technique 'x-wong'; did you mean X-wing?"),
        (
            ["--ask", "clues,rout"],
            "--ask: there is no part 'rout', only clues, route, kin, certify",
        ),
        (["--ask", "certify"], "--ask certify and --certificates FOLDER go together"),
        (["--certificates", "x"], "--ask certify and --certificates FOLDER go together"),
        (["--otherwise", "singles"], "--otherwise goes with --needs TECHNIQUE"),
    ],
)
def test_options_that_make_no_sense(tmp_path: Path, options: list[str], message: str) -> None:
    out = tmp_path / "o.jsonl"
    run = gridassay("batch", EXAMPLES / "long-quay.txt", "--out", out, *options)
    assert run.code == 2
    assert run.err.startswith(f"gridassay: {message}")
    assert len(run.err.splitlines()) == 1
    assert not out.exists()


def test_puzzles_are_counted_as_results_are(mixed: Path) -> None:
    (mixed / "in" / "wrong.toml").write_text("sise = 9")
    (mixed / "in" / "empty.txt").write_text("# nothing\n")
    files = [*find_files([str(mixed / "in")]), str(mixed / "no-such")]
    total = run_batch(files, mixed / "o.jsonl")
    assert count_puzzles(files) == total.total
    assert count_puzzles(["-"]) is None


@pytest.mark.parametrize("piped", [False, True])
def test_the_bar_on_a_terminal(tmp_path: Path, piped: bool) -> None:
    file = tmp_path / "in.txt"
    file.write_text(f"{LOCKED}\n{PAIR}\n12345\n" * 3)
    program = "from gridassay.verify.cli import main; main()"
    command = [sys.executable, "-c", program, "batch", "-" if piped else str(file), "--out"]
    ours, theirs = pty.openpty()
    with file.open() as given, subprocess.Popen(
        [*command, str(tmp_path / "o.jsonl"), "--ask", "route"],
        stdin=given, stdout=subprocess.PIPE, stderr=theirs,
        env={**os.environ, "COLUMNS": "100", "TERM": "xterm"},
    ) as child:  # fmt: skip
        os.close(theirs)
        shown = b""
        while True:
            try:
                got = os.read(ours, 4096)
            except OSError:  # how the other end's closing is told
                break
            if not got:
                break
            shown += got
        assert child.stdout is not None
        assert child.stdout.read() == b"9 puzzles: 6 unique, 3 bad input\n"
    os.close(ours)
    text = re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", shown.decode())
    counts = "9 puzzles: 6 unique" if piped else "9 of 9: 6 unique, 3 bad input"
    assert re.search(rf"\d (a second|a minute)(, 0:00:00 left)?; {counts}", text), text
    assert ("left" in text) == (not piped)


def test_whether_more_than_the_verdict_is_asked() -> None:
    assert not Questions().more
    assert Questions(parts=("certify",)).more
    assert Questions(needs="naked pair").more
