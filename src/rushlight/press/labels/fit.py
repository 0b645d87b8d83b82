"""Whether a label may be printed: sizes the rules ask for, and whether its text has room.

Nothing is ever made smaller in silence: what does not fit is an error that tells how small
it would have to be and which rule that would break.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from rushlight.errors import Problem, Problems
from rushlight.press.glyphs import STAND_IN, has_glyph, printable
from rushlight.press.labels import gs1, plain, qr
from rushlight.press.labels.design import (
    Bars,
    Column,
    Label,
    LotBars,
    Part,
    Pictograms,
    Row,
    Shape,
    Signs,
    Square,
    Words,
)
from rushlight.press.labels.gtin import LARGEST, SMALLEST
from rushlight.press.typeset import measured

ROUNDING = 1e-6  # [mm]
_LARGEST = 2000.0  # side of a label [mm]
_WORDS = {
    "signs": "The row of symbols",
    "pictograms": "The row of pictograms",
    "bars": "The barcode with its quiet zones",
    "square": "The QR code with its quiet zone",
}


def check(*labels: Label) -> None:
    """Raise BadInput, with all problems of all labels, unless every one can be printed."""
    found = Problems()
    for label in labels:
        for problem in (*_outline(label), *_parts(label)):
            found.extend([problem.at(f"{label.name}.{problem.place}")])
    found.check()
    template = {"labels": [plain.label(label) for label in labels]}
    for label, report in zip(
        labels, measured("labels/measure.typ", template) if labels else (), strict=True
    ):
        for problem in _room(label, report):
            found.extend([problem.at(f"{label.name}.{problem.place}")])
    found.check()


def every(parts: Sequence[Part]) -> Iterator[Part]:
    """Yield every part, those in rows and columns too."""
    for part in parts:
        yield part
        if isinstance(part, Row | Column):
            yield from every(part.parts)


def _outline(label: Label) -> Iterator[Problem]:
    """Yield what is wrong with the piece of paper."""
    outline = label.outline
    for place, side in (("width", outline.width), ("height", outline.height)):
        if not 2 * label.margin < side <= _LARGEST:
            yield Problem(
                place,
                f"{side:g} mm leaves no room between margins of {label.margin:g} mm.",
                "Measure one label of the sheet.",
            )
    if outline.shape is Shape.ROUND and abs(outline.width - outline.height) > ROUNDING:
        yield Problem(
            "height", "A round label is as high as it is wide.", "Type its diameter twice."
        )


def _parts(label: Label) -> Iterator[Problem]:
    """Yield what breaks a rule before anything is set."""
    for part in every(label.parts):
        if isinstance(part, Words):
            yield from _words(part)
        elif isinstance(part, Signs):
            yield from _least("symbols", "The symbols are", part.height, part.least, part.rule)
        elif isinstance(part, Pictograms):
            yield from _least("pictograms", "The red squares are", part.side, part.least, part.rule)
        elif isinstance(part, Bars) and not SMALLEST <= part.magnification <= LARGEST:
            yield Problem(
                "gtin",
                f"A magnification of {part.magnification:.0%} lies outside"
                f" {SMALLEST:.0%} to {LARGEST:.0%}.",
                "Choose one within (GS1 General Specifications, from memory).",
            )
        elif isinstance(part, LotBars):
            yield from _least("gtin", "The bars are", part.module, gs1.MODULE, "common practice")
        elif isinstance(part, Square):
            yield from _least(
                part.place, "The squares are", part.module, qr.LEAST_MODULE, "common practice"
            )


def _words(part: Words) -> Iterator[Problem]:
    letters = part.letters
    yield from _least(
        part.place, "The letters have an x-height of", letters.x_height, letters.least, letters.rule
    )
    if STAND_IN in printable(part.text) and STAND_IN not in part.text:
        lost = sorted({c for c in part.text if STAND_IN in printable(c) and not has_glyph(c)})
        shown = ", ".join(f"U+{ord(c):04X}" for c in lost)
        yield Problem(
            part.place,
            f"The faces have no shape for {shown}.",
            "Write it in other letters; a label may not have gaps.",
        )


def _least(place: str, what: str, value: float, least: float, rule: str) -> Iterator[Problem]:
    """Yield a problem where a size falls below its minimum, or is no size at all."""
    if not value >= least - ROUNDING or not value > 0:
        yield Problem(
            place,
            f"{what} {value:.2f} mm, less than {least:.2f} mm: {rule}.",
            f"Make it at least {least:.2f} mm.",
        )


def _room(label: Label, report: dict[str, Any]) -> Iterator[Problem]:
    """Yield what the typesetter measured to be too large."""
    if not report["fits"]:
        yield Problem(_culprit(report), _how_large(label, report), _remedy(label, report["share"]))
    for foot in report["feet"]:
        allowed = foot["share"] * label.outline.height
        if foot["reach"] > allowed + ROUNDING:
            yield Problem(
                foot["place"],
                f"It reaches {foot['reach']:.1f} mm above the lower edge, more than the bottom"
                f" {foot['share']:.0%} of the label ({allowed:.1f} mm): 16 CFR 500.6.",
                "Take a higher label, or shorten what stands beside or below it.",
            )


def _culprit(report: dict[str, Any]) -> str:
    return str(report["wide"][0]["place"]) if report["wide"] else "height"


def _how_large(label: Label, report: dict[str, Any]) -> str:
    wide = report["wide"]
    if wide:
        what = f"“{wide[0]['what']}”" if wide[0]["letters"] else _WORDS[wide[0]["what"]]
        return f"{what} is wider than its room; the label has {report['width']:.1f} mm across."
    return (
        f"It needs {report['needed']:.1f} mm of height; a label {label.outline.said} has"
        f" {report['height']:.1f} mm inside its margins."
    )


def _remedy(label: Label, share: float) -> str:
    """Return what to do: which size would fit, and which minimum that would break."""
    words = [part for part in every(label.parts) if isinstance(part, Words)]
    if not share or not words:
        return "Take a larger label, or say less: smaller letters alone would not make it fit."
    tight = min(words, key=lambda part: part.letters.x_height / part.letters.least)
    x_height = tight.letters.x_height * share
    size = f"an x-height of {x_height:.2f} mm in “{tight.place}”"
    if x_height < tight.letters.least - ROUNDING:
        return (
            f"Take a larger label, or say less: it would only fit with {size}, below"
            f" {tight.letters.least:.2f} mm: {tight.letters.rule}."
        )
    return f"It would fit with letters at {share:.0%}, {size}: choose that, or a larger label."
