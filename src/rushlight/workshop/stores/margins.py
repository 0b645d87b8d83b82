"""What sold jars earned over a period: by candle and channel, and by month.

Counted are the jars of orders that were sent, on the day they were picked; what came back counts
against them on the day it came back. The price is what was asked on the order, and the fees are
those of the channel as it is now. The cost is what the jars bore when they left their lot, and what
they were packed in, on the day they were sent: jars sent before packaging was booked have none,
and of jars packed in what nobody knows the cost of the cost is not known.

What was worked out is kept until something is done in the workshop: each deed has a number, so the
last one tells whether all still is as it was.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Final
from weakref import WeakKeyDictionary

from rushlight.cost import margin as core
from rushlight.cost.channel import Channel
from rushlight.cost.margin import Sold
from rushlight.workshop.channels import read
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import money
from rushlight.workshop.stores.truth_views import MarginLine, MarginMonth, Margins, Went

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine, RowMapping


@dataclass(frozen=True, slots=True)
class _Channel:
    """A channel by its short name, with the fees of a share and of a jar as they are now."""

    slug: str
    name: str
    percent: Decimal
    fixed: Decimal


_MOST: Final = 50  # periods kept of one workshop
_Known = dict[tuple[date, date, int], Margins]
_kept: WeakKeyDictionary[Engine, _Known] = WeakKeyDictionary()


def margins(shop: Workshop, first: date, last: date) -> Margins:
    """Return what was earned from a first to a last day, both counted."""
    from rushlight.store.queries.sold import newest_deed

    with shop.store.reading() as connection:
        known = _kept.setdefault(connection.engine, {})
        asked = first, last, newest_deed(connection)
        found = known.get(asked)
        if found is None:
            if len(known) >= _MOST:
                known.clear()
            found = known[asked] = _worked_out(connection, first, last)
    return found


def _worked_out(connection: Connection, first: date, last: date) -> Margins:
    from rushlight.store.queries import sold as query
    from rushlight.store.queries.orders import candles
    from rushlight.store.queries.others import settings

    days = first.isoformat(), last.isoformat()
    by_candle = query.sold_by_candle(connection, *days)
    by_month = query.sold_by_month(connection, *days)
    packed = query.packed_by_candle(connection, *days)
    packed_months = query.packed_by_month(connection, *days)
    went = query.went_otherwise(connection, *days)
    named = {row["id"]: row for row in candles(connection)}
    currency = settings(connection).get("currency", "GBP")
    channels = {row["id"]: _channel(row, currency) for row in query.channel_rows(connection)}
    names = {row["slug"]: row["name"] for row in named.values()}
    called = {one.slug: one.name for one in channels.values()}
    sold = [_sold(row, channels, first, named[row["candle_id"]]["slug"]) for row in by_candle]
    sold += [_packed(row, channels, first, named[row["candle_id"]]["slug"]) for row in packed]
    lines = core.margins(sold, core.candle_and_channel)
    monthly = [_sold(row, channels, _day(row), "") for row in by_month]
    monthly += [_packed(row, channels, _day(row), "") for row in packed_months]
    months = core.margins(monthly, core.month)
    return Margins(
        first=first,
        last=last,
        lines=tuple(
            MarginLine(candle=slug, name=names[slug], channel=called[through], margin=lines[key])
            for key in sorted(lines, key=lambda key: (-lines[key].price, key))
            for slug, through in (key,)
        ),
        channels=tuple(
            (called[slug], margin)
            for slug, margin in sorted(
                core.margins(sold, core.channel).items(), key=lambda item: -item[1].price
            )
        ),
        months=tuple(
            MarginMonth(month=date.fromisoformat(f"{key}-01"), margin=margin)
            for key, margin in months.items()
        ),
        total=core.total(sold),
        went=tuple(_went(went)),
    )


def _channel(row: RowMapping, currency: str) -> _Channel:
    texts = {"name": row["name"], "kind": row["kind"], **json.loads(row["typed"])}
    now: Channel = read(texts, currency)[0]
    return _Channel(row["slug"], row["name"], now.percent, now.fixed)


def _day(row: RowMapping) -> date:
    return date.fromisoformat(f"{row['month']}-01")


def _sold(row: RowMapping, channels: Mapping[int, _Channel], day: date, candle: str) -> Sold:
    """Return jars sold together; day: any of those they were sold on.

    The fees are not rounded here, so that candles, channels and months come to the same sum.
    """
    through, jars, price = channels[row["channel_id"]], int(row["jars"]), money(row["price"])
    return Sold(
        candle=candle,
        channel=through.slug,
        day=day,
        jars=jars,
        price=price,
        fees=through.percent * price + through.fixed * jars,
        cost=money(row["cost"]) if row["known"] else None,
    )


def _packed(row: RowMapping, channels: Mapping[int, _Channel], day: date, candle: str) -> Sold:
    """Return what jars were packed in: a cost beside those of the jars themselves."""
    cost, none = money(row["cost"]), Decimal(0)
    return Sold(
        candle=candle,
        channel=channels[row["channel_id"]].slug,
        day=day,
        jars=0,
        price=none,
        fees=none,
        cost=cost,
        packaging=cost,
    )


def _went(rows: Sequence[RowMapping]) -> Iterable[Went]:
    """Yield the jars that left unsold by reason, those of unknown cost together with the others."""
    for reason in ("given", "testing", "broken"):
        own = [row for row in rows if row["why"] == reason and int(row["jars"])]
        known = sum((money(row["cost"]) for row in own), Decimal(0))
        cost = known if all(row["costed"] for row in own) else None
        if own:
            yield Went(reason, sum(int(row["jars"]) for row in own), cost)
