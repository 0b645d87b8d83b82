"""`rushlight demo` and `rushlight open`: a workshop in the browser, on this machine alone."""

from __future__ import annotations

import socket
import tempfile
import webbrowser
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from rushlight.cli.say import say
from rushlight.errors import BadInput, NotFound

if TYPE_CHECKING:
    from rushlight.workshop.shop import Workshop

HOST = "127.0.0.1"
"""Never any other address: a workshop is for the one at the machine."""
PORT = 8765
"""Taken when it is free and none is asked for."""


def serve_demo(place: Path | None, *, port: int | None, browser: bool) -> None:
    """Serve the demo workshop: in a file that is kept, or in a folder that is not."""
    with _listening(port) as listener:
        if place is not None:
            _serve(_demo(place), listener, browser=browser)
            return
        # On Windows a file cannot be deleted while something still holds it open.
        with tempfile.TemporaryDirectory(prefix="rushlight-", ignore_cleanup_errors=True) as folder:
            shop = _demo(Path(folder) / "demo.rushlight")
            say("This is the demo workshop; what you change in it is gone when you end it.")
            _serve(shop, listener, browser=browser)


def _demo(place: Path) -> Workshop:
    """Build the demo workshop in a new file; one that is there is opened as it was left."""
    from rushlight import demo
    from rushlight.workshop import settings
    from rushlight.workshop.opening import open_workshop
    from rushlight.workshop.shop import wall_clock

    if not place.exists():
        return demo.build(place, clock=wall_clock)
    shop = open_workshop(place)
    if settings.current(shop).demo:
        return shop
    shop.close()
    raise BadInput.one(
        "This is a workshop of your own, not the demo.",
        f"Open it with: rushlight open {place}",
        str(place),
    )


def serve_workshop(place: str, *, create: bool, port: int | None, browser: bool) -> None:
    """Serve the workshop kept in a file or at an address; make it first when asked to."""
    from rushlight.workshop.opening import create_workshop, open_workshop, shown

    with _listening(port) as listener:
        try:
            shop = create_workshop(place) if create else open_workshop(place)
        except NotFound as error:
            raise BadInput.one(
                "There is no workshop here.",
                f"Check the name, or make one with: rushlight open --create {shown(place)}",
                shown(place),
            ) from error
        _serve(shop, listener, browser=browser)


def _serve(shop: Workshop, listener: socket.socket, *, browser: bool) -> None:
    """Serve until Ctrl-C, then let go of the file."""
    import uvicorn

    from rushlight.web.app import create_app
    from rushlight.web.settle import settle_when_warm
    from rushlight.workshop.exchange.keeper import backed_up

    try:
        address = f"http://{HOST}:{listener.getsockname()[1]}/"
        app = create_app(shop)
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning", server_header=False))
        settle_when_warm(app.state.stove)
        say(f"Rushlight is open at {address} (end it with Ctrl-C).")
        if browser:
            webbrowser.open(address)  # the socket listens already, so the page will wait
        with suppress(KeyboardInterrupt), backed_up(shop):  # Ctrl-C is how it is ended
            server.run(sockets=[listener])
    finally:
        shop.close()


@contextmanager
def _listening(port: int | None) -> Iterator[socket.socket]:
    """Listen on this machine's own address before anything else is done."""
    # Said in full: asyncio turns Nagle's delay (40 ms a page) off only on sockets that say TCP.
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        _bind(listener, port)
        listener.listen(128)
        yield listener
    finally:
        listener.close()


def _bind(listener: socket.socket, port: int | None) -> None:
    """Take the port asked for; if none is, the usual one, or any that is free."""
    for choice in [PORT, 0] if port is None else [port]:
        try:
            listener.bind((HOST, choice))
        except OSError as error:
            refused = error
        else:
            return
    raise BadInput.one(
        f"Port {port} cannot be used ({refused.strerror}).",
        "Type --port 0 to take any that is free.",
        "--port",
    ) from refused
