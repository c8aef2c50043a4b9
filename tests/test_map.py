"""DEVELOPERS.md is a map: every file and room on it exists, and none at its level is left out."""

import re
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
MAP = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FILE = re.compile(r"[\w/*.-]*[\w*]\.(?:py|pyi|js|toml|md|json)\b")
CHOSEN_BY_THE_READER = {"docs/rules/KIND.toml", "tests/encodings/rules/test_FAMILY.py", "comb.json"}
WRITTEN_BY_A_RUN = {"tests/attack/tally.json"}


def known() -> list[str]:
    """Every file of the project, its own folders only."""
    return [
        str(path.relative_to(ROOT))
        for path in ROOT.rglob("*.*")
        if not any(part.startswith(".") for part in path.relative_to(ROOT).parts)
    ]


def test_every_file_on_the_map_exists():
    named = set(FILE.findall(MAP)) - CHOSEN_BY_THE_READER - WRITTEN_BY_A_RUN
    assert len(named) > 80
    files = known()
    missing = [n for n in named if not any(fnmatch(f"/{file}", f"*/{n}") for file in files)]
    assert missing == []


@pytest.mark.parametrize("floor", ["encodings", "verify"])
def test_every_file_and_room_of_a_floor_is_on_the_map(floor):
    named = set(FILE.findall(MAP))
    files = {path.name for path in (ROOT / floor).glob("*.py")} - {"__init__.py"}
    assert files <= {name.rpartition("/")[2] for name in named}
    rooms = {f"{path.parent.name}/" for path in (ROOT / floor).rglob("*.py")} - {f"{floor}/"}
    assert [room for room in rooms if not re.search(rf"\b{room}", MAP)] == []
