"""Arrows between the rooms of the house run one way, however the import is written."""

import ast
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ROOMS = {  # a room and the longest row of rooms that it may stand on
    "verify": 9,
    "verify/solving": 6,
}


def modules(folder: Path) -> dict[str, Path]:
    """Every module below a folder by its dotted name."""
    found = {}
    for path in folder.rglob("*.py"):
        name = ".".join(("gridassay", *path.relative_to(ROOT).with_suffix("").parts))
        found[name.removesuffix(".__init__")] = path
    return found


def imported(path: Path, known: dict[str, Path]) -> set[str]:
    """The known modules a file imports, also inside functions and for types only."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            for alias in node.names:
                full = f"{node.module}.{alias.name}"
                found.add(full if full in known else node.module)
    return found & set(known)


def room_of(module: str, floor: str) -> str:
    """The room on a floor in which a module stands: a package, or a file by itself."""
    parts = module.split(".")
    depth = len(floor.split("/")) + 1
    return parts[depth] if len(parts) > depth else ""


def arrows(floor: str) -> dict[str, set[str]]:
    """Rooms on a floor and the rooms that they import from."""
    known = modules(ROOT / floor)
    found: dict[str, set[str]] = {}
    for module, path in known.items():
        room = room_of(module, floor)
        targets = {room_of(target, floor) for target in imported(path, known)}
        found.setdefault(room, set()).update(targets - {room, ""})
    found.pop("", None)
    return found


@pytest.mark.parametrize("floor", ROOMS)
def test_rooms_stand_on_each_other_one_way(floor):
    graph = arrows(floor)
    try:
        order = list(TopologicalSorter(graph).static_order())
    except CycleError as error:
        pytest.fail(f"a circle of rooms in {floor}: {' -> '.join(error.args[1])}")
    level: dict[str, int] = {}
    for room in order:
        level[room] = 1 + max((level[below] for below in graph.get(room, ())), default=0)
    assert max(level.values()) <= ROOMS[floor], level


@pytest.mark.parametrize("folder", ["encodings", "verify"])
def test_no_circle_of_modules(folder):
    known = modules(ROOT / folder)
    graph = {name: imported(path, known) - {name} for name, path in known.items()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        pytest.fail(f"a circle of modules: {' -> '.join(error.args[1])}")


LONGEST = 400
ONE_FILE = {"verify/proof/checker.py"}  # whoever checks a certificate alone copies this one file


def test_no_file_is_too_long_to_read_in_one_sitting():
    files = [path for folder in ("encodings", "verify") for path in (ROOT / folder).rglob("*.*")]
    lines = {
        str(path.relative_to(ROOT)): len(path.read_text(encoding="utf-8").splitlines())
        for path in files
        if path.suffix in {".py", ".js", ".css", ".html"}
    }
    assert [name for name, count in lines.items() if count > LONGEST and name not in ONE_FILE] == []
