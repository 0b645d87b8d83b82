"""Building the demonstration workshop by the same verbs a maker uses, at its own times."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, timedelta
from functools import partial
from importlib.resources import files
from pathlib import Path
from typing import Any

from rushlight.demo import trade
from rushlight.errors import Refused
from rushlight.workshop import (
    Clock,
    Workshop,
    candles,
    hazards,
    materials,
    netweights,
    pours,
    prices,
    settings,
)
from rushlight.workshop.material_views import Measure, amount_reader
from rushlight.workshop.opening import create_workshop, open_workshop
from rushlight.workshop.pours import PourView
from rushlight.workshop.stores import working

SOURCE = "invented for the demonstration"


class Hand:
    """A clock moved by hand."""

    def __init__(self, now: datetime) -> None:
        """Stop at a time."""
        self.now = now

    def __call__(self) -> datetime:
        """Return the time it shows."""
        return self.now


def build(path: str | Path, *, clock: Clock) -> Workshop:
    """Make the demonstration workshop in a new file and open it.

    Everything in it is invented, and its settings say so. Dates lie round the clock's
    time; apart from them it is the same each time.
    """
    target = Path(path).absolute()
    if target.exists():
        raise Refused(f"{target} exists already. Open it, or choose another name.")
    making = target.with_name(f".{target.name}.building")
    making.unlink(missing_ok=True)
    fill(making, now=clock())
    making.replace(target)
    return open_workshop(target, clock=clock)


def fill(place: str | Path, *, now: datetime) -> None:
    """Make the demonstration workshop in a new file or an empty database."""
    hand = Hand(now - timedelta(days=60))
    shop = create_workshop(place, clock=hand, durable=False)
    try:
        _stock(shop)
        _designs(shop)
        plan = _data("workshop.toml")
        for channel in plan["channel"]:
            prices.save_channel(shop, None, channel)
        _happen(shop, hand, now, plan["pour"])
        for lot in _data("hazards.toml")["lot"]:
            _lot(shop, hand, lot)
    finally:
        shop.close()


def _stock(shop: Workshop) -> None:
    """Put settings, materials, prices and what is in hand into place.

    The stock is told as all that ever came: what deliveries bring later is left out here.
    """
    settings.mark_demo(shop)
    later = _to_come()
    for found in _data("materials.toml")["material"]:
        typed = dict(found)
        offers, stock = typed.pop("prices", []), typed.pop("stock")
        typed["facts"] = {
            name: {"value": value, "origin": origin, "source": SOURCE}
            for name, (value, origin) in typed.get("facts", {}).items()
        }
        slug = materials.save(shop, None, typed).slug
        for offer in offers:
            materials.save_price(shop, slug, offer)
        left = amount_reader(materials.get(shop, slug).measure)(stock).units
        for measure, units in later.get(typed["name"], ()):
            left -= units
            stock = f"{left}" if measure == "pieces" else f"{left / 1000:.0f} g"
        if left > 0:
            materials.receive(shop, slug, {"amount": stock, "note": "Opening stock"})
    _papers(shop)
    settings.change(shop, _data("workshop.toml")["settings"])


def _to_come() -> dict[str, list[tuple[str, int]]]:
    """Return what the deliveries bring, by name of the material: how it is counted, how much."""
    found: dict[str, list[tuple[str, int]]] = {}
    for delivery in _data("stores.toml")["delivery"]:
        for line in delivery["lines"]:
            measure = Measure.PIECES if line["pack"].isdecimal() else Measure.MASS
            each = amount_reader(measure)(line["pack"]).units
            found.setdefault(line["material"], []).append((measure, each * int(line["packs"])))
    return found


def _happen(shop: Workshop, hand: Hand, now: datetime, poured: list[dict[str, Any]]) -> None:
    """Let everything happen in its order: deliveries, pours, orders."""
    told = _data("stores.toml")
    events: list[trade.Event] = [
        (_start(now, p), partial(_pour, shop, hand, now, p)) for p in poured
    ]
    events += [*trade.deliveries(shop, now, told["delivery"]), *trade.sales(shop, now, told)]
    for at, act in sorted(events, key=lambda event: event[0]):
        hand.now = at
        act()


def _papers(shop: Workshop) -> None:
    """Keep the safety data sheets and the certificates."""
    for found in _data("hazards.toml")["sheet"]:
        typed = dict(found)
        slug, certificate = typed.pop("material"), typed.pop("certificate", None)
        hazards.save_sheet(shop, slug, typed)
        if certificate is not None:
            hazards.save_certificate(shop, slug, certificate)


def _lot(shop: Workshop, hand: Hand, told: Mapping[str, Any]) -> None:
    """Weigh jars of a pour, some days after it was begun."""
    begun = pours.get(shop, told["pour"]).started_at
    if begun is None:
        raise Refused(f"Pour {told['pour']} was never begun, so it has no jars to weigh.")
    hand.now = begun + timedelta(days=told["after"])
    netweights.save_lot(
        shop, told["candle"], told["pour"], told["weights"], told["label"], note=told["note"]
    )


def _designs(shop: Workshop) -> None:
    for document in _data("candles.toml")["candle"]:
        candles.save(shop, None, document)


def _pour(shop: Workshop, hand: Hand, now: datetime, told: Mapping[str, Any]) -> None:
    """Plan a pour three days ahead, and carry it as far as it went."""
    day = now.date() + timedelta(days=told["day"])
    start = _start(now, told)
    hand.now = min(start, now) - timedelta(days=3)
    view = pours.plan(shop, told["candle"], {"jars": told["jars"]}, day)
    if told["state"] != "planned":
        hand.now = start
        pours.start(shop, view.id, {"person": told["person"]})
        for minutes, act in sorted(_acts(shop, view, told), key=lambda pair: pair[0]):
            hand.now = start + timedelta(minutes=minutes)
            act()
    if told["state"] == "finished":
        hand.now = start + timedelta(minutes=80)
        typed = {key: told[key] for key in ("good", "note")}
        typed |= {f"rejected.{why}": jars for why, jars in told.get("rejected", {}).items()}
        pours.finish(shop, view.id, typed)


def _start(now: datetime, told: Mapping[str, Any]) -> datetime:
    if "minutes_ago" in told:
        return now - timedelta(minutes=told["minutes_ago"])
    hour, minute = map(int, told.get("at", "09:00").split(":"))
    day = now + timedelta(days=told["day"])
    return day.replace(hour=hour, minute=minute, second=0, microsecond=0)


def _acts(
    shop: Workshop, view: PourView, told: Mapping[str, Any]
) -> Iterator[tuple[float, Callable[[], object]]]:
    """Yield what was done at the bench, each with its minute after the start."""
    offsets = told.get("weighed", [])
    minute = 1.0
    for p, pot in enumerate(view.pots):
        wanted = told.get("ticked", [len(pot.lines)] * len(view.pots))[p]
        for i, line in enumerate(pot.lines[:wanted]):
            off = offsets[p][i] if p < len(offsets) and i < len(offsets[p]) else 0
            actual = f"{line.planned * 1000 + off:.0f} g"
            yield minute, partial(pours.tick, shop, view.id, pot.number, line.key, actual)
            minute += 1.0
    for at, typed in told.get("readings", []):
        yield at, partial(pours.read_temperature, shop, view.id, 1, typed)
    for step, person, begun, done in told.get("worked", []):
        times: list[int] = []
        yield begun, partial(_begin, shop, view.id, step, person, times)
        if done:
            yield done, partial(_stop, shop, view.id, times)
    timer = told.get("timer")
    if timer is not None:
        start = partial(pours.start_timer, shop, view.id, timer["pot"])
        yield timer["at"], partial(start, timer["name"], timer["time"])


def _begin(shop: Workshop, pour: int, step: str, person: str, times: list[int]) -> None:
    times.append(working.start(shop, pour, step, person).id)


def _stop(shop: Workshop, pour: int, times: list[int]) -> None:
    working.stop(shop, pour, times[0])


def _data(name: str) -> dict[str, Any]:
    return tomllib.loads(files("rushlight.demo").joinpath(name).read_text("utf-8"))
