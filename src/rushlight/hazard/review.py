"""Everything hazard has to say of one weighed candle, in one call for the faces."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rushlight.candle.sheet import Caution, JarSheet, Role
from rushlight.hazard import WORKING_AID
from rushlight.hazard.basis import Basis
from rushlight.hazard.cautions import cautions, flash
from rushlight.hazard.certificate import Certificate
from rushlight.hazard.classify import Classification, classify
from rushlight.hazard.document import Key
from rushlight.hazard.label import Label, label
from rushlight.hazard.law import Law
from rushlight.hazard.margin import Scale, scale
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.recipe import from_jar, without_sheet
from rushlight.hazard.statements import Language
from rushlight.hazard.us_consumer import UsConsumer, us_consumer
from rushlight.hazard.uselimit import UseLimit, loads, use_limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """What a candle must say under a law, and why.

    consumer: for the US, where a retail candle comes under the FHSA and `label` shows only
    what a workplace label would say. unsheeted: what is poured without a safety data sheet;
    while there is any, an empty label means "not known", never "nothing to say".
    """

    law: Law
    load: Basis
    classification: Classification
    scale: Scale
    label: Label
    use_limit: UseLimit
    cautions: tuple[Caution, ...]
    consumer: UsConsumer | None
    unsheeted: tuple[Key, ...]
    aid: str = WORKING_AID


def review(
    jar: JarSheet,
    *,
    sheets: Mapping[Key, SafetySheet],
    certificates: Mapping[Key, Certificate],
    law: Law,
    language: Language = Language.EN,
) -> Review:
    """Return all results for a weighed candle; sheets and certificates by role and name.

    The package capacity is the vessel's brim volume.
    """
    recipe = from_jar(jar, sheets)
    found = classify(recipe.mixture(), law)
    return Review(
        law=law,
        load=recipe.basis,
        classification=found,
        scale=scale(recipe, law),
        label=label(found, language=language, capacity=jar.brim_volume),
        use_limit=use_limit(loads(jar), _of_oils(certificates)),
        cautions=_cautions(jar, sheets, law),
        consumer=_consumer(found, sheets) if law is Law.US else None,
        unsheeted=without_sheet(jar, sheets),
    )


def _of_oils(certificates: Mapping[Key, Certificate]) -> Mapping[str, Certificate]:
    return {name: held for (role, name), held in certificates.items() if role is Role.FRAGRANCE}


def _cautions(jar: JarSheet, sheets: Mapping[Key, SafetySheet], law: Law) -> tuple[Caution, ...]:
    poured = {line.name for line in jar.lines if line.role is Role.FRAGRANCE}
    return tuple(
        caution
        for at, oil in enumerate(jar.candle.oils)
        if (sheet := sheets.get((Role.FRAGRANCE, oil.name))) and oil.name in poured
        for caution in (
            *flash(oil, sheet, add=jar.windows.add.aim, place=f"fragrance.oils.{at}"),
            *cautions(sheet, place=f"fragrance.oils.{at}", law=law),
        )
    )


def _consumer(found: Classification, sheets: Mapping[Key, SafetySheet]) -> UsConsumer:
    return us_consumer(found.mixture, oils=tuple(sheets.values()))
