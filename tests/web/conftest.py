"""The page as a reader has it: `gridassay serve` in a process of its own, and a real browser."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

CHROMIUM = Path("/usr/bin/chromium")
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="module")
def address():
    code = "from gridassay.verify.cli import main; main()"
    command = [sys.executable, "-c", code, "serve", "--no-open", "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
        try:
            yield server.stdout.readline().partition(" is at ")[2].split()[0]
        finally:
            server.terminate()


@pytest.fixture(scope="module")
def browser():
    if not CHROMIUM.exists():
        if os.environ.get("CI"):
            pytest.fail(f"there is no {CHROMIUM}, which CI installs")
        pytest.skip(f"there is no {CHROMIUM}")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def open_page(address, browser):
    """Opens the page; at the end of the test it must have been whole and have asked nobody else."""
    contexts, faults, asked = [], [], []

    def opened(fragment="", **options):
        context = browser.new_context(accept_downloads=True, **options)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(15_000)
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
