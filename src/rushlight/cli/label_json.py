"""A printed label as JSON: what stands on it, how large, and what was checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rushlight.hazard import WORKING_AID
from rushlight.press.labels import qr
from rushlight.press.labels.design import (
    TIE,
    Bars,
    Label,
    Pictograms,
    Shape,
    Signs,
    Square,
    Words,
)
from rushlight.press.labels.fit import every
from rushlight.press.labels.gtin import IN_HOUSE, Gtin, check_digit

_DIGITS = 6
Json = Mapping[str, Any]


def shaped(label: Label) -> Json:
    """Return a label that was printed, and so passed every check of its sizes."""
    parts = list(every(label.parts))
    bars = next((part for part in parts if isinstance(part, Bars)), None)
    square = next((part for part in parts if isinstance(part, Square)), None)
    return {
        "label": {
            "name": label.name,
            "language": label.language,
            "width_mm": label.outline.width,
            "height_mm": label.outline.height,
            "margin_mm": label.margin,
            "round": label.outline.shape is Shape.ROUND,
        },
        "texts": [_words(part) for part in parts if isinstance(part, Words)],
        "signs": [_signs(part) for part in parts if isinstance(part, Signs | Pictograms)],
        "barcode": None if bars is None else _bars(bars),
        "qr": None if square is None else _square(square),
        "checks": checks(label),
        "notes": [note for note in label.notes if note != WORKING_AID],
        "aid": WORKING_AID,
    }


def checks(label: Label) -> Sequence[Json]:
    """Return what was looked at before the label was printed, in words."""
    found = [
        _check(
            "room",
            "Everything has room inside the margins, no letter smaller than its least height.",
            "measured by the typesetter",
        )
    ]
    for part in every(label.parts):
        if isinstance(part, Bars):
            found += _of_gtin(part.gtin)
    return found


def _of_gtin(gtin: Gtin) -> list[Json]:
    last = gtin.digits[-1]
    if gtin.in_house:
        prefix = f"{gtin.digits} lies in a range kept for in-house use: {IN_HOUSE}."
    else:
        prefix = "The prefix is none of those for in-house use; who holds it only GS1 can say."
    return [
        _check(
            "check digit",
            f"The last digit, {last}, is the one the others call for.",
            "GS1, How to calculate a check digit manually",
        ),
        _check("prefix", prefix, "GS1 prefixes, from memory"),
    ]


def _check(what: str, says: str, source: str) -> Json:
    return {"check": what, "says": says, "source": source}


def _words(part: Words) -> Json:
    letters = part.letters
    return {
        "place": part.place,
        "text": part.text.replace(TIE, " "),
        "face": letters.face.value,
        "x_height_mm": _mm(letters.x_height),
        "capital_height_mm": _mm(letters.size * letters.face.cut.capital),
        "least_x_height_mm": _mm(letters.least),
        "rule": letters.rule,
    }


def _signs(part: Signs | Pictograms) -> Json:
    if isinstance(part, Pictograms):
        kind, names, height = "hazard pictograms", part.codes, part.side
    else:
        kind, names, height = "symbols", part.names, part.height
    return {
        "kind": kind,
        "names": list(names),
        "height_mm": _mm(height),
        "least_height_mm": _mm(part.least),
        "rule": part.rule,
    }


def _bars(part: Bars) -> Json:
    digits = part.gtin.digits
    return {
        "digits": digits,
        "check_digit": check_digit(digits[:-1]),
        "in_house": part.gtin.in_house,
        "magnification_percent": _mm(100.0 * part.magnification),
        "width_mm": _mm(part.gtin.width(part.magnification)),
    }


def _square(part: Square) -> Json:
    return {
        "text": part.text,
        "module_mm": _mm(part.module),
        "least_module_mm": qr.LEAST_MODULE,
        "side_mm": _mm(qr.side(part.text, part.module)),
    }


def _mm(value: float) -> float:
    return round(value, _DIGITS)
