"""The page: foreign names and origins, half-sent requests, hang-ups, scripts in every text."""

from __future__ import annotations

import atexit
import json
import random
import re
import signal
import socket
import subprocess
from functools import cache

from .commands import start
from .failures import Failure, Found

SCRIPT = "<script>alert(1)</script>"
QUESTIONS = ("look", "conflict", "settle", "route", "clues", "kin", "assay", "reads")
TEXTS = (
    f'title = "{SCRIPT}"\\ncredit = "{SCRIPT}"\\nsize = 4\\n',
    f'size = 4\\n[[rule]]\\nkind = "cage"\\ncells = "r1c1"\\nsum = 3\\nid = "{SCRIPT}"\\n',
    f'size = 4\\n[[rule]]\\nkind = "{SCRIPT}"\\n',
    f"size = {SCRIPT}\\n",
    f'size = 4\\ngivens = "{SCRIPT}"\\n',
    f'size = 4\\n[[rule]]\\nkind = "cage"\\ncells = "{SCRIPT}"\\n',
)


@cache
def _server() -> tuple[subprocess.Popen[bytes], int]:
    child = start(["serve", "--no-open", "--port", "0"])
    assert child.stdout
    port = int(re.search(rb":(\d+)/", child.stdout.readline())[1])  # type: ignore[index]
    atexit.register(child.send_signal, signal.SIGKILL)
    return child, port


def _send(data: bytes, *, whole: bool = True, wait: float = 60) -> bytes:
    """The server's answer to these bytes; if ``whole`` is false the line is cut at once."""
    with socket.create_connection(("127.0.0.1", _server()[1]), timeout=wait) as line:
        line.sendall(data)
        if not whole:
            return b""
        answer = b""
        while part := line.recv(65536):
            answer += part
        return answer


def _request(question: str, body: bytes, host: str, more: str = "") -> bytes:
    head = (
        f"POST /ask/{question} HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/json\r\n"
        f"Content-Length: {len(body)}\r\nConnection: close\r\n{more}\r\n"
    )
    return head.encode() + body


def one(seed: int) -> Found:
    """One request or hang-up, and whether the page still answers after it."""
    dice = random.Random(seed)
    own = f"127.0.0.1:{_server()[1]}"
    text = dice.choice(TEXTS).replace("\\n", "\n")
    body = json.dumps(
        {"text": text, "budget": 1, "off": {"givens": [], "rules": [SCRIPT]}}
    ).encode()
    question = dice.choice(QUESTIONS)
    kind, said = dice.choice(("host", "origin", "half", "hang up", "script", "odd")), ""
    match kind:
        case "host":
            host = dice.choice(
                ("evil.example", "127.0.0.1.evil.example", "localhost.", "", "[::2]")
            )
            said = _refused(_send(_request(question, body, host)), host)
        case "origin":
            origin = dice.choice(("http://evil.example", "null", f"http://{own}.evil.example"))
            said = _refused(_send(_request(question, body, own, f"Origin: {origin}\r\n")), origin)
        case "half":
            whole = _request(question, body, own)
            _send(whole[: dice.randrange(1, len(whole))], whole=False)
        case "hang up":
            _send(_request(question, body, own), whole=False)
        case "script":
            said = _harmless(_send(_request(question, body, own)))
        case "odd":
            odd = bytes(dice.randrange(256) for _ in range(dice.randrange(300)))
            damaged = dice.choice((odd, body[:-3], b"[" * 50000, b"null", b'{"text": 5}'))
            answer = _send(_request(question, damaged, own))
            status = answer.split(b" ", 2)[1:2]
            said = (
                "" if status[0] in (b"200", b"400", b"413", b"415", b"422") else f"status {status}"
            )
    if not said and b" 200 " not in _send(f"GET / HTTP/1.0\r\nHost: {own}\r\n\r\n".encode())[:40]:
        said = "the page does not answer any more"
    return Found(1, Failure("page", seed, f"{kind}, {question}: {said}", body) if said else None)


def _refused(answer: bytes, what: str) -> str:
    status = answer.split(b" ", 2)[1:2]
    return "" if status and status[0][:1] == b"4" else f"{what!r} is answered with {status}"


def _harmless(answer: bytes) -> str:
    """Answers are JSON, never markup to a browser, and no picture in them holds a script."""
    head, _, content = answer.partition(b"\r\n\r\n")
    if b" 500 " in head[:20]:
        return "status 500"
    if b"text/html" in head.lower() or b"nosniff" not in head.lower():
        return "an answer that a browser may take for a page"
    pictures = re.findall(rb"<svg.*?</svg>", content, re.S)
    return "a script in a picture" if any(b"<script" in one for one in pictures) else ""
