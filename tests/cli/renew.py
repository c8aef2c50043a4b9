"""Renew the kept screens and pages, once they have been looked at: ``python -m tests.cli.renew``."""

from __future__ import annotations

from .goldens import kept

for path, make, file in kept():
    path.write_text(make(file), encoding="utf-8")
