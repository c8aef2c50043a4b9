"""Refuses other Host names, other origins and large bodies, and sets the headers of answers.

A page of any site may send requests to this machine, and a name of any site may be made to point to
it (DNS rebinding). So a request must use one of this server's own names, and come from its own page
or from no page at all.
"""

from __future__ import annotations

import ipaddress
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BODY = 256 * 1024

ANSWER_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
        "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}

LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})


_OURS_ONLY = "this is for the page of this server only"


class BodyTooLarge(Exception):
    """The body is larger than any puzzle that the page takes."""


class Guard:
    """Wraps an application. ``host`` is the name or address that it is bound to."""

    def __init__(self, app: ASGIApp, host: str) -> None:
        self.app = app
        self.names = LOOPBACK | {host.lower()}
        self.open = host not in LOOPBACK

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or refuse it."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refused = self._refusal(headers) or (None if _follows_link(scope) else _foreign(headers))

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                answered = MutableHeaders(scope=message)
                for name, value in ANSWER_HEADERS.items():
                    answered.setdefault(name, value)
            await send(message)

        if refused:
            code, why = refused
            await PlainTextResponse(why + "\n", code)(scope, receive, with_headers)
            return
        await self.app(scope, receive, with_headers)

    def _refusal(self, headers: Headers) -> tuple[int, str] | None:
        hosts, origins = headers.getlist("host"), headers.getlist("origin")
        if len(hosts) != 1 or not self._ours(hosts[0]):
            return 421, "this server does not go by that name"
        if origins and origins != [f"http://{hosts[0]}"]:
            return 403, _OURS_ONLY
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > LARGEST_BODY:
            return 413, f"a body is at most {LARGEST_BODY} bytes"
        return None

    def _ours(self, host: str) -> bool:
        """Whether a Host header names this server. No name can be made to look like an address."""
        try:
            name = urlsplit(f"//{host}").hostname or ""
        except ValueError:
            return False
        return name in self.names or (self.open and _is_address(name))


def _foreign(headers: Headers) -> tuple[int, str] | None:
    """Refuse a request from the page of another site, if the browser says that it is one."""
    if headers.get("sec-fetch-site", "none") in ("none", "same-origin"):
        return None
    return 403, _OURS_ONLY


def _follows_link(scope: Scope) -> bool:
    """Whether a person follows a link to the page itself, from anywhere."""
    headers = Headers(scope=scope)
    wanted = (headers.get("sec-fetch-mode"), headers.get("sec-fetch-dest"))
    return (scope["method"], scope["path"], wanted) == ("GET", "/", ("navigate", "document"))


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True
