"""What can be ordered: candles and channels as they are called, and the price asked."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING, Final

from rushlight.errors import BadInput
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.ledger import MONEY

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.workshop.prices import PriceTable

_COIN: Final = Decimal("0.01")
_MANY: Final = 12  # names in a message


class Catalogue:
    """Looks up candles, channels and prices within one deed, each at most once.

    Many orders read in at once share one, for a candle's prices take a while to work out.
    """

    def __init__(self, shop: Workshop, connection: Connection) -> None:
        """Look nothing up yet."""
        self._shop, self._connection = shop, connection
        self._candles: list[RowMapping] | None = None
        self._channels: list[RowMapping] | None = None
        self._tables: dict[str, PriceTable] = {}

    def candle(self, text: str) -> RowMapping:
        """Return a candle by its short name, or by its name whatever the case; BadInput."""
        from rushlight.store.marks import plain
        from rushlight.store.queries.orders import candles

        if self._candles is None:
            self._candles = list(candles(self._connection))
        wanted = text.strip()
        for row in self._candles:
            if row["slug"] == wanted:
                return row
        in_use = [row for row in self._candles if row["retired_at"] is None]
        called = [row for row in in_use if plain(row["name"]) == plain(wanted)]
        if len(called) == 1:
            return called[0]
        if called:
            short = ", ".join(row["slug"] for row in called[:_MANY])
            raise BadInput.one(
                f"Several candles are called “{wanted[:60]}”.", f"Type which one: {short}."
            )
        raise BadInput.one(f"There is no candle “{wanted[:60]}”.", "Choose one of your candles.")

    def channel(self, text: str) -> RowMapping:
        """Return a channel in use by its short name, or by its name whatever the case; BadInput."""
        from rushlight.store.marks import plain
        from rushlight.store.queries.others import channels

        if self._channels is None:
            self._channels = list(channels(self._connection))
        wanted = text.strip()
        for row in self._channels:
            if wanted == row["slug"] or plain(wanted) == plain(row["name"]):
                return row
        if not self._channels:
            raise BadInput.one("There is no channel yet.", "Make one first, under prices.")
        names = ", ".join(row["name"] for row in self._channels[:_MANY])
        raise BadInput.one(f"There is no channel “{wanted[:60]}”.", f"Choose from {names}.")

    def asked(self, candle: RowMapping, channel: str) -> int:
        """Return the price asked for a jar in a channel (its short name) [1/10 000]; BadInput."""
        from rushlight.workshop.prices import table_within

        slug = candle["slug"]
        why = "It is not worked out for this channel."
        price: Decimal | None = None
        try:
            if slug not in self._tables:
                self._tables[slug] = table_within(self._shop, self._connection, slug)
        except BadInput as bad:
            why = str(bad.problems[0])
        else:
            for row in self._tables[slug].rows:
                if row.channel.slug == channel:
                    price = None if row.asked is None else row.asked.price
                    why = row.problem or why
        if price is None:
            raise BadInput.one(f"{candle['name']} has no price here. {why}", "Type the price.")
        return int(price.quantize(_COIN, ROUND_HALF_EVEN) * MONEY)
