"""Each kind of label made from what is typed of it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from rushlight.candle.sheet import JarSheet
from rushlight.errors import BadInput
from rushlight.hazard.law import Law
from rushlight.hazard.netcontents.target import Test
from rushlight.hazard.review import Review
from rushlight.hazard.statements import Language
from rushlight.hazard.us_caution import caution as cautions_of
from rushlight.hazard.us_consumer import type_sizes, us_consumer
from rushlight.press.labels.codes import Barcode, QrCode
from rushlight.press.labels.design import Label, Outline
from rushlight.press.labels.fire import Style, Warn
from rushlight.press.labels.front import Front
from rushlight.press.labels.hazardous import Hazard
from rushlight.press.labels.household import Household
from rushlight.press.labels.lot import ARMS_LENGTH, Lot
from rushlight.press.labels.net import panel_of
from rushlight.press.labels.wrap import Band, wrapped
from rushlight.web.declared import declared
from rushlight.web.say import Say
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, candles, hazards, netweights, settings
from rushlight.workshop.candles import CandleView
from rushlight.workshop.stores import codes

KINDS = {
    "front": "Front: name and net weight",
    "fire": "Fire safety",
    "hazard": "What it must say",
    "caution": "Caution for US households",
    "lot": "Lot and date",
    "barcode": "Barcode",
    "qr": "QR code",
}
# Between two names: "1,8-cineole" is one.
_BETWEEN = re.compile(r"\s*;\s*|,\s+")


@dataclass(frozen=True, slots=True)
class Jar:
    """A candle whose labels are made, with what they need of it."""

    shop: Workshop
    view: CandleView
    sheet: JarSheet
    say: Say

    @property
    def kinds(self) -> Mapping[str, str]:
        """Every kind with its name; the US caution first where the workshop sells in the US."""
        first = ("caution",) if self.american else ()
        return {kind: KINDS[kind] for kind in (*first, *KINDS)}

    @property
    def american(self) -> bool:
        """Whether the settings say that the workshop sells in the US."""
        return self.say.settings.labels.law is Law.US

    @property
    def panel(self) -> float | None:
        """The area [m²] of the jar's display panel; None where its shape is not known."""
        vessel = self.sheet.candle.vessel
        return panel_of(vessel) if vessel.shape_known else None

    def review(self, law: str, language: str) -> Review:
        """Return what it must say under a law and in a language, as typed."""
        return hazards.review_jar(
            self.shop,
            self.view.document,
            self.sheet,
            Law(law) if law in set(Law) else None,
            language=Language(language) if language in set(Language) else None,
        )


def jar_of(shop: Workshop, slug: str) -> Jar:
    """Return a candle ready for its labels."""
    view = candles.get(shop, slug)
    return Jar(shop, view, candles.sheet(shop, view.document).jar, Say(settings.current(shop)))


def front(jar: Jar, typed: Blank) -> Front:
    """Return the front, its net weight in letters as high as the rules of the settings ask."""
    tests = netweights.tests_asked(jar.shop)
    may = declared(jar.sheet.fill_mass, tests, jar.panel)
    net = typed["front.net"]
    us = "oz" in net.lower() and Test.CATEGORY_A in tests
    return Front(
        name=typed["front.name"] or jar.view.name,
        net=net,
        kind=typed["front.kind"],
        maker=typed["front.maker"],
        panel=may.letters if us else None,
        marking=may.mark if "℮" in net else None,
    )


def fire(_jar: Jar, typed: Blank) -> Warn:
    """Return the fire-safety warning."""
    style = typed["fire.style"]
    return Warn(
        language=typed["fire.language"] or "en",
        style=Style(style) if style in set(Style) else Style.BOTH,
        trim=typed["fire.trim"] or "5 mm",
    )


def hazard(jar: Jar, typed: Blank) -> Hazard:
    """Return what the candle must say; BadInput where the law knows no such label."""
    review = jar.review(typed["hazard.law"], typed["hazard.language"])
    if review.consumer is not None and not settings.current(jar.shop).labels.pictograms:
        raise BadInput.one(
            "A candle sold to households in the United States carries no label of this kind: it"
            " comes under the FHSA.",
            "Print the caution for US households, or ask for pictograms under Settings.",
            "law",
        )
    return Hazard(
        said=review.label,
        uncounted=tuple(name for _, name in review.unsheeted),
        product=jar.view.name,
        supplier=typed["hazard.supplier"],
        quantity=typed["hazard.quantity"],
        ufi=typed["hazard.ufi"],
    )


def caution(jar: Jar, typed: Blank) -> Household:
    """Return the caution for US households; BadInput at "hazards" and "components".

    Components not typed are those that the classification names, in English as the Act asks.
    """
    review = jar.review(Law.US, Language.EN)
    consumer = review.consumer or us_consumer(review.classification.mixture)
    return Household(
        said=cautions_of(
            consumer,
            chosen=ticked(typed),
            components=_listed(typed["caution.contains"]) or review.label.names,
        ),
        uncounted=tuple(name for _, name in review.unsheeted),
        maker=typed["caution.maker"],
        product=jar.view.name,
        types=None if jar.panel is None else type_sizes(jar.panel),
    )


def ticked(typed: Blank) -> tuple[str, ...]:
    """Return the hazards chosen for the US caution."""
    return _listed(typed["caution.hazards"])


def _listed(text: str) -> tuple[str, ...]:
    return tuple(filter(None, _BETWEEN.split(text)))


def lot(_jar: Jar, typed: Blank) -> Lot:
    """Return lot and date; a code of ours in figures that are read at arm's length."""
    return Lot(
        number=typed["lot.number"],
        date=typed["lot.date"],
        name=typed["lot.name"],
        code=typed["lot.code"],
        number_x_height=ARMS_LENGTH if _ours(typed["lot.number"]) else None,
        gtin=typed["lot.gtin"],
    )


def _ours(number: str) -> bool:
    try:
        return codes.check(number) == number
    except BadInput:
        return False


def barcode(_jar: Jar, typed: Blank) -> Barcode:
    """Return the number licensed to her, as bars."""
    return Barcode(digits=typed["barcode.gtin"], text=typed["barcode.text"])


def qr(_jar: Jar, typed: Blank) -> QrCode:
    """Return a QR code."""
    return QrCode(said=typed["qr.qr"], text=typed["qr.text"])


Maker = Front | Warn | Hazard | Household | Lot | Barcode | QrCode
MAKERS: dict[str, Callable[[Jar, Blank], Maker]] = {
    "front": front,
    "fire": fire,
    "hazard": hazard,
    "caution": caution,
    "lot": lot,
    "barcode": barcode,
    "qr": qr,
}


def make(jar: Jar, typed: Blank, kind: str, outline: Outline) -> Label:
    """Return a label of a kind; BadInput."""
    return MAKERS[kind](jar, typed).label(outline)


def around_the_jar(jar: Jar, typed: Blank, band: Band, kinds: frozenset[str]) -> Label:
    """Return one strip: the front, the warning to its left, what it must say to its right."""
    seen = front(jar, typed)
    if seen.panel is not None:
        seen = replace(seen, panel=band.type_height)
    return wrapped(
        band,
        front=seen.label(Outline(width=band.panel, height=band.height)),
        left=fire(jar, typed).parts() if "fire" in kinds else (),
        right=hazard(jar, typed).parts() if "hazard" in kinds else (),
    )
