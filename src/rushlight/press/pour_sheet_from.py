"""From a batch, in SI, to the words and figures of its pour sheet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace

from rushlight.candle.parts import Span, VolumeFrom
from rushlight.candle.sheet import BatchLine, BatchSheet, JarSheet, Weight
from rushlight.press.heat_strip import heat
from rushlight.press.pour_sheet import (
    Care,
    Fact,
    HalfSection,
    Place,
    PourSheetData,
    Weighing,
)
from rushlight.quantity import show
from rushlight.quantity.share import apportion
from rushlight.quantity.show import Preference
from rushlight.quantity.si import Kilogram

_ORDER = (Weight.STOP, Weight.CAUTION, Weight.NOTE)


def from_batch(
    sheet: BatchSheet,
    preference: Preference,
    *,
    created: dt.date,
    revision: str = "",
    pour: str = "",
) -> PourSheetData:
    """Return what to print for a batch.

    Masses are shown in steps of the batch's own scale; where a unit does not divide
    into those steps (ounces on a scale of grams), the parts are shared out again in the
    step that is shown, so that what stands on the paper adds up, down and across.

    created: the date of the pour. revision and pour: what identifies them, as text.
    """
    pref = replace(preference, readability=sheet.batch.readability)
    weighings, pot_total, total = shown_weighings(sheet, pref)
    meta = [Fact("Revision", revision), Fact("Date", long_date(created)), Fact("Pour", pour)]
    return PourSheetData(
        title=sheet.jar.candle.name,
        created=created,
        meta=tuple(fact for fact in meta if fact.value),
        headline=tuple(_headline(sheet, pref, pot_total)),
        pots=sheet.pots,
        weighings=weighings,
        pot_total=pot_total,
        total=total,
        allowances=_allowances(sheet, pref),
        heat=heat(
            sheet.jar.windows,
            pref,
            cured=_cured(created, sheet.jar.windows.cure),
            scented=sheet.jar.fragrance_mass > 0,
        ),
        section=_section(sheet.jar, pref),
        facts=tuple(_facts(sheet.jar, pref)),
        ready=tuple(_ready(sheet, pref)),
        cautions=tuple(_cautions(sheet)),
        reading_unit=f"°{pref.temperature}",
        note=sheet.jar.candle.note,
    )


def long_date(day: dt.date) -> str:
    """Return a date in words: "Saturday 2 May 2026"."""
    return f"{day:%A} {day.day} {day:%B} {day.year}"


def shares(masses: Sequence[Kilogram], pref: Preference) -> list[Kilogram]:
    """Return masses [kg] in whole steps of what is shown; they add up as shown."""
    step = show.mass_step(pref)
    return [Kilogram(count * step) for count in apportion(masses, step)]


def shown_weighings(
    sheet: BatchSheet, preference: Preference
) -> tuple[tuple[Weighing, ...], str, str]:
    """Return the weighings as shown, the total of a pot and the total of all pots."""
    pref = replace(preference, readability=sheet.batch.readability)
    parts = shares([line.pot for line in sheet.lines], pref)
    weighings = tuple(
        _weighing(line, part, sheet.pots, pref)
        for line, part in zip(sheet.lines, parts, strict=True)
    )
    pot = Kilogram(sum(parts))
    return weighings, show.mass(pot, pref), show.mass(Kilogram(pot * sheet.pots), pref)


def _weighing(line: BatchLine, part: Kilogram, pots: int, pref: Preference) -> Weighing:
    """Return one weighing; what is counted, or too little for the scale, says so."""
    weight = show.mass(part, pref)
    target, beside, total = weight, "", show.mass(Kilogram(part * pots), pref)
    if not part and line.exact:
        weight, total = f"under {show.mass(show.mass_step(pref), pref)}", "–"
        target, beside = weight, f"{line.exact / pots * 1e3:.3g} g, for a finer scale"
    if line.counted:
        target, beside = line.counted, weight
    return Weighing(line.role.value, line.name, target, total, beside)


def _headline(sheet: BatchSheet, pref: Preference, pot_total: str) -> Iterator[Fact]:
    yield Fact("Jars", str(sheet.batch.jars))
    if sheet.batch.spares:
        yield Fact("Spare jars", str(sheet.batch.spares))
    yield Fact("Pots", str(sheet.pots))
    yield Fact("In each jar", show.mass(sheet.jar.fill_mass, pref))
    yield Fact("In each pot" if sheet.pots > 1 else "In the pot", pot_total)


def _allowances(sheet: BatchSheet, pref: Preference) -> str:
    allowed = []
    if sheet.batch.spill:
        allowed.append(f"{show.percent(sheet.batch.spill, pref)} for what is spilt")
    if sheet.batch.residue:
        allowed.append(f"{show.mass(sheet.batch.residue, pref)} for what stays in each pot")
    return f"Includes {' and '.join(allowed)}." if allowed else ""


def _cured(created: dt.date, cure: Span) -> str:
    try:
        day = created + dt.timedelta(seconds=cure.aim)
    except OverflowError:  # beyond the calendar
        return show.duration(cure.aim)
    return f"{day.day} {day:%b} {day.year}"  # the column is too narrow for a long month


def _section(jar: JarSheet, pref: Preference) -> HalfSection:
    vessel = jar.candle.vessel
    stations = vessel.profile.stations
    return HalfSection(
        places=tuple(Place(s.height * 1000, s.diameter * 1000) for s in stations),
        wall=vessel.wall * 1000,
        base=vessel.base * 1000,
        fill=jar.fill_height * 1000,
        wick=jar.wick_length * 1000,
        diameter_text=f"Ø{show.length(stations[-1].diameter, pref)}",
        depth_text=show.length(stations[-1].height, pref),
        fill_text=show.length(jar.fill_height, pref),
        headspace_text=show.length(jar.headspace, pref),
        wick_text=show.length(jar.wick_length, pref),
        note=" ".join(_drawing_notes(jar)),
    )


def _drawing_notes(jar: JarSheet) -> Iterator[str]:
    if jar.candle.vessel.shape_known:
        yield "Heights from the inner base."
    else:
        yield "Only the volume is known: a plain straight jar is drawn, so measure the heights."
    if jar.candle.wick.count > 1:
        yield f"One of {jar.candle.wick.count} wicks is drawn."


def _facts(jar: JarSheet, pref: Preference) -> Iterator[Fact]:
    vessel, wick, windows = jar.candle.vessel, jar.candle.wick, jar.windows
    known = {
        VolumeFrom.STATED: "as stated",
        VolumeFrom.WATER: "weighed with water",
        VolumeFrom.PROFILE: "from its measures",
    }[vessel.volume_from]
    yield Fact("Vessel", ", ".join(filter(None, (vessel.name, vessel.material))))
    yield Fact("To the brim", f"{show.volume(jar.brim_volume, pref)}, {known}")
    poured = show.volume(jar.fill_volume, pref)
    yield Fact("Poured", f"{poured}, {show.length(jar.headspace, pref)} below the rim")
    yield Fact("When set", f"{show.length(jar.set_headspace, pref)} below the rim")
    if jar.fragrance_mass:
        load = show.percent(jar.load_of_wax, pref), show.percent(jar.load_of_total, pref)
        yield Fact("Fragrance", f"{load[0]} of wax, which is {load[1]} of total")
    if windows.lowest_flash is not None:
        flash = show.temperature(windows.lowest_flash, pref)
        yield Fact("Flash point", f"{flash}, the lowest stated")
    yield Fact("Wick", wick.name if wick.count == 1 else f"{wick.name}, {wick.count} in each jar")
    cut, trim = show.length(jar.wick_cut, pref), show.length(wick.trim, pref)
    yield Fact("Cut", f"{cut}, trim to {trim} above the wax")


def _ready(sheet: BatchSheet, pref: Preference) -> Iterator[Fact]:
    for piece in sheet.pieces:
        note = f", {piece.note}" if piece.note else ""
        yield Fact(piece.role.value, f"{piece.pieces} × {piece.name}{note}")
    for line in sheet.outside:
        yield Fact(line.role.value, f"{show.mass(line.total, pref)} {line.name}, outside the jars")


def _cautions(sheet: BatchSheet) -> Iterator[Care]:
    told = (*sheet.jar.cautions, *sheet.cautions)
    for caution in sorted(told, key=lambda one: _ORDER.index(one.weight)):
        yield Care(caution.weight.value, caution.what, caution.remedy, caution.source)
