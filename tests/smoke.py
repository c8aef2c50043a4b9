"""Every command once, as a user runs it, with whatever releases are installed: ``python tests/smoke.py``.

It needs nothing but the package and its extras ``bulk`` and ``dask``; .ci/lowest runs it.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.request import urlopen

from gridassay.verify.cli import COMMANDS

# The clock of budgets runs slowly, so that a busy machine changes nothing.
PROGRAM = [
    sys.executable,
    "-c",
    "import time; from gridassay.verify import budget; "
    "budget.perf_counter = lambda: time.perf_counter() / 20; "
    "from gridassay.verify.cli import main; main()",
]
RUNS = """
0 --help
0 check tide.toml
0 check tide.toml --engine both --json
1 check broken.toml
0 assay tide.toml --page assay.pdf --certificate assay.zip
0 clues tide.toml
0 route tide.toml --save tide.steps --sheet sheet.html
0 audit tide.toml tide.steps
0 answer tide.toml 1...............
0 compare tide.toml tide.toml
0 kin tide.toml --catalogue kept.sqlite --add
0 certify tide.toml --out tide.zip
0 recheck tide.zip tide.toml
0 export tide.toml
0 draw tide.toml broken.toml --out tide.pdf
0 draw broken.toml --out broken.png --show conflict
0 draw tide.toml --out tide.svg --show heat
0 batch tide.toml lines.txt --out results.jsonl --workers 2
0 book new shelf --out shelf.toml
0 book check shelf.toml --page check.pdf
0 book make shelf.toml --out shelf.pdf
0 rules
0 rules --schema
"""
TIDE = """
title = "Slack Tide"
size = 4
givens = "1... ..1. .... ...2"

[[rule]]
kind = "cage"
cells = "r3c1 r4c1"
sum = 5

[[rule]]
kind = "relation"
cells = "r1c2 r2c2"
holds = "a > b"
"""


def main() -> None:
    """Run them all in a folder of their own; the first that ends otherwise ends this."""
    seen = {"serve"}
    with TemporaryDirectory() as folder:
        here = Path(folder)
        (here / "tide.toml").write_text(TIDE)
        (here / "broken.toml").write_text(TIDE.replace("sum = 5", "sum = 9"))
        (here / "lines.txt").write_text("1234341221434...\n" * 3)
        (here / "shelf").mkdir()
        (here / "shelf" / "lines.txt").write_text("1234341221434...\n")
        for line in RUNS.strip().splitlines():
            code, *words = line.split()
            seen.add(words[0])
            run(words, int(code), here)
        serve(here)
        dask(here)
    left = set(COMMANDS) - seen
    assert not left, f"not tried: {left}"


def run(words: list[str], code: int, folder: Path) -> None:
    """One command, its output shown where it ends otherwise than with this exit code."""
    print("gridassay", *words, flush=True)
    ended = subprocess.run([*PROGRAM, *words], cwd=folder, capture_output=True, text=True)
    if ended.returncode != code or "Traceback" in ended.stderr:
        sys.exit(f"exit code {ended.returncode}, not {code}:\n{ended.stdout}{ended.stderr}")


def serve(folder: Path) -> None:
    """The page, asked for once."""
    print("gridassay serve", flush=True)
    command = [*PROGRAM, "serve", "--no-open", "--port", "0"]
    with subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        try:
            address = server.stdout.readline().partition(" is at ")[2].split()[0]
            with urlopen(address) as page:
                assert b"<title>" in page.read()
        finally:
            server.terminate()


def dask(folder: Path) -> None:
    """A batch on a scheduler of its own."""
    from distributed import LocalCluster

    with LocalCluster(1, processes=False, protocol="tcp://", dashboard_address=None) as cluster:
        words = ["batch", "lines.txt", "--out", "far.jsonl", "--dask", cluster.scheduler_address]
        run(words, 0, folder)


if __name__ == "__main__":
    main()
