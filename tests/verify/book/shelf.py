"""Small books for tests, written into a folder: 4×4 grids, so that every question is answered at once."""

from __future__ import annotations

from pathlib import Path

LINES = ("1..4...2....43..", "...4..1.2....3.1", "1...34.....3..2.", "....34..2..3..2.")
"""Five givens each, one solution, all of them needed (asserted below), no two the same in disguise."""
NAMES = ("Slipway", "Bollard", "Mooring", "Breakwater")


def puzzle(line: str, title: str = "", more: str = "", credit: str = "Old Hask") -> str:
    """A puzzle file of a 4×4 line."""
    head = f'title = "{title}"\ncredit = "{credit}"\nsize = 4\n'
    return f'{head}givens = """{line}"""\n{more}'


def four(**changed: str) -> dict[str, str]:
    """Four puzzle files by their names; ``changed`` replaces some of their lines."""
    named = zip(NAMES, LINES, strict=True)
    return {f"{name.lower()}.toml": puzzle(changed.get(name, line), name) for name, line in named}


def book(*chapters: str, head: str = "", wants: str = "") -> str:
    """A book file; each chapter is the text of its table."""
    tables = "".join(
        f'\n[[chapter]]\ntitle = "Part {n}"\n{text}\n' for n, text in enumerate(chapters, 1)
    )
    return f'title = "Harbour Walls"\n{head}\n[wants]\n{wants}\n{tables}'


ALL = f"puzzles = [{', '.join(repr(f'{name.lower()}.toml') for name in NAMES)}]"
"""The four in their order."""


def written(folder: Path, files: dict[str, str]) -> Path:
    """Write files into a folder; the path of its book, which is the file book.toml."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder / "book.toml"
