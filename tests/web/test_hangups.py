"""Whoever hangs up, or never ends a request, leaves nothing behind: no place held, no traceback."""

from __future__ import annotations

import json
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from urllib.parse import urlsplit

import pytest

CODE = """
from gridassay.verify.web import patience
patience.WAIT = 0.5
from gridassay.verify.cli import main
main()
"""
HARD = "." * 256
HUGE = "size = 4\n[[rule]]\nkind = 'cage'\ncells = 'r1c1'\nsum = " + "9" * 5_000


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[int, Path]]:
    log = tmp_path_factory.mktemp("log") / "log.txt"
    command = [sys.executable, "-c", CODE, "serve", "--no-open", "--port", "0"]
    with (
        log.open("w") as said,
        subprocess.Popen(command, stdout=subprocess.PIPE, stderr=said, text=True) as running,
    ):
        assert running.stdout is not None
        address = running.stdout.readline().partition(" is at ")[2].split()[0]
        yield urlsplit(address).port or 0, log
        running.terminate()


def call(port: int) -> socket.socket:
    called = socket.create_connection(("127.0.0.1", port))
    called.settimeout(120)
    return called


def question(port: int, name: str, body: object, *, length: int | None = None) -> bytes:
    data = json.dumps(body).encode()
    head = (
        f"POST /ask/{name} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\n"
        f"Content-Length: {length or len(data)}\r\n\r\n"
    )
    return head.encode() + data


def ended(called: socket.socket) -> bytes:
    """The server's answer until it hangs up."""
    said = b""
    with suppress(ConnectionResetError):
        while part := called.recv(4096):
            said += part
    return said


def answered(port: int) -> None:
    """It still answers, and quickly enough to be asked at all."""
    with call(port) as called:
        called.sendall(question(port, "look", {"text": "1..............."}))
        assert called.recv(4096).startswith(b"HTTP/1.1 200")


def test_a_request_that_never_ends_is_dropped(server: tuple[int, Path]) -> None:
    port, log = server
    whole = question(port, "look", {"text": "1..............."})
    for half in (b"", b"GET", b"GET / HTTP/1.1\r\nHost: x\r\n", whole[:-5]):
        with call(port) as called:
            called.sendall(half)
            assert ended(called) == b""
    # After a whole one, on the same line.
    with call(port) as called:
        called.sendall(whole)
        assert called.recv(4096).startswith(b"HTTP/1.1 200")
        called.sendall(whole[:40])
        ended(called)
    answered(port)
    assert log.read_text() == ""


@pytest.mark.parametrize("name", ["look", "draw", "settle", "clues"])
def test_a_hang_up_leaves_no_traceback(server: tuple[int, Path], name: str) -> None:
    port, log = server
    whole = question(port, name, {"text": HARD, "budget": 20})
    for sent in (whole[: len(whole) // 2], whole[:-1], whole):
        for abrupt in (False, True):
            with call(port) as called:
                if abrupt:  # a reset rather than a farewell
                    called.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
                called.sendall(sent)
    with call(port) as called:
        called.sendall(whole)
        called.recv(100)  # in the middle of the answer
    answered(port)
    assert log.read_text() == ""


def test_a_huge_number_is_told_and_is_no_fault(server: tuple[int, Path]) -> None:
    port, log = server
    with call(port) as called:
        called.sendall(question(port, "look", {"text": HUGE}))
        said = b""
        while b"}" not in said:
            said += called.recv(65536)
    assert said.startswith(b"HTTP/1.1 200")
    assert b"a whole number has at most 15 figures" in said
    assert log.read_text() == ""


def test_the_caption_of_the_heat_map_is_true_on_a_dark_page_too() -> None:
    from gridassay.verify.draw.colour import contrast
    from gridassay.verify.draw.style import DARK, LIGHT

    for style in (LIGHT, DARK):
        shades = [contrast(style.heat(share / 10), style.paper) for share in range(11)]
        assert shades == sorted(shades)  # the stronger, the farther from the page
    from importlib.resources import files

    static = files("gridassay.verify.web").joinpath("static", "findings.js").read_text("utf-8")
    assert (
        "The stronger the shade of a given, the more cells are left open when it is removed."
        in static
    )
