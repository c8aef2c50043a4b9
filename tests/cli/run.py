"""Running the command line inside a test, as a person at a terminal 100 columns wide would."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from gridassay.verify.cli import app_for
from gridassay.verify.engines import forget_engines

ROOT = Path(__file__).parent.parent.parent
EXAMPLES = ROOT / "examples"


@dataclass(frozen=True)
class Run:
    """The output of a command and how it ended; times are blanked out."""

    code: int
    out: str
    err: str

    @property
    def objects(self) -> list[dict[str, Any]]:
        """Standard output as JSON, one object per line: anything else on it fails."""
        return [json.loads(line) for line in self.out.splitlines()]


def gridassay(*arguments: str | Path, stdin: str | bytes = "") -> Run:
    """Run a command. An exception other than an exit is a failure of the test.

    Like a separate process, it finds nothing that earlier commands left in solvers.
    """
    forget_engines()
    result = CliRunner().invoke(
        app_for(list(map(str, arguments))),
        [str(a) for a in arguments],
        input=stdin,
        env={"COLUMNS": "100", "TERM": "dumb"},
    )
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    out = re.sub(r"\d+\.\d+ m?s\b", "TIME", result.stdout)
    return Run(result.exit_code, out, result.stderr)
