"""The pages of a large workshop, over HTTP, and the recomputation behind the drawing sheet."""

import logging
import tempfile
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from benchmarks.measure import Row, repeat
from benchmarks.over_http import asked
from rushlight.demo.large import FULL, large
from rushlight.workshop import Workshop, candles, live, pours, wall_clock
from tests.support.serving import serve

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
    from rushlight.web.settle import settle

    slug = candles.listing(shop)[0].slug
    newest = pours.listing(shop)[0].id
    document = candles.get(shop, slug).document
    times = repeat(partial(live.sheet, shop, document, {"jars": "24"}), times=200)
    yield Row("recomputing a candle for 24 jars", times, "p95", RECOMPUTE)
    size = f"{FULL.candles} candles, {FULL.materials} materials, {FULL.pours:,} pours"
    app = create_app(shop)
    with serve(app) as served:
        app.state.stove.warmed.wait()
        settle()  # as the command does
        for what, path, budget in (
            ("candle page", f"/candles/{slug}", PAGE),
            ("pour sheet", f"/pours/{newest}", PAGE),
            ("today", "/", None),
            ("all candles", "/candles", None),
            ("stores", "/stores", None),
        ):
            yield Row(f"{what} ({size})", asked(served, path), "p95", budget)
        typed = {**candles.flat(document), "slug": slug}
        yield Row("drawing sheet recomputed", asked(served, "/draw", typed), "p95", LIVE)
