"""`rushlight value --margins`: what the jars sold over a period earned."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from rushlight.cli.places import day_of
from rushlight.cli.say import say, say_json
from rushlight.cli.stores_json import Json, money, when
from rushlight.cli.stores_table import Shown, counted, day
from rushlight.cli.workshop import opened
from rushlight.cli.write import write_whole
from rushlight.cost.margin import Margin
from rushlight.errors import BadInput
from rushlight.quantity import show
from rushlight.quantity.preference import Preference
from rushlight.quantity.si import Fraction1
from rushlight.workshop import settings
from rushlight.workshop.stores.margins import margins

if TYPE_CHECKING:
    from rushlight.workshop.stores.truth_views import Margins

_DIGITS = 6
_PERCENT = 100
_WENT = {"given": "given away", "testing": "used for testing", "broken": "broken"}


@dataclass(frozen=True, slots=True)
class Period:
    """The days as typed; day: typed by mistake, for a period has two."""

    first: str | None
    last: str | None
    day: str | None


def run_margins(workshop: str, period: Period, *, csv: Path | None, as_json: bool) -> None:
    """Write what was earned."""
    if period.day is not None:
        raise BadInput.one("Margins are of a period.", "Use --from and --to.", "--day")
    with opened(workshop) as shop:
        last = day_of(period.last, "--to", shop.today())
        first = day_of(period.first, "--from", last.replace(month=1, day=1))
        if first > last:
            raise BadInput.one(
                "The period ends before it begins.", "Type an earlier day.", "--from"
            )
        found = margins(shop, first, last)
        pref = settings.current(shop).preference
    if csv is not None:
        write_whole(csv, _csv(found, pref.currency))
    if as_json:
        say_json({**shaped(found, pref.currency), "file": str(csv) if csv else None})
        return
    _show(found, pref)
    if csv is not None:
        say(f"{csv}: written.")


def shaped(found: Margins, currency: str) -> Json:
    """Return margins as JSON; costs and profit: null while the cost of a jar is not known."""
    return {
        "first_day": when(found.first),
        "last_day": when(found.last),
        "currency": currency,
        "lines": [
            {
                "candle": line.candle,
                "name": line.name,
                "channel": line.channel,
                **_earned(line.margin),
            }
            for line in found.lines
        ],
        "channels": [{"channel": name, **_earned(margin)} for name, margin in found.channels],
        "months": [{"month": f"{one.month:%Y-%m}", **_earned(one.margin)} for one in found.months],
        "total": _earned(found.total),
        "went": [
            {"reason": one.reason, "jars": one.jars, "cost": money(one.cost)} for one in found.went
        ],
    }


def _earned(found: Margin) -> Json:
    share = found.margin
    return {
        "jars": found.jars,
        "price": money(found.price),
        "fees": money(found.fees),
        "takings": money(found.takings),
        "cost": money(found.cost),
        "packaging_cost": money(found.packaging),
        "profit": money(found.profit),
        "margin_percent": None if share is None else round(float(share * _PERCENT), _DIGITS),
        "unknown_cost_jars": found.unknown,
    }


def _csv(found: Margins, currency: str) -> bytes:
    from rushlight.workshop.exchange.csv_writer import write_csv

    named = ("Price", "Fees", "Takings", "Cost", "Of which packaging", "Profit")
    heading = ("Candle", "Channel", "Jars", *(f"{name} ({currency})" for name in named))
    rows = (
        (
            *(line.name, line.channel, line.margin.jars, line.margin.price, line.margin.fees),
            *(line.margin.takings, line.margin.cost, line.margin.packaging, line.margin.profit),
        )
        for line in found.lines
    )
    return write_csv(heading, rows)


def _show(found: Margins, pref: Preference) -> None:
    shown = Shown(pref)
    shown.line(f"From {day(found.first)} to {day(found.last)}", "bold")
    if not found.lines:
        shown.line("No jar was sold.")
    _table(
        shown,
        "By candle and channel",
        ((f"{line.name}, {line.channel}", line.margin) for line in found.lines),
    )
    _table(shown, "By channel", found.channels)
    _table(
        shown,
        "By month",
        (
            *((f"{one.month:%Y-%m}", one.margin) for one in found.months),
            *((("All", found.total),) if found.lines else ()),
        ),
    )
    if found.lines:
        shown.line("Packaging: how much of the cost is what the jars were packed in.")
    for one in found.went:
        reason = _WENT.get(one.reason, one.reason)
        shown.line(f"Not sold: {counted(one.jars, 'jar')} {reason}, {shown.money(one.cost)}.")
    if found.total.unknown:
        many = counted(found.total.unknown, "jar")
        shown.line(f"The cost of {many} is not known, so their profit is not either.")


def _table(shown: Shown, title: str, rows: Iterable[tuple[str, Margin]]) -> None:
    shown.rows(
        title,
        ("", "Jars>", "Price>", "Fees>", "Cost>", "Packaging>", "Profit>", "Margin>"),
        (
            (
                *(name, one.jars, shown.money(one.price), shown.money(one.fees)),
                *(shown.money(one.cost), shown.money(one.packaging), shown.money(one.profit)),
                ""
                if one.margin is None
                else show.percent(Fraction1(float(one.margin)), shown.pref),
            )
            for name, one in rows
        ),
    )
