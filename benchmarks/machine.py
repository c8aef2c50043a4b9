"""The machine and the versions that figures come from."""

from __future__ import annotations

import os
import platform
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

PACKAGES = ("python-sat", "ortools", "clingo", "cpmpy", "z3-solver", "numba")


def describe() -> dict[str, str]:
    """The facts that a reader needs to judge the figures: processor, memory, system, versions."""
    return {
        "processor": f"{_field('/proc/cpuinfo', 'model name')}, {os.cpu_count()} in use",
        "memory": f"{int(_field('/proc/meminfo', 'MemTotal').split()[0]) / 2**20:.1f} GB",
        "system": platform.platform(terse=True),
        "Python": platform.python_version(),
        **{package: _version(package) for package in PACKAGES},
    }


def _field(file: str, name: str) -> str:
    found = [
        line.partition(":")[2].strip()
        for line in Path(file).read_text(encoding="utf-8").splitlines()
        if line.startswith(name)
    ]
    return found[0] if found else "unknown"


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return "not installed"
