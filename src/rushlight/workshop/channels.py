"""Ways of selling: kept as typed, used as channels of the core."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from rushlight.cost import channel as core
from rushlight.cost.channel import Channel, Kind
from rushlight.errors import BadInput, NotFound
from rushlight.quantity import parse
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import Typed, slug_of, within

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

AIMS: Final = ("margin", "markup", "price", "same retail")
"""What a price is made from: a margin, a markup, a price, or the first channel's retail price."""

KIND_FIELDS: Final[Mapping[Kind, tuple[str, ...]]] = {
    Kind.DIRECT: (),
    Kind.STALL: ("day", "jars_a_day", "percent", "fixed"),
    Kind.SHOP: ("percent", "fixed", "jars_an_order"),
    Kind.MARKETPLACE: ("listing", "percent", "fixed"),
    Kind.WHOLESALE: ("of_retail", "minimum_order"),
    Kind.CONSIGNMENT: ("percent",),
}
"""The fields of each kind of channel, beside name, kind, aim and target."""

_COMMON: Final = ("name", "kind", "aim", "target")
_MONEY: Final = frozenset({"day", "fixed", "listing", "minimum_order"})
_SHARES: Final = frozenset({"percent", "of_retail"})
_DEFAULTS: Final[Mapping[str, str]] = {
    "day": "0",
    "jars_a_day": "20",
    "percent": "0 %",
    "fixed": "0",
    "jars_an_order": "1",
    "listing": "0",
    "of_retail": "50 %",
    "minimum_order": "0",
}
_TARGETS: Final[Mapping[str, str]] = {"margin": "60 %", "markup": "150 %", "price": "12.00"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ChannelView:
    """A way of selling, as typed; channel: as the core takes it.

    aim: one of `AIMS`; target [1 or money] what is aimed at, None for "same retail".
    """

    slug: str
    name: str
    kind: str
    typed: Mapping[str, str]
    channel: Channel
    aim: str
    target: Decimal | None


def channels(shop: Workshop) -> tuple[ChannelView, ...]:
    """Return the channels in the order they were made."""
    from rushlight.store.queries.others import settings

    with shop.store.reading() as connection:
        return channels_within(connection, settings(connection).get("currency", "GBP"))


def channels_within(connection: Connection, currency: str) -> tuple[ChannelView, ...]:
    """Return the channels within a reading."""
    from rushlight.store.queries.others import channels as rows

    return tuple(_view(row, currency) for row in rows(connection))


def save_channel(
    shop: Workshop, slug: str | None, typed: Mapping[str, str], *, key: str | None = None
) -> ChannelView:
    """Make or change a channel. typed: name, kind, aim, target and the kind's own fields."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import written
    from rushlight.store.queries.others import channel_row, settings

    with deed_of(shop.store, "channel.save", at=shop.now(), key=key) as work:
        currency = settings(work.connection).get("currency", "GBP")
        if work.first is None:
            row = None if slug is None else _existing(work.connection, slug)
            was = {} if row is None else _texts(row)
            texts = {**was, **typed}
            read(texts, currency)
            kept = {k: str(v).strip() for k, v in texts.items() if k not in ("name", "kind")}
            columns = {
                "name": " ".join(str(texts["name"]).split()),
                "kind": str(texts["kind"]),
                "typed": written(kept),
            }
            made = slug or slug_of(
                columns["name"], lambda s: channel_row(work.connection, s) is not None
            )
            if row is None:
                work.add("channel", slug=made, **columns)
            else:
                work.change("channel", row["id"], **columns)
            work.subject = f"channel:{made}"
            work.said = f"Saved the channel {columns['name']}."
            work.result = {"slug": made}
        return _view(_existing(work.connection, work.outcome()["slug"]), currency)


def drop_channel(shop: Workshop, slug: str, *, key: str | None = None) -> None:
    """Take a channel out of use; it can be undone."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp

    with deed_of(shop.store, "channel.drop", at=shop.now(), key=key) as work:
        if work.first is None:
            row = _existing(work.connection, slug)
            work.change("channel", row["id"], retired_at=stamp(work.at))
            work.subject = f"channel:{slug}"
            work.said = f"Dropped the channel {row['name']}."


def _existing(connection: Connection, slug: str) -> RowMapping:
    from rushlight.store.queries.others import channel_row

    row = channel_row(connection, slug)
    if row is None or row["retired_at"] is not None:
        raise NotFound(f"There is no channel “{slug[:60]}” in this workshop.")
    return row


def _texts(row: RowMapping) -> dict[str, str]:
    return {"name": row["name"], "kind": row["kind"], **json.loads(row["typed"])}


def _view(row: RowMapping, currency: str) -> ChannelView:
    texts = _texts(row)
    channel, aim, target = read(texts, currency)
    return ChannelView(
        slug=row["slug"],
        name=row["name"],
        kind=row["kind"],
        typed=texts,
        channel=channel,
        aim=aim,
        target=target,
    )


def read(typed: Mapping[str, str], currency: str) -> tuple[Channel, str, Decimal | None]:
    """Return a channel with its aim and target; BadInput with every problem.

    Fields of other kinds than the one chosen are passed over, so that a form may
    send them all.
    """
    known = {*_COMMON, *(field for fields in KIND_FIELDS.values() for field in fields)}
    form = Typed(typed, known)
    name = form.needed("name", "The channel has no name.", "Type a name, like Saturday market.")
    kind = Kind(form.choice("kind", tuple(Kind), Kind.DIRECT))
    usual = "same retail" if kind in (Kind.WHOLESALE, Kind.CONSIGNMENT) else "margin"
    aim = form.choice("aim", AIMS, usual)
    target = None
    if aim in _TARGETS:
        target = form.read("target", _target_reader(aim, currency), default=_TARGETS[aim])
    values = {field: _value(form, field, currency) for field in KIND_FIELDS[kind]}
    channel = core.direct(name)
    if not form.problems.found:
        try:
            channel = _channel(kind, name, values)
        except BadInput as bad:
            form.problems.extend(bad.problems)
    form.problems.check()
    return channel, aim, target


def _channel(kind: Kind, name: str, values: Mapping[str, Decimal]) -> Channel:
    makers: Mapping[Kind, Any] = {
        Kind.DIRECT: core.direct,
        Kind.STALL: core.stall,
        Kind.SHOP: core.shop,
        Kind.MARKETPLACE: core.marketplace,
        Kind.WHOLESALE: core.wholesale,
        Kind.CONSIGNMENT: core.consignment,
    }
    made: Channel = makers[kind](name=name, **values)
    return made


def _target_reader(aim: str, currency: str) -> Any:
    if aim == "price":
        return within(lambda text: parse.money(text, currency=currency), 0.01, 1e6, "a price")
    most = 0.99 if aim == "margin" else 20
    return within(_share, 0, most, f"from 0 % to {most * 100:g} %")


def _value(form: Typed, field: str, currency: str) -> Decimal:
    default = _DEFAULTS[field]
    if field in _MONEY:
        money = within(lambda text: parse.money(text, currency=currency), 0, 1e6, "an amount")
        value = form.read(field, money, default=default)
    elif field in _SHARES:
        value = form.read(field, within(_share, 0, 1, "from 0 % to 100 %"), default=default)
    else:
        value = form.read(
            field, within(parse.number, 0.01, 1e5, "a number of jars, like 20"), default=default
        )
    return Decimal(0) if value is None else value


def _share(text: str) -> Decimal:
    return Decimal(repr(float(parse.fraction(text))))
