"""Lots one by one: listed, counted, thrown away."""

from __future__ import annotations

from collections.abc import Mapping

from rushlight.cli.places import placed
from rushlight.cli.say import say_json
from rushlight.cli.stores_json import jar_lot, stock_lot
from rushlight.cli.workshop import opened, slug_of
from rushlight.errors import BadInput
from rushlight.workshop import candles, materials, settings
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores import codes, jars, lots
from rushlight.workshop.stores.views import JarLotLine, LotLine

_MANY = 12


def run_lots(
    workshop: str, material: str | None, *, empty: bool, limit: int, as_json: bool
) -> None:
    """Write the lots of one material or of all."""
    with opened(workshop) as shop:
        slug = None if material is None else _material(shop, material)
        found = lots.listing(shop, slug, empty=empty, limit=limit)
        _show_lots(shop, found, as_json=as_json)


def run_jars(workshop: str, candle: str | None, *, empty: bool, limit: int, as_json: bool) -> None:
    """Write the lots of jars of one candle or of all."""
    with opened(workshop) as shop:
        slug = None if candle is None else slug_of(candles.listing(shop), candle)
        found = jars.listing(shop, candle=slug, empty=empty, limit=limit)
        _show_jars(shop, found, as_json=as_json)


def run_count(workshop: str, code: str, amount: str, why: str | None, *, as_json: bool) -> None:
    """Enter what was counted of a lot of either kind, and write the lot."""
    with opened(workshop) as shop:
        _act(shop, code, {"amount": amount, "note": why or ""}, fate=None, as_json=as_json)


def run_scrap(workshop: str, code: str, amount: str, why: str | None, *, as_json: bool) -> None:
    """Throw some of a lot of either kind away, and write the lot."""
    with opened(workshop) as shop:
        _act(shop, code, {"amount": amount, "note": why or ""}, fate="broken", as_json=as_json)


def _act(
    shop: Workshop, code: str, typed: Mapping[str, str], *, fate: str | None, as_json: bool
) -> None:
    """Count a lot, or let some of it go the way of its fate, and write it."""
    with placed(_place):
        found = codes.check(code)
        if found.startswith("M"):
            do = lots.count if fate is None else lots.scrap
            _show_lots(shop, (do(shop, found, typed).line,), as_json=as_json)
            return
        if found.startswith("S"):
            raise BadInput.one(f"{found} is an order, no lot.", "Type the code of a lot.", "code")
        told = {"jars": typed["amount"], "note": typed["note"]}
        if fate is None:
            made = jars.count(shop, found, told)
        else:
            made = jars.take(shop, found, told | {"fate": fate})
        _show_jars(shop, (made.line,), as_json=as_json)


def _place(place: str) -> str:
    return {"amount": "AMOUNT", "jars": "AMOUNT", "note": "--why"}.get(place, "CODE")


def _material(shop: Workshop, said: str) -> str:
    """Return the short name of the material called so, whatever the case."""
    from difflib import get_close_matches

    listed = materials.listing(shop)
    wanted = " ".join(said.casefold().split())
    exact = [m.slug for m in listed if m.slug == wanted]
    found = exact or [m.slug for m in listed if m.name.casefold() == wanted]
    if len(found) == 1:
        return found[0]
    if found:
        what, remedy = "There is more than one", f"Type {' or '.join(found)}."
    else:
        near = get_close_matches(wanted, [m.name.casefold() for m in listed], n=1)
        names = ", ".join(m.name for m in listed[:_MANY]) or "none yet"
        what, remedy = "There is no", f"Did you mean “{near[0]}”?" if near else f"It has: {names}."
    raise BadInput.one(f"{what} material “{said[:60]}” in this workshop.", remedy, "MATERIAL")


def _show_lots(shop: Workshop, found: tuple[LotLine, ...], *, as_json: bool) -> None:
    pref = settings.current(shop).preference
    if as_json:
        say_json({"currency": pref.currency, "lots": [stock_lot(line) for line in found]})
        return
    from rushlight.cli.stock_table import show_lots
    from rushlight.cli.stores_table import Shown

    if not found:
        Shown(pref).line("There is no such lot.")
    show_lots(Shown(pref), found)


def _show_jars(shop: Workshop, found: tuple[JarLotLine, ...], *, as_json: bool) -> None:
    pref = settings.current(shop).preference
    if as_json:
        say_json({"currency": pref.currency, "lots": [jar_lot(line) for line in found]})
        return
    from rushlight.cli.stock_table import show_jars
    from rushlight.cli.stores_table import Shown

    if not found:
        Shown(pref).line("There are no such jars.")
    show_jars(Shown(pref), "", found)
