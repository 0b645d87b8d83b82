"""Pack prices: by supplier, from a number of packs on, since a day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from rushlight.errors import NotFound
from rushlight.quantity import parse
from rushlight.workshop.material_views import Amount, MaterialView, Measure, Price, amount_reader
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import Typed, day, within

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

    from rushlight.store.deeds import Work

MONEY = 10_000
"""Money is kept in this part of the currency."""
_MILLIGRAMS = 1_000_000
_DEAREST = 1e6


def view_of_price(row: RowMapping, measure: Measure) -> Price:
    """Return a pack price as a view."""
    return Price(
        id=row["id"],
        supplier=row["supplier"],
        pack=row["pack_typed"],
        amount=Amount(row["pack"], measure),
        price=Decimal(row["price"]) / MONEY,
        from_packs=row["from_packs"],
        since=date.fromisoformat(row["since"]),
    )


def in_force(rows: Iterable[RowMapping], today: date) -> list[RowMapping]:
    """Return the prices in force: of each supplier, pack and tier the newest that has begun.

    rows: oldest first.
    """
    newest: dict[tuple[Any, ...], RowMapping] = {}
    for row in rows:
        if row["since"] <= today.isoformat():
            which = (row["material_id"], row["supplier_id"], row["pack"], row["from_packs"])
            newest[which] = row
    return list(newest.values())


def cheapest(rows: Iterable[RowMapping], today: date) -> dict[int, Decimal]:
    """Return the price of a kilogram or piece by material: the best for a single pack."""
    found: dict[int, Decimal] = {}
    for row in in_force(rows, today):
        if row["from_packs"] != 1:
            continue
        owner, each = row["material_id"], unit_price(row)
        found[owner] = min(each, found.get(owner, each))
    return found


def unit_price(row: RowMapping) -> Decimal:
    """Return the price of a kilogram or piece in a pack."""
    per = 1 if row["measure"] == Measure.PIECES else _MILLIGRAMS
    return Decimal(int(row["price"]) * per) / (int(row["pack"]) * MONEY)


def save_price(
    shop: Workshop, slug: str, typed: Mapping[str, str], *, key: str | None = None
) -> MaterialView:
    """Note a pack price. typed: supplier, pack, price, from_packs ("1"), since (a date)."""
    from rushlight.store.deeds import deed_of
    from rushlight.workshop.materials import get

    with deed_of(shop.store, "price.save", at=shop.now(), key=key) as work:
        if work.first is None:
            save_price_within(shop, work, slug, typed)
            work.result = {"slug": slug}
    return get(shop, slug)


def save_price_within(shop: Workshop, work: Work, slug: str, typed: Mapping[str, str]) -> None:
    """Note a pack price as part of a deed, as `save_price`."""
    from rushlight.store.marks import plain
    from rushlight.store.queries import materials as query
    from rushlight.store.queries.others import settings
    from rushlight.workshop.materials import existing
    from rushlight.workshop.settings import settings_of

    row = existing(work.connection, slug)
    currency = settings_of(settings(work.connection)).preference.currency
    values = _form(typed, Measure(row["measure"]), currency, shop.today())
    supplier = values.pop("supplier")
    known = query.suppliers(work.connection)
    same = (number for called, number in known.items() if plain(called) == plain(supplier))
    owner = known.get(supplier) or next(same, 0) or work.add("supplier", name=supplier)
    work.add("price", material_id=row["id"], supplier_id=owner, **values)
    work.said = f"Price of {row['name']} from {supplier}."


def _form(typed: Mapping[str, str], measure: Measure, currency: str, today: date) -> dict[str, Any]:
    form = Typed(typed, ("supplier", "pack", "price", "from_packs", "since"))
    supplier = form.needed("supplier", "The supplier is missing.", "Type who sells it.")
    like = "24" if measure is Measure.PIECES else "10 kg"
    form.needed("pack", "The size of the pack is missing.", f"Type it, like {like}.")
    pack = form.read("pack", amount_reader(measure))
    if pack is not None and pack.units == 0:
        form.problems.add("pack", "A pack holds something.", f"Type it, like {like}.")
    form.needed("price", "The price of the pack is missing.", "Type it, like 48.50.")
    price = form.read(
        "price",
        within(
            lambda text: parse.money(text, currency=currency), 0, _DEAREST, "from 0 to 1,000,000"
        ),
    )
    packs = form.read(
        "from_packs", within(parse.count, 1, 1_000_000, "from 1 to 1,000,000"), default="1"
    )
    since = form.read("since", day, default=today.isoformat())
    form.problems.check()
    return {
        "supplier": supplier,
        "pack_typed": form.text("pack"),
        "pack": 0 if pack is None else pack.units,
        "price": int((price or Decimal(0)) * MONEY),
        "from_packs": packs or 1,
        "since": (since or today).isoformat(),
    }


def drop_price(shop: Workshop, slug: str, price: int, *, key: str | None = None) -> MaterialView:
    """Take a pack price out of use."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries import materials as query
    from rushlight.workshop.materials import existing, get

    with deed_of(shop.store, "price.drop", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, slug)
            found = query.price_row(work.connection, price)
            if found is None or found["material_id"] != row["id"] or found["retired_at"]:
                raise NotFound(f"{row['name']} has no price {price}.")
            work.change("price", price, retired_at=stamp(work.at))
            work.subject = f"price:{price}"
            work.said = f"Dropped a price of {row['name']}."
            work.result = {"slug": slug}
    return get(shop, slug)
