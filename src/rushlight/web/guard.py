"""Who may knock, and what every answer says about what it may load.

One plain ASGI layer around the whole application, so that no page can forget it:

* only this machine's own names are answered (a foreign ``Host`` is refused, which stops
  a web page elsewhere from reaching the workshop by renaming itself to 127.0.0.1);
* a write must come from our own page (`Sec-Fetch-Site`, or else `Origin`);
* a body has a limit, a larger one where a file is attached;
* every answer carries a content security policy without any inline code.

Source: Fetch Metadata Request Headers (W3C), Content Security Policy Level 3 (W3C).
"""

from __future__ import annotations

import re
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from rushlight.workshop.attachments import LARGEST

OWN_NAMES = frozenset({"127.0.0.1", "localhost", "::1"})
READS = frozenset({"GET", "HEAD"})
BODY_LIMIT = 1_000_000  # bytes; our own choice: a candle's form is about 10 kB
FILE_LIMIT = LARGEST + 100_000  # bytes; a file and the form around it
FILE_PLACE = re.compile(r"/(stores|lots)/[^/]+/file|/exchange/import")  # what takes a file

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; "
    "frame-ancestors 'none'; base-uri 'none'"
)
ALWAYS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}


class _TooLarge(Exception):
    """The body went past the limit while it was being read."""


def _host_name(host: str) -> str:
    try:
        return urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return ""


def body_limit(path: str) -> int:
    """Return how many bytes may be sent to a path."""
    return FILE_LIMIT if FILE_PLACE.fullmatch(path) else BODY_LIMIT


def refusal(method: str, headers: Headers, *, most: int = BODY_LIMIT) -> tuple[int, str] | None:
    """Return status and reason if this request must not be answered; most: bytes of its body."""
    host = headers.get("host", "")
    if _host_name(host) not in OWN_NAMES:
        return 421, "Rushlight answers only on this machine, at 127.0.0.1 or localhost."
    if method in READS:
        return None
    site = headers.get("sec-fetch-site")
    origin = headers.get("origin")
    own_page = (
        site == "same-origin"
        if site is not None
        else (origin is None or urlsplit(origin).netloc == host)
    )
    if not own_page:
        return 403, "This did not come from a Rushlight page, so nothing was written."
    length = headers.get("content-length", "0")
    if not length.isdecimal() or int(length) > most:
        return 413, "That is more than one form can hold; nothing was written."
    return None


class Guard:
    """The layer itself."""

    def __init__(self, app: ASGIApp) -> None:
        """Wrap an application."""
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse, or pass on with the headers added."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in ALWAYS.items():
                    headers.setdefault(name, value)
                if not scope["path"].startswith("/static/"):
                    headers.setdefault("cache-control", "no-store")
            await send(message)

        most = body_limit(scope["path"])
        refused = refusal(scope["method"], Headers(scope=scope), most=most)
        if refused:
            status, why = refused
            await PlainTextResponse(why, status)(scope, receive, send_guarded)
            return

        read = 0

        async def receive_limited() -> Message:
            nonlocal read
            message = await receive()
            read += len(message.get("body", b""))
            if read > most:
                raise _TooLarge
            return message

        try:
            await self.app(scope, receive_limited, send_guarded)
        except _TooLarge:
            why = "That is more than one form can hold; nothing was written."
            await PlainTextResponse(why, 413)(scope, receive, send_guarded)
