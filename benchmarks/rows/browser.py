"""The page in a real browser: from a keystroke to the painted verdict, and the first paint."""

from __future__ import annotations

import random
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from benchmarks.measure import ROOT, Measured, NotMeasured, Row, spread
from gridassay.encodings.files import read
from gridassay.encodings.grid import Cell
from gridassay.verify import check

if TYPE_CHECKING:
    from playwright.sync_api import Page

CHROMIUM = next(
    (
        one
        for one in map(Path, ("/usr/bin/chromium-headless-shell", "/usr/bin/chromium"))
        if one.exists()
    ),
    None,
)
"""The browser: without windows of its own, which take as long as the page, where there is such a one."""
RULES = 30

_DO = """([what, key]) => new Promise((done) => {
  const element = document.querySelector(what);
  element.focus();
  const began = performance.now();
  const painted = new MessageChannel();
  painted.port1.onmessage = () => done(performance.now() - began);
  // A message that is sent at the end of a frame arrives once the frame is painted.
  new PerformanceObserver((_, seen) => {
    seen.disconnect();
    requestAnimationFrame(() => painted.port2.postMessage(0));
  }).observe({ type: "mark" });
  if (key) element.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
  else element.click();
})"""
"""Presses a key on an element, or clicks it, and tells when the page has marked its verdict."""


@contextmanager
def _opened() -> Iterator[Page]:
    """The page of a server of its own, in a browser of its own. Raises NotMeasured."""
    if CHROMIUM is None:
        raise NotMeasured("no Chromium")
    if find_spec("playwright") is None:
        raise NotMeasured("no Playwright")
    from playwright.sync_api import sync_playwright

    code = "from gridassay.verify.cli import main; main()"
    command = [sys.executable, "-c", code, "serve", "--no-open", "--port", "0"]
    with (
        subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT) as server,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"]
        )
        try:
            assert server.stdout is not None
            page = browser.new_page()
            page.goto(server.stdout.readline().partition(" is at ")[2].split()[0])
            page.wait_for_selector("#verdict strong")
            yield page
        finally:
            browser.close()
            server.terminate()


def _example(name: str) -> str:
    return (ROOT / "examples" / f"{name}.toml").read_text(encoding="utf-8")


def _variant() -> tuple[str, str]:
    """A puzzle of eight kinds of rules with as many small cages more as make thirty; r1c1's digit."""
    text = _example("lobster-pots")
    puzzle = read(text)
    (solution,) = check(puzzle).solutions
    digits = dict(zip(puzzle.canvas.cells, solution, strict=True))
    pairs = [
        (Cell(row, column), Cell(row, column + 1)) for row in range(1, 10) for column in (2, 6)
    ]
    for one, other in random.Random(1).sample(pairs, RULES - len(puzzle.rules)):
        total = digits[one] + digits[other]
        text += f'\n[[rule]]\nkind = "cage"\ncells = "{one} {other}"\nsum = {total}\n'
    return text, str(digits[Cell(1, 1)])


def _times(page: Page, doings: list[tuple[str, str]], quick: bool, note: str) -> Measured:
    """Milliseconds of wall time from each keystroke or click until the page is at rest."""
    times = []
    for doing in doings * (4 if quick else 15):
        times.append(page.evaluate(_DO, doing))
        page.wait_for_timeout(400)
    return spread(times[len(doings) :], f"{note}; wall time")


def classic(quick: bool) -> Measured:
    """A given taken out of a classic grid, and put in again."""
    with _opened() as page:
        page.fill("#text", _example("harbour-lights"))
        page.wait_for_selector("#verdict.unique")
        cell = '[data-cell="r5c5"]'
        return _times(page, [(cell, "Delete"), (cell, "3")], quick, "a given out and in")


def variant(quick: bool) -> Measured:
    """A given put into a grid with thirty rules, and taken out again."""
    text, digit = _variant()
    with _opened() as page:
        page.fill("#text", text)
        page.wait_for_selector("#verdict.unique")
        cell = '[data-cell="r1c1"]'
        return _times(page, [(cell, digit), (cell, "Delete")], quick, "a given in and out")


def switched(quick: bool) -> Measured:
    """One of thirty rules switched off, and on again: all of them are compiled anew."""
    text, _ = _variant()
    with _opened() as page:
        page.fill("#text", text)
        page.wait_for_selector("#verdict.unique")
        return _times(page, [("#clues .rules input", "")] * 2, quick, "a rule off and on")


def first_paint(quick: bool) -> Measured:
    """From asking for the page to its first content, as the browser tells it."""
    with _opened() as page:
        times = []
        for _ in range(5 if quick else 15):
            page.reload()
            page.wait_for_selector("#verdict strong")
            times.append(
                page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")
            )
    return spread(times, "on loopback, by the browser's own mark")


def _row(name: str, target: float, run: Callable[[bool], Measured]) -> Row:
    return Row(9, name, "at most", target, "ms", run)


ROWS = (
    _row("page: keystroke to painted verdict, classic", 100, classic),
    _row("page: keystroke to painted verdict, thirty rules", 250, variant),
    _row("page: click on the switch of a rule to painted verdict, thirty rules", 250, switched),
    _row("page: first paint", 100, first_paint),
)
