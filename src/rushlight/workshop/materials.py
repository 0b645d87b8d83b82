"""Materials: facts, prices, what is in hand."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rushlight.candle.facts import ORIGINS, Shelf
from rushlight.errors import NotFound, Refused
from rushlight.workshop.material_prices import cheapest, drop_price, save_price, view_of_price
from rushlight.workshop.material_views import (
    ROLES,
    Amount,
    Fact,
    MaterialLine,
    MaterialView,
    Measure,
    Movement,
    Price,
    amount_reader,
    usual_measure,
)
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stocks import count, on_hand, receive, scrap
from rushlight.workshop.typed import LONGEST_NOTE, Typed, slug_of

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.deeds import Work

__all__ = [
    "ROLES",
    "Amount",
    "Fact",
    "MaterialLine",
    "MaterialView",
    "Measure",
    "Movement",
    "Price",
    "count",
    "drop_price",
    "get",
    "kinds",
    "listing",
    "names",
    "on_hand",
    "receive",
    "retire",
    "save",
    "save_price",
    "save_within",
    "scrap",
    "shelf",
    "suppliers",
]

_FIELDS = ("role", "name", "note", "kind", "measure", "low_at")
_RECENT = 50
_LONGEST_FACT = 500
_NOT_FACTS = frozenset({"use", "kind", "name", "sheet", "certificate"})


def listing(shop: Workshop, role: str | None = None) -> tuple[MaterialLine, ...]:
    """Return the materials by role, then name."""
    with shop.store.reading() as connection:
        return lines(shop, connection, role)


def lines(shop: Workshop, connection: Connection, role: str | None) -> tuple[MaterialLine, ...]:
    """Return the material lines within a reading."""
    from rushlight.store.queries import materials as query

    rows = query.materials(connection, role)
    held, promised = query.held(connection), query.promised(connection)
    cheap = cheapest(query.prices(connection), shop.today())
    return tuple(
        _line(row, held.get(row["id"], 0), promised.get(row["id"], 0), cheap) for row in rows
    )


def lacking(shop: Workshop, connection: Connection) -> tuple[MaterialLine, ...]:
    """Return the materials that are low or short, within a reading; prices of these alone."""
    from rushlight.store.queries import materials as query

    held, promised = query.held(connection), query.promised(connection)
    found = []
    for row in query.materials(connection):
        has, will = held.get(row["id"], 0), promised.get(row["id"], 0)
        if has < will or (row["low_at"] is not None and has <= row["low_at"]):
            found.append((row, has, will))
    prices = query.prices(connection, [row["id"] for row, _, _ in found])
    cheap = cheapest(prices, shop.today())
    return tuple(_line(row, has, will, cheap) for row, has, will in found)


def _line(row: RowMapping, held: int, promised: int, cheap: Mapping[int, Any]) -> MaterialLine:
    measure = Measure(row["measure"])
    low_at = None if row["low_at"] is None else Amount(row["low_at"], measure)
    return MaterialLine(
        slug=row["slug"],
        role=row["role"],
        name=row["name"],
        measure=measure,
        on_hand=Amount(held, measure),
        planned=Amount(promised, measure),
        short=Amount(max(promised - held, 0), measure),
        low_at=low_at,
        low=low_at is not None and held <= low_at.units,
        unit_price=cheap.get(row["id"]),
    )


def get(shop: Workshop, slug: str) -> MaterialView:
    """Return one material; NotFound."""
    from rushlight.store.queries import materials as query

    with shop.store.reading() as connection:
        row = existing(connection, slug)
        number, measure = row["id"], Measure(row["measure"])
        held = query.held(connection, [number]).get(number, 0)
        prices = query.prices(connection, [number])
        facts = query.facts(connection, number)
        recent = query.movements(connection, number, _RECENT)
    return MaterialView(
        slug=slug,
        role=row["role"],
        name=row["name"],
        note=row["note"],
        kind=row["kind"],
        measure=measure,
        low_at=row["low_typed"],
        on_hand=Amount(held, measure),
        facts=tuple(
            Fact(f["name"], json.loads(f["value"]), f["origin"], f["source"]) for f in facts
        ),
        prices=tuple(view_of_price(price, measure) for price in prices),
        movements=tuple(_movement(shop, entry, measure) for entry in recent),
    )


def _movement(shop: Workshop, row: RowMapping, measure: Measure) -> Movement:
    from rushlight.store.marks import moment

    return Movement(
        at=shop.local(moment(row["at"])),
        amount=Amount(row["amount"], measure),
        reason=row["reason"],
        note=row["note"],
        pour=row["pour_id"],
    )


def existing(connection: Connection, slug: str) -> RowMapping:
    """Return the row of a material in use; NotFound."""
    from rushlight.store.queries.materials import by_slug

    row = by_slug(connection, slug)
    if row is None or row["retired_at"] is not None:
        raise NotFound(f"There is no material “{slug[:60]}” in this workshop.")
    return row


def names(shop: Workshop, role: str) -> tuple[str, ...]:
    """Return what `use` may name for a role: the workshop's own first, then the built-in kinds."""
    from rushlight.workshop.shelf import StoredShelf

    with shop.store.reading() as connection:
        return tuple(StoredShelf(connection).names(role))


def kinds(role: str) -> tuple[str, ...]:
    """Return the names of the built-in kinds of a role."""
    from rushlight.candle.kinds import built_in

    return tuple(built_in().names(role))


def shelf(shop: Workshop) -> Shelf:
    """Return what `use` may name: the workshop's materials first, then the built-in kinds.

    It looks afresh whenever it is asked.
    """
    from rushlight.workshop.shelf import FreshShelf

    return FreshShelf(shop.store)


def suppliers(shop: Workshop) -> tuple[str, ...]:
    """Return the names of the suppliers."""
    from rushlight.store.queries import materials as query

    with shop.store.reading() as connection:
        return tuple(query.suppliers(connection))


def save(
    shop: Workshop, slug: str | None, typed: Mapping[str, Any], *, key: str | None = None
) -> MaterialView:
    """Make (slug None) or change a material.

    typed: role, name, note, kind, measure ("mass" or "pieces"), low_at (texts) and facts:
    a mapping of key to a text or to {value, origin, source}. An empty value removes the
    fact. Fields and facts not named stay. Problems have places such as "facts.flash_point".
    """
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "material.save", at=shop.now(), key=key) as work:
        if work.first is None:
            made = save_within(work, slug, typed)
            work.subject = f"material:{made}"
            work.result = {"slug": made}
        found = work.outcome()
    return get(shop, found["slug"])


def save_within(work: Work, slug: str | None, typed: Mapping[str, Any]) -> str:
    """Make or change a material as part of a deed, as `save`; return its slug."""
    from rushlight.store.marks import stamp
    from rushlight.store.queries import materials as query

    row = None if slug is None else existing(work.connection, slug)
    form, facts = _form(typed, row)
    columns, measure = _columns(work.connection, form, row)
    had = {}
    if row is not None:
        for f in query.facts(work.connection, row["id"]):
            had[f["name"]] = {**f, "value": json.loads(f["value"])}
    merged = {k: v for k, v in {**had, **facts}.items() if v is not None}
    _check_facts(form, columns, merged, work.connection)
    form.problems.check()
    if row is None:
        made = slug_of(columns["name"], lambda s: query.by_slug(work.connection, s) is not None)
        number = work.add(
            "material", slug=made, measure=measure, added_at=stamp(work.at), **columns
        )
        work.said = f"Added {columns['name']}."
    else:
        made, number = row["slug"], row["id"]
        changed = {k: v for k, v in columns.items() if v != row[k]}
        changed.pop("role", None)
        if changed:
            work.change("material", number, **changed)
        work.said = f"Changed {columns['name']}."
    fresh = {k: v for k, v in facts.items() if _differs(had.get(k), v)}
    if fresh:
        work.do("facts", material_id=number, facts=_stored(fresh))
    return str(made)


def retire(shop: Workshop, slug: str, *, key: str | None = None) -> None:
    """Take a material out of use; candles that use it say so, and it can be undone."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp
    from rushlight.store.queries import materials as query

    with deed_of(shop.store, "material.retire", at=shop.now(), key=key) as work:
        if work.first is not None:
            return
        row = existing(work.connection, slug)
        if query.promised(work.connection).get(row["id"]):
            raise Refused(f"Planned pours need {row['name']}. Finish or abandon them first.")
        work.change("material", row["id"], retired_at=stamp(work.at))
        work.subject = f"material:{slug}"
        work.said = f"Took {row['name']} out of use."


def _form(typed: Mapping[str, Any], row: RowMapping | None) -> tuple[Typed, dict[str, Any]]:
    """Return the fields, those not named as they are, and the facts as {value, origin, source}."""
    plain = {k: v for k, v in typed.items() if k != "facts"}
    if row is not None:
        was = {key: row[key] for key in ("name", "note", "kind", "role", "measure")}
        plain = {**was, "low_at": row["low_typed"], **plain}
    form = Typed(plain, _FIELDS)
    raw = typed.get("facts") or {}
    if not isinstance(raw, Mapping):
        form.problems.add("facts", "These are not fields.", "Give each fact its name.")
        return form, {}
    return form, {str(key): _fact(form, str(key), value) for key, value in raw.items()}


def _fact(form: Typed, key: str, raw: Any) -> dict[str, Any] | None:
    table = raw if isinstance(raw, Mapping) else {"value": raw}
    value = table.get("value")
    if value is None or (isinstance(value, str) and not value.strip()) or value == []:
        return None
    if key in _NOT_FACTS or not _plain_value(value):
        form.problems.add(
            f"facts.{key}"[:60], "This is not a fact of a material.", "Type one short value."
        )
        return None
    origin = str(table.get("origin") or "").strip()
    if origin and origin not in ORIGINS:
        form.problems.add(
            f"facts.{key}",
            f"“{origin[:40]}” is not where a fact may come from.",
            f"Choose from {', '.join(ORIGINS)}.",
        )
    source = str(table.get("source") or "").strip()[:200]
    return {"value": value, "origin": origin, "source": source}


def _plain_value(value: Any) -> bool:
    """Whether a value is a short text, or a list for a measured profile, tried elsewhere."""
    if isinstance(value, list):
        return True
    return (
        isinstance(value, str)
        and len(value) <= _LONGEST_FACT
        and (all(c.isprintable() or c == "\n" for c in value))
    )


def _columns(
    connection: Connection, form: Typed, row: RowMapping | None
) -> tuple[dict[str, Any], Measure]:
    from rushlight.store.marks import plain
    from rushlight.store.queries.materials import by_name

    role = form.choice("role", ROLES, "wax") if form.texts.get("role") else ""
    if not role:
        form.problems.add("role", "What this is for is missing.", f"One of {', '.join(ROLES)}.")
    name = form.needed("name", "The material has no name.", "Type the name you call it by.")
    measure = Measure(form.choice("measure", tuple(Measure), usual_measure(role)))
    if row is not None:
        if role != row["role"]:
            form.problems.add("role", "This cannot change.", "Make a new material instead.")
        if measure != row["measure"]:
            form.problems.add("measure", "This cannot change.", "Make a new material instead.")
    same = by_name(connection, role, name)
    if same is not None and (row is None or same["id"] != row["id"]):
        form.problems.add("name", f"There is a {role} called “{name}” already.", "Name it apart.")
    low = form.read("low_at", amount_reader(measure))
    return {
        "role": role,
        "name": name,
        "plain": plain(name),
        "note": form.text("note", longest=LONGEST_NOTE),
        "kind": " ".join(form.text("kind").split()),
        "low_typed": form.text("low_at"),
        "low_at": None if low is None else low.units,
    }, measure


def _check_facts(
    form: Typed, columns: Mapping[str, Any], facts: Mapping[str, Any], connection: Connection
) -> None:
    from rushlight.workshop.probe import fact_problems
    from rushlight.workshop.shelf import StoredShelf

    if columns["role"]:
        shelf = StoredShelf(connection)
        form.problems.extend(fact_problems(columns["role"], columns["kind"], facts, shelf))


def _differs(had: Mapping[str, Any] | None, now: Mapping[str, Any] | None) -> bool:
    if had is None or now is None:
        return had is not now
    return any(had[key] != now[key] for key in ("value", "origin", "source"))


def _stored(facts: Mapping[str, Any]) -> dict[str, Any]:
    return {
        key: None if fact is None else {**fact, "value": json.dumps(fact["value"])}
        for key, fact in facts.items()
    }
