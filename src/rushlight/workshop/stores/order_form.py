"""Reading an order as typed: its head, and its lines by number."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

from rushlight.errors import BadInput
from rushlight.quantity import parse
from rushlight.workshop.stores.amounts import money_reader
from rushlight.workshop.stores.catalogue import Catalogue
from rushlight.workshop.typed import LONGEST_NOTE, Typed, day, within

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

HEAD: Final = ("channel", "buyer", "contact", "placed", "due", "note")
PARTS: Final = ("id", "candle", "jars", "price")
MOST_LINES: Final = 500
MOST_JARS: Final = 100_000
_LINE: Final = re.compile(rf"lines\.(\d{{1,4}})\.({'|'.join(PARTS)})")


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRead:
    """A line as read. number: of the line it changes, None for a new one. price: 1/10 000."""

    place: str
    number: int | None
    candle: RowMapping
    jars: int
    price: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRead:
    """An order as read. lines: None where none was typed, and those there are stand."""

    channel: int
    buyer: str
    contact: str
    placed: date
    due: date | None
    note: str
    lines: tuple[LineRead, ...] | None


def jars_read(form: Typed, place: str, *, least: int = 0) -> int | None:
    """Return a number of jars; None where it is empty or was noted as a problem."""
    said = f"a number of jars from {least} to {MOST_JARS:,}"
    return form.read(place, within(parse.count, least, MOST_JARS, said))


def price_read(form: Typed, place: str, currency: str) -> int | None:
    """Return a price for one jar [1/10 000]; None where it is empty or was noted as a problem."""
    return form.read(place, money_reader(currency))


def line_places(typed: Iterable[str]) -> tuple[str, ...]:
    """Return the places of the lines that are named in what was typed, in their order."""
    numbers = {int(found[1]) for found in map(_LINE.fullmatch, typed) if found}
    return tuple(f"lines.{number}" for number in sorted(numbers))


def read_order(  # noqa: PLR0913 - what was typed, where to look it up, and what there is
    typed: Mapping[str, str],
    catalogue: Catalogue,
    *,
    currency: str,
    today: date,
    row: RowMapping | None,
    lines: Sequence[RowMapping],
) -> OrderRead:
    """Return an order as read; BadInput with every problem.

    row, lines: the order it changes, None and none for a new one; what is not typed stays.
    """
    places = line_places(typed)[:MOST_LINES]
    known = {*HEAD, *(f"{place}.{part}" for place in places for part in PARTS)}
    form = Typed({**_stands(row, today), **typed}, known)
    channel, slug = _channel(form, catalogue, row)
    placed = form.read("placed", day, default=today.isoformat()) or today
    due = form.read("due", day)
    if due is not None and due < placed:
        form.problems.add("due", "It is due before it was placed.", "Look at both days.")
    read = OrderRead(
        channel=channel,
        buyer=" ".join(form.text("buyer").split()),
        contact=" ".join(form.text("contact").split()),
        placed=placed,
        due=due,
        note=form.text("note", longest=LONGEST_NOTE),
        lines=_lines(form, catalogue, places, lines, (slug, currency)) if places else None,
    )
    if not read.lines and (row is None or read.lines is not None):
        what = "The order has no line."
        if not any(p.place.startswith("lines.") for p in form.problems.found):
            form.problems.add("lines", what, "Choose a candle and type how many jars.")
    form.problems.check()
    return read


def _stands(row: RowMapping | None, today: date) -> dict[str, str]:
    if row is None:
        return {"placed": today.isoformat()}
    names = {"channel": "channel_slug", "buyer": "buyer", "placed": "placed_on", "due": "due_on"}
    return {name: row[column] or "" for name, column in names.items()} | {"note": row["note"]}


def _channel(form: Typed, catalogue: Catalogue, row: RowMapping | None) -> tuple[int, str]:
    """Return the number and the short name of the channel; the one it has may be out of use."""
    text = form.needed("channel", "It is not said how this is sold.", "Choose a channel.")
    if row is not None and text == row["channel_slug"]:
        return int(row["channel_id"]), text
    if text:
        try:
            found = catalogue.channel(text)
        except BadInput as bad:
            form.problems.extend(bad.at("channel").problems)
        else:
            return int(found["id"]), str(found["slug"])
    return 0, ""


def _lines(
    form: Typed,
    catalogue: Catalogue,
    places: Sequence[str],
    stand: Sequence[RowMapping],
    asked: tuple[str, str],
) -> tuple[LineRead, ...]:
    left = {int(line["id"]): line for line in stand}
    kept = {form.text(f"{place}.id") for place in places} - {""}
    found = []
    for place in places:
        if form.text(f"{place}.candle") or form.text(f"{place}.jars"):
            line = _line(form, catalogue, place, (left, kept), asked)
            if line is not None:
                found.append(line)
    return tuple(found)


def _line(
    form: Typed,
    catalogue: Catalogue,
    place: str,
    stand: tuple[dict[int, RowMapping], set[str]],
    asked: tuple[str, str],
) -> LineRead | None:
    """Return a line; None where it has a problem, or no jars (then it is left out)."""
    (left, kept), (channel, currency) = stand, asked
    name = form.needed(f"{place}.candle", "No candle is chosen.", "Choose one.")
    form.needed(f"{place}.jars", "The number of jars is missing.", "Type it, like 12.")
    jars = jars_read(form, f"{place}.jars")
    price = price_read(form, f"{place}.price", currency)
    candle = None
    if name:
        try:
            candle = catalogue.candle(name)
        except BadInput as bad:
            form.problems.extend(bad.at(f"{place}.candle").problems)
    if candle is None or not jars:
        return None
    line = _same(form, place, candle, left, kept)
    if candle["retired_at"] is not None and line is None:
        what = f"{candle['name']} is out of use."
        form.problems.add(f"{place}.candle", what, "Choose another candle.")
        return None
    if price is None and line is not None and f"{place}.price" not in form.texts:
        price = int(line["price"])
    if price is None:
        price = _asked(form, place, catalogue, candle, channel)
    if price is None:
        return None
    number = None if line is None else int(line["id"])
    return LineRead(place=place, number=number, candle=candle, jars=jars, price=price)


def _same(
    form: Typed, place: str, candle: RowMapping, left: dict[int, RowMapping], kept: set[str]
) -> RowMapping | None:
    """Return the line this one changes: the one it names, or the next one of the same candle."""
    named = form.text(f"{place}.id")
    for number, line in list(left.items()):
        meant = str(number) == named if named else str(number) not in kept
        if meant and line["candle_id"] == candle["id"]:
            return left.pop(number)
    return None


def _asked(
    form: Typed, place: str, catalogue: Catalogue, candle: RowMapping, channel: str
) -> int | None:
    """Return the price asked where none was typed, unless something is wrong there already."""
    there = {problem.place for problem in form.problems.found}
    if not channel or f"{place}.price" in there:
        return None
    try:
        return catalogue.asked(candle, channel)
    except BadInput as bad:
        form.problems.extend(bad.at(f"{place}.price").problems)
        return None
