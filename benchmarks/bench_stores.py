"""Every page of a workshop with four years of stores, over HTTP; recall, valuation, export.

Each page is asked for what is hardest on it: the order with most lines, the shelf with most
lots, and for trace and recall a drum of wax that 300 pours were poured from.
"""

import logging
import os
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import count
from pathlib import Path

from benchmarks.measure import Row, repeat
from benchmarks.over_http import asked
from rushlight.demo.large import FULL, Size, large
from rushlight.press.paper import Paper
from rushlight.press.recall_list import render
from rushlight.press.recall_list_from import from_recall
from rushlight.quantity.show import METRIC
from rushlight.workshop import Workshop, materials, wall_clock
from rushlight.workshop.exchange import archive
from rushlight.workshop.stores import receiving, stocktakes, trace, truth
from tests.support.serving import serve

TIMES = 60
DRUM = 300  # pours that drew on one lot: a pour each working day of a year


@dataclass(frozen=True, slots=True)
class Budgets:
    """How long things may take [s]; None where it is only shown."""

    page: float | None = 0.100
    work: float | None = 1.0
    export: float | None = 20.0


@dataclass(frozen=True, slots=True)
class Hardest:
    """What is asked for: of each kind the one with most behind it."""

    lot: str
    drum: str
    material: str
    jars: str
    pour: int
    delivery: int
    order: str
    candle: str
    stocktake: int


def rows() -> Iterator[Row]:
    """Build the workshop, then time it; ten times the history too, when it is asked for."""
    yield from of_size(FULL, Budgets())
    if os.environ.get("RUSHLIGHT_BENCH_TEN"):
        yield from of_size(FULL.times(10), Budgets(page=None, work=None, export=None))


def of_size(size: Size, budgets: Budgets) -> Iterator[Row]:
    """Build a workshop of a size, and time every page of it."""
    logging.disable(logging.WARNING)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "large.rushlight"
        shop = large(path, clock=wall_clock, size=size)
        try:
            yield from measured(shop, f"{size.movements:,} movements", budgets)
        finally:
            shop.close()


def measured(shop: Workshop, called: str, budgets: Budgets) -> Iterator[Row]:
    """Time every page of a workshop, and what takes longer than a page."""
    from rushlight.web.app import create_app
    from rushlight.web.settle import settle

    hard = hardest(shop)
    app = create_app(shop)
    with serve(app) as served:
        app.state.stove.warmed.wait()
        settle()  # as the command does
        for what, path in pages(hard).items():
            yield Row(f"{what} ({called})", asked(served, path, times=TIMES), "p95", budgets.page)
        for what, path in (
            ("thread", f"/trace/{hard.drum}"),
            ("list", f"/trace/{hard.drum}/recall"),
        ):
            times = asked(served, path, times=20)
            yield Row(
                f"recall {what} of a lot of {DRUM} pours ({called})", times, "p95", budgets.work
            )
    today = shop.today()
    recall = repeat(partial(trace.recall, shop, hard.drum), times=20)
    yield Row(
        f"recall of a lot of {DRUM} pours, worked out ({called})", recall, "p95", budgets.work
    )
    listed = from_recall(trace.recall(shop, hard.drum), METRIC, today=today)
    set_anew = repeat(partial(_printed, shop, hard.drum, count()), times=10, warm=1)
    what = f"recall list as PDF, {len(listed.gone):,} sales, a new one each time"
    yield Row(f"{what} ({called})", set_anew, "p95", budgets.work)
    for what, day in (("today", today), ("a year ago", today.replace(year=today.year - 1))):
        valued = repeat(partial(truth.valuation, shop, day), times=10)
        yield Row(f"valuation {what} ({called})", valued, "p95", budgets.work)
    with tempfile.TemporaryDirectory() as folder:
        places = iter(Path(folder) / f"{number}.zip" for number in range(4))
        taken = repeat(lambda: archive.write(shop, next(places)), times=3, warm=0)
        packed = min(place.stat().st_size for place in Path(folder).glob("*.zip"))
    file = Path(shop.place).stat().st_size
    sizes = f"a file of {file / 1e6:.0f} MB as a zip of {packed / 1e6:.0f} MB"
    yield Row(f"export, {sizes} ({called})", taken, "p95", budgets.export)


def _printed(shop: Workshop, drum: str, turns: Iterator[int]) -> bytes:
    """Work the recall out and print it; each time with other names, for what was set is kept."""
    listed, turn = from_recall(trace.recall(shop, drum), METRIC, today=shop.today()), next(turns)
    gone = tuple(replace(sale, buyer=f"{sale.buyer} {turn}") for sale in listed.gone)
    return render(replace(listed, gone=gone), paper=Paper.A4)


def pages(hard: Hardest) -> dict[str, str]:
    """Return every page that shows something kept, and its address."""
    candle = f"/candles/{hard.candle}"
    return {
        "today": "/",
        "all candles": "/candles",
        "candle": candle,
        "its revisions": f"{candle}/revisions",
        "its price": f"{candle}/price",
        "what it must say": f"{candle}/label",
        "its labels": f"{candle}/labels",
        "all pours": "/pours",
        "pour sheet": f"/pours/{hard.pour}",
        "stores": "/stores",
        "material": f"/stores/{hard.material}",
        "deliveries": "/receiving",
        "delivery": f"/receiving/{hard.delivery}",
        "receiving": "/receiving/new",
        "lots": "/lots",
        "lots, used up ones too": "/lots?empty=yes",
        "lots of a material": f"/lots?of={hard.material}&empty=yes",
        "lot": f"/lots/{hard.lot}",
        "jars": "/jars",
        "jars, those gone too": "/jars?empty=yes",
        "lot of jars": f"/jars/{hard.jars}",
        "orders to do": "/orders",
        "orders sent": "/orders?state=sent",
        "order": f"/orders/{hard.order}",
        "a new order": "/orders/new",
        "over the counter": "/orders/sell",
        "stocktakes": "/stocktakes",
        "stocktake of everything": f"/stocktakes/{hard.stocktake}",
        "trace": "/trace",
        "trace by a part of a supplier's code": "/trace?code=B1",
        "thread of a lot": f"/trace/{hard.lot}",
        "thread of jars": f"/trace/{hard.jars}",
        "thread of an order": f"/trace/{hard.order}",
        "recall list": f"/trace/{hard.lot}/recall",
        "worth": "/worth",
        "margins": "/margins",
        "in and out": "/exchange",
        "net weight": f"/netweight?candle={hard.candle}",
        "channels": "/channels",
        "settings": "/settings",
        "done": "/done",
    }


def hardest(shop: Workshop) -> Hardest:
    """Find what has most behind it; begin a stocktake of everything, half of it counted."""
    stocktake = stocktakes.begin(shop, {"of": "both"})
    half = {f"line.{line.id}": "1" for line in stocktake.lines[::2]}
    stocktakes.enter(shop, stocktake.line.id, half)
    return Hardest(
        lot=_most(shop, "stock_lot.code", "movement", "movement.pour_id is not null"),
        drum=_drum(shop),
        material=_most(shop, "material.slug", "movement"),
        jars=_most(shop, "jar_lot.code", "jar_entry"),
        pour=int(_most(shop, "pour.id", "movement")),
        delivery=int(_most(shop, "delivery.id", "stock_lot")),
        order=_most(shop, "sales_order.code", "order_line"),
        candle=_most(shop, "candle.slug", "pour"),
        stocktake=stocktake.line.id,
    )


def _drum(shop: Workshop) -> str:
    """Receive a drum of wax, and let as many pours as have jars have drawn on it; its code."""
    from sqlalchemy import insert, select

    from rushlight.store.tables import jar_lot, movement, stock_lot

    wax = materials.listing(shop, "wax")[0].slug
    line = {"material": wax, "packs": "1", "pack": f"{DRUM} kg", "price": f"{DRUM}"}
    typed = {f"lines.0.{name}": value for name, value in line.items()}
    code = receiving.receive(shop, {"supplier": "Invented", **typed}).lots[0].code
    with shop.store.unit_of_work() as connection:
        lot = connection.execute(select(stock_lot).where(stock_lot.c.code == code)).one()
        drawn = select(jar_lot.c.pour_id, jar_lot.c.poured_on, jar_lot.c.at).order_by(jar_lot.c.id)
        used = {"material_id": lot.material_id, "stock_lot_id": lot.id, "reason": "used"}
        each = {"amount": -1_000_000, "value": -10_000}
        connection.execute(
            insert(movement),
            [
                {**used, **each, "pour_id": row.pour_id, "day": row.poured_on, "at": row.at}
                for row in connection.execute(drawn.offset(DRUM).limit(DRUM))
            ],
        )
    return code


def _most(shop: Workshop, column: str, of: str, where: str = "true") -> str:
    """Return what the row is called that most rows of another table are of."""
    from sqlalchemy import text

    table = column.partition(".")[0]
    query = (
        f"select {column} from {of} join {table} on {table}.id = {of}.{table}_id "  # noqa: S608 - our own names
        f"where {where} group by {table}.id order by count(*) desc, {table}.id desc limit 1"
    )
    with shop.store.reading() as connection:
        return str(connection.execute(text(query)).scalar_one())
