"""Who may knock: hosts, origins, sizes, and the policy on every answer."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor

import httpx
import pytest
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route

from rushlight.web.guard import BODY_LIMIT, POLICY, Guard

HOME = "http://127.0.0.1:8000"


async def _echo(request: Request) -> PlainTextResponse:
    return PlainTextResponse(str(len(await request.body())))


app = Starlette(routes=[Route("/", _echo, methods=["GET", "POST"])], middleware=[Middleware(Guard)])


async def _ask(method: str = "GET", **more: object) -> httpx.Response:
    async with httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url=HOME) as client:
        return await client.request(method, "/", **more)  # type: ignore[arg-type]


def ask(method: str = "GET", **more: object) -> httpx.Response:
    """Ask the guarded echo, in a thread: the browser's tests keep a loop in this one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(lambda: asyncio.run(_ask(method, **more))).result()


@pytest.mark.parametrize("host", ["127.0.0.1:8000", "localhost:9", "localhost", "[::1]:8000"])
def test_this_machine_is_answered_under_its_own_names(host: str) -> None:
    """Any port, any of the loopback names."""
    assert ask(headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    ["example.org", "127.0.0.1.example.org", "127.0.0.1@example.org", "", "[::1", "192.0.2.1"],
)
def test_a_foreign_host_is_refused(host: str) -> None:
    """A page elsewhere that renames itself to this address gets nothing."""
    assert ask(headers={"host": host}).status_code == 421


@pytest.mark.parametrize("site", ["cross-site", "same-site", "none"])
def test_a_write_from_elsewhere_is_refused_by_fetch_metadata(site: str) -> None:
    """Only same-origin may write."""
    assert ask("POST", headers={"sec-fetch-site": site}).status_code == 403


@pytest.mark.parametrize("origin", ["http://example.org", "null", "http://127.0.0.1:8001"])
def test_a_write_from_elsewhere_is_refused_by_origin(origin: str) -> None:
    """Where the browser sends no fetch metadata, the origin decides."""
    assert ask("POST", headers={"origin": origin}).status_code == 403


def test_a_write_from_our_own_page_or_a_script_passes() -> None:
    """A script on this machine sends neither header."""
    assert ask("POST", headers={"sec-fetch-site": "same-origin"}).status_code == 200
    assert ask("POST", headers={"origin": HOME}).status_code == 200
    assert ask("POST", content=b"abc").text == "3"


def test_reading_from_elsewhere_is_harmless_and_answered() -> None:
    """A link from another page may open Rushlight."""
    assert ask(headers={"sec-fetch-site": "cross-site"}).status_code == 200


def test_an_oversized_body_is_refused_whether_it_says_its_size_or_not() -> None:
    """A length announced and a stream that never ends are both stopped."""
    assert ask("POST", content=b"x" * (BODY_LIMIT + 1)).status_code == 413

    async def endless() -> object:
        for _ in range(40):
            yield b"x" * 50_000

    assert ask("POST", content=endless()).status_code == 413


@pytest.mark.parametrize("length", ["-1", "ten", "1e3"])
def test_a_nonsense_length_is_refused(length: str) -> None:
    """Never trusted, never a crash."""
    assert ask("POST", headers={"content-length": length}).status_code == 413


def test_every_answer_carries_the_policy_even_a_refusal() -> None:
    """No inline code anywhere, nothing from elsewhere."""
    for answer in (ask(), ask(headers={"host": "example.org"})):
        assert answer.headers["content-security-policy"] == POLICY
        assert answer.headers["x-content-type-options"] == "nosniff"
    assert "unsafe" not in POLICY
    assert POLICY.startswith("default-src 'none'")
