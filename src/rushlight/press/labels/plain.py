"""From the parts of a label to the plain data that the template reads."""

from __future__ import annotations

from dataclasses import asdict
from functools import singledispatch
from itertools import groupby
from math import sqrt
from typing import Any

from rushlight.press.glyphs import printable
from rushlight.press.labels import gs1, qr
from rushlight.press.labels.design import (
    TIE,
    Bars,
    Column,
    Label,
    LotBars,
    Part,
    Pictograms,
    Row,
    Signs,
    Square,
    Words,
)
from rushlight.press.labels.gtin import MODULE
from rushlight.press.labels.symbols import sign


def label(made: Label) -> dict[str, Any]:
    """Return a label as plain data."""
    return {
        "name": made.name,
        "outline": asdict(made.outline) | {"margin": made.margin},
        "frame": made.frame.value,
        "language": made.language,
        "parts": [plain(part) for part in made.parts],
    }


@singledispatch
def plain(part: Part) -> dict[str, Any]:
    """Return a part as plain data; `wide` [mm] where its width is fixed."""
    return {"kind": type(part).__name__.lower(), **asdict(part)}


@plain.register
def _(part: Words) -> dict[str, Any]:
    cut = part.letters.face.cut
    return {
        "kind": "words",
        "text": kept_together(part.text),
        "family": cut.family,
        "weight": cut.weight,
        "style": cut.style,
        "size": part.letters.size,
        "tracking": part.letters.tracking,
        "align": part.align.value,
        "place": part.place,
        "clear": part.clear,
        "foot": part.foot,
    }


def kept_together(text: str) -> str:
    """Return a text as it can be printed; its no-break spaces stay what they are."""
    return TIE.join(printable(piece) for piece in text.split(TIE))


def _drawn(names: tuple[str, ...]) -> list[dict[str, Any]]:
    return [{"title": sign(name).title, "shapes": sign(name).shapes} for name in names]


@plain.register
def _(part: Signs) -> dict[str, Any]:
    count = len(part.names)
    return {
        "kind": "signs",
        "signs": _drawn(part.names),
        "across": part.height,
        "gap": part.gap,
        "align": part.align.value,
        "place": "symbols",
        "wide": count * part.height + (count - 1) * part.gap,
    }


@plain.register
def _(part: Pictograms) -> dict[str, Any]:
    across, count = part.side * sqrt(2), len(part.codes)
    return {
        "kind": "pictograms",
        "signs": _drawn(part.codes),
        "across": across,
        "gap": part.gap,
        "align": part.align.value,
        "place": "pictograms",
        "wide": count * across + (count - 1) * part.gap,
    }


@plain.register
def _(part: Bars) -> dict[str, Any]:
    gtin, module = part.gtin, MODULE * part.magnification
    height = gtin.height * part.magnification
    return {
        "kind": "bars",
        "runs": _dark(gtin.modules),
        "groups": gtin.groups,
        "quiet": gtin.quiet[0],
        "guard": gtin.guard,
        "module": module,
        "height": height,
        # below the bars: the figures, 7 modules of them and their gap (see label.typ)
        "tall": height + 9 * module,
        "wide": gtin.width(part.magnification),
        "align": part.align.value,
        "place": "gtin",
        "spoken": f"Barcode {gtin.digits}",
    }


def _dark(modules: str) -> list[tuple[int, int, bool]]:
    """Return the bars in a row of modules: first module, how many, whether a guard."""
    runs = []
    for kind, run in groupby(enumerate(modules), key=lambda pair: pair[1]):
        columns = [at for at, _ in run]
        if kind != "0":
            runs.append((columns[0], len(columns), kind == "G"))
    return runs


@plain.register
def _(part: LotBars) -> dict[str, Any]:
    return {
        "kind": "bars",
        "runs": _dark(gs1.modules(part.gtin, part.lot)),
        "groups": (),
        "quiet": gs1.QUIET,
        "guard": 0,
        "module": part.module,
        "height": gs1.HEIGHT,
        "tall": gs1.HEIGHT,
        "wide": gs1.width(part.gtin, part.lot, part.module),
        "align": part.align.value,
        "place": "gtin",
        "spoken": f"Barcode {gs1.said(part.gtin, part.lot)}",
    }


@plain.register
def _(part: Square) -> dict[str, Any]:
    return {
        "kind": "square",
        "runs": qr.runs(part.text),
        "module": part.module,
        "wide": qr.side(part.text, part.module),
        "align": part.align.value,
        "place": part.place,
        "spoken": f"QR code: {printable(part.text)}",
    }


@plain.register
def _(part: Row) -> dict[str, Any]:
    made = [plain(each) for each in part.parts]
    if part.shares:
        columns = [{"fixed": False, "size": share} for share in part.shares]
    else:
        columns = [{"fixed": "wide" in each, "size": each.get("wide", 1.0)} for each in made]
    return {
        "kind": "row",
        "parts": made,
        "columns": columns,
        "gap": part.gap,
        "stand": part.stand.value,
    }


@plain.register
def _(part: Column) -> dict[str, Any]:
    return {"kind": "column", "parts": [plain(each) for each in part.parts]}
