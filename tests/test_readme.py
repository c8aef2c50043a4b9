"""What README shows is what the commands say."""

from __future__ import annotations

import re
import shlex

import pytest

from gridassay.verify import check, read

from .cli.run import ROOT, gridassay

README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"```console\n\$ gridassay (.*?)\n(.*?)```", README, flags=re.S)


@pytest.mark.parametrize(("command", "shown"), SHOWN, ids=[command for command, _ in SHOWN])
def test_commands_say_what_readme_shows(
    command: str, shown: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    said = gridassay(*shlex.split(command)).out
    wanted = re.sub(r"\d+\.\d+ m?s\b", "TIME", shown)
    if wanted.endswith("…\n"):
        assert said.startswith(wanted.removesuffix("…\n"))
    else:
        assert said == wanted


def test_the_puzzle_file_shown_has_one_solution() -> None:
    (document,) = re.findall(r"```toml\n(.*?)```", README, flags=re.S)
    assert check(read(document)).status == "unique"


def test_the_lines_of_python_run(capsys: pytest.CaptureFixture[str]) -> None:
    (code,) = re.findall(r"```python\n(.*?)```", README, flags=re.S)
    exec(compile(code, "README.md", "exec"), {})
    assert capsys.readouterr().out.startswith("unique {'last cell'")


def test_the_files_that_readme_links_are_there() -> None:
    for link in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / link).exists(), link


def test_every_command_is_told() -> None:
    from gridassay.verify.cli import COMMANDS

    for command in COMMANDS:
        assert f"gridassay {command}" in README, command


def test_the_setting_up_lines_are_for_any_machine() -> None:
    for line in re.findall(r"^python3 -m venv.*$", README, flags=re.M):
        assert line.startswith("python3 -m venv .venv && .venv/bin/pip install -q ")
