"""The pages of a large workshop, over HTTP, and the recomputation behind the drawing sheet."""

import http.client
import logging
import tempfile
from collections.abc import Iterator, Mapping
from functools import partial
from pathlib import Path
from urllib.parse import urlencode

from benchmarks.measure import Row, repeat
from rushlight.demo.large import CANDLES, MATERIALS, POURS, large
from rushlight.workshop import Workshop, candles, live, pours, wall_clock
from tests.support.serving import Served, serve

OK = 200
PAGE, RECOMPUTE, LIVE = 0.050, 0.020, 0.100  # [s] the budgets


def rows() -> Iterator[Row]:
    """Build the workshop, then time it."""
    logging.disable(logging.WARNING)
    with tempfile.TemporaryDirectory() as folder:
        shop = large(Path(folder) / "large.rushlight", clock=wall_clock)
        try:
            yield from _measured(shop)
        finally:
            shop.close()


def _measured(shop: Workshop) -> Iterator[Row]:
    from rushlight.web.app import create_app

    slug = candles.listing(shop)[0].slug
    newest = pours.listing(shop)[0].id
    document = candles.get(shop, slug).document
    times = repeat(partial(live.sheet, shop, document, {"jars": "24"}), times=200)
    yield Row("recomputing a candle for 24 jars", times, "p95", RECOMPUTE)
    size = f"{CANDLES} candles, {MATERIALS} materials, {POURS:,} pours"
    with serve(create_app(shop)) as served:
        for what, path, budget in (
            ("candle page", f"/candles/{slug}", PAGE),
            ("pour sheet", f"/pours/{newest}", PAGE),
            ("today", "/", None),
            ("all candles", "/candles", None),
            ("stores", "/stores", None),
        ):
            yield Row(f"{what} ({size})", _asked(served, path), "p95", budget)
        typed = {**candles.flat(document), "slug": slug}
        yield Row("drawing sheet recomputed", _asked(served, "/draw", typed), "p95", LIVE)


def _asked(served: Served, path: str, typed: Mapping[str, str] | None = None) -> tuple[float, ...]:
    """Ask for a page a hundred times over one connection."""
    connection = http.client.HTTPConnection("127.0.0.1", served.port)
    body = None if typed is None else urlencode(typed)
    headers = {"Sec-Fetch-Site": "same-origin"}
    if body is not None:
        headers["Content-Type"] = "application/x-www-form-urlencoded"

    def ask() -> None:
        connection.request("GET" if body is None else "POST", path, body, headers)
        answer = connection.getresponse()
        answer.read()
        assert answer.status == OK, f"{path}: {answer.status}"

    try:
        return repeat(ask, times=100)
    finally:
        connection.close()
