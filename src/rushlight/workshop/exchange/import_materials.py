"""Materials that come in from a list: with facts, a pack price, and what is in hand."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from rushlight.errors import BadInput
from rushlight.quantity import parse
from rushlight.workshop.exchange.cells import Line
from rushlight.workshop.exchange.kinds import FACT
from rushlight.workshop.exchange.run import Run
from rushlight.workshop.material_views import ROLES, Measure, amount_reader, usual_measure
from rushlight.workshop.typed import LONGEST, Typed, day, within

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

_OWN: Final = ("role", "name", "kind", "note", "measure", "low_at")
_PRICE: Final = ("supplier", "pack", "price", "from_packs", "since")
_STOCK: Final = ("on_hand", "worth", "supplier_lot", "expires")
_DEAREST: Final = 1e7
_CALLED: Final[Mapping[str, str]] = {
    **{f"{role}s": role for role in ROLES},
    "waxes": "wax",
    "dyes": "dye",
    "finishes": "finish",
    **dict.fromkeys(("oil", "oils", "fragrance oil", "fragrance oils", "scent"), "fragrance"),
    **dict.fromkeys(("jar", "jars", "tin", "tins", "container", "containers", "glass"), "vessel"),
    **dict.fromkeys(("colour", "colours", "color", "colors", "dye block"), "dye"),
    **dict.fromkeys(("box", "boxes", "lid", "lids", "label", "labels"), "packaging"),
}
"""What makers call a role, beside its own word (common practice)."""


def role_of(line: Line) -> str:
    """Return the role a row names, in the workshop's word where there is one."""
    said = line.texts.get("role", "").casefold()
    return _CALLED.get(said, said)


def measure_of(line: Line) -> Measure | None:
    """Return how the material of a row is counted; None where the row does not tell."""
    said = line.texts.get("measure", "").casefold() or usual_measure(role_of(line))
    return Measure(said) if said in tuple(Measure) else None


def run_materials(run: Run) -> None:
    """Make or change the material of each row."""
    from rushlight.store.marks import plain

    seen: dict[tuple[str, str], int] = {}
    for line in run.lines.lines:
        which = (role_of(line), plain(line.texts.get("name", "")))
        first = seen.setdefault(which, line.number)
        if first != line.number and which[1]:
            run.add(line, "name", f"Row {first} has this material already.", "Leave one out.")
        else:
            _material(run, line)


def _material(run: Run, line: Line) -> None:
    from rushlight.store.queries import materials as query
    from rushlight.workshop.materials import existing, save_within

    connection = run.work.connection
    _belongs(run, line)
    row = query.by_name(connection, role_of(line), line.texts.get("name", ""))
    slug, before = None if row is None else str(row["slug"]), len(run.work.inverse)
    with run.noting((line,)):
        made = save_within(run.work, slug, _typed(run, line, row))
        changed = len(run.work.inverse) > before
        run.counts["new material" if slug is None else "changed material"] += changed
        run.touched.add(f"material:{made}")
        row = existing(connection, made)
        with run.noting((line,)):
            _price(run, line, row)
        with run.noting((line,)):
            _stock(run, line, row)


def _typed(run: Run, line: Line, row: RowMapping | None) -> dict[str, Any]:
    """Return what a row says of the material itself; an empty cell leaves what is known."""
    import json

    from rushlight.store.queries import materials as query

    typed: dict[str, Any] = {k: line.texts[k] for k in _OWN if k in line.texts}
    if "role" in typed:
        typed["role"] = role_of(line)
    if "measure" in typed:
        typed["measure"] = line.texts["measure"].casefold()
    known = (
        {}
        if row is None
        else {
            f["name"]: json.loads(f["value"]) for f in query.facts(run.work.connection, row["id"])
        }
    )
    typed["facts"] = {
        key.removeprefix(FACT): {"value": text, "source": run.source[:LONGEST]}
        for key, text in line.texts.items()
        # a value that is known already keeps where it was first said to be from
        if key.startswith(FACT) and known.get(key.removeprefix(FACT)) != text
    }
    return typed


def _belongs(run: Run, line: Line) -> None:
    """Note what stands in a row and has nothing to stand by."""
    has = line.texts.keys()
    if "price" not in has:
        for key in ("supplier", "pack", "from_packs", "since"):
            if key in has:
                run.add(line, key, "It belongs to a pack price, and there is none.", "Add one.")
    if "on_hand" not in has:
        for key in ("worth", "supplier_lot", "expires"):
            if key in has:
                run.add(line, key, "It belongs to what is on hand, and that is empty.", "Add it.")


def _price(run: Run, line: Line, row: RowMapping) -> None:
    """Note the pack price, unless the very same is in force."""
    from rushlight.workshop.material_prices import save_price_within

    if "price" in line.texts and not _in_force(run, line, row):
        typed = {k: line.texts[k] for k in _PRICE if k in line.texts}
        save_price_within(run.shop, run.work, row["slug"], typed)
        run.counts["price"] += 1


def _in_force(run: Run, line: Line, row: RowMapping) -> bool:
    from rushlight.store.queries import materials as query
    from rushlight.workshop.material_prices import MONEY, in_force

    texts = line.texts
    try:
        wanted = (
            texts.get("supplier", ""),
            amount_reader(Measure(row["measure"]))(texts.get("pack", "")).units,
            int(parse.money(texts["price"], currency=run.pref.currency) * MONEY),
            parse.count(texts.get("from_packs", "1")),
        )
    except BadInput:
        return False  # whoever keeps it says what is wrong
    rows = in_force(query.prices(run.work.connection, [row["id"]]), run.shop.today())
    return any(
        wanted == (p["supplier"], p["pack"], p["price"], p["from_packs"])
        and texts.get("since", p["since"]) == p["since"]
        for p in rows
    )


def _stock(run: Run, line: Line, row: RowMapping) -> None:
    """Put what is in hand into stores as a lot of its own, where nothing is in hand yet."""
    from rushlight.store.queries import materials as query
    from rushlight.workshop.stores.ledger import MONEY, NewLot, open_lot, priced

    if "on_hand" not in line.texts:
        return
    connection, measure, today = run.work.connection, Measure(row["measure"]), run.shop.today()
    form = Typed({k: line.texts[k] for k in _STOCK if k in line.texts}, _STOCK)
    amount = form.read("on_hand", amount_reader(measure))
    money = within(
        lambda text: parse.money(text, currency=run.pref.currency), 0, _DEAREST, "0 to 10,000,000"
    )
    worth, expires = form.read("worth", money), form.read("expires", day)
    units = 0 if amount is None else amount.units
    held = query.held(connection, [row["id"]]).get(row["id"], 0)
    if held and units != held:
        what = "Some of it is in hand already."
        remedy = "Leave the cell empty, and enter what you count in a stocktake."
        form.problems.add("on_hand", what, remedy)
    supplier_lot = form.text("supplier_lot")
    form.problems.check()
    if not units or held:
        return
    if worth is not None:
        cost: int | None = int(worth * MONEY)
    else:
        cost = priced(connection, row["id"], measure, units, on=today)
    new = NewLot(
        units=units,
        cost=cost,
        received_on=today,
        supplier_lot=supplier_lot,
        expires_on=expires,
        date_kind="" if expires is None else "expiry",
        note=f"In hand when {run.source} came in."[:LONGEST],
    )
    open_lot(run.work, row["id"], new, reason="received")
    run.counts["lot"] += 1
