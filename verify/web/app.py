"""The application: the page, the examples, and questions about the puzzle that a request brings.

No path of a request is ever joined to a folder: the available files are read once, by name.
"""

from __future__ import annotations

import asyncio
import json
import re
from base64 import b64encode
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import Any

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from gridassay.encodings.files import read
from gridassay.encodings.lines import PuzzleError
from gridassay.verify.web.guard import ANSWER_HEADERS, LARGEST_BODY, BodyTooLarge, Guard
from gridassay.verify.web.questions import LONG, LONGEST_SECONDS, QUICK
from gridassay.verify.web.workers import Busy, Desk, Message, Stopped

_TYPES = {
    "html": "text/html; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "svg": "image/svg+xml",
}
_BUSY = "busy with other requests; ask again in a moment"
_STOPPED = "stopped: it took too long"


def make_app(host: str = "127.0.0.1") -> Starlette:
    """The application for a server that is bound to ``host``."""
    desk = Desk()

    @asynccontextmanager
    async def living(app: Starlette) -> AsyncIterator[None]:
        # The first verdict should not have to wait for the worker to start.
        warming = asyncio.create_task(desk.quick("look", {"text": "." * 16}))
        yield
        warming.cancel()
        desk.close()

    async def ask(request: Request) -> Response:
        name = request.path_params["question"]
        try:
            body = await _body(request)
        except BodyTooLarge:
            return _message(f"a body is at most {LARGEST_BODY} bytes", 413)
        except ValueError as error:
            return _message(str(error), 400)
        except ClientDisconnect:
            return Response()  # nobody will read it
        if name in QUICK:
            return await _quick(desk, name, body)
        if name in LONG:
            return await _long(desk, name, body)
        return _message("there is no such question", 404)

    return Starlette(
        routes=[
            Route("/", _page),
            Route("/static/{name}", _static),
            Route("/examples", _examples),
            Route("/examples/{name}", _example),
            Route("/rules", _rules),
            Route("/ask/{question}", ask, methods=["POST"]),
        ],
        middleware=[Middleware(Guard, host=host)],
        lifespan=living,
    )


async def _quick(desk: Desk, name: str, body: object) -> Response:
    try:
        kind, answer = await desk.quick(name, body)
    except Busy:
        return _message(_BUSY, 503)
    except Stopped:
        return JSONResponse({"error": _STOPPED})
    return JSONResponse(answer) if kind == "answer" else _message(answer, 500)


async def _long(desk: Desk, name: str, body: dict[str, Any]) -> Response:
    budget = body.get("budget")
    seconds = min(budget, LONGEST_SECONDS) if isinstance(budget, int | float) else LONGEST_SECONDS
    messages = desk.long(name, body, seconds)
    try:
        first = await anext(messages)
    except Busy:
        return _message(_BUSY, 503)
    except Stopped:
        return JSONResponse({"error": _STOPPED})
    return StreamingResponse(_lines(first, messages), media_type="application/x-ndjson")


async def _lines(first: Message, messages: AsyncIterator[Message]) -> AsyncIterator[bytes]:
    """Messages as JSON, one per line: the page reads them as they come, and hangs up to cancel."""
    try:
        yield _line(first)
        async for message in messages:
            yield _line(message)
    except Stopped:
        yield _line(("answer", {"error": _STOPPED}))
    finally:
        await messages.aclose()  # type: ignore[attr-defined]


def _line(message: Message) -> bytes:
    kind, content = message
    return json.dumps({kind: content}, ensure_ascii=False).encode() + b"\n"


async def _body(request: Request) -> dict[str, Any]:
    """The JSON object of a request. Raises TooLarge, and ValueError with what is wrong."""
    if request.headers.get("content-type", "").partition(";")[0].strip() != "application/json":
        raise ValueError("a question is JSON")
    data = bytearray()
    async for chunk in request.stream():
        data += chunk
        if len(data) > LARGEST_BODY:
            raise BodyTooLarge
    try:
        body = json.loads(data)
    except (ValueError, RecursionError):
        raise ValueError("this is not JSON") from None
    if not isinstance(body, dict):
        raise ValueError("a question is a JSON object")
    return body


async def _page(request: Request) -> Response:
    page, policy = _whole_page()
    return Response(page, headers={"Content-Security-Policy": policy}, media_type=_TYPES["html"])


async def _static(request: Request) -> Response:
    name = request.path_params["name"]
    if name not in _static_files():
        return _message("there is no such file", 404)
    return Response(_static_files()[name], media_type=_TYPES[name.rpartition(".")[2]])


def _examples(request: Request) -> Response:
    return JSONResponse([{"name": name, "title": title} for name, (title, _) in _samples().items()])


def _example(request: Request) -> Response:
    sample = _samples().get(request.path_params["name"])
    return _message("there is no such example", 404) if sample is None else Response(sample[1])


def _rules(request: Request) -> Response:
    return Response(_schema(), media_type="application/json")


def _message(message: str, code: int) -> Response:
    return JSONResponse({"error": message}, code)


@cache
def _static_files() -> Mapping[str, bytes]:
    folder = files("gridassay.verify.web").joinpath("static")
    return {
        file.name: file.read_bytes()
        for file in folder.iterdir()
        if file.name.rpartition(".")[2] in _TYPES
    }


@cache
def _whole_page() -> tuple[str, str]:
    """The page with style sheets in place of the links to them, and the policy that admits only these.

    A browser paints nothing while it waits for a style sheet.
    """
    hashes = []

    def in_place(link: re.Match[str]) -> str:
        style = _static_files()[link[1]].decode()
        hashes.append(f"'sha256-{b64encode(sha256(style.encode()).digest()).decode()}'")
        return f"<style>{style}</style>"

    page = re.sub(
        r'<link rel="stylesheet" href="/static/([\w.]+)">',
        in_place,
        _static_files()["index.html"].decode(),
    )
    policy = ANSWER_HEADERS["Content-Security-Policy"]
    return page, policy.replace("style-src 'self'", f"style-src {' '.join(hashes)}")


@cache
def _samples() -> Mapping[str, tuple[str, str]]:
    """Titles and texts of the examples by the names of their files, in the order of the titles."""
    found = {}
    for file in files("gridassay.examples").iterdir():
        if file.name.endswith((".toml", ".txt")):
            text = file.read_text(encoding="utf-8")
            try:
                puzzle = read(text)
            except PuzzleError:
                continue  # Several puzzles in one file: the page takes only one.
            bare = file.name.rpartition(".")[0].replace("-", " ").title()
            found[file.name] = (puzzle.title or bare, text)
    return dict(sorted(found.items(), key=lambda item: item[1][0].removeprefix("The ")))


@cache
def _schema() -> bytes:
    """The JSON Schema of puzzle files, from which the page makes a form for every kind of rule.

    With it come the kinds in groups, in the order in which the page offers them, and the words for each.
    """
    from gridassay.encodings.documents import schema
    from gridassay.verify.web.kinds import kind_groups, kind_words

    return json.dumps({"schema": schema(), "groups": kind_groups(), "told": kind_words()}).encode()
