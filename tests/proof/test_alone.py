"""Rechecking with no solver at hand, and checking with one file and Python alone."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from gridassay.verify.proof import checker
from gridassay.verify.proof.certificate import certify
from gridassay.verify.proof.container import unpack
from gridassay.verify.proof.manifest import KNOWN_PARTS

from .puzzles import CLASSIC, LATIN, SIX, as_line, made

SOLVERS = ("pysat", "pysolvers", "ortools", "clingo", "z3")


def run(*command: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("document", [as_line(made(CLASSIC, 6)), made(SIX, 6, cages=8)])
def test_recheck_where_no_solver_is_installed(document: bytes, tmp_path: Path) -> None:
    (tmp_path / "tide.zip").write_bytes(certify(document).to_bytes())
    without = (
        "import sys\n"
        f"sys.modules.update(dict.fromkeys({SOLVERS}))\n"  # importing any of them fails
        "from gridassay.verify.cli import app_for\n"
        "app_for(['recheck'])(['recheck', 'tide.zip', '--json'])\n"
    )
    done = run(sys.executable, "-c", without, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["ok"] is True


def test_recheck_imports_no_solver() -> None:
    script = (
        "import sys; from gridassay.verify import recheck\n"
        "recheck(sys.stdin.buffer.read())\n"
        f"print(*[name for name in {SOLVERS} if name in sys.modules])"
    )
    data = certify(made(LATIN, 6)).to_bytes()
    done = subprocess.run(
        [sys.executable, "-c", script], input=data, capture_output=True, check=True
    )
    assert done.stdout.split() == []


def test_the_checker_needs_its_own_file_and_python_alone(tmp_path: Path) -> None:
    certificate = certify(made(SIX, 7))
    for name, data in unpack(certificate.to_bytes(), KNOWN_PARTS).items():
        (tmp_path / name).write_bytes(data)
    shutil.copy(checker.__file__, tmp_path / "checker.py")
    for proof in ("proof.lrat", "proof.drat"):
        # -I and -S: no environment, no site packages.
        command = (sys.executable, "-I", "-S", "checker.py", "formula.cnf", proof)
        done = run(*command, cwd=tmp_path)
        assert done.returncode == 0, done.stdout + done.stderr
        assert done.stdout.startswith("refuted: ")
        lines = (tmp_path / proof).read_text().splitlines()
        (tmp_path / proof).write_text("\n".join(lines[: len(lines) // 2 - 1]))
    # The formula without the clause that forbids the solution is not a contradiction.
    formula = (tmp_path / "formula.cnf").read_text().splitlines()
    header = next(line for line in formula if line.startswith("p cnf"))
    fewer = [*header.split()[:3], str(int(header.split()[3]) - 1)]
    shorter = [" ".join(fewer) if line == header else line for line in formula[:-1]]
    (tmp_path / "formula.cnf").write_text("\n".join(shorter))
    done = run(sys.executable, "-I", "-S", "checker.py", "formula.cnf", "proof.lrat", cwd=tmp_path)
    assert done.returncode == 1
