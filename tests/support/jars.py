"""Lots of jars and of materials, put straight into a workshop's ledger."""

from __future__ import annotations

from datetime import date, timedelta

from sqlalchemy import func, select

from rushlight.store.codes import jar_code, stock_code
from rushlight.store.deeds import deed_of
from rushlight.store.marks import stamp
from rushlight.store.queries.candles import candle_row, last_number, revision_row
from rushlight.store.tables import delivery, jar_lot, material, pour, stock_lot, supplier
from rushlight.workshop import Workshop, candles, materials, prices


def furnish(shop: Workshop) -> None:
    """Put two candles, a channel and two materials into an empty workshop."""
    for name in ("Slipway", "Painter's Locker"):
        candles.save(shop, None, {**candles.blank(shop), "name": name})
    market = {"name": "Saturday market", "kind": "direct", "aim": "price", "target": "9.00"}
    prices.save_channel(shop, None, market)
    for role, name in (("wax", "Millpond soy"), ("fragrance", "Sea lavender")):
        materials.save(shop, None, {"role": role, "name": name})


def stocked(  # noqa: PLR0913 - a lot has many facts
    shop: Workshop,
    slug: str,
    amount: int,
    *,
    supplier_lot: str = "",
    from_whom: str = "",
    expires: date | None = None,
    cost: int = 1_000_000,
) -> str:
    """Put a lot of a material into stores, delivered by somebody or not; return its code."""
    day = shop.today().isoformat()
    with deed_of(shop.store, "test.lot", at=shop.now()) as work:
        connection = work.connection
        owner = connection.execute(
            select(material.c.id).where(material.c.slug == slug)
        ).scalar_one()
        came = None
        if from_whom:
            whom = connection.execute(
                select(supplier.c.id).where(supplier.c.name == from_whom)
            ).scalar() or work.add("supplier", name=from_whom)
            came = work.add(
                delivery.name,
                supplier_id=whom,
                day=day,
                freight=0,
                duty=0,
                freight_by="value",
                duty_by="value",
                at=stamp(work.at),
            )
        code = stock_code((connection.execute(select(func.max(stock_lot.c.id))).scalar() or 0) + 1)
        lot = work.add(
            "stock_lot",
            code=code,
            material_id=owner,
            delivery_id=came,
            supplier_lot=supplier_lot,
            amount=amount,
            cost=cost,
            costed=1,
            received_on=day,
            expires_on=expires.isoformat() if expires else None,
            date_kind="expiry" if expires else "",
            at=stamp(work.at),
        )
        work.do("move", stock_lot_id=lot, amount=amount, value=cost, reason="received")
        work.said = f"Lot {code}."
    return code


def jarred(  # noqa: PLR0913 - what was poured, when, and of what
    shop: Workshop,
    slug: str,
    jars: int,
    *,
    poured: date | None = None,
    cure: int = 0,
    cost: int = 50_000,
    of: dict[str, int] | None = None,
) -> str:
    """Pour jars of a candle; return the code of their lot.

    poured: today where it is not said. cure [days]. of: amounts used by code of lot.
    """
    day = poured or shop.today()
    at = stamp(shop.now())
    with deed_of(shop.store, "test.jars", at=shop.now()) as work:
        connection = work.connection
        row = candle_row(connection, slug)
        assert row is not None
        latest = revision_row(connection, row["id"], last_number(connection, row["id"]))
        assert latest is not None
        number = work.add(
            "pour",
            candle_id=row["id"],
            revision_id=latest["id"],
            state="finished",
            planned_for=day.isoformat(),
            planned_at=at,
            started_at=at,
            finished_at=at,
            ready_on=(day + timedelta(days=cure)).isoformat(),
            document="{}",
            batch="{}",
            jars=jars,
            good=jars,
            rejected=0,
            person="Ada",
        )
        for code, amount in (of or {}).items():
            lot = connection.execute(
                select(stock_lot.c.id).where(stock_lot.c.code == code)
            ).scalar_one()
            work.do("move", stock_lot_id=lot, amount=-amount, reason="used", pour_id=number)
        same_day = jar_lot.c.poured_on == day.isoformat()
        nth = connection.execute(select(func.count()).where(same_day)).scalar_one() + 1
        code = jar_code(day, nth)
        made = work.add(
            "jar_lot",
            code=code,
            pour_id=number,
            candle_id=row["id"],
            poured_on=day.isoformat(),
            ready_on=(day + timedelta(days=cure)).isoformat(),
            jars=jars,
            cost=cost,
            costed=1,
            costing="{}",
            at=at,
        )
        work.do("jars", jar_lot_id=made, jars=jars, value=cost, reason="poured")
        work.subject = f"pour:{number}"
        work.said = f"Poured {code}."
    return code


def pour_of(shop: Workshop, code: str) -> int:
    """Return the number of the pour that made a lot of jars."""
    with shop.store.reading() as connection:
        query = select(pour.c.id).join(jar_lot, jar_lot.c.pour_id == pour.c.id)
        return int(connection.execute(query.where(jar_lot.c.code == code)).scalar_one())


def left(shop: Workshop, code: str) -> tuple[int, int]:
    """Return jars in hand of a lot and what they are worth [1/10 000]."""
    from rushlight.store.moves import jars_left

    with shop.store.reading() as connection:
        number = connection.execute(select(jar_lot.c.id).where(jar_lot.c.code == code)).scalar_one()
        balance = jars_left(connection, number)
    return balance.units, balance.value


def moved(shop: Workshop, code: str, amount: int, reason: str, pour_id: int | None = None) -> None:
    """Write a movement of a lot of a material; below zero where it leaves."""
    with deed_of(shop.store, "test.move", at=shop.now()) as work:
        lot = work.connection.execute(
            select(stock_lot.c.id).where(stock_lot.c.code == code)
        ).scalar_one()
        links = {} if pour_id is None else {"pour_id": pour_id}
        work.do("move", stock_lot_id=lot, amount=amount, reason=reason, **links)
        work.said = f"{reason} {amount} of {code}."


def taken(shop: Workshop, code: str, jars: int, reason: str, line: int | None = None) -> None:
    """Take jars of a lot for a reason; put some back where they are below zero."""
    with deed_of(shop.store, "test.take", at=shop.now()) as work:
        lot = work.connection.execute(select(jar_lot.c.id).where(jar_lot.c.code == code)).scalar()
        links = {} if line is None else {"order_line_id": line}
        work.do("jars", jar_lot_id=lot, jars=-jars, reason=reason, **links)
        work.said = f"{reason} {jars} of {code}."


def held(shop: Workshop, code: str, pour_id: int) -> None:
    """Hold some of a lot for a pour."""
    with deed_of(shop.store, "test.hold", at=shop.now()) as work:
        row = work.connection.execute(
            select(stock_lot.c.id, stock_lot.c.material_id).where(stock_lot.c.code == code)
        ).one()
        work.add(
            "reservation",
            pour_id=pour_id,
            material_id=row.material_id,
            stock_lot_id=row.id,
            amount=1000,
            at=stamp(work.at),
        )
        work.said = f"Held {code}."
