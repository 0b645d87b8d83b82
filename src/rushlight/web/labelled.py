"""The page "what it must say": everything it shows of a candle under one law."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from markupsafe import Markup

from rushlight.candle.sheet import JarSheet, Role
from rushlight.errors import BadInput, Problem
from rushlight.hazard.certificate import Standing
from rushlight.hazard.classify import Classification
from rushlight.hazard.finding import Finding
from rushlight.hazard.law import Law
from rushlight.hazard.margin import Mark, Scale
from rushlight.hazard.review import Review
from rushlight.hazard.statements import Language
from rushlight.press.labels.design import Label, Outline
from rushlight.press.labels.fit import check
from rushlight.press.labels.hazardous import Hazard
from rushlight.web.drawing.ruler import ruler
from rushlight.web.drawing.scale import drawn_marks, load_scale
from rushlight.web.drawing.signs import drawn_sign
from rushlight.web.reasons import left_out, lines
from rushlight.web.say import Say
from rushlight.workshop import Workshop, candles, hazards, settings
from rushlight.workshop.candles import CandleView

LAWS = (
    (Law.GB, "Great Britain"),
    (Law.EU, "the European Union, Northern Ireland"),
    (Law.US, "the United States"),
    (Law.UN, "elsewhere, by the UN’s GHS"),
)
LANGUAGES = (
    (Language.EN, "English"),
    (Language.DE, "German"),
    (Language.FR, "French"),
    (Language.ES, "Spanish"),
)
# Labels tried in turn [mm], the least of CLP Table 1.3 first, until everything has room.
SIZES = ((74.0, 52.0), (90.0, 60.0), (105.0, 74.0), (148.0, 105.0))
_SHEETED = {Role.FRAGRANCE: "fragrance", Role.DYE: "dye", Role.ADDITIVE: "additive"}
USE_WORDS = {
    Standing.NUMBER: "Within the limit",
    Standing.NO_RESTRICTION: "No restriction",
    Standing.NOT_PERMITTED: "Not permitted in candles",
    Standing.UNKNOWN: "Not known",
}


@dataclass(frozen=True, slots=True)
class Asked:
    """A candle under a law in a language, as the page was asked; ghs: pictograms for the US."""

    view: CandleView
    law: Law
    language: Language
    ghs: bool

    @property
    def query(self) -> str:
        """The same question as an address."""
        return f"law={self.law}&language={self.language}&ghs={'yes' if self.ghs else 'no'}"


@dataclass(frozen=True, slots=True)
class Missing:
    """A material without a safety data sheet, and where one can be entered."""

    name: str
    slug: str
    said: str


@dataclass(frozen=True, slots=True)
class MarkRow:
    """A row of the table of loads; mark None is where she is now."""

    number: int
    mark: Mark | None


def asked(shop: Workshop, slug: str, typed: Mapping[str, str]) -> Asked:
    """Return what is asked; what is not said comes from the settings."""
    own = settings.current(shop).labels
    law = typed.get("law", "")
    language = typed.get("language", "")
    ghs = typed.get("ghs", "")
    return Asked(
        candles.get(shop, slug),
        Law(law) if law in set(Law) else own.law,
        Language(language) if language in set(Language) else own.language,
        ghs == "yes" or (not ghs and own.pictograms_asked),
    )


def picture_of(shop: Workshop, review: Review, view: CandleView) -> Label:
    """Return the hazard label at the first size in which everything has room; BadInput if none."""
    own = settings.current(shop).labels
    supplier = ", ".join(filter(None, (own.supplier, own.address, own.telephone)))
    return _fitted(Hazard(said=review.label, product=view.name, supplier=supplier))


@lru_cache(maxsize=64)  # setting type takes longer than the whole review
def _fitted(told: Hazard) -> Label:
    last: BadInput | None = None
    for width, height in SIZES:
        try:
            made = told.label(Outline(width=width, height=height))
            check(made)
        except BadInput as bad:
            last = bad
        else:
            return made
    raise last or BadInput.one("There is no label to draw.", "Enter a safety data sheet.")


def shown(shop: Workshop, question: Asked) -> dict[str, Any]:
    """Return what the page needs."""
    view, say = question.view, Say(settings.current(shop))
    jar = candles.sheet(shop, view.document).jar
    review = hazards.review_jar(shop, view.document, jar, question.law, language=question.language)
    slugs = {(line.role, line.name): line.material for line in hazards.listing(shop)}
    found, drawn = review.classification, Markup("")
    said = lines(review.label, found, say)
    on_scale = drawn_marks(review.scale)
    if review.scale.marks:
        drawn = load_scale(review.scale)
    consumer = review.consumer is not None and not question.ghs
    made, problems = (None, ()) if consumer else _picture(shop, review, view)
    return {
        "view": view,
        "law": question.law.value,
        "language": question.language.value,
        "laws": [(law.value, words) for law, words in LAWS],
        "languages": [(language.value, words) for language, words in LANGUAGES],
        "rules": question.law.rules,
        "ghs": question.ghs,
        "review": review,
        "missing": _missing(jar, review, slugs),
        "lines": said,
        "left": left_out(review.label),
        "near": sorted(found.near, key=lambda finding: -finding.reach),
        "sign": drawn_sign,
        "drawn": drawn,
        "marks": _rows(review.scale),
        "off_scale": len(review.scale.marks) - len(on_scale),
        "next": _next(review.scale),
        "picture": f"/candles/{view.slug}/label.svg?{question.query}" if made else "",
        "picture_problems": problems,
        "said_size": made.outline.said if made else "",
        "alt": " ".join(line.text for line in said),
        "ruler": ruler(50),
        "use_words": _use_words(review),
        "slugs": {name: slug for (role, name), slug in slugs.items() if role == "fragrance"},
    }


@dataclass(frozen=True, slots=True)
class Brief:
    """What a candle must say in two sentences, and what is not known of it."""

    words: str
    more: str
    missing: tuple[str, ...]


def brief(shop: Workshop, document: Mapping[str, Any], jar: JarSheet) -> Brief:
    """Return the short answer for the candle's sheet, under the law of the settings."""
    now = settings.current(shop)
    try:
        review = hazards.review_jar(shop, document, jar)
    except BadInput as bad:
        return Brief(str(bad), "", ())
    missing = tuple(m.name for m in _missing(jar, review, {}))
    where = dict(LAWS)[review.law]
    if review.consumer is not None and not now.labels.pictograms:
        said = "A candle sold to households in the US goes by the FHSA, not by GHS pictograms."
        return Brief(said, "", missing)
    label = review.label
    codes = [said.code for said in (*label.hazards, *label.supplemental) if said.code]
    said = ", ".join(filter(None, (label.signal, *codes)))
    if not said:
        said = "No hazard label by what is known" if missing else "No hazard label by calculation"
    step = _next(review.scale)
    more = f"From {Say(now).fine(step.at.of_wax)} of wax on: {step.says}." if step else ""
    return Brief(f"{said} ({where}).", more, missing)


def _picture(
    shop: Workshop, review: Review, view: CandleView
) -> tuple[Label | None, tuple[Problem, ...]]:
    if review.label.empty:
        return None, ()
    try:
        return picture_of(shop, review, view), ()
    except BadInput as bad:
        return None, bad.problems


def _missing(
    jar: JarSheet, review: Review, slugs: Mapping[tuple[str, str], str]
) -> Sequence[Missing]:
    """Return the materials in the jar whose hazards nobody has entered."""
    return [
        Missing(
            line.name,
            slugs.get((_SHEETED.get(line.role, ""), line.name), ""),
            f"{line.role.value}: paste section 3 of its sheet",
        )
        for line in jar.lines
        if (line.role, line.name) in review.unsheeted
    ]


def _rows(scale: Scale) -> list[MarkRow]:
    """Return the loads in order, with her own where it belongs."""
    rows = [MarkRow(at, mark) for at, mark in enumerate(scale.marks, start=1)]
    below = sum(mark.at.of_total <= scale.now.of_total for mark in scale.marks)
    return [*rows[:below], MarkRow(0, None), *rows[below:]]


@dataclass(frozen=True, slots=True)
class _Next:
    at: Any
    says: str


def _next(scale: Scale) -> _Next | None:
    """Return the first load above hers that changes the label, in words."""
    mark = scale.next
    if mark is None:
        return None
    says = f"{mark.text.removesuffix('.').removesuffix(' begins')}"
    return _Next(mark.at, says)


def _use_words(review: Review) -> str:
    if not review.use_limit.oils:
        return "No fragrance"
    if review.use_limit.over and review.use_limit.standing is Standing.NUMBER:
        return "Over the limit"
    return USE_WORDS[review.use_limit.standing]


def neat(found: Classification) -> str:
    """Return the classes of an undiluted oil in words."""
    return ", ".join(_class(finding) for finding in found.findings)


def _class(finding: Finding) -> str:
    return f"{finding.hazard.code} ({finding.hazard.h})"
