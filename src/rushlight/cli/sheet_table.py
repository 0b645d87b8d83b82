"""A sheet as tables on the terminal."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from rushlight.candle.parts import Span, Window
from rushlight.candle.sheet import BatchSheet, JarSheet, Weight
from rushlight.cli.tables import table, words
from rushlight.press.pour_sheet_from import shown_weighings
from rushlight.quantity import show
from rushlight.quantity.show import Preference

if TYPE_CHECKING:
    from rushlight.workshop.candles import Supply
    from rushlight.workshop.materials import Amount


def show_sheet(sheet: BatchSheet, pref: Preference, supplies: Iterable[Supply] | None) -> None:
    """Write the sheet of a batch."""
    console = Console(highlight=False)
    console.print(words(sheet.jar.candle.name, "bold"))
    console.print(words(_sentence(sheet, pref)))
    console.print(Padding(_weighings(sheet, pref), (1, 0)))
    console.print(_jar(sheet.jar, pref))
    console.print(Padding(_heat(sheet.jar, pref), (1, 0)))
    console.print(Padding(_pieces(sheet, pref), (0, 0, 1, 0)))
    if supplies is not None:
        console.print(Padding(_supplies(supplies, pref), (0, 0, 1, 0)))
    for caution in (*sheet.jar.cautions, *sheet.cautions):
        style = "" if caution.weight is Weight.NOTE else "bold"
        said = (
            words(f"{caution.weight.value.capitalize()}:", "dim"),
            words(caution.what, style),
            words(caution.remedy),
            words(f"({caution.source})", "dim"),
        )
        console.print(Text(" ").join(said))


def _sentence(sheet: BatchSheet, pref: Preference) -> str:
    spares = f" and {sheet.batch.spares} spare" if sheet.batch.spares else ""
    pots = "1 pot" if sheet.pots == 1 else f"{sheet.pots} equal pots"
    each = show.mass(sheet.jar.fill_mass, pref)
    return f"{sheet.batch.jars} jars{spares}, {each} in each, from {pots}."


def _weighings(sheet: BatchSheet, pref: Preference) -> Table:
    made = table(
        ("Weigh", "left"), ("", "left"), ("Each pot", "right"), ("All pots", "right"), ("", "")
    )
    weighings, pot_total, total = shown_weighings(sheet, pref)
    for item in weighings:
        made.add_row(*map(words, (item.name, item.role, item.target, item.total, item.beside)))
    made.add_row(
        words("All in the pot", "bold"), "", words(pot_total, "bold"), words(total, "bold")
    )
    return made


def _jar(jar: JarSheet, pref: Preference) -> Table:
    made = table(("One jar", "left"), ("", "left"))
    vessel = f"{show.volume(jar.brim_volume, pref)} to the brim"
    poured = (
        f"{show.volume(jar.fill_volume, pref)}, {show.length(jar.headspace, pref)} below the rim"
    )
    of_wax, of_total = show.percent(jar.load_of_wax, pref), show.percent(jar.load_of_total, pref)
    load = f"{of_wax} of wax = {of_total} of total"
    wick = f"cut {show.length(jar.wick_cut, pref)}, {jar.candle.wick.count} in each jar"
    for name, value in (
        (jar.candle.vessel.name, vessel),
        ("Poured", poured),
        ("When set", f"{show.length(jar.set_headspace, pref)} below the rim"),
        ("Fragrance load", load),
        (jar.candle.wick.name, wick),
    ):
        made.add_row(words(name), words(value))
    return made


def _heat(jar: JarSheet, pref: Preference) -> Table:
    made = table(("Heat and time", "left"), ("Aim", "right"), ("Range", "left"))
    windows = jar.windows
    made.add_row(*map(words, ("Melt and hold", *_window(windows.melt, pref))))
    if jar.fragrance_mass:
        made.add_row(*map(words, ("Add fragrance", *_window(windows.add, pref))))
    made.add_row(*map(words, ("Stir", *_span(windows.stir))))
    made.add_row(*map(words, ("Pour", *_window(windows.pour, pref))))
    made.add_row(*map(words, ("Cure", *_span(windows.cure))))
    return made


def _window(window: Window, pref: Preference) -> tuple[str, str]:
    return show.temperature(window.aim, pref), show.temperature_window(window, pref)


def _span(span: Span) -> tuple[str, str]:
    return show.duration(span.aim), show.duration_span(span)


def _pieces(sheet: BatchSheet, pref: Preference) -> Table:
    made = table(("Have ready", "right"), ("", "left"))
    for piece in sheet.pieces:
        note = f", {piece.note}" if piece.note else ""
        made.add_row(words(f"{piece.pieces} ×"), words(f"{piece.name}{note}"))
    for line in sheet.outside:
        made.add_row(words(show.mass(line.total, pref)), words(f"{line.name}, outside the jars"))
    return made


def _supplies(supplies: Iterable[Supply], pref: Preference) -> Table:
    made = table(
        ("Supplies", "left"), ("Needed", "right"), ("In hand", "right"), ("Short", "right")
    )

    def said(amount: Amount | None) -> Text:
        if amount is None:
            return words("–")
        pieces = amount.measure.value == "pieces"
        return words(amount.pieces if pieces else show.mass(amount.mass, pref))

    for supply in supplies:
        short = said(supply.short) if supply.short.units else words("")
        made.add_row(words(supply.name), said(supply.needed), said(supply.on_hand), short)
    return made
