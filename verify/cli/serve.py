"""``gridassay serve``: the local page."""

from __future__ import annotations

import socket
from typing import Annotated

import typer

from gridassay.verify.cli.common import stop


def serve(
    host: Annotated[
        str, typer.Option(help="The address to listen on; by default only this machine.")
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="The port to listen on; 0 takes any free one.")
    ] = 8035,
    no_open: Annotated[
        bool, typer.Option("--no-open", help="Do not open the page in a browser.")
    ] = False,
) -> None:
    """Open the page in a browser: type or open a puzzle, and ask about it.

    It is served on this machine alone unless --host says otherwise.
    """
    import uvicorn

    from gridassay.verify.web.app import make_app
    from gridassay.verify.web.patience import Punctual

    try:
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        # The protocol is named because asyncio turns Nagle's delay off only if it is: without,
        # half of all answers come 40 ms late.
        listening = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((host, port))
        # Whoever reads the address may call at once, and waits until the server below takes the call.
        listening.listen()
    except OSError as error:
        stop(f"cannot listen at {host}, port {port}: {str(error.strerror).lower()}")
    shown = f"[{host}]" if ":" in host else host
    address = f"http://{shown}:{listening.getsockname()[1]}/"
    print(f"gridassay: the page is at {address} (Ctrl-C ends it)", flush=True)
    print(_from_elsewhere(host, port or listening.getsockname()[1]), flush=True)
    if not no_open:
        import webbrowser

        webbrowser.open(address)
    config = uvicorn.Config(
        make_app(host),
        http=Punctual,
        log_level="warning",
        server_header=False,
        timeout_graceful_shutdown=1,
    )
    uvicorn.Server(config).run(sockets=[listening])


def _from_elsewhere(host: str, port: int) -> str:
    """How to reach the page from another device, and what that exposes."""
    exposed = "can use the page, unencrypted and without a password, but reach no file"
    if host in ("127.0.0.1", "::1", "localhost"):
        way = f"serve --host 0.0.0.0, then http://ADDRESS-OF-THIS-MACHINE:{port}/"
        return f"from a phone in the same network: {way}; anyone there {exposed}"
    return f"anyone who reaches this address {exposed}"
