"""`rushlight value`: what the stores were worth at the end of a day."""

from __future__ import annotations

from pathlib import Path

from rushlight.cli.places import day_of
from rushlight.cli.say import say, say_json
from rushlight.cli.stores_json import Json, amount, money, when
from rushlight.cli.stores_table import NOT_KNOWN, Shown, counted, day
from rushlight.cli.workshop import opened
from rushlight.cli.write import write_whole
from rushlight.errors import BadInput
from rushlight.quantity.preference import Preference
from rushlight.workshop import settings
from rushlight.workshop.material_views import Measure
from rushlight.workshop.stores.truth_views import MaterialWorth, Three, Valuation
from rushlight.workshop.stores.valuation import valuation

_GRAMS = 1000


def run_value(
    workshop: str,
    typed: str | None,
    *,
    period: tuple[str | None, str | None],
    csv: Path | None,
    as_json: bool,
) -> None:
    """Write what the stores were worth."""
    for name, text in zip(("--from", "--to"), period, strict=True):
        if text is not None:
            raise BadInput.one("A period is for margins.", "Add --margins, or use --day.", name)
    with opened(workshop) as shop:
        found = valuation(shop, day_of(typed, "--day", shop.today()))
        pref = settings.current(shop).preference
    if csv is not None:
        write_whole(csv, _csv(found, pref.currency))
    if as_json:
        say_json({**shaped(found, pref.currency), "file": str(csv) if csv else None})
        return
    _show(found, pref)
    if csv is not None:
        say(f"{csv}: written.")


def shaped(found: Valuation, currency: str) -> Json:
    """Return a valuation as JSON; left_out: lots in no value, for nobody knows their cost."""
    return {
        "day": when(found.day),
        "currency": currency,
        "materials": [_material(one) for one in found.materials],
        "materials_value": _three(found.materials_total),
        "jars": [
            {
                "candle": one.candle,
                "name": one.name,
                "jars": one.jars,
                "value": money(one.worth),
                "left_out": [{"lot": lot, "jars": jars} for lot, jars in one.unknown],
            }
            for one in found.jars
        ],
        "jars_value": money(found.jars_total),
        "total_value": money(found.total),
    }


def _material(one: MaterialWorth) -> Json:
    return {
        "material": one.material,
        "name": one.name,
        "role": one.role,
        **amount("on_hand", one.on_hand),
        "value": _three(one.worth),
        "left_out": [{"lot": lot.code, **amount("on_hand", lot.on_hand)} for lot in one.unknown],
    }


def _three(found: Three) -> Json:
    return {
        "by_lot": money(found.by_lot),
        "fifo": money(found.fifo),
        "average": money(found.average),
    }


def _csv(found: Valuation, currency: str) -> bytes:
    """Return one row for each material and candle; what is not known is left empty."""
    from rushlight.workshop.exchange.csv_writer import Cell, write_csv

    heading = (
        *("What", "For", "In hand", "Unit", f"By lot ({currency})"),
        *(f"First in first out ({currency})", f"Weighted average ({currency})"),
        "Lots of unknown cost",
    )
    rows: list[tuple[Cell, ...]] = []
    for one in found.materials:
        counted_by = one.on_hand.measure is Measure.PIECES
        held = one.on_hand.units if counted_by else f"{one.on_hand.units / _GRAMS:.3f}"
        rows.append(
            (
                *(one.name, one.role, held, "pieces" if counted_by else "g"),
                *(one.worth.by_lot, one.worth.fifo, one.worth.average),
                " ".join(lot.code for lot in one.unknown),
            )
        )
    for jars in found.jars:
        codes = " ".join(code for code, _ in jars.unknown)
        rows.append((jars.name, "jars", jars.jars, "jars", jars.worth, None, None, codes))
    return write_csv(heading, rows)


def _show(found: Valuation, pref: Preference) -> None:
    shown = Shown(pref)
    shown.line(f"At the end of {day(found.day)}", "bold")
    shown.rows(
        "Materials",
        ("", "Material", "In hand>", "By lot>", "First in first out>", "Weighted average>"),
        (
            *(
                (one.role, one.name, shown.amount(one.on_hand), *_worths(shown, one.worth))
                for one in found.materials
            ),
            ("", "All materials", "", *_worths(shown, found.materials_total)),
        ),
    )
    shown.rows(
        "Jars",
        ("Candle", "Jars>", "Worth>"),
        ((one.name, one.jars, shown.money(one.worth)) for one in found.jars),
    )
    shown.line(
        f"Materials {shown.money(found.materials_total.by_lot)} by lot and jars "
        f"{shown.money(found.jars_total)}: {shown.money(found.total)} in all.",
        "bold",
    )
    for material, lot in found.unknown:
        held = shown.amount(lot.on_hand)
        shown.line(f"Left out: {held} of {material.name}, lot {lot.code}; its cost is {NOT_KNOWN}.")
    for candle, code, jars in found.unknown_jars:
        many = counted(jars, "jar")
        shown.line(f"Left out: {many} of {candle.name}, lot {code}; the cost is {NOT_KNOWN}.")


def _worths(shown: Shown, worth: Three) -> tuple[str, ...]:
    """Return the three; a formula that has no figure, for its days contradict, is left empty."""
    compared = (worth.fifo, worth.average)
    return (
        shown.money(worth.by_lot),
        *("" if one is None else shown.money(one) for one in compared),
    )
