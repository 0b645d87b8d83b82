"""What comes into the demonstration workshop and what leaves it, by the verbs a maker uses."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, datetime, timedelta
from functools import partial
from typing import Any

from rushlight.workshop import Workshop
from rushlight.workshop.stores import jar_moves, jars, orders, receiving

Event = tuple[datetime, Callable[[], object]]
_HEAD = ("supplier", "reference", "freight", "freight_by", "duty", "duty_by")
_OPENED = 8  # o'clock, when deliveries come
_SOLD = 16


def deliveries(shop: Workshop, now: datetime, told: list[dict[str, Any]]) -> Iterator[Event]:
    """Yield the deliveries, each with its time."""
    for found in told:
        at = _at(now, found["day"], _OPENED)
        typed = {"day": at.date().isoformat()} | {k: found[k] for k in _HEAD if k in found}
        for n, line in enumerate(found["lines"]):
            for name, value in line.items():
                text = _day(now, value) if name == "expires" else str(value)
                typed[f"lines.{n}.{name}"] = text
        yield at, partial(receiving.receive, shop, typed)


def sales(shop: Workshop, now: datetime, told: Mapping[str, list[dict[str, Any]]]) -> list[Event]:
    """Return the orders, what was picked and sent of them, and jars taken otherwise."""
    events: list[Event] = [
        (_at(now, found["day"], _SOLD), partial(_take, shop, found)) for found in told["taken"]
    ]
    for found in told["order"]:
        at = _at(now, found["day"], _SOLD)
        made: list[str] = []
        events.append((at, partial(_order, shop, now, found, made)))
        if "sent" in found:
            sent = max(_at(now, found["sent"], _SOLD), at) + timedelta(minutes=10)
            events.append((sent, partial(_send, shop, made)))
    return events


def _take(shop: Workshop, told: Mapping[str, Any]) -> None:
    lot = jars.listing(shop, candle=told["candle"])[0].code
    jar_moves.take(shop, lot, {k: told[k] for k in ("jars", "fate", "note")})


def _order(shop: Workshop, now: datetime, told: Mapping[str, Any], made: list[str]) -> None:
    typed = {k: told[k] for k in ("channel", "buyer", "contact", "note") if k in told}
    if "due" in told:
        typed["due"] = _day(now, told["due"])
    for n, line in enumerate(told["lines"]):
        typed |= {f"lines.{n}.{name}": value for name, value in line.items()}
    made.append(orders.save(shop, None, typed).line.code)


def _send(shop: Workshop, made: list[str]) -> None:
    orders.pick(shop, made[0], {})
    orders.send(shop, made[0])


def _at(now: datetime, day: int, hour: int) -> datetime:
    at = (now + timedelta(days=day)).replace(hour=hour, minute=0, second=0, microsecond=0)
    return min(at, now)


def _day(now: datetime, days: int) -> str:
    day: date = now.date() + timedelta(days=days)
    return day.isoformat()
