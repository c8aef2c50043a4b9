"""Batches: order, resumption after kill -9, changed inputs, full disks, several processes, Dask."""

from __future__ import annotations

import json
import os
import random
import re
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import parse

import pytest

from gridassay.verify.batch.asking import PARTS, Questions
from gridassay.verify.batch.reports import read_results, write_csv, write_junit
from gridassay.verify.batch.run import BatchError, find_files, run_batch

from ... import published
from ...cli.run import EXAMPLES, gridassay
from ..counting.test_bulk import spoilt

PROGRAM = "from gridassay.verify.cli import main; main()"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Good, bad and broken puzzles of every kind of file."""
    rng = random.Random(7)
    lines = [spoilt(rng.choice(published.SEVENTEEN), rng) for _ in range(900)]
    lines[100] = "12345"
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "many.txt").write_text("\n".join(lines) + "\n")
    (tmp_path / "in" / "apart.txt").write_text("\n\n".join(lines[:50]) + "\n")
    (tmp_path / "in" / "killer.toml").write_text(published.killer())
    (tmp_path / "in" / "wrong.toml").write_text("sise = 9")
    (tmp_path / "in" / "drawn.txt").write_text(
        "\n".join(["12 34", "34 12", "--+--", "21 43", "4. ..", ""])
    )
    return tmp_path


def stable(out: Path) -> list[dict[str, Any]]:
    """Results without what differs from run to run."""
    return [
        {key: value for key, value in result.items() if key not in ("seconds", "engine")}
        for result in read_results(out)
    ]


def by_source(out: Path) -> list[dict[str, Any]]:
    return sorted(stable(out), key=lambda result: str(result["source"]))


def test_results_keep_the_order_of_the_input(folder: Path) -> None:
    total = run_batch(find_files([str(folder / "in")]), folder / "out.jsonl")
    sources = [result["source"] for result in stable(folder / "out.jsonl")]
    assert sources[:2] == [f"{folder}/in/apart.txt:1", f"{folder}/in/apart.txt:3"]
    assert len(sources) == len(set(sources)) == total.total == 953
    assert total.verdicts["bad input"] == 2
    assert total.verdicts["unique"] > 2
    assert total.verdicts["multiple"] > 2
    assert total.verdicts["none"] > 2


@pytest.mark.parametrize("ordered", [True, False])
def test_processes_give_the_same_as_one(folder: Path, ordered: bool) -> None:
    files = list(find_files([str(folder / "in")]))
    run_batch(files, folder / "one.jsonl")
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        run_batch(files, folder / "two.jsonl", executor=pool, ordered=ordered)
    if ordered:
        assert stable(folder / "one.jsonl") == stable(folder / "two.jsonl")
    assert by_source(folder / "one.jsonl") == by_source(folder / "two.jsonl")


def test_killed_at_any_moment_it_goes_on_where_it_stopped(folder: Path) -> None:
    files = list(find_files([str(folder / "in")]))
    whole, out = folder / "whole.jsonl", folder / "out.jsonl"
    run_batch(files, whole)
    data = whole.read_bytes()
    rng = random.Random(3)
    for cut in [0, 1, len(data) - 1, len(data), *(rng.randrange(len(data)) for _ in range(12))]:
        out.write_bytes(data[:cut])
        total = run_batch(files, out, resume=True)
        assert by_source(out) == by_source(whole), cut
        assert total.total == 953


def test_kill_nine(folder: Path) -> None:
    out = folder / "out.jsonl"
    run_batch(find_files([str(folder / "in")]), folder / "whole.jsonl")
    rng = random.Random(5)
    command = [
        sys.executable,
        "-c",
        PROGRAM,
        "batch",
        str(folder / "in"),
        "--out",
        str(out),
        "--resume",
    ]
    for _ in range(6):
        child = subprocess.Popen([*command, "--workers", "2"], start_new_session=True)
        time.sleep(rng.uniform(0.3, 2.0))
        os.killpg(child.pid, signal.SIGKILL)
        child.wait()
    subprocess.run(command, check=False, capture_output=True)
    assert by_source(out) == by_source(folder / "whole.jsonl")


def test_an_output_that_exists_is_kept(folder: Path) -> None:
    (folder / "out.jsonl").write_text("")
    with pytest.raises(BatchError, match="already exists; --resume"):
        run_batch([], folder / "out.jsonl")


def test_an_output_that_is_something_else_is_kept(folder: Path) -> None:
    (folder / "out.jsonl").write_text("dear diary\n")
    with pytest.raises(BatchError, match="this is not a file of results"):
        run_batch([], folder / "out.jsonl", resume=True)
    assert (folder / "out.jsonl").read_text() == "dear diary\n"


def test_an_input_that_changed_is_told(folder: Path) -> None:
    files = list(find_files([str(folder / "in")]))
    run_batch(files, folder / "out.jsonl")
    many = folder / "in" / "many.txt"
    lines = many.read_text().splitlines()
    lines[6] = "." * 81
    many.write_text("\n".join(lines) + "\n")
    with pytest.raises(
        BatchError, match=r"many\.txt:7: the puzzle, or what is asked of it, has changed"
    ):
        run_batch(files, folder / "out.jsonl", resume=True)


def test_a_disk_that_fills_is_told(folder: Path) -> None:
    out = folder / "out.jsonl"

    def small() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))

    command = [sys.executable, "-c", PROGRAM, "batch", str(folder / "in"), "--out", str(out)]
    run = subprocess.run(command, preexec_fn=small, capture_output=True, text=True, check=False)
    assert run.returncode == 2
    assert run.stderr == f"gridassay: {out}: cannot be written: file too large\n"
    run_batch(find_files([str(folder / "in")]), out, resume=True)
    assert len(stable(out)) == 953


def test_one_disagreement_is_a_row_and_the_batch_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from gridassay.verify import Disagreement
    from gridassay.verify.batch import asking

    check = asking.check

    def at_fault(puzzle: Any, **how: Any) -> Any:
        if puzzle.title == "Lee Shore":
            raise Disagreement("the engines\ndisagree")
        return check(puzzle, **how)

    monkeypatch.setattr(asking, "check", at_fault)
    for number, title in enumerate(("Spring Tide", "Lee Shore", "Neap Tide")):
        text = f'title = "{title}"\nsize = 4\ngivens = "1234 3412 2143 432."\n'
        (tmp_path / f"{number}.toml").write_text(text)
    out, table, junit = tmp_path / "out.jsonl", tmp_path / "t.csv", tmp_path / "t.xml"
    run = gridassay(
        "batch", tmp_path, "sise", "--out", out, "--csv", table, "--junit", junit
    )  # fmt: skip
    assert run.code == 4  # and not 2, for the file that is missing
    assert run.out == "4 puzzles: 2 unique, 1 bad input, 1 fault\n"
    source = f"{tmp_path}/1.toml"
    row = next(row for row in read_results(out) if row["source"] == source)
    assert row["fault"] is True
    assert re.fullmatch(
        f"a fault in gridassay, please report it with the puzzle, {re.escape(source)}: "
        r"Disagreement: the engines disagree \(\w+\.py, line \d+\)",
        row["error"],
    )
    again = gridassay("batch", tmp_path, "sise", "--out", out, "--resume", "--json")
    assert (again.code, again.out) == (4, "")


def test_a_second_batch_on_one_output_is_refused(folder: Path) -> None:
    files, out = [str(folder / "in" / "killer.toml")], folder / "out.jsonl"

    def second(result: Any, summary: Any) -> None:
        before = out.read_bytes()
        with pytest.raises(BatchError, match="another batch is writing to it"):
            run_batch(files, out, resume=True)
        assert out.read_bytes() == before

    run_batch(files, out, seen=second)
    assert len(stable(out)) == 1
    assert run_batch(files, out, resume=True).resumed == 1


def test_rows_that_were_doubled_or_changed_are_noticed(folder: Path) -> None:
    files, out = [str(folder / "in" / "drawn.txt"), str(folder / "in" / "wrong.toml")], folder / "o"
    run_batch(files, out)
    first, second = written = out.read_text().splitlines()
    for rows, said in [
        ([*written, first], r"o:3: .*drawn\.txt:1 has a result in line 1 already"),
        ([first.replace('"verdict": "', '"verdict": "un'), second], "o:1: this row was changed"),
        ([first, second.replace("sise", "size")], "o:2: this row was changed"),
        ([json.dumps({"source": "a", "input": "b"})], "o:1: this row was changed"),
        ([json.dumps({"source": ["a"], "input": "b"})], "o:1: this is not a file of results"),
        (["[" * 100_000], "o:1: this is not a file of results"),
        (["9" * 5_000], "o:1: this is not a file of results"),
    ]:
        out.write_text("\n".join(rows) + "\n")
        with pytest.raises(BatchError, match=said):
            run_batch(files, out, resume=True)
        assert out.read_text() == "\n".join(rows) + "\n"


def test_a_file_named_twice_is_taken_once(folder: Path) -> None:
    names = [str(folder / "in"), str(folder / "in" / "drawn.txt"), str(folder / "in")]
    assert list(find_files(names)) == list(find_files(names[:1]))


def test_the_command(folder: Path) -> None:
    out, table, junit, counts = (folder / name for name in ("o.jsonl", "o.csv", "o.xml", "o.json"))
    run = gridassay(
        "batch", EXAMPLES / "*.txt", folder / "in" / "*.toml", "no-such", "--out", out,
        "--csv", table, "--junit", junit, "--summary", counts,
    )  # fmt: skip
    assert run.code == 2
    assert run.out.endswith("2 bad input\n")
    summary = json.loads(counts.read_text())
    assert summary["verdicts"]["multiple"] == 1
    assert summary["puzzles"] == len(table.read_text().splitlines()) - 1
    suite = parse(junit).getroot()
    assert suite.get("errors") == "2"
    failed = [case.get("name") for case in suite if case.find("failure") is not None]
    assert failed == [f"{EXAMPLES}/tide-table.txt:4", f"{EXAMPLES}/tide-table.txt:5"]
    assert [case.get("line") for case in suite if case.get("name") == failed[0]] == ["4"]
    again = gridassay("batch", EXAMPLES / "*.txt", "--out", out)
    assert (again.code, again.err) == (
        2,
        f"gridassay: {out}: already exists; --resume continues it\n",
    )


def test_an_empty_result_has_reports_too(tmp_path: Path) -> None:
    (tmp_path / "o.jsonl").write_text("")
    write_csv(tmp_path / "o.jsonl", tmp_path / "o.csv")
    write_junit(tmp_path / "o.jsonl", tmp_path / "o.xml")
    assert parse(tmp_path / "o.xml").getroot().get("tests") == "0"


def test_undecided_is_a_result(tmp_path: Path) -> None:
    cage = '[[rule]]\nkind = "cage"\ncells = "r1c1..r1c14"\nrepeats = true\nsum = 100\n'
    (tmp_path / "x.toml").write_text(f'rows = 1\ncolumns = 14\nhouses = "none"\n{cage}')
    total = run_batch([str(tmp_path / "x.toml")], tmp_path / "o.jsonl", questions=Questions(0.0))
    assert total.verdicts == {"undecided": 1}


@pytest.fixture
def dask_scheduler(tmp_path: Path) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A real scheduler and two worker processes on loopback."""
    file = tmp_path / "scheduler.json"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    scheduler = subprocess.Popen(
        [sys.executable, "-m", "distributed.cli.dask_scheduler", "--host", "127.0.0.1",
         "--port", "0", "--no-dashboard", "--scheduler-file", str(file)],
        **quiet,  # type: ignore[call-overload]
    )  # fmt: skip
    workers = []
    try:
        for _ in range(300):
            if file.exists() and file.read_text().strip().endswith("}"):
                break
            time.sleep(0.1)
        address = json.loads(file.read_text())["address"]
        workers = [
            subprocess.Popen(
                [sys.executable, "-m", "distributed.cli.dask_worker", address, "--nthreads", "1",
                 "--no-dashboard", "--no-nanny", "--local-directory", str(tmp_path)],
                **quiet,  # type: ignore[call-overload]
            )
            for _ in range(2)
        ]  # fmt: skip
        yield address, workers
    finally:
        for process in (*workers, scheduler):
            process.kill()
            process.wait()


@pytest.mark.slow
def test_dask_gives_the_same_though_a_worker_is_killed(
    folder: Path, dask_scheduler: tuple[str, list[subprocess.Popen[bytes]]]
) -> None:
    from distributed import Client

    address, workers = dask_scheduler
    files = list(find_files([str(folder / "in")]))
    run_batch(files, folder / "local.jsonl")
    with Client(address, timeout="30s") as client:
        client.wait_for_workers(2, timeout=60)
        killed = []

        def seen(result: object, so_far: Any) -> None:
            if so_far.total > 200 and not killed:
                workers[0].kill()
                killed.append(True)

        run_batch(files, folder / "dask.jsonl", executor=client.get_executor(), window=3, seen=seen)
    assert killed
    assert stable(folder / "dask.jsonl") == stable(folder / "local.jsonl")


@pytest.mark.slow
def test_dask_gives_the_same_parts(
    tmp_path: Path, dask_scheduler: tuple[str, list[subprocess.Popen[bytes]]]
) -> None:
    from distributed import Client

    (tmp_path / "lines.txt").write_text("\n".join(published.SEVENTEEN[:5]) + "\n")
    (tmp_path / "killer.toml").write_text(published.killer())
    files = [str(tmp_path / "lines.txt"), str(tmp_path / "killer.toml")]
    asked = Questions(3000, tuple(PARTS), "naked pair", "singles")
    local, remote = tmp_path / "local", tmp_path / "remote"
    run_batch(files, tmp_path / "local.jsonl", questions=asked, certificates=local)
    with Client(dask_scheduler[0], timeout="30s") as client:
        run_batch(
            files, tmp_path / "dask.jsonl", questions=asked, certificates=remote,
            executor=client.get_executor(),
        )  # fmt: skip
    assert stable(tmp_path / "dask.jsonl") == stable(tmp_path / "local.jsonl")
    assert len(list(local.iterdir())) == 6
    assert {p.name: p.read_bytes() for p in remote.iterdir()} == {
        p.name: p.read_bytes() for p in local.iterdir()
    }


def test_no_scheduler_there(folder: Path) -> None:
    run = gridassay(
        "batch", folder / "in", "--out", folder / "o.jsonl", "--dask", "tcp://127.0.0.1:9"
    )
    assert run.code == 2
    assert "no Dask scheduler answers there" in run.err
    assert len(run.err.splitlines()) == 1


def test_what_meets_its_expectation_is_counted(tmp_path: Path) -> None:
    """One solution is expected where a file says nothing; what cannot be read meets nothing."""
    rows = {
        "unique": "1... ...2 ..3. .4..",
        "multiple": "1... .... .... ....",
        "none": "11.. .... .... ....",
    }
    (tmp_path / "in").mkdir()
    met = {
        ("unique", ""): True,
        ("unique", "unique"): True,
        ("unique", "multiple"): False,
        ("unique", "none"): False,
        ("multiple", ""): False,
        ("multiple", "multiple"): True,
        ("multiple", "none"): False,
        ("none", ""): False,
        ("none", "none"): True,
        ("none", "unique"): False,
    }
    for verdict, expect in met:
        said = f'expect = "{expect}"\n' if expect else ""
        text = f'size = 4\n{said}givens = "{rows[verdict]}"\n'
        (tmp_path / "in" / f"{verdict}-{expect}.toml").write_text(text)
    (tmp_path / "in" / "bad.toml").write_text("sise = 4\n")
    summary = run_batch(find_files([str(tmp_path / "in")]), tmp_path / "out.jsonl")
    results = {Path(str(one["source"])).stem: one for one in read_results(tmp_path / "out.jsonl")}
    for (verdict, expect), right in met.items():
        assert results[f"{verdict}-{expect}"]["verdict"] == verdict
        assert results[f"{verdict}-{expect}"]["met"] is right
    several = results["multiple-"]
    # Which two of several a solver finds is chance, so a row shows none and nothing of them.
    assert several["solutions"] == []
    assert "differs" not in several
    assert summary.met == sum(met.values()) == 4
    assert summary.to_json()["met"] == 4
    assert summary.total == len(met) + 1
