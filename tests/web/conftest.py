"""The page as a reader has it: `gridassay serve` in a process of its own, and a real browser."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from benchmarks.rows.browser import CHROMIUM
from gridassay.verify.web import workers

ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


PATIENT = 300.0
"""Seconds for a quick answer: a busy machine changes nothing of what is said."""


@pytest.fixture(autouse=True)
def _patient(monkeypatch):
    """Workers asked from the test's own process are waited for as well."""
    monkeypatch.setattr(workers, "QUICK_LIMIT", PATIENT)
    monkeypatch.setattr(workers, "GRACE", PATIENT)


@pytest.fixture(scope="session")
def address():
    code = (
        "from gridassay.verify.web import workers\n"
        f"workers.QUICK_LIMIT = workers.GRACE = {PATIENT}\n"
        "from gridassay.verify.cli import main\n"
        "main()"
    )
    command = [sys.executable, "-c", code, "serve", "--no-open", "--port", "0"]
    patient = {**os.environ, "PYTHONPATH": str(Path(__file__).parent / "patient")}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=patient) as server:
        try:
            yield server.stdout.readline().partition(" is at ")[2].split()[0]
        finally:
            server.terminate()


@pytest.fixture(scope="module")
def browser():
    # It keeps an event loop running, which other tests of the same process could not have beside theirs.
    if CHROMIUM is None:
        if os.environ.get("CI"):
            pytest.fail("there is no Chromium, which CI installs")
        pytest.skip("there is no Chromium")
    from playwright.sync_api import sync_playwright

    # A browser listens at a socket in a folder of its own, whose name must not be long.
    short = {"TMPDIR": "/tmp"} if Path("/tmp").is_dir() else {}
    with pytest.MonkeyPatch.context() as patch:
        for name, folder in short.items():
            patch.setenv(name, folder)
        driver = sync_playwright().start()
    try:
        browser = driver.chromium.launch(
            executable_path=CHROMIUM, args=ARGUMENTS, env={**os.environ, **short}
        )
        yield browser
        browser.close()
    finally:
        driver.stop()


@pytest.fixture
def open_page(address, browser):
    """Opens the page; at the end of the test it must have been whole and have asked nobody else."""
    contexts, faults, asked = [], [], []

    def opened(fragment="", **options):
        context = browser.new_context(accept_downloads=True, **options)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(1000 * PATIENT)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
        page.on("request", lambda request: asked.append(request.url))
        page.goto(address + fragment)
        page.wait_for_selector("#verdict strong")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not faults
    assert [url for url in asked if not url.startswith((address, "blob:", "data:"))] == []


@pytest.fixture
def page(open_page):
    return open_page()
