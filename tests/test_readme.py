"""The commands say what README and the pages of docs show."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from shutil import copytree
from time import perf_counter

import pytest

from gridassay.verify import budget, check, read

from .cli.run import ROOT, gridassay

README = (ROOT / "README.md").read_text(encoding="utf-8")
PAGES = (ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md")))
BLOCKS = list(
    dict.fromkeys(
        block
        for page in PAGES
        for block in re.findall(
            r"```console\n(.*?)```", page.read_text(encoding="utf-8"), flags=re.S
        )
    )
)


@pytest.mark.parametrize("block", BLOCKS, ids=[block.split("\n")[0][2:] for block in BLOCKS])
def test_commands_say_what_readme_shows(
    block: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a folder with the examples; what a command leaves there the next of its block finds.

    The clock of budgets runs slowly, so that a busy machine changes nothing.
    """
    monkeypatch.setattr(budget, "perf_counter", lambda: perf_counter() / 20)
    copytree(ROOT / "examples", tmp_path / "examples")
    (tmp_path / "docs").mkdir()
    monkeypatch.chdir(tmp_path)
    shown = re.findall(r"^\$ gridassay (.*?)\n(.*?)(?=^\$|\Z)", block, flags=re.S | re.M)
    assert shown
    for command, output in shown:
        run = gridassay(*shlex.split(command))
        assert run.err == ""
        said, wanted = _measured(run.out), _measured(output)
        if wanted.endswith("…\n"):
            assert said.startswith(wanted.removesuffix("…\n"))
        else:
            assert said == wanted
        drawn = re.search(r"-o (docs/\S+)", command)
        if drawn:
            assert (tmp_path / drawn[1]).read_bytes() == (ROOT / drawn[1]).read_bytes()


def _measured(text: str) -> str:
    """Without what another machine or version measures otherwise."""
    return re.sub(r"\d[\d,]* bytes", "BYTES", re.sub(r"\d+\.\d+ m?s\b", "TIME", text))


def test_the_puzzle_file_shown_has_one_solution() -> None:
    (document,) = re.findall(r"```toml\n(.*?)```", README, flags=re.S)
    assert check(read(document)).status == "unique"


def test_the_lines_of_python_run(capsys: pytest.CaptureFixture[str]) -> None:
    (code,) = re.findall(r"```python\n(.*?)```", README, flags=re.S)
    exec(compile(code, "README.md", "exec"), {})
    said = capsys.readouterr().out
    assert said.startswith("unique {'last cell'")
    assert "\nSound, but look at this first: 7 clues could each be removed" in said


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_the_files_that_a_page_links_are_there(page: Path) -> None:
    for link in re.findall(r"(?:\]\(|src=\")([^)\"#:]+)[)\"#]", page.read_text(encoding="utf-8")):
        assert (page.parent / link).exists(), link


JOB = (
    "before-publishing",
    "when-something-is-wrong",
    "telling-it",
    "after-publishing",
    "many-puzzles",
)


@pytest.mark.parametrize("name", JOB)
def test_a_page_of_the_handbook_begins_with_an_example(name: str) -> None:
    page = (ROOT / "docs" / f"{name}.md").read_text(encoding="utf-8")
    assert page.split("```", 1)[1].startswith("console\n$ gridassay")


def test_every_page_is_in_the_index() -> None:
    index = (ROOT / "docs" / "README.md").read_text(encoding="utf-8")
    for page in (ROOT / "docs").glob("*.md"):
        assert page.name == "README.md" or f"({page.name})" in index, page.name


def test_every_command_is_told() -> None:
    from gridassay.verify.cli import COMMANDS

    for command in COMMANDS:
        assert f"gridassay {command}" in README, command


def test_the_setting_up_lines_are_for_any_machine() -> None:
    for line in re.findall(r"^python3 -m venv.*$", README, flags=re.M):
        assert line.startswith("python3 -m venv .venv && .venv/bin/pip install -q ")
