"""Commands run as a person would run them, with their cost and whether they ended as they should."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

GRIDASSAY = str(Path(sys.executable).with_name("gridassay"))
KILLED_AFTER = 120.0
"""Seconds of the wall's clock: whatever still runs then hangs."""


@dataclass(frozen=True)
class Ended:
    """How a command ended: its exit code, its output, processor seconds and megabytes."""

    arguments: Sequence[str]
    code: int
    output: str
    errors: str
    seconds: float
    megabytes: float

    def trouble(self) -> str:
        """The fault that no input may lead to; empty if all is well."""
        named = " ".join(self.arguments)
        if self.code not in (0, 1, 2, 3):
            return f"{named}: exit code {self.code}: {self.errors[-500:]}"
        if "Traceback" in self.errors + self.output:
            return f"{named}: a traceback: {self.errors[-500:]}"
        if (
            self.code == 2
            and len(self.errors.strip().splitlines()) > 1
            and "Usage" not in self.errors
        ):
            return f"{named}: more than a line: {self.errors[-500:]}"
        return ""


def start(arguments: Sequence[str], **more: object) -> subprocess.Popen[bytes]:
    """Start a command, its output kept."""
    return subprocess.Popen(
        [GRIDASSAY, *arguments],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
        **more,  # type: ignore[call-overload]
    )


def end(child: subprocess.Popen[bytes]) -> None:
    """Stop a command at once, with everything that it started, if the system can do that."""
    if hasattr(os, "killpg"):
        os.killpg(child.pid, signal.SIGKILL)
    else:
        child.kill()


def run(arguments: Sequence[str], **more: object) -> Ended:
    """Run a command to the end."""
    child = start(arguments, **more)
    # A command that still runs when nobody would wait any longer is stopped, as its exit code shows.
    killer = threading.Timer(KILLED_AFTER, lambda: end(child))
    killer.start()
    assert child.stdout
    assert child.stderr
    errors: list[bytes] = []
    reader = threading.Thread(target=lambda: errors.append(child.stderr.read()))  # type: ignore[union-attr]
    reader.start()
    output = child.stdout.read()
    seconds = megabytes = 0.0
    if hasattr(os, "wait4"):
        _, status, usage = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        seconds = usage.ru_utime + usage.ru_stime
        megabytes = usage.ru_maxrss / (1024 if sys.platform != "darwin" else 1024**2)
    else:  # Windows reports neither
        child.wait()
    killer.cancel()
    reader.join()
    said = output.decode("utf-8", "replace"), errors[0].decode("utf-8", "replace")
    return Ended(arguments, child.returncode, *said, seconds, megabytes)
