"""The package as it is installed: layout, imports that commands must not pay for, types."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


def run(*command: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        command,
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={"PATH": "/usr/bin:/bin", **environment},
        check=False,
    )


def test_the_encodings_folder_does_not_shadow_the_standard_library() -> None:
    assert not (ROOT / "encodings" / "__init__.py").exists()
    assert run(sys.executable, "-c", "", PYTHONPATH=".").returncode == 0


def test_every_folder_of_modules_is_shipped() -> None:
    shipped = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["setuptools"]["packages"]
    folders = {
        "gridassay." + ".".join(path.parent.relative_to(ROOT).parts)
        for top in ("encodings", "verify")
        for path in (ROOT / top).rglob("*.py")
    }
    folders -= {"gridassay.verify.entry"}  # is installed as gridassay itself
    data = {"gridassay", "gridassay.examples", "gridassay.rule_examples"}
    assert folders | data == set(shipped)


LIGHT = """
import sys
sys.argv = ["gridassay", "check", "--json", "-"]
from gridassay.verify.cli import main
try:
    main()
except SystemExit:
    pass
heavy = {"ortools", "rich", "typer", "numpy", "igraph", "starlette", "reportlab", "PIL"}
heavy |= {*HEAVY}
heavy &= set(sys.modules)
assert not heavy, heavy
"""
WITH_RULE = """
size = 4
givens = "1234 3412 2143 432."
[[rule]]
kind = "thermometer"
cells = "r1c1..r1c3"
"""


@pytest.mark.parametrize(
    ("text", "heavy"),
    [
        ("1" + "." * 80, ["pydantic"]),
        # With several solutions every kind may be what was meant: with one, only its own are read.
        (
            WITH_RULE,
            [f"gridassay.encodings.{name}" for name in ("rules.outside", "rules.cages", "groups")],
        ),
    ],
)
def test_a_verdict_in_json_imports_nothing_heavy(text: str, heavy: list[str]) -> None:
    asked = subprocess.run(
        [sys.executable, "-c", LIGHT.replace("*HEAVY", ", ".join(map(repr, heavy)))],
        input=text,
        text=True,
        capture_output=True,
    )
    assert asked.returncode == 0, asked.stderr
    assert '"verdict": ' in asked.stdout


@pytest.mark.parametrize("kept_apart", ["encodings"])
def test_encodings_never_import_verify(kept_apart: str) -> None:
    for path in (ROOT / kept_apart).rglob("*.py"):
        assert "gridassay.verify" not in path.read_text(), path


def test_rules_know_no_solver() -> None:
    for path in (ROOT / "encodings" / "rules").rglob("*.py"):
        text = path.read_text()
        for word in ("pysat", "ortools", "encodings.cnf", "encodings.cp", "clause"):
            assert word not in text.replace("nothing of clauses", ""), (path, word)
