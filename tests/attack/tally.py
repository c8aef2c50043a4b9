"""A tally of what was run, summed over runs of one commit, as JSON that is committed with the project."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

TALLY = Path(__file__).with_name("tally.json")


def version() -> str:
    """The commit that is attacked, with a + if there are changes on it."""
    here = Path(__file__).parent

    def git(*arguments: str) -> str:
        return subprocess.run(
            ["git", *arguments], cwd=here, capture_output=True, text=True, check=True
        ).stdout.strip()

    changed = git("status", "--porcelain", "--", "../../verify", "../../encodings")
    return git("rev-parse", "--short=12", "HEAD") + ("+" if changed else "")


def add(path: Path, commit: str, part: str, seed: str, checks: int, seeds: int, bad: int) -> None:
    """Add a run to the table; of several runs of a part with the same seed, the longest counts."""
    table = json.loads(path.read_text(encoding="utf-8")) if path.exists() else {}
    runs = table.setdefault(commit, {}).setdefault(part, {})
    before = runs.get(seed, {"seeds": 0})
    if seeds >= before["seeds"]:
        runs[seed] = {"checks": checks, "seeds": seeds, "bad": bad}
    path.write_text(json.dumps(table, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def totals(path: Path) -> dict[str, dict[str, dict[str, int]]]:
    """By commit and part: checks, seeds and how many were bad, summed over runs."""
    table = json.loads(path.read_text(encoding="utf-8"))
    return {
        commit: {
            part: {
                key: sum(run[key] for run in runs.values()) for key in ("checks", "seeds", "bad")
            }
            for part, runs in parts.items()
        }
        for commit, parts in table.items()
    }
