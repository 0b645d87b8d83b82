"""Each kind of label, from the candle and what was typed beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rushlight.cli.hazard_found import Found
from rushlight.errors import BadInput
from rushlight.hazard.law import Law
from rushlight.hazard.statements import word

if TYPE_CHECKING:
    from rushlight.press.labels.design import Label, Outline


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What was typed for the label; empty where an option was left out."""

    net: str = ""
    lot: str = ""
    poured: str = ""
    gtin: str = ""
    code: str = ""
    line: str = ""
    cautions: tuple[str, ...] = ()
    contains: tuple[str, ...] = ()
    maker: str = ""


def label_of(found: Found, kind: str, typed: Typed, outline: Outline) -> Label:
    """Return the label of a kind; BadInput, its places the options."""
    return _KINDS[kind](found, typed, outline)


@contextmanager
def _options(**places: str) -> Iterator[None]:
    """Say problems of the places named at the option that was typed."""
    try:
        yield
    except BadInput as bad:
        raise BadInput(*(p.at(places.get(p.place, p.place)) for p in bad.problems)) from bad


def _hazard(found: Found, typed: Typed, outline: Outline) -> Label:
    from rushlight.press.labels.hazardous import Hazard

    if found.review.law is Law.US and not found.pictograms:
        raise BadInput.one(
            "A candle sold to households in the United States carries no label of this kind: it"
            " comes under the FHSA.",
            "Take --kind us-caution; choose another --law, or --pictograms if you want it.",
            "--law",
        )
    said = found.review.label
    net = typed.net.strip()
    return Hazard(
        said=said,
        uncounted=tuple(name for _, name in found.review.unsheeted),
        product=found.jar.candle.name,
        supplier=_supplier(found, telephone=True),
        quantity=f"{word('net', said.language)}: {net}" if net else "",
    ).label(outline)


def _supplier(found: Found, *, telephone: bool) -> str:
    """Return who answers for the candle, by the workshop's settings."""
    if found.settings is None:
        return ""
    own = found.settings.labels
    parts = (own.supplier, own.address, own.telephone if telephone else "")
    return ", ".join(part for part in parts if part)


def _warning(found: Found, _typed: Typed, outline: Outline) -> Label:
    from rushlight.press.labels.fire import Warn, languages

    language = found.review.label.language.value
    if language not in languages():
        raise BadInput.one(
            f"The fire warning is not there in “{language}”.",
            f"Choose from {', '.join(languages())}.",
            "--language",
        )
    trim = f"{found.jar.candle.wick.trim * 1000:.0f} mm"
    return Warn(language=language, trim=trim).label(outline)


def _front(found: Found, typed: Typed, outline: Outline) -> Label:
    """Return the front; letters of the net weight by the law's own rule."""
    from rushlight.hazard.netcontents.emark import marking
    from rushlight.hazard.netcontents.lot import read_label
    from rushlight.hazard.netcontents.panel import type_height
    from rushlight.press.labels.front import Front

    if not typed.net.strip():
        raise BadInput.one(
            "A jar says what it holds.", "Type the net weight, such as --net “220 g”.", "--net"
        )
    try:
        quantity = read_label(typed.net)
    except BadInput as bad:
        raise bad.at("--net") from bad
    american = found.review.law is Law.US
    return Front(
        name=found.jar.candle.name,
        net=typed.net.strip(),
        panel=type_height(_panel(found, outline)) if american else None,
        marking=None if american else marking(quantity),
    ).label(outline)


def _panel(found: Found, outline: Outline) -> float:
    """Return the area of the display panel [m²]: the jar's, or the label's if that is unknown."""
    from rushlight.hazard.netcontents.panel import rectangle
    from rushlight.press.labels.net import panel_of
    from rushlight.quantity.si import Metre

    vessel = found.jar.candle.vessel
    if vessel.shape_known:
        return panel_of(vessel)
    return rectangle(Metre(outline.width / 1000.0), Metre(outline.height / 1000.0))


def _lot(found: Found, typed: Typed, outline: Outline) -> Label:
    from rushlight.press.labels.lot import Lot

    with _options(lot="--lot", qr="--code"):
        return Lot(
            number=typed.lot, date=typed.poured, name=found.jar.candle.name, code=typed.code
        ).label(outline)


def _barcode(_found: Found, typed: Typed, outline: Outline) -> Label:
    from rushlight.press.labels.codes import Barcode

    if not typed.gtin.strip():
        raise BadInput.one(
            "A barcode needs its number.",
            "Type the GTIN that GS1 licensed to you; none is ever made up.",
            "--gtin",
        )
    with _options(gtin="--gtin"):
        return Barcode(digits=typed.gtin, text=typed.line).label(outline)


def _qr(_found: Found, typed: Typed, outline: Outline) -> Label:
    from rushlight.press.labels.codes import QrCode
    from rushlight.press.labels.qr import matrix

    try:
        matrix(typed.code.strip())
    except BadInput as bad:
        raise bad.at("--code") from bad
    return QrCode(said=typed.code.strip(), text=typed.line).label(outline)


def _us_caution(found: Found, typed: Typed, outline: Outline) -> Label:
    """Return the caution for US households, whatever law was asked for.

    Components not typed are those that the classification would have named.
    """
    from rushlight.hazard.us_caution import caution
    from rushlight.hazard.us_consumer import type_sizes, us_consumer
    from rushlight.press.labels.household import Household

    vessel = found.jar.candle.vessel
    area = _panel(found, outline) if vessel.shape_known else None
    consumer = found.review.consumer or us_consumer(found.review.classification.mixture)
    names = typed.contains or found.review.label.names
    with _options(hazards="--caution", components="--contains", maker="--maker"):
        return Household(
            said=caution(consumer, chosen=typed.cautions, components=names),
            maker=typed.maker.strip() or _supplier(found, telephone=False),
            product=found.jar.candle.name,
            uncounted=tuple(name for _, name in found.review.unsheeted),
            types=None if area is None else type_sizes(area),
        ).label(outline)


_KINDS: dict[str, Callable[[Found, Typed, Outline], Label]] = {
    "hazard": _hazard,
    "warning": _warning,
    "front": _front,
    "lot": _lot,
    "barcode": _barcode,
    "qr": _qr,
    "us-caution": _us_caution,
}
