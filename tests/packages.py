"""Packages laid out as installed ones, for tests of plug-ins."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

Install = Callable[..., None]


def installer(group: str, folder: Path, monkeypatch: pytest.MonkeyPatch) -> Install:
    """Lays out packages in a folder, with the metadata that an installer would write.

    What it returns takes a package's name, its entry points in the group, and a module with its code.
    """

    def install(name: str, points: dict[str, str], module: str = "", code: str = "") -> None:
        package = folder / name
        metadata = package / f"{name.replace('-', '_')}-1.0.dist-info"
        metadata.mkdir(parents=True)
        (metadata / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: 1.0\n")
        lines = [f"{point} = {target}\n" for point, target in points.items()]
        (metadata / "entry_points.txt").write_text(f"[{group}]\n" + "".join(lines))
        if module:
            (package / f"{module}.py").write_text(code)
        monkeypatch.syspath_prepend(package)
        monkeypatch.delitem(sys.modules, module, raising=False)

    return install
